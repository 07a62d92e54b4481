package enrol

import (
	"context"
	"slices"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Away notes a time away, for a coach or the athlete; To of zero is not over yet,
// and without a kind it is a holiday. Of an injury the phase begins anew and a fresh
// health check is asked for (rules 6.7, 9.4). Faults stand at kind, from, to and why.
func (s *Service) Away(ctx context.Context, who roster.Actor, l roster.Leave, key roster.Key) (roster.LeaveID, error) {
	today, err := s.today(ctx, who, l.Athlete)
	if err != nil {
		return 0, err
	}
	l.Why = strings.TrimSpace(l.Why)
	if l.Kind == "" {
		l.Kind = roster.OnHoliday
	}
	if err := fault.At(checkAway(l, today)...); err != nil {
		return 0, err
	}
	return s.Store.AddLeave(ctx, who, l, key)
}

func checkAway(l roster.Leave, today day.Date) []fault.Field {
	var faults []fault.Field
	note := func(wrong bool, place, message string) {
		if wrong {
			faults = append(faults, fault.Field{Place: place, Message: message})
		}
	}
	note(!l.Kind.Known(), "kind", "please say what it is")
	note(l.From == 0, "from", "please give the first day away")
	note(l.From != 0 && (l.From < today-awayReach || l.From > today+awayReach), "from", "please give a day within a year of today")
	note(l.Kind != roster.OnHoliday && l.From > today && l.From <= today+awayReach, "from", "an illness or injury is noted once it is there; please give the day it began")
	note(l.To != 0 && l.To < l.From, "to", "this is before the first day away")
	note(l.To > today+awayReach, "to", "please give a day within a year of today")
	m := roster.CheckText(l.Why, awayLength)
	note(m != "", "why", m)
	return faults
}

// Time is one time away of the athlete, or fault.NotFound.
func (s *Service) Time(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.LeaveID) (roster.Leave, error) {
	if _, err := s.today(ctx, who, athlete); err != nil {
		return roster.Leave{}, err
	}
	leaves, err := s.Store.Leaves(ctx, who.Club, athlete)
	if err != nil {
		return roster.Leave{}, err
	}
	i := slices.IndexFunc(leaves, func(l roster.Leave) bool { return l.ID == id })
	if i < 0 {
		return roster.Leave{}, fault.New(fault.NotFound, "")
	}
	return leaves[i], nil
}

// Back notes the last day of a time away; a fault stands at to.
func (s *Service) Back(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.LeaveID, last day.Date) error {
	today, err := s.today(ctx, who, athlete)
	if err != nil {
		return err
	}
	if last == 0 || last > today+awayReach {
		return fault.At(fault.Field{Place: "to", Message: "please give the last day away"})
	}
	err = s.Store.EndLeave(ctx, who, athlete, id, last)
	if fault.KindOf(err) == fault.Invalid {
		return fault.At(fault.Field{Place: "to", Message: "this is before the first day away"})
	}
	return err
}

// Never takes a time away out again, as if it had not been noted.
func (s *Service) Never(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.LeaveID) error {
	if !who.For(athlete) {
		return fault.New(fault.NotFound, "")
	}
	return s.Store.RemoveLeave(ctx, who, athlete, id)
}

// Note keeps a coach's note; a fault stands at text. A private one deputies do not
// see, so that a deputy writes none.
func (s *Service) Note(ctx context.Context, who roster.Actor, athlete roster.AthleteID, text string, private bool, key roster.Key) (roster.NoteID, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, fault.At(fault.Field{Place: "text", Message: "please write something"})
	}
	if m := roster.CheckText(text, roster.NoteLength); m != "" {
		return 0, fault.At(fault.Field{Place: "text", Message: m})
	}
	n := roster.Note{Athlete: athlete, Coach: who.Coach, At: s.Now(), Text: text, Private: private && !who.Deputy}
	return s.Store.AddNote(ctx, who, n, key)
}

// today is the athlete's own date; for anybody who may not act for the athlete
// it is fault.NotFound.
func (s *Service) today(ctx context.Context, who roster.Actor, id roster.AthleteID) (day.Date, error) {
	if !who.For(id) {
		return 0, fault.New(fault.NotFound, "")
	}
	a, err := s.Store.Athlete(ctx, who.Club, id)
	if err != nil {
		return 0, err
	}
	return a.Today(s.Now()), nil
}
