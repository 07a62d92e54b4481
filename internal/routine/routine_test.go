package routine_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/routine"
	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/internal/testing/fake"
	"halfhour.app/halfhour/internal/warmup"
)

// scene is a club with an athlete and a coach, at seven in the morning.
type scene struct {
	*routine.Service
	t          *testing.T
	store      *fake.Store
	ana        roster.AthleteID
	own, coach roster.Actor
}

var now = time.Date(2026, time.April, 14, 6, 0, 0, 0, time.UTC)

func newScene(t *testing.T) *scene {
	t.Helper()
	s := &scene{t: t, store: fake.New()}
	club, owner := s.store.Begin("Harbour", "mara@example.org", "hash")
	s.ana = s.store.Runner(club.ID, "Ana").ID
	s.own, s.coach = roster.Actor{Club: club.ID, Athlete: s.ana}, roster.Actor{Club: club.ID, Coach: owner.ID}
	s.Service = &routine.Service{Store: s.store, Now: func() time.Time { return now }}
	return s
}

// fitted is the routine as it fits the athlete, and the movements of it.
func (s *scene) fitted() (routine.Fitted, []string) {
	s.t.Helper()
	f, err := s.For(s.t.Context(), s.own, s.ana)
	require.NoError(s.t, err)
	var moves []string
	for _, step := range f.Before {
		moves = append(moves, step.Move)
	}
	return f, moves
}

// told logs a session some days ago in which pain was asked about.
func (s *scene) told(ago int, pain ...readiness.Pain) {
	date := day.On(2026, 4, 14) - day.Date(ago)
	s.store.Logged = append(s.store.Logged, roster.Session{Athlete: s.ana, Session: readiness.Session{
		Kind: readiness.Planned, Date: date, StartedAt: date.UTC().Add(time.Hour), PainAsked: true, Pain: pain,
	}})
}

// answered hands in health questions so many days ago.
func (s *scene) answered(ago int, source roster.Source, expecting ...string) {
	a := screening.Answers{screening.Expecting: expecting}
	if len(expecting) == 2 {
		a = screening.Answers{screening.Expecting: expecting[:1], screening.BornWeeks: expecting[1:]}
	}
	s.store.Checked = append(s.store.Checked, roster.HealthCheck{
		Athlete: s.ana, Answers: a, Source: source, HandedAt: now.AddDate(0, 0, -ago), HandedOn: day.On(2026, 4, 14) - day.Date(ago),
	})
}

func TestTheRoutineFitsTheAthlete(t *testing.T) {
	for _, c := range []struct {
		why     string
		prepare func(*scene)
		out     []string // movements that are left out, with the cause
		has     []string
	}{
		{"no roller, nothing hurts", func(*scene) {}, []string{"roll-calves", "roll-thighs"}, []string{"easy-walk", "skips"}},
		{"a roller", func(s *scene) { require.NoError(s.t, s.SetRoller(s.t.Context(), s.own, true)) }, nil, []string{"roll-calves"}},
		{"the knee hurt last time", func(s *scene) { s.told(1, readiness.Pain{Site: "left knee", Score: 4}) },
			[]string{"roll-calves", "roll-thighs", "lunge-reach", "squat-reach", "skips"}, []string{"leg-swings", "march"}},
		{"only the next morning was bad", func(s *scene) { s.told(1, readiness.Pain{Site: "left knee", Score: 1, NextMorning: readiness.Some(3)}) },
			[]string{"roll-calves", "roll-thighs", "lunge-reach", "squat-reach", "skips"}, nil},
		{"two sessions ago still counts", func(s *scene) { s.told(3, readiness.Pain{Site: "right hip", Score: 5}); s.told(1) },
			[]string{"roll-calves", "roll-thighs", "leg-swings", "lunge-reach", "squat-reach", "march"}, []string{"ankle-rocks", "bow"}},
		{"three sessions ago does not", func(s *scene) { s.told(5, readiness.Pain{Site: "right hip", Score: 5}); s.told(3); s.told(1) },
			[]string{"roll-calves", "roll-thighs"}, nil},
		{"nor does what is two weeks old", func(s *scene) { s.told(14, readiness.Pain{Site: "right hip", Score: 5}) },
			[]string{"roll-calves", "roll-thighs"}, nil},
		{"pregnant: no hops", func(s *scene) { s.answered(30, roster.FromPhone, screening.Pregnant) },
			[]string{"roll-calves", "roll-thighs", "skips"}, []string{"march"}},
		{"not sure counts as pregnant", func(s *scene) { s.answered(30, roster.FromPhone, screening.Unsure) },
			[]string{"roll-calves", "roll-thighs", "skips"}, nil},
		{"a birth four weeks before the answers, seven weeks ago", func(s *scene) { s.answered(49, roster.FromPhone, screening.Born, "4") },
			[]string{"roll-calves", "roll-thighs", "skips"}, nil},
		{"twelve weeks after a birth", func(s *scene) { s.answered(56, roster.FromPhone, screening.Born, "4") },
			[]string{"roll-calves", "roll-thighs"}, []string{"skips"}},
		{"on paper nothing is known here", func(s *scene) { s.answered(3, roster.FromPaper) }, []string{"roll-calves", "roll-thighs"}, nil},
		{"the newest answers count", func(s *scene) {
			s.answered(300, roster.FromPhone, screening.Pregnant)
			s.answered(1, roster.FromPhone, screening.No)
		}, []string{"roll-calves", "roll-thighs"}, []string{"skips"}},
	} {
		s := newScene(t)
		c.prepare(s)
		f, moves := s.fitted()
		var out []string
		for i := range f.Out {
			out = append(out, f.Out[i].Move)
			require.NotEmpty(t, f.Out[i].Words(), c.why)
		}
		require.Equal(t, c.out, out, c.why)
		require.Subset(t, moves, c.has, c.why)
		require.NotEmpty(t, f.After, c.why)
	}
}

func TestPainThatNobodyRecognises(t *testing.T) {
	s := newScene(t)
	s.told(1, readiness.Pain{Site: "that old thing", Score: 5})
	f, _ := s.fitted()
	require.Equal(t, []body.Pain{{Words: "that old thing", Score: 5}}, f.Unknown)
	require.False(t, f.Asked)
}

// What is left out tells of health, so that it is nobody's but the athlete's.
func TestOnlyTheAthleteSeesWhatFits(t *testing.T) {
	s := newScene(t)
	other := s.store.Runner(s.own.Club, "Ben").ID
	for _, who := range []roster.Actor{s.coach, {Club: s.own.Club, Athlete: other}, {Club: s.own.Club}} {
		_, err := s.For(t.Context(), who, s.ana)
		require.Equal(t, fault.NotFound, fault.KindOf(err))
		require.Equal(t, who.Athlete != other, fault.KindOf(s.SetRoller(t.Context(), who, true)) == fault.NotFound)
	}
	require.False(t, s.store.Rollers[s.ana])
}

func TestEditing(t *testing.T) {
	s := newScene(t)
	ctx := t.Context()
	r := warmup.Default()
	r.Before = append(r.Before[:1], r.Before[3:]...) // nobody here has a roller
	first, err := s.Edit(ctx, s.coach, 0, r, nil, "key-of-the-form")
	require.NoError(t, err)
	has, err := s.Repertoire(ctx, s.coach)
	require.NoError(t, err)
	require.Equal(t, roster.Routine{ID: first, Routine: r, At: now, By: "Owner of Harbour"}, has.Routine)
	f, _ := s.fitted()
	require.Equal(t, r.Before, f.Before)
	require.Equal(t, 530, f.Seconds(f.Before))

	again, err := s.Edit(ctx, s.coach, 0, r, nil, "key-of-the-form")
	require.NoError(t, err)
	require.Equal(t, first, again, "sent twice, kept once")
	_, err = s.Edit(ctx, s.coach, 0, r, nil, "key-of-another")
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	require.Contains(t, fault.MessageOf(err), "meanwhile")

	bad := r
	bad.After = []warmup.Step{{Move: "cool-walk", Count: 5}}
	_, err = s.Edit(ctx, s.coach, first, bad, nil, "key-of-a-mistake")
	require.Equal(t, "after", fault.FieldsOf(err)[0].Place)
	_, err = s.Edit(ctx, s.coach, first, bad, []fault.Field{{Place: "before[1].count", Message: "a whole number, please"}}, "key-of-a-mistake")
	require.Equal(t, []fault.Field{{Place: "before[1].count", Message: "a whole number, please"}}, fault.FieldsOf(err), "what can be read is looked at first")

	require.NoError(t, s.Reset(ctx, s.coach, first, "key-of-the-way-back"))
	has, err = s.Repertoire(ctx, s.coach)
	require.NoError(t, err)
	require.Equal(t, warmup.Default(), has.Routine.Routine)
	require.NotEqual(t, first, has.Routine.ID, "a version of its own")
}

func TestOwnMovements(t *testing.T) {
	s := newScene(t)
	ctx := t.Context()
	windmill := warmup.Move{Name: " Wind\n mill ", Kind: warmup.Dynamic, How: "Reach for one foot after the other.", Usual: 6, Loads: body.Back}
	number, err := s.Add(ctx, s.coach, windmill, nil, "key-of-the-move")
	require.NoError(t, err)
	has, err := s.Repertoire(ctx, s.coach)
	require.NoError(t, err)
	id := has.Movements[0].ID
	m, known := has.Library().Find(id)
	require.True(t, known)
	require.Equal(t, "Wind mill", m.Name, "on one line")

	r := warmup.Default()
	r.Before[3] = warmup.Step{Move: id, Count: 6}
	version, err := s.Edit(ctx, s.coach, 0, r, nil, "key-of-the-form")
	require.NoError(t, err)
	require.NoError(t, s.PutAway(ctx, s.coach, number))
	_, moves := s.fitted()
	require.Contains(t, moves, id, "the routine that has it keeps it")
	require.NoError(t, s.Reset(ctx, s.coach, version, "key-of-the-way-back"))
	has, err = s.Repertoire(ctx, s.coach)
	require.NoError(t, err)
	_, known = has.Library().Find(id)
	require.False(t, known, "then it is gone from what can be chosen")

	_, err = s.Add(ctx, s.coach, warmup.Move{Kind: warmup.Dynamic, Usual: 99}, []fault.Field{{Place: "usual", Message: "a whole number, please"}}, "key-of-nothing")
	places := map[string]string{}
	for _, f := range fault.FieldsOf(err) {
		require.NotContains(t, places, f.Place, "each place once")
		places[f.Place] = f.Message
	}
	require.Len(t, places, 4)
	require.Equal(t, "a whole number, please", places["usual"])
	for n := range routine.MostMovements {
		_, err = s.Add(ctx, s.coach, windmill, nil, roster.Key("key-of-many-"+string(rune('A'+n))))
		require.NoError(t, err)
	}
	_, err = s.Add(ctx, s.coach, windmill, nil, "key-of-one-too-many")
	require.Equal(t, "name", fault.FieldsOf(err)[0].Place)
}

func TestWhoEdits(t *testing.T) {
	s := newScene(t)
	ctx := t.Context()
	deputy := s.coach
	deputy.Deputy = true
	for who, kind := range map[roster.Actor]fault.Kind{s.own: fault.NotFound, deputy: fault.Forbidden} {
		_, err := s.Edit(ctx, who, 0, warmup.Default(), nil, "key-of-the-form")
		require.Equal(t, kind, fault.KindOf(err))
		require.Equal(t, kind, fault.KindOf(s.Reset(ctx, who, 0, "key-of-the-form")))
		_, err = s.Add(ctx, who, warmup.Move{}, nil, "key-of-the-form")
		require.Equal(t, kind, fault.KindOf(err))
		require.Equal(t, kind, fault.KindOf(s.PutAway(ctx, who, 1)))
	}
	_, err := s.Repertoire(ctx, s.own)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	require.Empty(t, s.store.Audit)
}
