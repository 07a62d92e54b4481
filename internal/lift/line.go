package lift

import (
	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

// line is what to do at one place of the session. An easier or harder form that the rule
// leads to takes the place of the exercise, and keeps it until the rule leads on from
// there.
func (t *Today) line(slot *strength.Slot, taken map[string]bool) Line {
	planned, _ := t.Library.Find(slot.Exercise)
	c := t.caseOf(t.standing(&planned, taken), &planned, slot.Target)
	next := strength.Progress(c)
	line := Line{Exercise: c.Exercise, For: planned.ID, Target: c.Target, Next: next, Words: next.Words(c)}
	if form, known := t.Library.Find(next.Form); known && !taken[form.ID] {
		on := t.caseOf(form, &planned, slot.Target)
		line.Exercise, line.Target, line.Next = form, on.Target, steady(on)
		line.Words += " " + line.Next.Words(on)
		if next.Move == strength.ComeBack {
			line.Next.Target.Sets = min(line.Next.Target.Sets, next.Target.Sets)
		}
	}
	taken[line.Exercise.ID] = true
	line.Count = count(&line, t.Lifted)
	line.Last = last(t.Lifted, line.Exercise.ID)
	return line
}

// standing is the form that was done last in the place of the exercise, where it still
// can be.
func (t *Today) standing(planned *strength.Exercise, taken map[string]bool) strength.Exercise {
	for i := range t.Lifted {
		for _, l := range t.Lifted[i].Lifts {
			if l.For != planned.ID || t.Lifted[i].Date > t.Date {
				continue
			}
			e, known := t.Library.Find(l.Exercise)
			if !known || e.ID != planned.ID && taken[e.ID] || t.now.Fits(&e) != nil {
				return *planned
			}
			return e
		}
	}
	return *planned
}

// caseOf is everything that says with how much to go on. Seconds and repetitions do not
// carry over from one form to another.
func (t *Today) caseOf(e strength.Exercise, planned *strength.Exercise, target strength.Target) *strength.Case {
	if (e.Measure == strength.Hold) != (planned.Measure == strength.Hold) {
		sets := target.Sets
		if target = strength.Beginner(); e.Measure == strength.Hold {
			target = strength.BeginnerHold()
		}
		target.Sets = sets
	}
	return &strength.Case{
		Exercise: e, Target: target, History: history(t.Lifted, &e), Rack: t.Kit.Rack, Now: t.now, Library: t.Library, AsOf: t.Date,
	}
}

// steady is with how much to go on with a form that the rule has just led to: what was
// once too hard, or too easy, of it is tried again and leads nowhere else by itself.
func steady(c *strength.Case) strength.Next {
	next := strength.Progress(c)
	if next.Move == strength.HarderForm || next.Move == strength.EasierForm {
		next = strength.Next{Move: strength.Repeat, Why: strength.InRange, Grams: next.Grams, Target: next.Target}
	}
	next.Form = ""
	return next
}

// history is what was done of the exercise. What hurt then is known by the pain of that
// session at a place that the exercise loads. That of 3 or more no longer swaps it out
// once it is not among what hurts at present; the weight waits all the same.
func history(lifted []roster.Lifted, e *strength.Exercise) []strength.Done {
	var done []strength.Done
	for i := range lifted {
		for _, l := range lifted[i].Lifts {
			if l.Exercise == e.ID {
				pain := min(painAt(lifted[i].Pain, e.Loads), body.Hold-1)
				done = append(done, strength.Done{Date: lifted[i].Date, Grams: l.Grams, Reps: l.Sets, Reserve: l.Reserve, Pain: pain})
			}
		}
	}
	return done
}

// painAt is the highest score at one of the places.
func painAt(pains []readiness.Pain, places body.Site) int {
	highest := 0
	for _, p := range pains {
		if body.SiteOf(p.Site)&places != 0 {
			highest = max(highest, int(p.Score), p.NextMorning.Or(0))
		}
	}
	return highest
}

// last is what was done of the exercise the last time.
func last(lifted []roster.Lifted, id string) *Done {
	for i := range lifted {
		for _, l := range lifted[i].Lifts {
			if l.Exercise == id && len(l.Sets) > 0 {
				return &Done{Date: lifted[i].Date, Lift: l}
			}
		}
	}
	return nil
}

// holdStep is what is added at once to what is held, in seconds (ours).
const holdStep = 5

// count is what to fill in for each set: one more than the weakest set of the last time
// until the top of the range is beaten, the bottom of it where something new begins, and
// the same where the rule says so.
func count(l *Line, lifted []roster.Lifted) int {
	step, t := 1, l.Next.Target
	if l.Exercise.Measure == strength.Hold {
		step = holdStep
	}
	was := last(lifted, l.Exercise.ID)
	if was == nil {
		return t.Low
	}
	weakest := was.Sets[0]
	for _, n := range was.Sets {
		weakest = min(weakest, n)
	}
	switch {
	case l.Next.Move == strength.Longer, l.Next.Move == strength.Repeat && l.Next.Why == strength.InRange:
		return min(max(weakest+step, t.Low), t.High+step)
	case l.Next.Move == strength.Repeat && l.Next.Why != strength.UnderRange:
		return min(max(weakest, t.Low), t.High+step)
	}
	return t.Low
}
