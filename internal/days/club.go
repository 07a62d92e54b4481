package days

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// Club are the groups and holidays of a club; holidays of long ago are left out.
func (s *Service) Club(ctx context.Context, club roster.ClubID) ([]roster.Group, []roster.Holiday, error) {
	w, err := s.Store.Wanted(ctx, club, -1, reach(s.Now()))
	return w.Groups, w.Holidays, err
}

// SetHabits keeps what of an athlete's weeks is the same each week. An athlete says
// only when there is time; strength and the group are a coach's. Faults stand at
// strength, legs and group.
func (s *Service) SetHabits(ctx context.Context, who roster.Actor, athlete roster.AthleteID, h Habits) error {
	if !who.For(athlete) {
		return fault.New(fault.NotFound, "")
	}
	a, err := s.Store.Athlete(ctx, who.Club, athlete)
	if err != nil {
		return err
	}
	if !who.Sees(&a) {
		return fault.New(fault.NotFound, "")
	}
	if who.Coach == 0 {
		h.Strength, h.Legs, h.Group = a.Strength, a.Legs, a.Group
	}
	var faults []fault.Field
	if h.Strength < 0 || h.Strength > weekplan.MostStrength {
		faults = append(faults, fault.Field{Place: "strength", Message: fmt.Sprintf("please choose 0 to %d sessions of strength a week", weekplan.MostStrength)})
	}
	if h.Legs < 0 || h.Legs > h.Strength {
		faults = append(faults, fault.Field{Place: "legs", Message: "no more of them than there are sessions of strength"})
	}
	if err := fault.At(faults...); err != nil {
		return err
	}
	err = s.Store.SetHabits(ctx, who, athlete, h)
	if fault.KindOf(err) == fault.NotFound {
		return fault.At(fault.Field{Place: "group", Message: "this group is not there any more"})
	}
	return err
}

// SaveGroup keeps a new group, or a changed one. Faults stand at name and at
// meets[0] to meets[6], or at meets where there is no day at all.
func (s *Service) SaveGroup(ctx context.Context, who roster.Actor, g roster.Group, key roster.Key) (roster.GroupID, error) {
	g.Name = strings.TrimSpace(g.Name)
	var faults []fault.Field
	if m := roster.CheckName(g.Name); m != "" {
		faults = append(faults, fault.Field{Place: "name", Message: m})
	}
	days := 0
	for i, at := range g.Meets {
		minutes, meets := at.Get()
		if meets {
			days++
		}
		if minutes < 0 || minutes >= 24*60 {
			faults = append(faults, fault.Field{Place: fmt.Sprintf("meets[%d]", i), Message: "a time like 18:30, please"})
		}
	}
	if days == 0 {
		faults = append(faults, fault.Field{Place: "meets", Message: "please give at least one day with its time"})
	}
	if err := fault.At(faults...); err != nil {
		return 0, err
	}
	id, err := s.Store.SaveGroup(ctx, who, g, key)
	if fault.KindOf(err) == fault.Conflict {
		err = &fault.Error{Kind: fault.Conflict, Cause: err, Message: "Somebody else has changed this group meanwhile. Look at it as it is now."}
	}
	return id, err
}

// RemoveGroup takes a group away. One that is gone already is no error.
func (s *Service) RemoveGroup(ctx context.Context, who roster.Actor, id roster.GroupID) error {
	return unlessGone(s.Store.RemoveGroup(ctx, who, id))
}

// How far a holiday may lie from today, and how long it may be, in days.
const (
	holidayReach  = 366
	holidayLength = 60
)

// AddHoliday notes dates on which nothing is planned for anybody. Faults stand at
// name, from and to; without a last day it is one day.
func (s *Service) AddHoliday(ctx context.Context, who roster.Actor, h roster.Holiday, key roster.Key) (roster.HolidayID, error) {
	h.Name = strings.TrimSpace(h.Name)
	if h.To == 0 {
		h.To = h.From
	}
	today := roster.Latest(s.Now())
	var faults []fault.Field
	note := func(wrong bool, place, message string) {
		if wrong {
			faults = append(faults, fault.Field{Place: place, Message: message})
		}
	}
	m := roster.CheckName(h.Name)
	note(m != "", "name", m)
	note(h.From == 0, "from", "please give the day")
	note(h.From != 0 && (h.From < today-7 || h.From > today+holidayReach), "from", "please give a day within the year to come")
	note(h.To < h.From, "to", "this is before the first day")
	note(h.To-h.From >= day.Date(holidayLength), "to", fmt.Sprintf("please keep it to %d days", holidayLength))
	if err := fault.At(faults...); err != nil {
		return 0, err
	}
	return s.Store.AddHoliday(ctx, who, h, key)
}

// RemoveHoliday takes it out again. One that is gone already is no error.
func (s *Service) RemoveHoliday(ctx context.Context, who roster.Actor, id roster.HolidayID) error {
	return unlessGone(s.Store.RemoveHoliday(ctx, who, id))
}

func unlessGone(err error) error {
	if fault.KindOf(err) == fault.NotFound {
		return nil
	}
	return err
}

// InGroup are the athletes of a group among the weeks.
func InGroup(weeks []Week, id roster.GroupID) []Week {
	return slices.DeleteFunc(slices.Clone(weeks), func(w Week) bool { return w.Athlete.Group != id })
}
