package httpd

import (
	"net/http"
	"slices"
	"strconv"

	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// strengthPage is an athlete's strength training, for coaches.
func (s *server) strengthPage(w http.ResponseWriter, r *http.Request) error {
	b, t, err := s.lifts(r)
	if err != nil {
		return err
	}
	d, who := datesFor(r), actorOf(r)
	v := page.Strength{
		Desk: s.desk(r, "Strength of "+t.Athlete.Name, part.InRoster), Name: t.Athlete.Name, Back: b.base, Purpose: purposeWords,
		Kit: kitWords(&t.Kit), KitHref: b.base + strengthAt + "/gear", Library: exercisesAt,
		Courses: coursesOf(&t, d),
	}
	v.Desk.Loads = []string{part.LiftStyle}
	if t.Has() {
		v.Given = givenWords(&t, d)
		v.LogHref = b.lifting()
		v.Sessions = sessionsOf(&t)
		todayOf(&v, &t, who.Deputy)
	}
	if !who.Deputy {
		v.EditHref = b.base + strengthAt + "/programme"
		for _, one := range lift.Templates() {
			v.Templates = append(v.Templates, part.Link{Href: v.EditHref + "?from=" + one.Name, Words: one.Words})
		}
	}
	return s.page(w, r, http.StatusOK, page.StrengthPage(v))
}

// todayOf says what of the programme does not fit today; a deputy reads no reason of
// health.
func todayOf(v *page.Strength, t *lift.Today, deputy bool) {
	if stop := liftStop(t); stop != nil {
		v.Stop = stop.Title + "."
		return
	}
	for _, w := range t.Swaps {
		words := w.Words
		if deputy {
			words = w.Guarded
		}
		v.Swaps = append(v.Swaps, words)
	}
	if !deputy {
		v.Warn = t.Need.Words()
		if t.Way == lift.WithCare {
			v.Swaps = append(v.Swaps, "Running is paused, or an injury is noted: please say which of these are right for now.")
		}
	}
}

// givenWords say whose programme it is: "3 sessions a week, given by Mara on 3 March".
func givenWords(t *lift.Today, d wording.Dates) string {
	p := &t.Program
	return wording.Capital(wording.Count(p.AWeek, "session", "sessions")) + " a week, given by " + p.By + " " + d.When(t.Athlete.Today(p.At), t.Date)
}

// sessionsOf are the programme's sessions, the next one with its numbers.
func sessionsOf(t *lift.Today) []page.StrengthSession {
	var all []page.StrengthSession
	for i := range t.Program.Sessions {
		one := &t.Program.Sessions[i]
		v := page.StrengthSession{
			Name: "Session " + one.Name, Next: one.Name == t.Turn,
			About: countWords(len(one.Slots), "exercise") + ", about " + minutesShort(one.Minutes(t.Library)),
		}
		for _, slot := range one.Slots {
			e, known := t.Known.Find(slot.Exercise)
			if !known {
				e.Name = "An exercise of before"
			}
			line := page.StrengthLine{Name: e.Name, Target: slot.Target.Words(&e)}
			if v.Next {
				line.Next = nextWords(t, slot.Exercise)
			}
			v.Lines = append(v.Lines, line)
		}
		all = append(all, v)
	}
	return all
}

// nextWords are the numbers of an exercise of the next session, by the programme's own
// name for its place.
func nextWords(t *lift.Today, id string) string {
	for i := range t.Lines {
		l := &t.Lines[i]
		if l.For != id {
			continue
		}
		words := goalWords(l)
		if l.Exercise.ID != id {
			words = l.Exercise.Name + ": " + words
		}
		if l.Last != nil {
			words += "; last " + setsWords(&l.Last.Lift, &l.Exercise)
		}
		return words
	}
	return ""
}

// mostPoints is how many sessions a picture of a course shows.
const mostPoints = 24

// coursesOf are the courses of the exercises, that of the newest session first.
func coursesOf(t *lift.Today, d wording.Dates) []part.Lifts {
	var ids []string
	for i := range t.Lifted {
		for _, l := range t.Lifted[i].Lifts {
			if !slices.Contains(ids, l.Exercise) {
				ids = append(ids, l.Exercise)
			}
		}
	}
	var all []part.Lifts
	for _, id := range ids {
		e, known := t.Known.Find(id)
		if !known {
			e.Name = "An exercise of before"
		}
		all = append(all, courseOf(&e, id, t, d))
	}
	return all
}

// courseOf is the course of one exercise: the weight where one was lifted, else the
// weakest set.
func courseOf(e *strength.Exercise, id string, t *lift.Today, d wording.Dates) part.Lifts {
	c := part.Lifts{Name: e.Name, Unit: "Weakest set, " + unitWords(e)}
	var newest *roster.Lift
	for i := range t.Lifted {
		for n := range t.Lifted[i].Lifts {
			l := &t.Lifted[i].Lifts[n]
			if l.Exercise != id || len(l.Sets) == 0 || len(c.Points) == mostPoints {
				continue
			}
			if newest == nil {
				newest = l
			}
			height := slices.Min(l.Sets)
			if newest.Grams > 0 {
				height = l.Grams
			}
			c.Points = append(c.Points, part.Lifted{Date: d.Day(t.Lifted[i].Date, t.Date), Height: height, Text: setsWords(l, e)})
		}
	}
	slices.Reverse(c.Points)
	top := 0
	for _, p := range c.Points {
		top = max(top, p.Height)
	}
	c.Top = strconv.Itoa(top)
	if newest != nil && newest.Grams > 0 {
		c.Unit, c.Top = "Weight of one dumbbell", strength.Kilograms(top)
	}
	c.Last = c.Points[len(c.Points)-1].Text
	c.Label = e.Name + " in " + countWords(len(c.Points), "session") + ". First " + c.Points[0].Text + "; last " + c.Last + "."
	return c
}
