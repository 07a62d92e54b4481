package httpd

import (
	"net/http"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
)

// cookieName is the login's cookie. Over https the prefix makes browsers refuse
// one that another host or a plain page has set.
func (s *server) cookieName() string {
	if s.secure {
		return "__Host-halfhour"
	}
	return "halfhour"
}

// welcome finds out who asks. Someone unknown is nobody; a store that does not
// answer is an error.
func (s *server) welcome(w http.ResponseWriter, r *http.Request) error {
	cookies := r.CookiesNamed(s.cookieName())
	if len(cookies) == 0 {
		return nil
	}
	token := access.Token(cookies[0].Value)
	v, err := s.Access.Visitor(r.Context(), token)
	switch {
	case fault.KindOf(err) == fault.NotFound:
		return nil
	case err != nil:
		return err
	}
	a := askedOf(r.Context())
	a.visitor, a.token = &v, token
	if s.Now().Sub(v.Login.SeenAt) >= time.Hour {
		s.setCookie(w, access.Opened{Token: a.token, Login: v.Login})
	}
	return nil
}

// signedIn gives the browser the login just opened, and ends the one it came with:
// nothing is left open that the browser no longer holds.
func (s *server) signedIn(w http.ResponseWriter, r *http.Request, o access.Opened) error {
	if v := visitorOf(r); v != nil && v.Login.ID != o.Login.ID {
		if err := s.Access.SignOut(r.Context(), v); err != nil && fault.KindOf(err) != fault.NotFound {
			return err
		}
	}
	s.setCookie(w, o)
	return nil
}

// setCookie gives the browser its token. It lasts as long in the browser as a
// login that was seen just now.
func (s *server) setCookie(w http.ResponseWriter, o access.Opened) {
	holds := access.CoachLogin
	if o.Login.Athlete != 0 {
		holds = access.AthleteLogin
	}
	s.writeCookie(w, string(o.Token), int(holds/time.Second))
}

// dropCookie makes the browser forget its token.
func (s *server) dropCookie(w http.ResponseWriter) { s.writeCookie(w, "", -1) }

func (s *server) writeCookie(w http.ResponseWriter, value string, seconds int) {
	http.SetCookie(w, &http.Cookie{
		Name: s.cookieName(), Value: value, Path: "/", MaxAge: seconds,
		HttpOnly: true, Secure: s.secure, SameSite: http.SameSiteLaxMode,
	})
}

// askingName is the cookie that ties a question to a passkey to the browser which
// asked. It is never sent with what another site begins.
func (s *server) askingName() string { return s.cookieName() + "-asking" }

func (s *server) writeAsking(w http.ResponseWriter, secret access.Token, seconds int) {
	http.SetCookie(w, &http.Cookie{
		Name: s.askingName(), Value: string(secret), Path: "/", MaxAge: seconds,
		HttpOnly: true, Secure: s.secure, SameSite: http.SameSiteStrictMode,
	})
}

// askedKey is the secret of the question that this browser asked last, which it
// forgets with that; empty where there is none.
func (s *server) askedKey(w http.ResponseWriter, r *http.Request) access.Token {
	cookies := r.CookiesNamed(s.askingName())
	if len(cookies) == 0 {
		return ""
	}
	s.writeAsking(w, "", -1)
	return access.Token(cookies[0].Value)
}
