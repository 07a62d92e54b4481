package mail

import (
	"context"
	"strconv"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/letter"
)

// atOnce tells a coach that somebody reported what stops running: of which kind, and
// what to do first. Where and how much it hurts stays on the athlete's page.
func (h *Hearing) atOnce(ctx context.Context, l *post.Letter) (letter.Note, error) {
	r, err := h.Readers.Reader(ctx, l.Club.ID, l.Coach)
	if err != nil {
		return letter.Note{}, moot(err)
	}
	a, err := h.Entry.Athlete(ctx, r.Actor(), l.Athlete)
	if err != nil {
		return letter.Note{}, moot(err)
	}
	if l.Alarm.Has(roster.AlarmAnswers) && r.Coach.Deputy {
		return letter.Note{}, post.ErrMoot // became one meanwhile
	}
	name := a.Name
	if d := r.Wishes.Detail; d != roster.Names && d != roster.Reasons {
		name = initials(name)
	}
	f := when(&post.Mail{Letter: *l}, l.MadeAt)
	lines := []string{name + " has told of " + alarmWords(l.Alarm) + " (" + f + ").", saidAlready(l.Alarm)}
	if l.By != "" {
		lines = []string{l.By + " has noted for " + name + ": " + alarmWords(l.Alarm) + " (" + f + ").", "Please make sure that they know: no running until it was looked at. Their first page says so too."}
	}
	return letter.Note{
		Title: "Please look at once: something that stops running", Lines: lines,
		Button: letter.Link{Words: "Open the page", Href: h.Here + "/athletes/" + strconv.FormatInt(int64(l.Athlete), 10)},
		After:  []string{"What to do first: open the page, read what was told, and call them.", wording.NoAdvice},
		Foot:   "You get this because you coach at " + l.Club.Name + " and want to hear at once. Where and how much it hurts stands on the page alone: mail is read by more machines than one. Sent from " + h.Here + ".",
		Stop:   letter.Link{Words: "Get no such letters any more"},
	}, nil
}

// moot is what there is nothing to say about where somebody is not there any more.
func moot(err error) error {
	if fault.KindOf(err) == fault.NotFound {
		return post.ErrMoot
	}
	return err
}

// alarmWords say what was told, by kind alone, the most careful first.
func alarmWords(a roster.Alarm) string {
	var kinds []string
	for _, k := range []struct {
		alarm roster.Alarm
		words string
	}{
		{roster.AlarmSign, "a warning sign"}, {roster.AlarmBone, "pain that may come from a bone"}, {roster.AlarmPain, "pain that stops running"},
		{roster.AlarmAnswers, "something in the health questions that a doctor should look at first"},
	} {
		if a.Has(k.alarm) {
			kinds = append(kinds, k.words)
		}
	}
	words := kinds[0]
	for _, k := range kinds[1:] {
		words += ", and " + k
	}
	return words
}

// saidAlready is what the athlete was told at that moment.
func saidAlready(a roster.Alarm) string {
	switch {
	case a.Has(roster.AlarmSign):
		return "The app has told them already to stop, not to train, to have it looked at, and to call the emergency number if it is felt now. Nothing is planned until you record a clearance."
	case a.Has(roster.AlarmBone):
		return "The app has told them already not to run, and that somebody qualified should look at it first. Nothing is planned until you record a clearance."
	case a.Has(roster.AlarmPain):
		return "The app has told them already that running is paused until you say so; nothing to run is shown until then."
	}
	return "The app has told them already to ask a doctor first. Nothing is planned until a clearance is recorded."
}
