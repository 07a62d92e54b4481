package httpd

import (
	"net/http"
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// noPhone is what an address calls those as whom nobody is signed in.
const noPhone = "no-phone"

// printWeek is an athlete's week to be printed.
func (s *server) printWeek(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	monday, err := mondayIn(r.URL.Query().Get("monday"))
	if err != nil {
		return err
	}
	week, err := s.Days.Week(r.Context(), actorOf(r), b.id, monday)
	if err != nil {
		return err
	}
	v := page.Papers{
		Paper:  part.Paper{Title: "Week on paper: " + week.Athlete.Name, Back: part.Link{Href: b.week("?monday=" + week.Monday.String()), Words: "Back to the week"}},
		Sheets: []page.Sheet{sheetOf(&week, datesFor(r))},
	}
	return s.page(w, r, http.StatusOK, page.PapersPage(v))
}

// printWeeks are those of everybody, of a group, or of all without a phone.
func (s *server) printWeeks(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	monday, err := mondayIn(q.Get("monday"))
	if err != nil {
		return err
	}
	if monday == 0 {
		monday = weekplan.Monday(s.today(r))
	}
	weeks, err := s.Days.Weeks(r.Context(), actorOf(r), monday)
	if err != nil {
		return err
	}
	of := q.Get("group")
	if of == noPhone {
		ids, err := s.Calendar.Phoneless(r.Context(), actorOf(r))
		if err != nil {
			return err
		}
		weeks = slices.DeleteFunc(weeks, func(w days.Week) bool { return !slices.Contains(ids, w.Athlete.ID) })
	} else if of != "" {
		weeks = slices.DeleteFunc(weeks, func(w days.Week) bool { return idText(w.Group.ID) != of })
	}
	v := page.Papers{Paper: part.Paper{Title: "Weeks on paper", Back: part.Link{Href: part.WeeksAt + "?monday=" + monday.String(), Words: "Back to everybody’s week"}}}
	for i := range weeks {
		if weeks[i].Open() {
			v.Sheets = append(v.Sheets, sheetOf(&weeks[i], datesFor(r)))
		}
	}
	if len(v.Sheets) == 0 {
		v.Empty = "There is nobody here for whom anything is planned in this week."
	}
	return s.page(w, r, http.StatusOK, page.PapersPage(v))
}

// sheetOf lays a week out for paper. It says nothing of why nothing is planned: paper
// lies about.
func sheetOf(w *days.Week, d wording.Dates) page.Sheet {
	v := page.Sheet{Name: w.Athlete.Name, Week: wording.Capital(d.Span(w.Monday, w.Monday+6, w.Today))}
	if w.Shelf != nil && len(w.Blocks) > 0 && !w.Past() {
		v.Plan, v.Strip, v.Phase = wording.Capital(pathway.Words(w.Blocks))+".", planStrip(w.Blocks, part.Large), wording.Phase(&w.Shelf.Pathway, w.Rung)
	}
	for _, one := range w.Sessions() {
		if one.State == days.Missed || one.State == days.Done && !counts(&one) {
			continue
		}
		row := page.PaperRow{When: dayWords(one.On, d, w.Today), What: trainingWords(&one), Runs: one.Kind < weekplan.Strength}
		if when := wording.PartOfDay(one.Part); when != "" && one.State == days.Planned {
			row.When += ", " + when
		}
		if minutes, known := one.At.Get(); known {
			row.When += ", " + d.Minute(minutes) + " with " + one.Group
		}
		if one.State == days.Done {
			row.Before = "Already told: " + wentWords(one.Log) + "."
		}
		v.Rows = append(v.Rows, row)
	}
	if len(v.Rows) == 0 {
		v.Quiet = "Nothing is planned in this week."
		if w.Past() {
			v.Quiet = "Nothing was told of this week."
		}
	}
	return v
}

// dayWords are "Tuesday 14 April".
func dayWords(on day.Date, d wording.Dates, today day.Date) string {
	return on.Weekday().String() + " " + d.Day(on, today)
}

// sameTrack says whether what was done is of the kind that was planned.
func sameTrack(done, planned *days.Session) bool {
	return done.State == days.Done && counts(done) && (done.Kind >= weekplan.Strength) == (planned.Kind >= weekplan.Strength)
}

// paired sets what was done in the week against what was printed: on the same day, then
// in order. Nil: not done.
func paired(printed []days.Session, week []days.Session) []*roster.Session {
	out, taken := make([]*roster.Session, len(printed)), make([]bool, len(week))
	for _, sameDay := range []bool{true, false} {
		for i := range printed {
			for n := range week {
				if out[i] == nil && !taken[n] && sameTrack(&week[n], &printed[i]) && (!sameDay || week[n].On == printed[i].On) {
					out[i], taken[n] = week[n].Log, true
				}
			}
		}
	}
	return out
}
