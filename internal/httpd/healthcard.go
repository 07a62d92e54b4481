package httpd

import (
	"net/http"
	"slices"
	"strings"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// fillHealth puts in what matters of an athlete's health, in short. A deputy sees
// nothing of it but the limits of a clearance: whoever leads a session has to know what
// is to be kept to.
func (s *server) fillHealth(r *http.Request, p *morning.Portrait, v *page.Athlete) error {
	id := p.Athlete.ID
	if !visitorOf(r).IsKeeper() {
		if p.Cleared != nil {
			v.Health.Limits = p.Cleared.Limits
		}
		return nil
	}
	t, err := s.Join.State(r.Context(), actorOf(r), id)
	if err != nil {
		return err
	}
	j, d := joiner{subject{id: id, base: athletePath(id)}, t}, datesFor(r)
	h := page.Health{Lead: "The health questions were never asked here.", Consents: consentLines(t.Consents, d, j), Clearance: clearanceLines(p.Decisions, d, j)}
	if t.Check != nil {
		h.Lead = wording.Capital(answeredWords(t.Check, d, j)) + "."
		h.Links = append(h.Links, part.Link{Href: j.review(), Words: "The answers"})
	}
	if !t.Result.Heart.Usable && len(t.Result.Heart.Reasons) > 0 {
		h.Lines = append(h.Lines, "Heart rate does not count: "+lowered(t.Result.Heart.Reasons[0].Words))
	}
	if n := len(t.Result.Injuries); n > 0 {
		h.Lines = append(h.Lines, strings.Join(t.Result.Injuries, ". ")+".")
	}
	if len(t.Result.Bone) > 0 {
		h.Private = []string{strings.Join(t.Result.Bone, ". ") + "."}
	}
	if t.Open {
		h.Lines = append([]string{"A doctor’s word is waited for."}, h.Lines...)
	}
	switch t.Athlete.Arrival {
	case roster.Invited, roster.Withdrawn:
		h.Links = append(h.Links, part.Link{Href: j.joining(""), Words: "Answer together"})
	}
	freshLines(&h, j)
	v.Health = h
	return nil
}

// lowered begins a sentence inside another one.
func lowered(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// clearanceLines say who cleared an athlete last, when, and what is to be kept to.
func clearanceLines(decisions []roster.Decision, d wording.Dates, j joiner) []string {
	i := slices.IndexFunc(decisions, func(one roster.Decision) bool { return one.UndoneAt.IsZero() && one.Clearance.GivenOn != 0 })
	if i < 0 {
		return nil
	}
	c := &decisions[i].Clearance
	lines := []string{"Cleared on " + d.Day(c.GivenOn, j.Today) + " by " + c.GivenBy + "."}
	if c.Limits != "" {
		lines = append(lines, "Limits: "+c.Limits)
	}
	return lines
}
