package wording

import (
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// SessionLabel is the session in words, for whoever cannot see the strip.
func SessionLabel(s *roster.Session, f Dates, asked day.Date) string {
	return Capital(f.Near(s.Date, asked)) + ", " + Went(s) + "."
}

// Went says what became of the session, and when the breath was back.
func Went(s *roster.Session) string {
	words := Session(s)
	if settle, ok := morning.Median(s.Blocks); ok {
		return words + ", breath back after " + pathway.Time(settle)
	}
	if s.Breath != readiness.BreathNotAsked && s.Exposure() {
		return words + ", " + Breath(s.Breath)
	}
	return words
}

// Session says what the session was and what became of it: "in full",
// "shortened, 24 min", "strength, 30 min".
func Session(s *roster.Session) string {
	minutes := Minutes(s)
	if s.Kind == readiness.Planned {
		words := Outcome(s.Became())
		if s.Exposure() && s.Became() != readiness.InFull && minutes > 0 {
			words += ", " + strconv.Itoa(minutes) + " min"
		}
		return words
	}
	if s.Kind == readiness.Other && minutes == 0 {
		return "rest day"
	}
	words := strings.ToLower(Kind(s.Kind))
	if s.Kind == readiness.Extra {
		words = "walk"
		if Ran(s) {
			words = "run"
		}
		words += " outside the plan"
	}
	return words + ", " + strconv.Itoa(minutes) + " min"
}

// Ran says whether anything of the blocks was run.
func Ran(s *roster.Session) bool {
	for _, b := range s.Blocks {
		if b.Kind == pathway.Run && b.Done > 0 {
			return true
		}
	}
	return false
}

// Minutes is how long it took: as told, else the blocks' done time (rule 8.1).
func Minutes(s *roster.Session) int {
	if minutes, told := s.Minutes.Get(); told {
		return minutes
	}
	done := 0
	for _, b := range s.Blocks {
		done += int(b.Done)
	}
	return (done + 30) / 60
}

// Kind names a kind of session.
func Kind(k readiness.SessionKind) string {
	return [...]string{"Session", "Outside the plan", "Strength", "Other"}[k]
}

// Outcome says what became of a planned session.
func Outcome(o readiness.Outcome) string {
	return [...]string{"not told", "in full", "shortened", "stopped for pain", "missed", "called off"}[o]
}

// Breath says when the breath was back.
func Breath(b readiness.Breath) string {
	return [...]string{"", "breath back before half of the walk", "breath back at about half", "breath back late"}[b]
}
