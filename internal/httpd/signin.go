package httpd

import (
	"net/http"

	"github.com/go-chi/chi/v5/middleware"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// signInPage shows the form for coaches; who is signed in goes on.
func (s *server) signInPage(w http.ResponseWriter, r *http.Request) error {
	next := localPath(r.URL.Query().Get("next"))
	if visitorOf(r) != nil {
		s.redirect(w, r, next)
		return nil
	}
	needed, err := s.Access.SetUpNeeded(r.Context())
	if err != nil {
		return err
	}
	return s.showSignIn(w, r, http.StatusOK, page.SignIn{Next: next, NoClub: needed})
}

// signIn takes e-mail and password.
func (s *server) signIn(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	v := page.SignIn{Email: f.text("email"), Next: localPath(f.text("next"))}
	o, err := s.Access.SignIn(r.Context(), access.Attempt{
		Email: v.Email, Password: f.raw("password"),
		From: middleware.GetClientIPAddr(r.Context()), Device: access.Device(r.UserAgent()),
	})
	switch {
	case f.take(err):
		v.Error = f.faultAt("password")
		return s.showSignIn(w, r, http.StatusUnprocessableEntity, v)
	case fault.KindOf(err) == fault.TooMany:
		v.Error = fault.MessageOf(err)
		return s.showSignIn(w, r, http.StatusTooManyRequests, v)
	case err != nil:
		return err
	}
	if err := s.signedIn(w, r, o); err != nil {
		return err
	}
	s.redirect(w, r, v.Next)
	return nil
}

func (s *server) showSignIn(w http.ResponseWriter, r *http.Request, status int, v page.SignIn) error {
	v.Plain = s.plain(r, "Sign in")
	if site := s.siteName(r); site != "" && !v.NoClub {
		v.Key = page.KeyAsk{Site: site, Ask: keyInAt + "/ask", Action: keyInAt}
		v.Plain.Loads = []string{part.PasskeyScript}
	}
	return s.page(w, r, status, page.SignInPage(v))
}

// signOut ends the login; without one it does nothing. What a phone kept goes with it
// (where the browser does that, which is over https and on the machine itself; the
// page does the same by itself).
func (s *server) signOut(w http.ResponseWriter, r *http.Request) error {
	if v := visitorOf(r); v != nil {
		if err := s.Access.SignOut(r.Context(), v); err != nil && fault.KindOf(err) != fault.NotFound {
			return err
		}
	}
	s.dropCookie(w)
	w.Header().Set("Clear-Site-Data", `"cache", "storage"`)
	s.redirect(w, r, "/sign-in")
	return nil
}
