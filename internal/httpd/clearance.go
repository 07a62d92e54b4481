package httpd

import (
	"net/http"

	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// clear records on the page of the answers that a doctor said yes: when, who, and
// what is to be kept to. What follows is where to begin.
func (s *server) clear(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	key := f.key()
	version, known := f.number("version")
	if len(f.faults) > 0 || !known {
		return errStale()
	}
	ask := decide.Ask{
		Athlete: id, Choice: roster.Cleared, Version: version, Key: key,
		Clearance: roster.Clearance{GivenOn: f.date("given_on"), GivenBy: f.text("given_by"), Limits: f.text("limits")},
	}
	if len(f.faults) > 0 { // a date that cannot be read
		return s.showReview(w, r, http.StatusUnprocessableEntity, f)
	}
	_, err = s.Decide.Decide(r.Context(), actorOf(r), ask)
	if fault.KindOf(err) == fault.Invalid && f.take(err) {
		return s.showReview(w, r, http.StatusUnprocessableEntity, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, athletePath(id)+"/review?said=cleared")
	return nil
}
