package httpd

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// allWeeks shows everybody's week, or that of one group.
func (s *server) allWeeks(w http.ResponseWriter, r *http.Request) error {
	today, d := s.today(r), datesFor(r)
	monday, err := mondayIn(r.URL.Query().Get("monday"))
	if err != nil {
		return err
	}
	if monday == 0 {
		monday = weekplan.Monday(today)
	}
	weeks, err := s.Days.Weeks(r.Context(), actorOf(r), monday)
	if err != nil {
		return err
	}
	groups, _, err := s.Days.Club(r.Context(), clubOf(r).ID)
	if err != nil {
		return err
	}
	present := weekplan.Monday(today)
	v := page.AllWeeks{Desk: s.desk(r, "Everybody’s week", part.InWeeks), Links: []part.Link{{Href: part.GroupsAt, Words: "Groups and holidays"}}}
	v.Desk.Loads = []string{part.WeekStyle}
	chosen := r.URL.Query().Get("group")
	v.Title = "Everybody’s week"
	for _, g := range groups {
		if idText(g.ID) == chosen {
			weeks, v.Title = days.InGroup(weeks, g.ID), "The week of "+g.Name
		}
	}
	v.Groups = groupLinks(groups, monday, chosen)
	paper := part.WeeksAt + "/print?monday=" + monday.String() + "&group="
	if len(weeks) > 0 {
		v.Links = append(v.Links, part.Link{Href: paper + url.QueryEscape(chosen), Words: "Print these weeks"}, part.Link{Href: paper + noPhone, Words: "Print for those without a phone"})
	}
	v.Sub = wording.Capital(d.Span(monday, monday+6, today)) + ", " + wording.Count(len(weeks), "athlete", "athletes")
	at := func(m day.Date) string { return part.WeeksAt + "?monday=" + m.String() + "&group=" + chosen }
	if monday > present-7*(days.MostBack-1) {
		v.Before = part.Link{Href: at(monday - 7), Words: turnWords(monday-7, present, "The week before")}
	}
	if monday < present+7*(days.MostAhead-1) {
		v.After = part.Link{Href: at(monday + 7), Words: turnWords(monday+7, present, "The week after")}
	}
	if len(weeks) == 0 {
		v.Empty = "Nobody is here yet."
	}
	v.Days, v.Closed = byDay(weeks, monday, today, d), closedNames(weeks)
	return s.page(w, r, http.StatusOK, page.AllWeeksPage(v))
}

// groupLinks lead to the weeks of each group; nothing in a club without groups.
func groupLinks(groups []roster.Group, monday day.Date, chosen string) []page.WeekGroup {
	if len(groups) == 0 {
		return nil
	}
	at := part.WeeksAt + "?monday=" + monday.String()
	list, any := []page.WeekGroup{{Name: "Everybody", Href: at}}, false
	for _, g := range groups {
		here := idText(g.ID) == chosen
		any = any || here
		list = append(list, page.WeekGroup{Name: g.Name, Href: at + "&group=" + idText(g.ID), Here: here})
	}
	list[0].Here = !any
	return list
}

// closedNames are those for whom nothing is planned.
func closedNames(weeks []days.Week) []page.AllName {
	var list []page.AllName
	for i := range weeks {
		if w := &weeks[i]; !w.Open() {
			list = append(list, nameOf(w, closedShort(w.Way)))
		}
	}
	return list
}

// closedShort says in a word why nothing is planned, without a reason of health.
func closedShort(way roster.Way) string {
	switch way {
	case roster.WayIll, roster.WayHurt:
		return "away"
	case roster.WayInvited, roster.WayAnswered, roster.WayClearance, roster.WayWithdrawn:
		return "not here yet"
	}
	return "stopped for now"
}

func nameOf(w *days.Week, word string) page.AllName {
	return page.AllName{Name: w.Athlete.Name, Href: athletePath(w.Athlete.ID) + part.WeekAt + "?monday=" + w.Monday.String(), Word: word}
}

// lineOf is a line of a day, with what it is sorted by.
type lineOf struct {
	rank, minutes int
	page.AllLine
}

// byDay turns the weeks round: of each day, who does what when.
func byDay(weeks []days.Week, monday, today day.Date, d wording.Dates) []page.AllDay {
	list := make([]page.AllDay, 7)
	for i := range list {
		on := monday + day.Date(i)
		list[i] = page.AllDay{Day: on.Weekday().String(), Date: d.Day(on, today), Today: on == today, Quiet: "Nothing for anybody."}
		var lines []lineOf
		for n := range weeks {
			lines = addDay(lines, &weeks[n], &weeks[n].Days[i], d)
		}
		slices.SortStableFunc(lines, func(a, b lineOf) int { return cmp.Or(a.rank-b.rank, a.minutes-b.minutes, cmp.Compare(a.What, b.What)) })
		for _, l := range lines {
			list[i].Lines = append(list[i].Lines, l.AllLine)
		}
		if on < today {
			list[i].Past = pastWords(lines)
		}
	}
	return list
}

// pastWords count what became of a day gone by: "Six done, two not done".
func pastWords(lines []lineOf) string {
	var list []string
	for _, l := range lines {
		if l.rank == lineDone || l.rank == lineMissed || l.rank == lineAway {
			list = append(list, wording.Number(len(l.Names))+" "+strings.ToLower(l.What))
		}
	}
	return wording.Capital(cmp.Or(strings.Join(list, ", "), "nothing for anybody"))
}

// The order of lines in a day.
const (
	lineGroup = iota
	lineRun
	lineStrength
	lineDone
	lineMissed
	lineHoliday
	lineAway
)

// addDay puts one athlete's day on the lines.
func addDay(lines []lineOf, w *days.Week, one *days.Day, d wording.Dates) []lineOf {
	put := func(l lineOf, word string) {
		i := slices.IndexFunc(lines, func(o lineOf) bool { return o.rank == l.rank && o.What == l.What })
		if i < 0 {
			lines, i = append(lines, l), len(lines)
		}
		lines[i].Names = append(lines[i].Names, nameOf(w, word))
	}
	switch one.Off {
	case days.Away:
		put(lineOf{rank: lineAway, AllLine: page.AllLine{What: "Away"}}, "")
	case days.OnHoliday:
		put(lineOf{rank: lineHoliday, AllLine: page.AllLine{What: one.Holiday, Small: "holiday"}}, "")
	}
	for i := range one.Sessions {
		s := &one.Sessions[i]
		switch s.State {
		case days.Planned:
			put(plannedLine(s, d), phaseWord(w, s))
		case days.Missed:
			put(lineOf{rank: lineMissed, AllLine: page.AllLine{What: "Not done"}}, wording.PlannedKind(s.Kind)+" "+missedShort(s, d, w.Today))
		case days.Done:
			if s.Log.Kind != readiness.Other {
				put(lineOf{rank: lineDone, AllLine: page.AllLine{What: "Done"}}, doneShort(s))
			}
		}
	}
	return lines
}

// plannedLine is the line of what is to be done: with whom it is, or when.
func plannedLine(s *days.Session, d wording.Dates) lineOf {
	if minutes, known := s.At.Get(); known {
		return lineOf{rank: lineGroup, minutes: minutes, AllLine: page.AllLine{What: d.Minute(minutes) + " with " + s.Group}}
	}
	l := lineOf{rank: lineRun, minutes: int(s.Part)}
	l.What = "Running and walking"
	if s.Kind >= weekplan.Strength {
		l.rank, l.What = lineStrength, "Strength"
	}
	if when := wording.PartOfDay(s.Part); when != "" {
		l.What += ", " + when
	}
	return l
}

// phaseWord is the phase of a session of the pathway; of strength, whether it is hard on
// the legs.
func phaseWord(w *days.Week, s *days.Session) string {
	switch {
	case s.Kind == weekplan.Legs:
		return "legs too"
	case s.Kind == weekplan.Strength:
		return ""
	}
	if phase, half := strings.CutSuffix(w.Athlete.Phase, "-"); half {
		return "before " + phase // a half step
	}
	return w.Athlete.Phase
}

func missedShort(s *days.Session, d wording.Dates, today day.Date) string {
	if s.Now == 0 {
		return "let go"
	}
	return wording.BecameOf(s, d, today)
}

// doneShort says in few words what was done.
func doneShort(s *days.Session) string {
	switch {
	case s.Log.Kind == readiness.Strength:
		return "strength"
	case s.Log.Kind == readiness.Extra:
		return "outside the plan"
	}
	if effort, told := s.Log.Effort.Get(); told {
		return "effort " + strconv.Itoa(effort)
	}
	return ""
}
