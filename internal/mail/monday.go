package mail

import (
	"context"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/letter"
)

// monday tells an athlete the sessions of the week. It is moot for whoever has nothing
// planned, or is away, and on any day but that Monday.
func (h *Hearing) monday(ctx context.Context, l *post.Letter) (letter.Note, error) {
	t, err := h.Entry.Today(ctx, roster.Actor{Club: l.Club.ID, Athlete: l.Athlete}, l.Athlete)
	switch {
	case err != nil:
		return letter.Note{}, moot(err)
	case t.Way != entry.Going || len(t.Plan) == 0 || t.Date != l.Week:
		return letter.Note{}, post.ErrMoot
	}
	w, err := h.Days.Week(ctx, roster.Actor{Club: l.Club.ID, Athlete: l.Athlete}, l.Athlete, l.Week)
	if err != nil {
		return letter.Note{}, moot(err)
	}
	n := letter.Note{
		Title: "Your sessions this week", Lines: weekLines(&t, &w), Strip: planStrip(t.Plan), Button: h.today("To your first page"),
		After: []string{"If you feel unwell or something hurts, leave the session out and say so on your first page. " + wording.NoAdvice},
		Foot:  "You get this on Mondays because you asked for it at " + l.Club.Name + ". Sent from " + h.Here + ".",
		Stop:  letter.Link{Words: "Get no such notes any more"},
	}
	if t.Athlete.CoachWord != "" {
		n.Quote = letter.Quote{Words: t.Athlete.CoachWord, By: wordBy(&t, &l.Club)}
	}
	return n, nil
}

// weekLines are what is planned, as it is told on the first page and on that of the week.
func weekLines(t *entry.Today, w *days.Week) []string {
	lines := []string{
		wording.Capital(wording.Count(t.Of, "session", "sessions")) + " a week, on " + wording.PhaseNamed(t.Shelf, t.Athlete.Phase) + ": " + pathway.Words(t.Plan) + ".",
		wording.Pace(t.Plan),
	}
	if on := wording.LaidOut(w); on != "" {
		lines = append(lines, on+" You can move them on your first page.")
	} else if t.Next > t.Date {
		lines = append(lines, "The next one is from "+wording.Dates{}.Near(t.Next, t.Date)+". Rest is part of it.")
	}
	if pathway.HasRun(t.Plan) {
		lines = append(lines, "The warm-up before it stands on your first page.")
	}
	if t.Limits.Limits != "" {
		lines = append(lines, "What you were asked to keep to stands on your first page.")
	}
	return lines
}

// wordBy is whose word it is, as far as that is known: of a decision or of the club.
func wordBy(t *entry.Today, club *roster.Club) string {
	if n := t.Newest; n != nil && n.By != "" && n.Word == t.Athlete.CoachWord {
		return n.By + ", " + wording.Dates{}.When(day.Of(n.At, t.Athlete.Place()), t.Date)
	}
	return "Your coach at " + club.Name
}

// planStrip draws a session that is not done yet.
func planStrip(plan []pathway.Block) letter.Strip {
	var s letter.Strip
	for _, b := range plan {
		s.Blocks = append(s.Blocks, letter.Block{Kind: kindOf(b.Kind), Seconds: b.Planned})
	}
	return s
}
