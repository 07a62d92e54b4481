package httpd

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"halfhour.app/halfhour/internal/fault"
)

// answerWithin bounds the work on one request, waiting for the database included.
const answerWithin = 20 * time.Second

// errSignedOut says that somebody must sign in first.
var errSignedOut = errors.New("nobody is signed in")

// guarded is the route's handler behind everything each one needs: the visitor,
// the question whether the visitor may, a limit of time, and one place where
// errors and panics end.
func (s *server) guarded(line route) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		within := answerWithin
		switch {
		case line.uploads():
			within = uploadWithin
			longer(w, s.Now(), within)
		case line.downloads():
			within = downloadWithin
			longer(w, s.Now(), within)
		}
		ctx, cancel := context.WithTimeout(r.Context(), within)
		defer cancel()
		r = r.WithContext(ctx)
		if err := limitBody(line, w, r); err != nil {
			s.fail(w, r, err)
			return
		}
		if err := s.attempt(line, w, r); err != nil {
			s.fail(w, r, err)
		}
		s.noteLook(line, r)
	}
}

// attempt serves the request; a panic becomes an error with its stack.
func (s *server) attempt(line route, w http.ResponseWriter, r *http.Request) (err error) {
	defer func() {
		switch p := recover(); p {
		case nil:
		case http.ErrAbortHandler:
			panic(p)
		default:
			err = fmt.Errorf("panic: %v\n%s", p, debug.Stack())
		}
	}()
	if line.may == unasked {
		return line.serve(s, w, r)
	}
	if err := s.welcome(w, r); err != nil {
		return err
	}
	if err := permit(line.may, r); err != nil {
		return err
	}
	if err := s.sees(r); err != nil {
		return err
	}
	if strings.Contains(line.pattern, "{code}") || strings.Contains(line.pattern, "{secret}") {
		return s.unguessed(line, w, r)
	}
	return line.serve(s, w, r)
}

// unguessed serves an address with a secret in it, unless too many that do not work were
// tried from where it is asked.
func (s *server) unguessed(line route, w http.ResponseWriter, r *http.Request) error {
	from := middleware.GetClientIPAddr(r.Context())
	if err := s.Access.Guessing(r.Context(), from); err != nil {
		return err
	}
	err := line.serve(s, w, r)
	if k := fault.KindOf(err); k == fault.NotFound || k == fault.Gone {
		if counted := s.Access.Guessed(r.Context(), from); counted != nil {
			return counted
		}
	}
	return err
}

// permit says whether the visitor may call a route of the audience. What is not
// for somebody's eyes is not found; only owners' routes say so to
// coaches, and those of coaches to deputies.
func permit(may audience, r *http.Request) error {
	v := visitorOf(r)
	switch {
	case may == anybody,
		may == athlete && v.IsAthlete(),
		may == coach && v.IsCoach(),
		may == keeper && v.IsKeeper(),
		may == owner && v.IsOwner():
		return nil
	case v == nil:
		return errSignedOut
	case may == owner && v.IsCoach():
		return fault.New(fault.Forbidden, "Only an owner of the club may do this.")
	case may == keeper && v.IsDeputy():
		return fault.New(fault.Forbidden, "This is for coaches, not for deputies. A coach of the club can do it.")
	}
	return fault.New(fault.NotFound, "")
}

// sees says whether the coach may know of the athlete whom the address names:
// where coaches see only their own, another's is not found, whatever is asked. The
// use cases ask the same about athletes whom a form names.
func (s *server) sees(r *http.Request) error {
	who := askedOf(r.Context()).visitor
	if chi.URLParam(r, "athlete") == "" || who == nil || !who.Actor().OwnOnly {
		return nil
	}
	a, err := s.athleteOf(r)
	if err == nil && !actorOf(r).Sees(&a) {
		err = fault.New(fault.NotFound, "")
	}
	return err
}

// notThere answers addresses that no route has.
func notThere(*server, http.ResponseWriter, *http.Request) error {
	return fault.New(fault.NotFound, "")
}

// notThisWay answers a known address with a method it does not have.
func notThisWay(*server, http.ResponseWriter, *http.Request) error { return errMethod }

// errMethod says that the address is there, but not for this method.
var errMethod = errors.New("no such method here")
