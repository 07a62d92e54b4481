package mail

import (
	"context"

	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/letter"
)

// decision tells an athlete what a coach decided: the coach's own words first, then in
// a sentence or two what comes now. It is moot where it does not hold any more.
func (h *Hearing) decision(ctx context.Context, l *post.Letter) (letter.Note, error) {
	t, err := h.Decide.Told(ctx, l.Club.ID, l.Athlete, l.Decision)
	back := err == nil && !t.Decision.UndoneAt.IsZero() && !l.MadeAt.Before(t.Decision.UndoneAt)
	switch {
	case back:
		return h.takenBack(l), nil
	case fault.KindOf(err) == fault.NotFound || err == nil && !t.Holds:
		return letter.Note{}, post.ErrMoot
	case err != nil:
		return letter.Note{}, err
	}
	n := letter.Note{
		Title: "What comes next, from your coach", Lines: decidedLines(&t, l.By), Button: h.today("To your first page"), After: decidedAfter(&t),
		Foot: l.By + " of " + l.Club.Name + " decided this; Halfhour wrote it down and sent it from " + h.Here + ". Your first page always has what holds now.",
		Stop: letter.Link{Words: "Get no mail about decisions any more"},
	}
	if t.Decision.Word != "" {
		n.Quote = letter.Quote{Words: t.Decision.Word, By: l.By}
	}
	return n, nil
}

// takenBack is for whoever has had the letter about a decision that does not hold any
// more.
func (h *Hearing) takenBack(l *post.Letter) letter.Note {
	return letter.Note{
		Title:  "What the last letter said was taken back",
		Lines:  []string{l.By + " has taken back what the last letter told you about your sessions.", "What holds now stands on your first page. Please look there before you run."},
		Button: h.today("To your first page"),
		Foot:   l.By + " of " + l.Club.Name + " decided this; Halfhour wrote it down and sent it from " + h.Here + ".",
		Stop:   letter.Link{Words: "Get no mail about decisions any more"},
	}
}

// decidedLines say what comes now.
func decidedLines(t *decide.Told, by string) []string {
	d, a := &t.Decision, &t.Athlete
	switch d.Choice {
	case roster.Pause:
		return []string{by + " has paused your running for now.", "Please do not run until you have read your first page. It says what you can do meanwhile."}
	case roster.Refer:
		return []string{
			by + " asks you to see a doctor before you run again.",
			"Please do not run until you have read your first page, and not before your coach has noted what the doctor said.",
		}
	case roster.Cleared, roster.Resume:
		if a.Arrival != roster.Here {
			return []string{by + " has noted that you may begin. Where you begin, your coach says next; nothing is planned until then."}
		}
		return session(t, by+" has noted that you may run again.", "You go on with ")
	}
	phase := wording.PhaseNamed(t.Shelf, a.Phase)
	switch d.Choice {
	case "":
		return session(t, by+" has read your answers and takes you in: you begin with "+phase+".", "Your sessions: ")
	case roster.MoveUp:
		return session(t, by+" has moved you up to "+phase+".", "From your next session on: ")
	case roster.HalfStep:
		return session(t, by+" has put a step in between, so that the next one comes easier.", "From your next session on: ")
	case roster.EaseBack:
		return session(t, by+" has made the next sessions a little easier: "+phase+".", "From your next session on: ")
	}
	return session(t, "Same again this week.", "Your sessions: ")
}

// session adds what is trained to the first line.
func session(t *decide.Told, first, before string) []string {
	if len(t.Plan) == 0 {
		return []string{first}
	}
	return []string{first, before + pathway.Words(t.Plan) + "."}
}

// decidedAfter is what is said where something can hurt.
func decidedAfter(t *decide.Told) []string {
	switch t.Decision.Choice {
	case roster.Refer:
		return []string{"If you feel unwell right now: stop, sit down, and call the local emergency number.", wording.NoAdvice}
	case roster.Pause:
		return []string{"If anything worries you, ask a doctor, and tell your coach. " + wording.NoAdvice}
	case roster.Cleared, roster.Resume:
		if t.Decision.Clearance.Limits != "" {
			return []string{"What you were asked to keep to stands on your first page.", "If anything hurts, stop and say so there."}
		}
		return []string{"If anything hurts, stop and say so on your first page."}
	}
	return nil
}
