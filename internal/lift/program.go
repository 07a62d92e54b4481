package lift

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

// Template is a programme to begin from.
type Template struct {
	Name    string // as in addresses
	Words   string
	Program strength.Program
}

// Templates are the programmes to begin from, the usual one first. Which exercises they
// hold is common practice (strength.Default); the two shorter ones are ours.
func Templates() []Template {
	three, two, gentle := strength.Default(), strength.Default(), strength.Default()
	two.AWeek, two.Sessions = 2, two.Sessions[:2]
	gentle.AWeek, gentle.Sessions = 2, []strength.Session{gentle.Sessions[0], gentle.Sessions[2]}
	gentle.Sessions[1].Name = "B"
	for i := range gentle.Sessions {
		slots := gentle.Sessions[i].Slots
		for n := range slots {
			slots[n].Target.Sets, slots[n].Target.Reserve = 1, 3
		}
	}
	return []Template{
		{Name: "three", Words: "Three short sessions a week", Program: three},
		{Name: "two", Words: "Two short sessions a week", Program: two},
		{Name: "gentle", Words: "Two sessions of one set each, to begin with", Program: gentle},
	}
}

// TemplateOf is the template of the name; false where there is none.
func TemplateOf(name string) (strength.Program, bool) {
	for _, t := range Templates() {
		if t.Name == name {
			return t.Program, true
		}
	}
	return strength.Program{}, false
}

// Give keeps another version of an athlete's programme, made of the one given (0: there
// was none). Faults stand at paths such as sessions[0].slots[2].sets; unread is what
// could not even be read. Where somebody changed it meanwhile it is fault.Conflict. A
// programme without sessions ends it.
func (s *Service) Give(ctx context.Context, who roster.Actor, athlete roster.AthleteID, of roster.ProgramID, p strength.Program, unread []fault.Field, key roster.Key) error {
	if err := mayGive(who); err != nil {
		return err
	}
	own, err := s.Store.Exercises(ctx, who.Club)
	if err != nil {
		return err
	}
	faults := slices.Clone(unread)
	if len(p.Sessions) > 0 || p.AWeek != 0 {
		for _, f := range p.Check(roster.Library(own)) {
			if !slices.ContainsFunc(faults, func(u fault.Field) bool { return u.Place == f.Place }) {
				faults = append(faults, f)
			}
		}
	} else {
		p.AWeek = 2 // of an ended one nothing is read
	}
	if !key.Sound() {
		faults = append(faults, fault.Field{Place: "key", Message: "this form is not whole; please open it again"})
	}
	if err := fault.At(faults...); err != nil {
		return err
	}
	_, hard := p.InAWeek(roster.Library(own))
	_, err = s.Store.GiveProgram(ctx, who, of, roster.Program{Athlete: athlete, Program: p, At: s.Now(), ByCoach: who.Coach, Hard: hard}, key)
	if fault.KindOf(err) == fault.Conflict {
		return &fault.Error{Kind: fault.Conflict, Message: "The programme was changed somewhere else meanwhile. What you made is below; storing it now replaces that.", Cause: err}
	}
	return err
}

// mayGive says whether the actor may change programmes and exercises: a coach, and no
// deputy.
func mayGive(who roster.Actor) error {
	switch {
	case who.Coach == 0:
		return fault.New(fault.NotFound, "")
	case who.Deputy:
		return fault.New(fault.Forbidden, "A deputy changes no programme and no exercise.")
	}
	return nil
}

// Equip says what the athlete has to lift with. Faults stand at the places of
// strength.Rack, with rack in front.
func (s *Service) Equip(ctx context.Context, who roster.Actor, athlete roster.AthleteID, k roster.Kit, unread []fault.Field) error {
	if !who.For(athlete) {
		return fault.New(fault.NotFound, "")
	}
	faults := slices.Clone(unread)
	if len(faults) == 0 && k.Has&strength.Dumbbells != 0 {
		for _, f := range k.Rack.Check() {
			place, _, _ := strings.Cut(f.Place, "[")
			faults = append(faults, fault.Field{Place: "rack." + place, Message: f.Message})
		}
	}
	if err := fault.At(faults...); err != nil {
		return err
	}
	k.Athlete, k.At = athlete, s.Now()
	return s.Store.SetKit(ctx, who, k)
}

// Library are the club's own exercises and all that can be chosen, for coaches.
func (s *Service) Library(ctx context.Context, who roster.Actor) ([]roster.OwnExercise, strength.Library, error) {
	if who.Coach == 0 {
		return nil, nil, fault.New(fault.NotFound, "")
	}
	own, err := s.Store.Exercises(ctx, who.Club)
	return own, roster.Library(own), err
}

// MostExercises is how many exercises of its own a club can choose among.
const MostExercises = 60

// Add keeps an exercise of the club's own. Faults stand at the places of
// strength.Exercise.Check; unread is what could not even be read.
func (s *Service) Add(ctx context.Context, who roster.Actor, e strength.Exercise, unread []fault.Field, key roster.Key) error {
	if err := mayGive(who); err != nil {
		return err
	}
	own, err := s.Store.Exercises(ctx, who.Club)
	if err != nil {
		return err
	}
	faults := checkExercise(&e, unread)
	if len(own) >= MostExercises {
		faults = append(faults, fault.Field{Place: "name", Message: fmt.Sprintf("that would be more than %d exercises of your own", MostExercises)})
	}
	if !key.Sound() {
		faults = append(faults, fault.Field{Place: "key", Message: "this form is not whole; please open it again"})
	}
	if err := fault.At(faults...); err != nil {
		return err
	}
	_, err = s.Store.AddExercise(ctx, who, e, s.Now(), key)
	return err
}

// Change replaces an exercise of the club's own, or puts it away: then it can no longer
// be chosen, and programmes that have it get another in its place.
func (s *Service) Change(ctx context.Context, who roster.Actor, e roster.OwnExercise, away bool, unread []fault.Field) error {
	if err := mayGive(who); err != nil {
		return err
	}
	if err := fault.At(checkExercise(&e.Exercise, unread)...); err != nil {
		return err
	}
	if e.AwayAt = (time.Time{}); away {
		e.AwayAt = s.Now()
	}
	err := s.Store.ChangeExercise(ctx, who, e)
	if fault.KindOf(err) == fault.Conflict {
		return &fault.Error{Kind: fault.Conflict, Message: "This exercise was changed somewhere else meanwhile. What you typed is below; storing it now replaces that.", Cause: err}
	}
	return err
}

// checkExercise cleans what was typed and says what is wrong with it.
func checkExercise(e *strength.Exercise, unread []fault.Field) []fault.Field {
	for _, text := range []*string{&e.Name, &e.Easier, &e.Harder, &e.Caution} {
		*text = oneLine(*text)
	}
	for i := range e.Cues {
		e.Cues[i] = oneLine(e.Cues[i])
	}
	faults := slices.Clone(unread)
	for _, f := range e.Check() {
		if !slices.ContainsFunc(faults, func(u fault.Field) bool { return u.Place == f.Place }) {
			faults = append(faults, f)
		}
	}
	return faults
}

// oneLine is text without breaks and blank ends.
func oneLine(text string) string { return strings.Join(strings.Fields(roster.Clean(text)), " ") }
