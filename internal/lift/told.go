package lift

import (
	"context"
	"fmt"
	"slices"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

// Told is what somebody says was done in a session.
type Told struct {
	Turn    string
	Lifts   []roster.Lift   // sets as told: 0 is one that was not done
	Minutes readiness.Maybe // in all; not known: they are estimated
	Planned int             // minutes, as they were shown
}

// Kept is what of it can be kept.
type Kept struct {
	Turn    string
	Lifts   []roster.Lift // without what was left out
	Minutes readiness.Maybe
	Faults  []fault.Field // what is wrong, at places such as lift[2].kg
}

// What may be told of one exercise (ours: more than anybody does).
const (
	mostCount   = 600 // repetitions or seconds of a set
	mostReserve = 20
	mostSets    = 8
	mostLifts   = 16
)

// Told checks what was done. Whoever takes in sessions refuses it with the faults, or
// keeps the rest with the session.
func (s *Service) Told(ctx context.Context, who roster.Actor, athlete roster.AthleteID, told Told) (Kept, error) {
	if !who.For(athlete) {
		return Kept{}, fault.New(fault.NotFound, "")
	}
	own, err := s.Store.Exercises(ctx, who.Club)
	if err != nil {
		return Kept{}, err
	}
	return told.check(roster.Known(own)), nil
}

func (t *Told) check(known strength.Library) Kept {
	k := Kept{Turn: roster.Clean(t.Turn), Minutes: t.Minutes}
	done, asked := 0, 0
	for i := range t.Lifts[:min(len(t.Lifts), mostLifts)] {
		l := t.Lifts[i]
		asked += len(l.Sets)
		k.Faults = append(k.Faults, checkLift(fmt.Sprintf("lift[%d].", i), &l, known)...)
		l.Sets = slices.DeleteFunc(slices.Clone(l.Sets), func(n int) bool { return n == 0 })
		if done += len(l.Sets); len(l.Sets) > 0 {
			k.Lifts = append(k.Lifts, l)
		}
	}
	if done == 0 && len(k.Faults) == 0 {
		k.Faults = append(k.Faults, fault.Field{Place: "lift[0].set[0]", Message: "please fill in at least one set; 0 is one that was left out"})
	}
	if len([]rune(k.Turn)) > strength.LongestName {
		k.Turn = ""
	}
	if !k.Minutes.Known() {
		k.Minutes = readiness.Some(strength.MinutesDone(t.Planned, done, asked))
	}
	return k
}

// checkLift finds what is wrong with what was told of one exercise.
func checkLift(at string, l *roster.Lift, known strength.Library) []fault.Field {
	var faults []fault.Field
	wrong := func(place, message string) {
		faults = append(faults, fault.Field{Place: at + place, Message: message})
	}
	e, there := known.Find(l.Exercise)
	if _, stood := known.Find(l.For); !there || !stood {
		wrong("exercise", "this exercise is not in the library")
		return faults
	}
	done := false
	for n, reps := range l.Sets {
		if reps < 0 || reps > mostCount || n >= mostSets {
			wrong(fmt.Sprintf("set[%d]", n), fmt.Sprintf("please give a number from 0 to %d", mostCount))
		}
		done = done || reps > 0
	}
	switch {
	case l.Grams < 0 || l.Grams > strength.Heaviest:
		wrong("kg", "please give 0 to "+strength.Kilograms(strength.Heaviest))
	case done && l.Grams == 0 && e.Measure == strength.Weight && e.Needs&strength.Dumbbells != 0:
		wrong("kg", "how heavy was one dumbbell?")
	}
	if left, told := l.Reserve.Get(); told && (left < 0 || left > mostReserve) {
		wrong("left", fmt.Sprintf("please give 0 to %d", mostReserve))
	}
	return faults
}

// Session is what was done in one strength session; fault.NotFound where nothing was
// told of its exercises.
func (s *Service) Session(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID) (roster.Lifted, strength.Library, error) {
	if !who.For(athlete) {
		return roster.Lifted{}, nil, fault.New(fault.NotFound, "")
	}
	kept, err := s.Store.Strength(ctx, who.Club, athlete)
	if err != nil {
		return roster.Lifted{}, nil, err
	}
	for i := range kept.Lifted {
		if kept.Lifted[i].Session == id {
			return kept.Lifted[i], roster.Known(kept.Own), nil
		}
	}
	return roster.Lifted{}, nil, fault.New(fault.NotFound, "")
}

// Correct replaces what was done in a session, if nobody corrected it since the version
// that was shown; else it is fault.Conflict. Minutes, effort and pain are corrected with
// the session.
func (s *Service) Correct(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, version int, told Told, unread []fault.Field) error {
	if _, _, err := s.Session(ctx, who, athlete, id); err != nil {
		return err
	}
	kept, err := s.Told(ctx, who, athlete, told)
	if err == nil {
		err = fault.At(append(slices.Clone(unread), kept.Faults...)...)
	}
	if err != nil {
		return err
	}
	err = s.Store.Relift(ctx, who, athlete, id, version, kept.Lifts, s.Now())
	if fault.KindOf(err) == fault.Conflict {
		return &fault.Error{Kind: fault.Conflict, Message: "This session was corrected somewhere else meanwhile. What you typed is below; storing it now replaces what is there.", Cause: err}
	}
	return err
}
