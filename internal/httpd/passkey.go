package httpd

import (
	"net/http"

	"github.com/go-chi/chi/v5/middleware"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/part"
)

// Passkeys are asked for by a script of the page: first for a question, then with
// the answer to it. Both are forms like any other, answered in JSON.

// goOn is where a page goes on after an answer that held.
type goOn struct {
	Next string `json:"next"`
}

// askKeyIn asks for any passkey of this site.
func (s *server) askKeyIn(w http.ResponseWriter, r *http.Request) error {
	q, err := s.Access.AskToSignIn(r.Context(), s.siteOf(r))
	return s.question(w, r, q, err)
}

// keyIn signs in with a passkey.
func (s *server) keyIn(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	o, err := s.Access.SignInByPasskey(r.Context(), access.KeyAttempt{
		Site: s.siteOf(r), Secret: s.askedKey(w, r), Answer: []byte(f.raw("answer")),
		From: middleware.GetClientIPAddr(r.Context()), Device: access.Device(r.UserAgent()),
	})
	if err != nil {
		return err
	}
	if err := s.signedIn(w, r, o); err != nil {
		return err
	}
	return s.json(w, r, http.StatusOK, goOn{localPath(f.text("next"))})
}

// askNewKey asks for a new passkey.
func (s *server) askNewKey(w http.ResponseWriter, r *http.Request) error {
	q, err := s.Access.AskToMake(r.Context(), visitorOf(r), s.siteOf(r))
	return s.question(w, r, q, err)
}

// addKey keeps a new passkey.
func (s *server) addKey(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	err = s.Access.AddPasskey(r.Context(), visitorOf(r), s.siteOf(r), s.askedKey(w, r), f.text("name"), []byte(f.raw("answer")))
	if err != nil {
		return err
	}
	return s.json(w, r, http.StatusOK, goOn{part.ClubAt + "?said=key-added"})
}

// removeKey removes one of the coach's passkeys.
func (s *server) removeKey(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.PasskeyID](r, "passkey")
	if err != nil {
		return err
	}
	if err := s.Access.RemovePasskey(r.Context(), visitorOf(r), id); err != nil {
		return err
	}
	s.redirect(w, r, part.ClubAt+"?said=key-removed")
	return nil
}

// prove takes the password once more, before ways in are changed.
func (s *server) prove(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	err = s.Access.ProveByPassword(r.Context(), visitorOf(r), f.raw("current"), middleware.GetClientIPAddr(r.Context()))
	shown, status := &form{}, http.StatusUnprocessableEntity
	switch {
	case f.take(err):
		shown.wrong("proof", f.faultAt("current"))
	case fault.KindOf(err) == fault.TooMany:
		shown.wrong("proof", fault.MessageOf(err))
		status = http.StatusTooManyRequests
	case err != nil:
		return err
	default:
		s.redirect(w, r, part.ClubAt+"?said=proved")
		return nil
	}
	return s.showClub(w, r, status, nil, shown)
}

// askProof asks one of the coach's passkeys to sign once more.
func (s *server) askProof(w http.ResponseWriter, r *http.Request) error {
	q, err := s.Access.AskToProve(r.Context(), visitorOf(r), s.siteOf(r))
	return s.question(w, r, q, err)
}

// proveByKey takes its signature.
func (s *server) proveByKey(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	err = s.Access.ProveByPasskey(r.Context(), visitorOf(r), s.siteOf(r), s.askedKey(w, r), []byte(f.raw("answer")))
	if err != nil {
		return err
	}
	return s.json(w, r, http.StatusOK, goOn{part.ClubAt + "?said=proved"})
}
