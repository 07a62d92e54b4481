package join

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// Review is what a coach looks at before confirming.
type Review struct {
	State
	Phase         string   // proposed to begin with; on Shelf
	Reasons       []string // why that phase, a sentence each
	SessionsAWeek int      // as answered; else as the athlete has it
	HeartUsable   bool     // as the answers have it; without answers as the athlete has it
}

// Review is for coaches only; a deputy is not shown what was answered.
func (s *Service) Review(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (*Review, error) {
	if err := onlyCoach(who); err != nil {
		return nil, err
	}
	t, err := s.State(ctx, who, athlete)
	if err != nil {
		return nil, err
	}
	v := &Review{State: *t, Phase: t.standsOn(), SessionsAWeek: t.Athlete.SessionsAWeek, HeartUsable: t.Athlete.HeartUsable}
	if t.Check == nil || t.Check.Source == roster.FromPaper {
		if t.Check != nil && t.Shelf.Find(t.Athlete.Phase) != pathway.NoRung {
			v.Phase = t.Athlete.Phase // where the coach who asked put them
		}
		return v, nil
	}
	v.HeartUsable = t.Result.Heart.Usable
	if t.newcomer && !t.Fresh {
		v.Phase, v.Reasons = t.Result.Start.On(&t.Shelf.Pathway), t.Result.Start.Reasons
	}
	if n, ok := number(t.Check, screening.Sessions); ok {
		v.SessionsAWeek = n
	}
	return v, nil
}

// onlyCoach keeps everybody else away from what a coach answers for.
func onlyCoach(who roster.Actor) error {
	switch {
	case who.Coach == 0:
		return fault.New(fault.Forbidden, "Only a coach does this.")
	case who.Deputy:
		return notForDeputies()
	}
	return nil
}

func notForDeputies() error {
	return fault.New(fault.Forbidden, "A deputy does not see what was answered about health. Please ask a coach.")
}

// number is the whole number that was answered.
func number(c *roster.HealthCheck, question string) (n int, ok bool) {
	given := screening.Answers(c.Answers).Given(question)
	if len(given) != 1 {
		return 0, false
	}
	n, err := strconv.Atoi(given[0])
	return n, err == nil
}

// Confirmation is where somebody begins, as the coach decides.
type Confirmation struct {
	Phase         string // phase
	SessionsAWeek int    // sessions_a_week; 2 to 6
	HeartUsable   bool
	Version       int // of the athlete as the coach saw them
}

// Confirm takes somebody in: from the athlete's date on they are here, on the phase.
// Birth year, times to train and resting heart rate go from the answers to where
// they are kept. Faults stand at phase and sessions_a_week. While a clearance is
// open, before the answers are in, and where somebody else was quicker it is
// fault.Conflict; confirmed already by the same coach in the same way is no error.
func (s *Service) Confirm(ctx context.Context, who roster.Actor, athlete roster.AthleteID, c Confirmation) error {
	if err := onlyCoach(who); err != nil {
		return err
	}
	t, err := s.State(ctx, who, athlete)
	if err != nil {
		return err
	}
	if t.confirmedBy(who, c) {
		return nil
	}
	if err := t.mayConfirm(); err != nil {
		return err
	}
	if err := fault.At(c.check(t)...); err != nil {
		return err
	}
	m := t.placed(c)
	m.Change, m.Athlete.Version = "athlete.confirm", c.Version
	if t.Check != nil {
		m.Check = *t.Check
		m.Check.SeenAt, m.Check.SeenBy = s.Now(), who.Coach
		m.Measured = resting(t.Check, s.Now())
	}
	return quicker(s.Store.Move(ctx, who, m), t)
}

// quicker says of a conflict what it means.
func quicker(err error, t *State) error {
	if fault.KindOf(err) != fault.Conflict {
		return err
	}
	return &fault.Error{Kind: fault.Conflict, Cause: err, Message: "Somebody else changed something about " + t.Athlete.Name + " meanwhile. Please look again."}
}

// confirmedBy says whether the coach confirmed just that already: the same form,
// sent twice.
func (t *State) confirmedBy(who roster.Actor, c Confirmation) bool {
	a := &t.Athlete
	return a.Arrival == roster.Here && a.ArrivalSince == t.Today && t.Check != nil && t.Check.SeenBy == who.Coach &&
		a.Phase == c.Phase && a.SessionsAWeek == c.SessionsAWeek && a.HeartUsable == c.HeartUsable
}

// mayConfirm says what comes before the coach's word.
func (t *State) mayConfirm() error {
	name, say := t.Athlete.Name, func(message string) error { return fault.New(fault.Conflict, message) }
	switch {
	case !t.Athlete.LeftAt.IsZero():
		return say(name + " has left the club.")
	case t.Athlete.Arrival == roster.Here:
		return say(name + " was taken in already.")
	case t.Athlete.Arrival == roster.Withdrawn:
		return say(name + " has taken the consent back.")
	case t.Athlete.Arrival != roster.Answered:
		return say(name + " has not answered the questions yet.")
	case t.Open:
		return say("A clearance is still open for " + name + ". Record it first: when it was given, by whom, and what is to be kept to.")
	}
	return nil
}

// Bounds of sessions a week (rule 7).
const fewest, most = 2, 6

func (c Confirmation) check(t *State) []fault.Field {
	var faults []fault.Field
	if t.Shelf.Find(c.Phase) == pathway.NoRung {
		faults = append(faults, fault.Field{Place: "phase", Message: "please choose the phase to begin with"})
	}
	if c.SessionsAWeek < fewest || c.SessionsAWeek > most {
		faults = append(faults, fault.Field{Place: "sessions_a_week", Message: fmt.Sprintf("please choose %d to %d sessions a week", fewest, most)})
	}
	return faults
}

// placed is the step of being taken in. Whoever trained here before keeps the date
// of joining, which the curves of months begin with.
func (t *State) placed(c Confirmation) Move {
	m := Move{Athlete: t.Athlete}
	a := &m.Athlete
	if t.newcomer {
		a.JoinedOn, a.LastPassed = t.Today, ""
	}
	if t.newcomer || a.Phase != c.Phase {
		a.Phase, a.PhaseSince = c.Phase, t.Today
	}
	a.Pathway, a.SessionsAWeek, a.HeartUsable = t.Shelf.ID, c.SessionsAWeek, c.HeartUsable
	a.Arrival, a.ArrivalSince, a.CheckSince = roster.Here, t.Today, 0
	if t.Check != nil {
		if born, ok := number(t.Check, screening.BirthYear); ok {
			a.BirthYear = born
		}
		if times := available(t.Check.Answers); times != 0 {
			a.Available = times
		}
	}
	return m
}

// resting is the resting heart rate that was answered, as it is kept; zero where
// there is none.
func resting(c *roster.HealthCheck, now time.Time) roster.Measurement {
	rate, ok := number(c, screening.Resting)
	if !ok {
		return roster.Measurement{}
	}
	return roster.Measurement{
		Athlete: c.Athlete, Key: roster.Key(fmt.Sprintf("joining-%d-resting", c.ID)), On: c.HandedOn,
		Kind: roster.RestMeasured, BPM: intensity.BPM(rate), At: now, ByCoach: c.ByCoach,
	}
}

// available are the times of the week that were answered.
func available(a screening.Answers) roster.Available {
	var times roster.Available
	for i, on := range screening.Weekdays() {
		for part, of := range screening.Parts() {
			if a.Has(screening.Times, on.Value+"-"+of.Value) {
				times = times.With(time.Weekday((i+1)%7), roster.DayPart(part))
			}
		}
	}
	return times
}
