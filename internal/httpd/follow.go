package httpd

import (
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// followed is the plan of the present week and the next beside what Today says.
type followed struct {
	weeks []days.Week
	next  *days.Session // the next session of the pathway; nil: the plan has none
}

// follow lets the next session be that of the plan, where there is one: its date, and
// how many of this week are done. Where nothing is prescribed it changes nothing.
func (s *server) follow(r *http.Request, b subject, t *entry.Today) (*followed, error) {
	if t.Way > entry.OnLeave {
		return &followed{}, nil
	}
	weeks, err := s.Days.Course(r.Context(), actorOf(r), b.id, 0, 2)
	if err != nil {
		return nil, err
	}
	f := &followed{weeks: weeks, next: days.Next(weeks)}
	if f.next != nil {
		t.Next, t.Done = f.next.On, weeks[0].Done
	}
	return f, nil
}

// tell says on Today what the plan says, where there is one.
func (f *followed) tell(v *page.Today, t *entry.Today, b subject, d wording.Dates) {
	if len(f.weeks) == 0 || v.Before != nil {
		return
	}
	v.Beside, v.Missed = f.beside(t, d)
	v.Whole = part.Link{Href: b.week(""), Words: "The whole week"}
	if f.next != nil {
		v.Rest, v.Week = f.due(t, d), f.planDays(t, b, d)
	}
}

// due says of the next session whether it is today or when else, with its time of day.
func (f *followed) due(t *entry.Today, d wording.Dates) string {
	when := wording.PartOfDay(f.next.Part)
	if minutes, known := f.next.At.Get(); known {
		when = "at " + d.Minute(minutes) + ", with " + f.next.Group
	}
	if f.next.On == t.Date {
		if when == "" {
			return "Due today."
		}
		return "Due today, " + when + "."
	}
	words := "Next session: " + d.Near(f.next.On, t.Date)
	if when != "" {
		words += ", " + when
	}
	return words + ". Rest is part of it."
}

// beside says what else of the plan matters today: strength, and what became of what
// was missed.
func (f *followed) beside(t *entry.Today, d wording.Dates) (today, missed []string) {
	for _, s := range f.weeks[0].Sessions() {
		switch {
		case s.State == days.Missed && t.Date-s.On <= 2:
			missed = append(missed, s.On.Weekday().String()+"’s "+sessionName(s.Kind)+" "+wording.BecameOf(&s, d, t.Date)+".")
		case s.State == days.Planned && s.On == t.Date && s.Kind >= weekplan.Strength:
			today = append(today, strengthToday(&s, f.next, t))
		}
	}
	return today, missed
}

// sessionName is what Today calls a kind of session.
func sessionName(k weekplan.Kind) string {
	if k >= weekplan.Strength {
		return "strength"
	}
	return "session"
}

func strengthToday(s, next *days.Session, t *entry.Today) string {
	words := "Strength today"
	switch {
	case next != nil && next.On == t.Date && next.Part == s.Part:
		words += ", after the run"
	case s.Part != weekplan.Any:
		words += ", " + wording.PartOfDay(s.Part)
	}
	return words + "."
}

// planDays are the sessions of the week as it is planned: done ones, and when the
// others are.
func (f *followed) planDays(t *entry.Today, b subject, d wording.Dates) []page.WeekDay {
	var list []page.WeekDay
	for _, s := range f.weeks[0].Sessions() {
		switch {
		case s.State == days.Done && s.Kind <= weekplan.Walk && s.Log.Exposure():
			list = append(list, doneDay(s.Log, t, b, d))
		case s.State == days.Planned && s.Kind <= weekplan.Walk:
			list = append(list, page.WeekDay{
				Day: wording.DayAndPart(wording.Capital(d.Near(s.On, t.Date)), s.Part), What: pathway.Words(t.Plan), Strip: planStrip(t.Plan, part.Small),
			})
		}
	}
	return list
}

// doneDay is one session that is done.
func doneDay(s *roster.Session, t *entry.Today, b subject, d wording.Dates) page.WeekDay {
	what := wording.Session(s)
	if effort, told := s.Effort.Get(); told {
		what += ", effort " + strconv.Itoa(effort)
	}
	return page.WeekDay{
		Day: wording.Capital(d.Near(s.Date, t.Date)), What: what,
		Strip: sessionStrip(s, &t.Shelf.Pathway, d, t.Date, part.Small), Href: b.session(s.ID, ""),
	}
}
