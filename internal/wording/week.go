package wording

import (
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/weekplan"
)

// PartOfDay says when on a day: "in the morning"; any time is empty.
func PartOfDay(p weekplan.Part) string {
	return [...]string{"", "in the morning", "at midday", "in the evening"}[p]
}

// DayAndPart is "Thursday morning"; of any time "Thursday".
func DayAndPart(d string, p weekplan.Part) string {
	if p == weekplan.Any {
		return d
	}
	return d + " " + [...]string{"", "morning", "midday", "evening"}[p]
}

// Minute is a time of day of so many minutes after midnight: "18:30", or "6:30 pm".
func (f Dates) Minute(minutes int) string {
	return f.Clock(day.On(2000, time.January, 1).UTC().Add(time.Duration(minutes)*time.Minute), time.UTC)
}

// PlannedKind names a kind of session of a week.
func PlannedKind(k weekplan.Kind) string {
	return [...]string{"run", "walk", "strength", "strength for the legs", "other training"}[k]
}

// LaidOut says when what is still to be done of a week is to be done: "Sessions on Tuesday
// morning and Friday; strength on Wednesday."; empty where nothing is.
func LaidOut(w *days.Week) string {
	var sessions, strength []string
	for _, s := range w.Sessions() {
		if s.State != days.Planned {
			continue
		}
		on := DayAndPart(s.On.Weekday().String(), s.Part)
		if s.Kind == weekplan.Run || s.Kind == weekplan.Walk {
			sessions = append(sessions, on)
		} else {
			strength = append(strength, on)
		}
	}
	switch {
	case len(sessions) > 0 && len(strength) > 0:
		return "Sessions on " + Listed(sessions) + "; strength on " + Listed(strength) + "."
	case len(sessions) > 0:
		return "Sessions on " + Listed(sessions) + "."
	case len(strength) > 0:
		return "Strength on " + Listed(strength) + "."
	}
	return ""
}

// GivesWay says a compromise of the week in one sentence; without a week not why it is
// made.
func GivesWay(c weekplan.Compromise, w *days.Week) string {
	on, with := c.On.Weekday().String(), c.With.Weekday().String()
	if c.With < c.On {
		on, with = with, on
	}
	both, last := on+" and "+with, c.On.Weekday().String()
	switch c.Rule {
	case weekplan.RunFirst:
		return "Strength before the run on " + last + ", because there is no time after it."
	case weekplan.DayBetween:
		if w == nil {
			return "Two runs on days in a row, " + both + "."
		}
		return "Two runs on days in a row, " + both + whyClose(w)
	case weekplan.StrengthGap:
		return "Strength on two days in a row, " + both + "."
	case weekplan.RunsPiled:
		return "Runs close together, " + both + ": more than an untrained body likes."
	case weekplan.FreshLegs:
		if c.On == c.With {
			return "Strength for the legs before the run on " + last + "."
		}
		return "Strength for the legs on the day before a run, " + both + "."
	case weekplan.HardInARow:
		return "Two hard days in a row, " + both + "."
	case weekplan.OneADay:
		return "Two sessions of a kind on " + last + "."
	case weekplan.RestDay:
		return "No day of this week is without training."
	case weekplan.Beyond:
		return "On " + last + " one more than the week has."
	case weekplan.CannotThen:
		return "On " + last + ", a time that is usually not free."
	}
	return ""
}

// whyClose says why two runs stand on days in a row: there are few days, or many runs.
func whyClose(w *days.Week) string {
	var free []string
	for _, d := range w.Days {
		if d.Off == days.NotOff && d.Times != 0 {
			free = append(free, d.On.Weekday().String())
		}
	}
	switch {
	case len(free) > 0 && len(free) <= 4:
		return ", because only " + Listed(free) + Plural(len(free), " is free.", " are free.")
	case w.Of > 3:
		return ", because the week has " + strconv.Itoa(w.Of) + " sessions."
	}
	return ", because of what is fixed in this week."
}

// Plural is one of two words.
func Plural(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

// Listed is "Monday, Wednesday and Friday".
func Listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// Hinders says in a few words why a session cannot be on a day.
func Hinders(r weekplan.Rule) string {
	return map[weekplan.Rule]string{
		weekplan.RunFirst:    "strength would come before the run",
		weekplan.DayBetween:  "right beside another run",
		weekplan.StrengthGap: "right beside other strength; muscles want a day between",
		weekplan.RunsPiled:   "too close to the other runs",
		weekplan.FreshLegs:   "legs would not be fresh for the run",
		weekplan.HardInARow:  "it would make two hard days in a row",
		weekplan.OneADay:     "there is one that day already",
		weekplan.RestDay:     "no day of rest would be left",
		weekplan.Beyond:      "more than the week has",
		weekplan.CannotThen:  "no time that day",
		weekplan.DayOff:      "nothing is planned that day",
		weekplan.GoneBy:      "gone by",
		weekplan.NotNeeded:   "the week has its sessions on other fixed days",
		weekplan.HeldByCoach: "the coach has fixed this session or that day",
	}[r]
}

// BecameOf says quietly what became of a session that was missed.
func BecameOf(s *days.Session, f Dates, today day.Date) string {
	switch {
	case s.Now == 0:
		return "is let go; nothing is piled up"
	case s.Made:
		return "was done " + f.When(s.Now, today)
	}
	return "is " + f.When(s.Now, today) + " now"
}

// HasNoDay says that a session finds no day, and why; empty of one that was missed,
// since its day says so.
func HasNoDay(u weekplan.Unplaced) string {
	if u.Missed {
		return ""
	}
	return "One " + strings.Replace(PlannedKind(u.Kind), "strength", "session of strength", 1) + " finds no day this week: " + Hinders(u.Why) + ". It is left out; nothing is piled up."
}

// NotKept says that a fixed day is not kept, and why; empty where that goes without
// saying.
func NotKept(y weekplan.Yielded) string {
	if y.Why == weekplan.NotNeeded || y.Why == weekplan.GoneBy || y.Why == weekplan.DayOff {
		return ""
	}
	fixed := "The fixed " + y.Pin.On.Weekday().String()
	if y.Pin.By == weekplan.ByGroup {
		fixed = "The group's " + y.Pin.On.Weekday().String()
	}
	return fixed + " is not kept for " + PlannedKind(y.Pin.Kind) + ": " + Hinders(y.Why) + "."
}
