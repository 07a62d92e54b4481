package httpd

import (
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// paperWeek is a week as it was printed, with what is stored of it.
type paperWeek struct {
	b       subject
	week    days.Week // as it is now
	printed []days.Session
	done    []*roster.Session // of each that was printed; nil: not done
}

func (s *server) paperWeek(r *http.Request) (*paperWeek, error) {
	b, err := subjectOf(r)
	if err != nil {
		return nil, err
	}
	monday, err := mondayIn(r.URL.Query().Get("monday"))
	if err != nil {
		return nil, err
	}
	v := &paperWeek{b: b}
	if v.week, err = s.Days.Week(r.Context(), actorOf(r), b.id, monday); err != nil {
		return nil, err
	}
	outset, err := s.Days.Outset(r.Context(), actorOf(r), b.id, v.week.Monday)
	if err != nil {
		return nil, err
	}
	for _, one := range outset.Sessions() {
		if one.State != days.Missed && (one.State == days.Planned || counts(&one)) {
			v.printed = append(v.printed, one)
		}
	}
	v.done = paired(v.printed, v.week.Sessions())
	return v, nil
}

// enterWeekPage is the printed boxes as a form.
func (s *server) enterWeekPage(w http.ResponseWriter, r *http.Request) error {
	v, err := s.paperWeek(r)
	if err != nil {
		return err
	}
	return s.showWeekForm(w, r, http.StatusOK, v, &form{})
}

// enterWeek stores each row that is filled in as a session of its own, with its own
// key. What is wrong in one row keeps no other from being stored.
func (s *server) enterWeek(w http.ResponseWriter, r *http.Request) error {
	b, err := s.weekOwner(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	stop := ""
	for i := range mostPrinted {
		at := rowAt(i)
		if f.text(at+"done") == "" {
			continue
		}
		result, err := s.Entry.Log(r.Context(), actorOf(r), b.id, rowEntry(f, at))
		fields := fault.FieldsOf(err)
		for _, field := range fields {
			f.wrong(at+rowField(field.Place), field.Message)
		}
		if err != nil && len(fields) == 0 {
			return err
		}
		if err == nil && (result.Stop || result.Bone || result.Hurt) {
			stop = b.session(result.ID, "/stopped")
		}
	}
	switch {
	case len(f.faults) > 0:
		v, err := s.paperWeek(r)
		if err != nil {
			return err
		}
		return s.showWeekForm(w, r, http.StatusUnprocessableEntity, v, f)
	case stop != "":
		s.redirect(w, r, stop)
		return nil
	}
	s.redirect(w, r, b.week("/enter?monday="+r.URL.Query().Get("monday")+"&said=week-entered"))
	return nil
}

// mostPrinted is more sessions than any week has.
const mostPrinted = 2 * (weekplan.MostSessions + weekplan.MostStrength)

func rowAt(i int) string { return "rows[" + strconv.Itoa(i) + "]." }

// rowEntry reads a row. What cannot be read is refused with the rest of it.
func rowEntry(f *form, at string) entry.Entry {
	row := &form{values: f.values}
	e := entry.Entry{
		Key: roster.Key(row.text(at + "key")), Date: row.date(at + "date"), Effort: row.maybe(at + "effort"),
		Minutes: row.maybe(at + "minutes"), Kind: readiness.Planned,
	}
	e.Talk, _ = readiness.ParseTalk(row.text(at + "talk"))
	e.Breath, _ = readiness.ParseBreath(row.text(at + "breath"))
	if row.text(at+"kind") == "strength" {
		e.Kind = readiness.Strength
	} else {
		e.Phase = row.text(at + "phase")
	}
	switch became := row.text(at + "done"); {
	case e.Kind == readiness.Strength && became == "not":
		row.wrong(at+"done", "strength that was not done needs no entry; leave it open")
	case e.Kind == readiness.Strength:
	case became == "all":
		e.Whole, e.Minutes = true, readiness.Maybe{}
	case became == "part":
		e.Outcome = readiness.Shortened
	default:
		e.Outcome, e.Minutes = readiness.Missed, readiness.Maybe{}
	}
	score, told := row.maybe(at + "score").Get()
	switch row.text(at + "pain") {
	case "none":
		e.PainAsked = true
	case "some":
		if !told || row.text(at+"site") == "" {
			row.wrong(at+"site", "please say where it hurt, and how much")
			break
		}
		e.PainAsked = true
		e.Pain = []readiness.Pain{{Site: row.text(at + "site"), Score: int8(min(max(score, -1), 11))}}
	}
	for _, field := range row.faults {
		e.Unread = append(e.Unread, fault.Field{Place: field.Place[len(at):], Message: field.Message})
	}
	return e
}

// rowField is the field of the row for a place in the entry.
func rowField(place string) string {
	switch place {
	case "pain[0].site":
		return "site"
	case "pain[0].score":
		return "score"
	case "outcome", "phase", "blocks":
		return "done"
	case "time", "clock":
		return "date"
	case "done", "date", "minutes", "effort", "talk", "breath", "pain", "site", "score":
		return place
	}
	return "row"
}

func (s *server) showWeekForm(w http.ResponseWriter, r *http.Request, status int, v *paperWeek, f *form) error {
	d, name := datesFor(r), v.week.Athlete.Name
	at := v.b.week("/enter?monday=" + v.week.Monday.String())
	p := page.WeekForm{
		Desk: s.desk(r, "Enter the week of "+name, part.InWeeks), Name: name, Href: v.b.week("?monday=" + v.week.Monday.String()), Action: at,
		Sub:   wording.Capital(d.Span(v.week.Monday, v.week.Monday+6, v.week.Today)),
		Print: part.Link{Href: v.b.week("/print?monday=" + v.week.Monday.String()), Words: "Print the week"},
		Whole: part.Link{Href: v.b.log("planned"), Words: "The whole form for one session"},
	}
	if len(v.printed) == 0 {
		p.Quiet = "Nothing was planned in this week. Use the whole form for what was done."
	}
	for i := range v.printed {
		row, err := s.weekFormRow(v, i, f, d)
		if err != nil {
			return err
		}
		p.Rows = append(p.Rows, row)
		for _, field := range f.faults {
			if len(field.Place) > len(row.At) && field.Place[:len(row.At)] == row.At {
				p.Mistakes = append(p.Mistakes, part.Mistake{Field: field.Place, Words: row.Title + ": " + sentence(field.Message)})
			}
		}
	}
	return s.page(w, r, status, page.WeekFormPage(p))
}

// weekFormRow is one session of the form: stored, still to come, or to be filled in.
func (s *server) weekFormRow(v *paperWeek, i int, f *form, d wording.Dates) (page.WeekFormRow, error) {
	one, at, today := &v.printed[i], rowAt(i), v.week.Today
	row := page.WeekFormRow{
		At: at, Title: dayWords(one.On, d, today) + ": " + trainingWords(one), Runs: one.Kind < weekplan.Strength, Kind: "planned",
		Date: one.On.String(), From: v.week.Monday.String(), To: min(today, v.week.Monday+6).String(), Errors: part.Errors{},
	}
	if !row.Runs {
		row.Kind = "strength"
	} else if w := &v.week; w.Shelf != nil { // the plan of that day, whatever it is now
		row.Phase = w.Days[one.On-w.Monday].Phase
		if rung := w.Shelf.Find(row.Phase); rung != pathway.NoRung {
			row.Plan = row.Phase + ": " + pathway.Words(w.Shelf.Blocks(rung)) + "."
		}
	}
	switch log := v.done[i]; {
	case log != nil:
		row.Done = "Stored: " + wentWords(log) + "."
		row.Look = part.Link{Href: v.b.session(log.ID, ""), Words: "Look at it"}
		return row, nil
	case one.On > today:
		row.Later = "Still to come."
		return row, nil
	}
	if row.Key = f.text(at + "key"); row.Key != "" {
		row.Date = f.text(at + "date")
		row.Became, row.Minutes, row.Effort, row.Talk = f.text(at+"done"), f.text(at+"minutes"), f.text(at+"effort"), f.text(at+"talk")
		row.Breath, row.Pain, row.Site, row.Score = f.text(at+"breath"), f.text(at+"pain"), f.text(at+"site"), f.text(at+"score")
		for name, words := range f.errors() {
			if len(name) > len(at) && name[:len(at)] == at {
				row.Errors[name[len(at):]] = words
			}
		}
		return row, nil
	}
	key, err := s.newKey()
	row.Key = string(key)
	return row, err
}
