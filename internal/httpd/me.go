package httpd

import (
	"net/http"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// endOwnLogin ends one of the athlete's logins; of the one that asks, it signs out.
func (s *server) endOwnLogin(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.LoginID](r, "login")
	if err != nil {
		return err
	}
	if id == visitorOf(r).Login.ID {
		return s.signOut(w, r)
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	if err := s.Access.Close(r.Context(), actorOf(r), id); err != nil {
		return err
	}
	said := "ended"
	if f.text("from") == "news" {
		said = "ended-strange-athlete"
	}
	s.redirect(w, r, part.MeAt+"?said="+said)
	return nil
}

// claimLogin says that a login on a new device is one's own.
func (s *server) claimLogin(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.LoginID](r, "login")
	if err != nil {
		return err
	}
	if err := s.Access.Claim(r.Context(), visitorOf(r), id); err != nil {
		return err
	}
	to := part.TodayAt
	if visitorOf(r).IsCoach() {
		to = part.RosterAt
	}
	s.redirect(w, r, to+"?said=claimed")
	return nil
}

// newLogins say on which new devices somebody signed in as the visitor; each is
// claimed and ended under the base address.
func (s *server) newLogins(r *http.Request, base string) ([]page.NewLogin, error) {
	v := visitorOf(r)
	logins, err := s.Access.NewLogins(r.Context(), v)
	if err != nil {
		return nil, err
	}
	today, f, place := s.today(r), datesFor(r), s.placeOf(r)
	lines := make([]page.NewLogin, len(logins))
	for i, l := range logins {
		at := base + idText(l.ID)
		lines[i] = page.NewLogin{
			Words: "New login: " + l.Device + ", " + f.Near(day.Of(l.Since, place), today) + " " + f.Clock(l.Since, place) + ".", End: at + "/end",
		}
		if !v.Login.Unproven(s.Now()) {
			lines[i].Claim = at + "/mine"
		}
	}
	return lines, nil
}

// coachWords name the athlete's own coach; empty where every coach of the club is.
func (s *server) coachWords(r *http.Request, a *roster.Athlete) (string, error) {
	if a.Coach == 0 {
		return "", nil
	}
	coaches, err := s.Access.Coaches(r.Context(), a.Club)
	for _, c := range coaches {
		if c.ID == a.Coach {
			return c.Name, err
		}
	}
	return "", err
}
