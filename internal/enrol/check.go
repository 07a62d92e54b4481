package enrol

import (
	"fmt"
	"slices"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Bounds of what is taken in.
const (
	earliestBirth = 1900
	adult         = 18 // years
	fewest        = 2  // sessions a week (rule 7)
	most          = 6
	awayLength    = 80  // characters of why somebody is away
	awayReach     = 366 // days back and ahead a time away may lie
)

// tidy takes away the spaces around what was typed.
func (p Person) tidy() Person {
	p.Name, p.Email = strings.TrimSpace(p.Name), roster.LowerEmail(p.Email)
	p.Zone, p.CoachWord = strings.TrimSpace(p.Zone), strings.TrimSpace(p.CoachWord)
	return p
}

// check finds what is wrong with a tidied person, field by field, in the order
// of the form.
func (p Person) check(today day.Date, minors bool) []fault.Field {
	faults := slices.Clone(p.Unread)
	note := func(place, message string) {
		if message != "" && !p.unread(place) {
			faults = append(faults, fault.Field{Place: place, Message: message})
		}
	}
	note("name", roster.CheckName(p.Name))
	if p.Email != "" {
		note("email", roster.CheckEmail(p.Email))
	}
	note("birth_year", checkBirth(p.BirthYear, today, minors))
	note("zone", roster.CheckZone(p.Zone))
	if p.SessionsAWeek < fewest || p.SessionsAWeek > most {
		note("sessions_a_week", fmt.Sprintf("please choose %d to %d sessions a week", fewest, most))
	}
	if p.InjuredOn > today {
		note("injured_on", "this day is still to come")
	}
	note("coach_word", roster.CheckText(p.CoachWord, roster.NoteLength))
	inOrder(faults)
	return faults
}

// unread says whether the field could not even be read.
func (p *Person) unread(place string) bool {
	return slices.ContainsFunc(p.Unread, func(f fault.Field) bool { return f.Place == place })
}

// inOrder sorts faults as the form has its fields.
func inOrder(faults []fault.Field) {
	form := []string{"name", "email", "birth_year", "zone", "sessions_a_week", "injured_on", "coach_word"}
	slices.SortStableFunc(faults, func(a, b fault.Field) int {
		return slices.Index(form, a.Place) - slices.Index(form, b.Place)
	})
}

// minor says whether the person is known not to be of age this year.
func (p *Person) minor(today day.Date) bool {
	return p.BirthYear != 0 && today.Year()-p.BirthYear < adult
}

// checkBirth keeps the rules to those they were made for: what is known of walks,
// runs and heart rates here is known of adults. A club may take minors all the same,
// with a guardian's consent.
func checkBirth(year int, today day.Date, minors bool) string {
	switch {
	case year == 0:
		return ""
	case year < earliestBirth || year > today.Year():
		return fmt.Sprintf("please give a year from %d on", earliestBirth)
	case today.Year()-year < adult && !minors:
		return "Halfhour is made for adults: its rules rest on what is known of people of 18 and over"
	}
	return ""
}
