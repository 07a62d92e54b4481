package lift_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
	"halfhour.app/halfhour/internal/testing/fake"
)

var date = day.On(2026, time.April, 14)

// scene is a club with an athlete and a coach, at seven in the morning of a day that
// tests let pass.
type scene struct {
	*lift.Service
	t          require.TestingT
	ctx        *testing.T
	store      *fake.Store
	entry      *entry.Service
	now        time.Time
	keys       int
	ana        roster.AthleteID
	own, coach roster.Actor
}

func newScene(t *testing.T) *scene {
	t.Helper()
	s := &scene{t: t, ctx: t, store: fake.New(), now: date.UTC().Add(7 * time.Hour)}
	club, owner := s.store.Begin("Harbour", "mara@example.org", "hash")
	s.ana = s.store.Runner(club.ID, "Ana").ID
	s.own, s.coach = roster.Actor{Club: club.ID, Athlete: s.ana}, roster.Actor{Club: club.ID, Coach: owner.ID}
	clock := func() time.Time { return s.now }
	s.Service, s.entry = &lift.Service{Store: s.store, Now: clock}, &entry.Service{Store: s.store, Now: clock}
	return s
}

func (s *scene) key() roster.Key { s.keys++; return roster.Key(fmt.Sprintf("key-%04d", s.keys)) }

// one is a programme of one session with the one exercise, in sets of 8 to 12.
func one(exercise string) strength.Program {
	e, _ := strength.Standard().Find(exercise)
	return strength.Program{AWeek: 2, Sessions: []strength.Session{{Name: "A", Slots: []strength.Slot{
		{Patterns: []strength.Pattern{e.Pattern}, Exercise: exercise, Target: strength.Target{Sets: 2, Low: 8, High: 12, Reserve: 2}},
	}}}}
}

// give makes it the programme.
func (s *scene) give(p strength.Program) {
	kept, err := s.store.Strength(s.ctx.Context(), s.own.Club, s.ana)
	require.NoError(s.t, err)
	require.NoError(s.t, s.Give(s.ctx.Context(), s.coach, s.ana, kept.Program.ID, p, nil, s.key()))
}

func (s *scene) today() lift.Today {
	t, err := s.Today(s.ctx.Context(), s.own, s.ana, false)
	require.NoError(s.t, err)
	return t
}

// days lets so many days pass.
func (s *scene) days(n int) { s.now = s.now.AddDate(0, 0, n) }

// log does as the page does: checks what was told, and keeps it with the session.
func (s *scene) log(told lift.Told, change ...func(*entry.Entry)) (entry.Result, error) {
	kept, err := s.Told(s.ctx.Context(), s.own, s.ana, told)
	require.NoError(s.t, err)
	e := entry.Entry{
		Key: s.key(), Started: s.now, Kind: readiness.Strength, Minutes: kept.Minutes, PlannedMinutes: readiness.Some(told.Planned),
		Turn: kept.Turn, Lifts: kept.Lifts, PainAsked: true, Unread: kept.Faults,
	}
	for _, c := range change {
		c(&e)
	}
	return s.entry.Log(s.ctx.Context(), s.own, s.ana, e)
}

// did logs the sets of the first exercise of today's session, at so many grams.
func (s *scene) did(grams int, sets ...int) entry.Result {
	t := s.today()
	r, err := s.log(lift.Told{Turn: t.Turn, Planned: t.Minutes, Lifts: []roster.Lift{{Exercise: t.Lines[0].Exercise.ID, For: t.Lines[0].For, Grams: grams, Sets: sets}}})
	require.NoError(s.t, err)
	return r
}

// places are the places of the faults.
func places(err error) []string {
	var all []string
	for _, f := range fault.FieldsOf(err) {
		all = append(all, f.Place)
	}
	return all
}
