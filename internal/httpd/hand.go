package httpd

import (
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// handOver gives an athlete to another coach, or to everybody.
func (s *server) handOver(w http.ResponseWriter, r *http.Request) error {
	a, err := s.athleteOf(r)
	if err != nil {
		return err
	}
	id := a.ID
	f, err := formOf(r)
	if err != nil {
		return err
	}
	to, err := strconv.ParseInt(f.text("coach"), 10, 64)
	if err != nil || to < 0 {
		return errStale()
	}
	coach, who := roster.CoachID(to), actorOf(r)
	err = s.Enrol.HandOver(r.Context(), who, id, coach)
	switch {
	case f.take(err):
		return s.showAthlete(w, r, http.StatusUnprocessableEntity, id, func(v *page.Athlete) { v.Hand.Error = f.errors().At("coach") })
	case err != nil:
		return err
	}
	switch {
	case coach == 0:
		s.redirect(w, r, athletePath(id)+"?said=unhanded")
	case who.OwnOnly && coach != who.Coach:
		s.redirect(w, r, part.RosterAt+"?said=handed-out-of-sight")
	default:
		s.redirect(w, r, athletePath(id)+"?said=handed")
	}
	return nil
}

// takeOver notes that the coach has seen whom somebody handed over.
func (s *server) takeOver(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	if err := s.Enrol.TakeOver(r.Context(), actorOf(r), id); err != nil {
		return err
	}
	s.redirect(w, r, part.RosterAt+"?said=taken")
	return nil
}

// handForm says whose athlete it is and, to those who may, offers to hand over. In
// a club with one coach there is nothing to say.
func (s *server) handForm(r *http.Request, a *roster.Athlete) (page.HandOver, error) {
	coaches, err := s.Access.Coaches(r.Context(), a.Club)
	if err != nil {
		return page.HandOver{}, err
	}
	h := page.HandOver{
		Whose: "Everybody's: every coach of the club sees to them.", Coach: idText(a.Coach), To: []part.Option{{Value: "0", Words: "everybody"}},
	}
	for _, c := range coaches {
		if c.ID == a.Coach {
			h.Whose = "With " + c.Name + "."
			if c.ID == visitorOf(r).Coach.ID {
				h.Whose = "With you."
			}
		}
		if !c.Deputy {
			h.To = append(h.To, part.Option{Value: idText(c.ID), Words: c.Name})
		}
	}
	if len(h.To) < 3 && a.Coach == 0 {
		return page.HandOver{}, nil
	}
	if visitorOf(r).IsKeeper() && a.LeftAt.IsZero() {
		h.Action = athletePath(a.ID) + "/hand"
	}
	return h, nil
}

// handedLines say who was handed over to the coach.
func (s *server) handedLines(r *http.Request) ([]page.Handed, error) {
	handed, err := s.Enrol.Handed(r.Context(), actorOf(r))
	if err != nil {
		return nil, err
	}
	today, f, place := s.today(r), datesFor(r), s.placeOf(r)
	lines := make([]page.Handed, len(handed))
	for i, h := range handed {
		lines[i] = page.Handed{
			Name: h.Name, Href: athletePath(h.Athlete), Seen: athletePath(h.Athlete) + "/taken",
			Words: h.By + " handed " + h.Name + " over to you " + f.When(day.Of(h.At, place), today) + ".",
		}
	}
	return lines, nil
}
