package httpd

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// weekdayOf is the day of the week of its number, Monday being 1 and Sunday 7.
func weekdayOf(n int) time.Weekday { return time.Weekday(n % 7) }

// list is the week as seven rows.
func (v *weekView) list() page.WeekList {
	w, present := &v.w, weekplan.Monday(v.w.Today)
	l := page.WeekList{
		Title:  weekTitle(w.Monday, present, v.d, w.Today),
		Sub:    wording.Capital(v.d.Span(w.Monday, w.Monday+6, w.Today)),
		Closed: v.closed(),
		Leave:  v.mondayQuery(0),
	}
	switch {
	case w.Past():
		l.Sub += ", " + wording.Number(w.Done) + " done"
	case w.Open() && w.Of > 0 && w.Monday == present:
		l.Sub += ", " + strconv.Itoa(min(w.Done, w.Of)) + " of " + strconv.Itoa(w.Of) + " done"
	}
	if w.Monday > present-7*days.MostBack {
		l.Before = part.Link{Href: v.mondayQuery(-1), Words: turnWords(w.Monday-7, present, "The week before")}
	}
	if w.Monday < present+7*days.MostAhead {
		l.After = part.Link{Href: v.mondayQuery(1), Words: turnWords(w.Monday+7, present, "The week after")}
	}
	l.Told = v.told()
	if v.moving != nil {
		l.Moving = "Where should " + v.moving.On.Weekday().String() + "’s " + wording.PlannedKind(v.moving.Kind) + " go?"
	}
	for i := range w.Days {
		l.Rows = append(l.Rows, v.row(&w.Days[i]))
	}
	return l
}

// weekTitle is "This week", "Next week", or the week with its dates.
func weekTitle(monday, present day.Date, d wording.Dates, today day.Date) string {
	switch monday {
	case present:
		return "This week"
	case present + 7:
		return "Next week"
	case present - 7:
		return "Last week"
	}
	return "The week of " + d.Day(monday, today)
}

func turnWords(monday, present day.Date, other string) string {
	switch monday {
	case present:
		return "This week"
	case present + 7:
		return "Next week"
	case present - 7:
		return "Last week"
	}
	return other
}

// closed says why nothing is planned. A coach reads no reason of health here: the
// athlete's page has it for those who may.
func (v *weekView) closed() []string {
	switch {
	case v.w.Open():
		return nil
	case !v.b.byCoach():
		if words := wayWords(v.w.Way); words != "" {
			return []string{words}
		}
	}
	return []string{closedWords(v.w.Way)}
}

// closedWords say to a coach that nothing is planned, without a reason of health.
func closedWords(way roster.Way) string {
	switch way {
	case roster.WayIll, roster.WayHurt:
		return "Away, so nothing is planned."
	case roster.WayInvited, roster.WayAnswered, roster.WayClearance, roster.WayWithdrawn:
		return "Not here yet, so nothing is planned."
	}
	return "Nothing is planned until running begins again."
}

// told is what to know about the week: what gives way, which fixed day is not kept,
// what finds no day.
func (v *weekView) told() []string {
	var list []string
	add := func(words string) {
		if words != "" && !slices.Contains(list, words) {
			list = append(list, words)
		}
	}
	for _, c := range v.w.Compromises {
		add(wording.GivesWay(c, &v.w))
	}
	for _, y := range v.w.Yielded {
		add(wording.NotKept(y))
	}
	for _, u := range v.w.Unplaced {
		add(wording.HasNoDay(u))
	}
	return list
}

func (v *weekView) row(d *days.Day) page.WeekRow {
	r := page.WeekRow{ID: dayID(d.On), Day: d.On.Weekday().String(), Date: v.d.Day(d.On, v.w.Today), Today: d.On == v.w.Today, Quiet: quietWords(d, &v.w)}
	for i := range d.Sessions {
		r.Items = append(r.Items, v.item(&d.Sessions[i], d))
	}
	if v.moving != nil {
		r.Place = v.place(d.On)
	}
	return r
}

// quietWords say what a day without a session is.
func quietWords(d *days.Day, w *days.Week) string {
	switch d.Off {
	case days.Away:
		return "away"
	case days.OnHoliday:
		return d.Holiday
	case days.NotYet:
		return "before the beginning"
	case days.Held:
		return "nothing planned"
	}
	if d.On < w.Today {
		return "nothing"
	}
	return "rest"
}

// item is one session of a day.
func (v *weekView) item(s *days.Session, d *days.Day) page.WeekItem {
	one := page.WeekItem{What: v.what(s), When: v.when(s, d)}
	switch s.State {
	case days.Done:
		one.When = wentWords(s.Log)
		if name, how, more := strings.Cut(one.When, ", "); more && s.Log.Kind != readiness.Planned {
			one.What, one.When = wording.Capital(name), how
		}
		if s.Kind != weekplan.Other || s.Log.Kind == readiness.Extra {
			strip := sessionStrip(s.Log, &v.w.Shelf.Pathway, v.d, v.w.Today, part.Medium)
			one.Strip = &strip
		}
		one.Look = part.Link{Href: v.b.session(s.Log.ID, ""), Words: "the session of " + s.On.Weekday().String()}
	case days.Missed:
		one.Over, one.When = true, ""
		one.Note = missedNote(s, v.d, v.w.Today)
	case days.Planned:
		if s.Kind <= weekplan.Walk {
			strip := planStrip(v.w.Blocks, part.Medium)
			one.Strip = &strip
		}
		if s.On == v.w.Today && (s.Kind == weekplan.Strength || s.Kind == weekplan.Legs) && !v.b.byCoach() {
			one.Do = part.Link{Href: v.b.lifting(), Words: "To the exercises"}
		}
		if s.Pin.ID != 0 && s.Pin.ByCoach != 0 && !v.b.byCoach() {
			one.Note = "Fixed by your coach."
		}
	}
	if movable(s) && v.moving == nil && !v.w.Past() {
		one.Move = part.Link{
			Href:  v.b.week("?monday=" + v.w.Monday.String() + "&move=" + kindNames[min(s.Kind, weekplan.Legs)] + "&from=" + s.On.String() + "#moving"),
			Words: s.On.Weekday().String() + "’s " + wording.PlannedKind(s.Kind),
		}
	}
	one.Here = v.moving != nil && v.moving.On == s.On && v.moving.Kind == s.Kind && movable(s)
	return one
}

// wentWords say how a session went.
func wentWords(s *roster.Session) string {
	words := wording.Session(s)
	if effort, told := s.Effort.Get(); told {
		words += ", effort " + strconv.Itoa(effort)
	}
	return words
}

// missedNote says at its day what became of a session that was missed.
func missedNote(s *days.Session, d wording.Dates, today day.Date) string {
	switch {
	case s.Now == 0:
		return "Not done, and let go. Nothing is piled up."
	case s.Made:
		return "Done " + d.When(s.Now, today) + " instead."
	}
	return "Not done; it " + wording.BecameOf(s, d, today) + "."
}

// what says which session it is.
func (v *weekView) what(s *days.Session) string {
	switch {
	case s.State == days.Done && s.Log.Kind == readiness.Other:
		return "Other training"
	case s.State == days.Done && s.Kind <= weekplan.Walk:
		return "Done"
	case s.Kind == weekplan.Strength:
		return "Strength"
	case s.Kind == weekplan.Legs:
		return "Strength, legs too"
	}
	if s.State == days.Missed || len(v.w.Blocks) == 0 {
		return wording.Capital(wording.PlannedKind(s.Kind))
	}
	return wording.Capital(pathway.Words(v.w.Blocks))
}

// when says at which time of the day: with the group, or in which part, and that
// strength comes after the run.
func (v *weekView) when(s *days.Session, d *days.Day) string {
	if minutes, known := s.At.Get(); known {
		return v.d.Minute(minutes) + " with " + s.Group
	}
	for _, o := range d.Sessions {
		if s.Kind >= weekplan.Strength && o.Kind <= weekplan.Walk && o.State == days.Planned && o.Part == s.Part {
			return wording.PartOfDay(s.Part) + ", after the run"
		}
	}
	return wording.PartOfDay(s.Part)
}

// place is a day as the place to which the session is moved.
func (v *weekView) place(on day.Date) *page.WeekPlace {
	i := int(on - v.w.Monday)
	c, s := v.places[i], v.moving
	fields := []part.Hidden{{Name: "key", Value: string(v.key) + itoa(i)}, {Name: "kind", Value: kindNames[min(s.Kind, weekplan.Legs)]}, {Name: "from", Value: s.On.String()}, {Name: "to", Value: on.String()}}
	if on == s.On {
		if s.State != days.Planned {
			return nil
		}
		return &page.WeekPlace{Action: v.b.week("/move"), Fields: fields, Parts: partsOf(s, on == v.w.Today, v.w.Days[i].Times)}
	}
	if v.holdsLike(i) && v.tried != on {
		return &page.WeekPlace{Refused: "There is one that day already."}
	}
	p := &page.WeekPlace{Action: v.b.week("/move"), Fields: fields, Button: "Move it here", Costs: v.costs(&c)}
	if c.Refused != weekplan.NoRule {
		p.Refused = wording.Capital(wording.Hinders(c.Refused)) + "."
		if !c.Insist {
			p.Action = ""
		} else {
			p.Fields = append(p.Fields, part.Hidden{Name: "insist", Value: "1"})
			p.Quiet, p.Button = true, "Move it here all the same"
		}
	}
	if v.tried == on {
		p.Refused, p.Action, p.Quiet = v.why, "", true
	}
	return p
}

// holdsLike says whether there is such a session on the day, so that moving would
// change nothing but places.
func (v *weekView) holdsLike(i int) bool {
	return slices.ContainsFunc(v.w.Days[i].Sessions, func(o days.Session) bool { return o.State == days.Planned && o.Kind == v.moving.Kind })
}

// partsOf are the other times of its day that a session may be at.
func partsOf(s *days.Session, _ bool, times weekplan.Times) []part.Option {
	var list []part.Option
	for p := weekplan.Morning; p <= weekplan.Evening; p++ {
		if p != s.Part && times.Has(p) {
			list = append(list, part.Option{Value: partNames[p], Words: wording.Capital(wording.PartOfDay(p))})
		}
	}
	return list
}

// costs say what would give way and what else would be moved.
func (v *weekView) costs(c *days.Choice) []string {
	var list []string
	for _, o := range c.Costs {
		list = append(list, wording.GivesWay(o, nil))
	}
	for i, x := range c.Changes {
		if i == 0 || x.From == x.To {
			continue
		}
		kind := wording.PlannedKind(x.Kind)
		switch {
		case x.From == 0:
			list = append(list, "One more "+kind+" fits, on "+x.To.Weekday().String()+".")
		case x.To == 0:
			list = append(list, x.From.Weekday().String()+"’s "+kind+" is left out.")
		default:
			list = append(list, x.From.Weekday().String()+"’s "+kind+" goes to "+x.To.Weekday().String()+".")
		}
	}
	return list
}
