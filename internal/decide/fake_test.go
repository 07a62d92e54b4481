package decide_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// fake keeps a club in memory, with the promises of the Store.
type fake struct {
	athletes  map[roster.AthleteID]*roster.Athlete
	sessions  map[roster.AthleteID][]roster.Session
	decisions []roster.Decision
	down      roster.AthleteID // whose file cannot be read
}

func (f *fake) Shelf(context.Context, roster.ClubID, roster.PathwayID) (*roster.Shelf, error) {
	return &roster.Shelf{ID: 1, Name: "Half an hour", Version: 1, Pathway: *pathway.Default()}, nil
}

func (f *fake) File(_ context.Context, club roster.ClubID, id roster.AthleteID, _ day.Date) (roster.File, error) {
	a := f.athletes[id]
	if a == nil || a.Club != club {
		return roster.File{}, fault.New(fault.NotFound, "")
	}
	if id == f.down {
		return roster.File{}, fault.New(fault.Unavailable, "")
	}
	return roster.File{Athlete: *a, Sessions: f.sessions[id], Newest: f.newest(id)}, nil
}

func (f *fake) Sessions(_ context.Context, _ roster.ClubID, id roster.AthleteID) ([]roster.Session, error) {
	return f.sessions[id], nil
}

func (f *fake) newest(id roster.AthleteID) *roster.Decision {
	for i := range slices.Backward(f.decisions) {
		if d := &f.decisions[i]; d.Athlete == id && d.UndoneAt.IsZero() {
			return d
		}
	}
	return nil
}

func (f *fake) Keep(_ context.Context, _ roster.Actor, d roster.Decision, version int) (roster.DecisionID, error) {
	for _, o := range f.decisions {
		if o.Key == d.Key && o.UndoneAt.IsZero() {
			return o.ID, nil
		}
		if o.Key == d.Key {
			return 0, fault.New(fault.Conflict, "")
		}
	}
	a := f.athletes[d.Athlete]
	if a.Version != version {
		return 0, fault.New(fault.Conflict, "")
	}
	d.ID = roster.DecisionID(len(f.decisions) + 1)
	a.Standing = d.After
	a.Version++
	if d.Word != "" {
		a.CoachWord = d.Word
	}
	f.decisions = append(f.decisions, d)
	return d.ID, nil
}

func (f *fake) Decision(_ context.Context, _ roster.ClubID, id roster.DecisionID) (roster.Decision, error) {
	if id < 1 || int(id) > len(f.decisions) {
		return roster.Decision{}, fault.New(fault.NotFound, "")
	}
	return f.decisions[id-1], nil
}

func (f *fake) Undo(_ context.Context, _ roster.Actor, id roster.DecisionID, at time.Time) error {
	d := &f.decisions[id-1]
	if !d.UndoneAt.IsZero() {
		return nil
	}
	a := f.athletes[d.Athlete]
	if f.newest(d.Athlete) != d || a.Standing != d.After {
		return fault.New(fault.Conflict, "")
	}
	d.UndoneAt, a.Standing = at, d.Before
	a.Version++
	return nil
}

// scene is a club in Lisbon on Tuesday 14 April 2026 at eight in the morning.
type scene struct {
	*fake
	use *decide.Service
	now time.Time
}

var (
	tuesday = day.On(2026, 4, 14)
	coach   = roster.Actor{Club: 7, Coach: 2}
	ctx     = context.Background()
)

func newScene(t *testing.T) *scene {
	t.Helper()
	place, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	s := &scene{now: time.Date(2026, 4, 14, 8, 0, 0, 0, place)}
	s.fake = &fake{athletes: map[roster.AthleteID]*roster.Athlete{}, sessions: map[roster.AthleteID][]roster.Session{}}
	s.use = &decide.Service{Store: s.fake, Now: func() time.Time { return s.now }}
	return s
}

// on adds an athlete on a phase, in the second week of it, with the sessions.
func (s *scene) on(id roster.AthleteID, phase string, sessions ...roster.Session) *roster.Athlete {
	a := &roster.Athlete{
		ID: id, Club: 7, Name: "Ines Okafor", Zone: "Europe/Lisbon", SessionsAWeek: 3, HeartUsable: true, Version: 1,
		JoinedOn: tuesday - 60, Arrival: roster.Here, Standing: roster.Standing{Pathway: 1, Phase: phase, PhaseSince: tuesday - 10},
	}
	s.athletes[id], s.sessions[id] = a, sessions
	return a
}

// done is the phase's session, in full and easy, some days ago.
func done(phase string, ago day.Date, change ...func(*roster.Session)) roster.Session {
	p := pathway.Default()
	date := tuesday - ago
	s := roster.Session{ID: roster.SessionID(100 - ago), Version: 1, Session: readiness.Session{
		StartedAt: date.UTC().Add(6 * time.Hour), Date: date, Phase: phase, Effort: readiness.Some(4),
		Talk: readiness.Sentence, Breath: readiness.Early, PainAsked: true,
	}}
	for _, b := range p.Blocks(p.Find(phase)) {
		s.Blocks = append(s.Blocks, readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)})
	}
	for _, f := range change {
		f(&s)
	}
	return s
}

// ready are three good sessions of the phase: the gate is open.
func ready(phase string) []roster.Session {
	return []roster.Session{done(phase, 5), done(phase, 3), done(phase, 1)}
}

func (s *scene) ask(id roster.AthleteID, choice roster.Choice, change ...func(*decide.Ask)) (roster.Decision, error) {
	ask := decide.Ask{
		Athlete: id, Choice: choice, Version: s.athletes[id].Version,
		Key: roster.Key("key-" + string(choice) + s.now.Format("150405")),
	}
	for _, f := range change {
		f(&ask)
	}
	return s.use.Decide(ctx, coach, ask)
}

func because(reason string) func(*decide.Ask) { return func(a *decide.Ask) { a.Reason = reason } }
func to(phase string) func(*decide.Ask)       { return func(a *decide.Ask) { a.To = phase } }

func clearedBy(c roster.Clearance) func(*decide.Ask) {
	return func(a *decide.Ask) { a.Clearance = c }
}

func faultAt(t *testing.T, err error, place string) string {
	t.Helper()
	require.Equal(t, fault.Invalid, fault.KindOf(err), "%v", err)
	fields := fault.FieldsOf(err)
	require.Len(t, fields, 1)
	require.Equal(t, place, fields[0].Place, fields[0].Message)
	return fields[0].Message
}
