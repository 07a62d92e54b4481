package httpd

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/part"
)

// What an athlete's own entries are told apart by.
const (
	ownRun      = "run" // of the pathway, also where that is a walk
	ownStrength = "strength"
)

// strengthMinutes is how long a session of strength is taken to last where nobody
// told; three short sessions a week, ours.
const strengthMinutes = 30

// roundTo are the minutes to the next of which a planned session is rounded up: nobody
// writes 46 minutes into a calendar (ours).
const roundTo = 5

// laying turns weeks into entries of a calendar.
type laying struct {
	club   *time.Location
	around int    // minutes of warm-up and cool-down
	origin string // how people reach the app
	first  day.Date
	names  bool // others' programs may know names; else initials
}

// hours are when a part of the day begins, where nothing is known better; ours.
var hours = [...]int{weekplan.Morning: 7 * 60, weekplan.Midday: 12*60 + 30, weekplan.Evening: 18 * 60}

// starting is when a session begins; zero: at any time of its day.
func (l *laying) starting(s *days.Session, place *time.Location) time.Time {
	if s.Log != nil {
		return s.Log.StartedAt.In(place)
	}
	if minutes, known := s.At.Get(); known {
		return minuteOf(s.On, minutes, l.club)
	}
	if s.Part == weekplan.Any {
		return time.Time{}
	}
	return minuteOf(s.On, hours[s.Part], place)
}

func minuteOf(on day.Date, minutes int, place *time.Location) time.Time {
	y, m, d := on.UTC().Date()
	return time.Date(y, m, d, 0, minutes, 0, 0, place)
}

// length is how long it takes, in minutes, from the warm-up on.
func (l *laying) length(s *days.Session, w *days.Week) int {
	minutes := strengthMinutes
	switch {
	case s.Log != nil:
		minutes = wording.Minutes(s.Log)
	case s.Kind == weekplan.Run || s.Kind == weekplan.Walk:
		minutes = roundTo * ((pathway.Seconds(w.Blocks)/60 + l.around + roundTo) / roundTo)
	}
	return min(max(minutes, 1), 24*60)
}

// counts says whether a session stands in calendars: what is planned, and what was
// done of it. What was missed and is on another day now is there.
func counts(s *days.Session) bool {
	switch s.State {
	case days.Done:
		return s.Log.Kind == readiness.Planned || s.Log.Kind == readiness.Strength
	case days.Missed:
		return s.Now == 0
	}
	return true
}

// own are the entries of an athlete's calendar. Of health there is nothing in them, but
// that there are no sessions.
func (l *laying) own(course []days.Week) []calendar.Entry {
	var all []calendar.Entry
	for i := range course {
		w := &course[i]
		if !w.Open() {
			all = append(all, calendar.Entry{Week: w.Monday, Kind: ownRun, Silent: true}, calendar.Entry{Week: w.Monday, Kind: ownStrength, Silent: true})
		}
		for _, s := range w.Sessions() {
			if counts(&s) {
				all = append(all, l.entry(&s, w))
			}
		}
	}
	return all
}

func (l *laying) entry(s *days.Session, w *days.Week) calendar.Entry {
	e := calendar.Entry{
		Week: w.Monday, Kind: ownRun, On: s.On, Start: l.starting(s, w.Athlete.Place()), Minutes: l.length(s, w),
		Summary: trainingWords(s), Off: s.State == days.Missed,
	}
	if s.Kind >= weekplan.Strength {
		e.Kind = ownStrength
	}
	if s.State == days.Planned {
		e.Description = l.about(s, w)
	}
	return e
}

// trainingWords name a session in a calendar.
func trainingWords(s *days.Session) string {
	return [...]string{"Run and walk", "Easy walk", "Strength", "Strength", "Training"}[s.Kind]
}

// about says what an athlete's session is.
func (l *laying) about(s *days.Session, w *days.Week) string {
	var lines []string
	if s.Kind < weekplan.Strength {
		lines = append(lines, wording.Capital(pathway.Words(w.Blocks))+".")
		if l.around > 0 {
			lines = append(lines, "With warm-up and cool-down, "+strconv.Itoa(l.around)+" min.")
		}
		if pathway.HasRun(w.Blocks) {
			lines = append(lines, "Walk whenever talking gets hard.")
		}
	}
	if s.Group != "" {
		lines = append(lines, "With "+s.Group+".")
	}
	return strings.Join(append(lines, l.origin+part.TodayAt), "\n")
}

// slot is a part of a day in a coach's calendar.
type slot struct {
	on   day.Date
	part weekplan.Part
}

// trainee is one athlete in it.
type trainee struct {
	who, what string
	start     time.Time
	known     bool // the time is known, and not just the part of the day
	minutes   int
}

// coachs are the entries of a coach's calendar: who trains when, by parts of days where
// the club is. Nothing stands there of what was missed.
func (l *laying) coachs(courses [][]days.Week) []calendar.Entry {
	slots := map[slot][]trainee{}
	for c := range courses {
		for i := range courses[c] {
			w := &courses[c][i]
			for _, s := range w.Sessions() {
				if counts(&s) && s.State != days.Missed {
					at, one := l.trainee(&s, w)
					slots[at] = append(slots[at], one)
				}
			}
		}
	}
	var all []calendar.Entry
	for at := range maps.Keys(slots) {
		if weekplan.Monday(at.on) >= l.first {
			all = append(all, l.together(at, slots[at]))
		}
	}
	slices.SortFunc(all, func(a, b calendar.Entry) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Kind, b.Kind)) })
	return l.quiet(all)
}

// quiet adds that nothing of what stood in other parts of days is shown any more.
func (l *laying) quiet(all []calendar.Entry) []calendar.Entry {
	there := map[string]bool{}
	for _, e := range all {
		there[e.Week.String()+e.Kind] = true
	}
	for n := range calendar.Back + 1 + calendar.Ahead {
		monday := l.first + day.Date(7*n)
		for d := range day.Date(7) {
			for p := range partNames {
				kind := slot{monday + d, weekplan.Part(p)}.kind()
				if !there[monday.String()+kind] {
					all = append(all, calendar.Entry{Week: monday, Kind: kind, Silent: true})
				}
			}
		}
	}
	return all
}

func (l *laying) trainee(s *days.Session, w *days.Week) (slot, trainee) {
	one := trainee{who: initials(w.Athlete.Name), what: strings.ToLower(trainingWords(s)), start: l.starting(s, w.Athlete.Place()), minutes: l.length(s, w)}
	if l.names {
		one.who = w.Athlete.Name
	}
	if s.Group != "" {
		one.what += ", with " + s.Group
	}
	if one.start.IsZero() {
		return slot{s.On, weekplan.Any}, one
	}
	one.known = s.Log != nil || s.At.Known()
	local := one.start.In(l.club)
	return slot{day.Of(local, l.club), partOf(local)}, one
}

func partOf(local time.Time) weekplan.Part {
	return roster.PartAt(local.Hour()*60 + local.Minute())
}

// kind is what the part of a day is told apart by within its week.
func (at slot) kind() string {
	name := partNames[at.part]
	if name == "" {
		name = "any"
	}
	return strings.ToLower(at.on.Weekday().String()) + "-" + name
}

// together is one entry for all who train in the part of a day.
func (l *laying) together(at slot, all []trainee) calendar.Entry {
	slices.SortStableFunc(all, func(a, b trainee) int { return cmp.Compare(a.who, b.who) })
	e := calendar.Entry{Week: weekplan.Monday(at.on), Kind: at.kind(), On: at.on}
	if at.part != weekplan.Any {
		e.Start = minuteOf(at.on, hours[at.part], l.club)
	}
	var lines, who []string
	for i := range all {
		one := &all[i]
		if one.known && (one.start.Before(e.Start) || len(all) == 1) {
			e.Start = one.start
		}
		e.Minutes = max(e.Minutes, one.minutes)
		lines = append(lines, one.who+": "+one.what)
		if !slices.Contains(who, one.who) {
			who = append(who, one.who)
		}
	}
	e.Summary = strings.Join(who, ", ")
	switch {
	case len(all) == 1:
		e.Summary = lines[0]
	case len(all) > 4:
		e.Summary = wording.Capital(wording.Count(len(all), "session", "sessions"))
	}
	e.Description = strings.Join(append(lines, l.origin+part.WeeksAt), "\n")
	return e
}

// initials are the first letters of the first and the last name: "I. O.".
func initials(name string) string {
	var letters []string
	words := strings.Fields(name)
	for i, word := range words {
		if i == 0 || i == len(words)-1 {
			first, _ := utf8.DecodeRuneInString(word)
			letters = append(letters, string(first)+".")
		}
	}
	return strings.Join(letters, " ")
}
