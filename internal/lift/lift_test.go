package lift_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/internal/strength"
)

func TestNothingIsNextWithoutAProgramme(t *testing.T) {
	s := newScene(t)
	require.False(t, s.today().Has())
	require.Empty(t, s.today().Lines)
	s.give(strength.Default())
	require.True(t, s.today().Has())
	s.give(strength.Program{})
	require.False(t, s.today().Has(), "one without sessions ends it")
}

func TestTheSessionsTakeTurns(t *testing.T) {
	s := newScene(t)
	s.give(strength.Default())
	for _, want := range []string{"A", "B", "C", "A"} {
		today := s.today()
		require.Equal(t, want, today.Turn)
		require.Len(t, today.Lines, 6)
		require.Positive(t, today.Minutes)
		s.did(8000, 9, 9)
		s.days(2)
	}
	two, _ := lift.TemplateOf("two")
	s.give(two)
	require.Equal(t, "B", s.today().Turn, "after A comes B in the shorter one, too")
}

func TestLastTimesNumbersAndWhatIsNext(t *testing.T) {
	s := newScene(t)
	s.give(one("chair-squat"))
	l := s.today().Lines[0]
	require.Equal(t, strength.Begin, l.Next.Move)
	require.Nil(t, l.Last)
	require.Equal(t, 8, l.Count)

	for _, step := range []struct {
		why         string
		grams       int
		sets        []int
		move        strength.Move
		next, count int
	}{
		{"in the range: one more than the weakest", 4000, []int{10, 9}, strength.Repeat, 4000, 10},
		{"beaten once: as well again", 4000, []int{13, 14}, strength.Repeat, 4000, 13},
		{"beaten twice: the next dumbbell is a quarter heavier, so more repetitions first", 4000, []int{13, 13}, strength.Longer, 4000, 14},
		{"as many as make up for it, once", 4000, []int{18, 18}, strength.Longer, 4000, 19},
		{"and twice", 4000, []int{18, 19}, strength.NextBell, 5000, 8},
		{"under the range", 5000, []int{8, 6}, strength.Lighter, 4000, 8},
	} {
		s.did(step.grams, step.sets...)
		s.days(2)
		l := s.today().Lines[0]
		require.Equal(t, step.sets, l.Last.Sets, step.why)
		require.Equal(t, step.grams, l.Last.Grams, step.why)
		require.Equal(t, step.move, l.Next.Move, step.why)
		require.Equal(t, step.next, l.Next.Grams, step.why)
		require.NotEmpty(t, l.Words)
		require.Equal(t, step.count, l.Count, step.why)
	}
	s.days(20)
	l = s.today().Lines[0]
	require.Equal(t, strength.ComeBack, l.Next.Move)
	require.Equal(t, 4000, l.Next.Grams, "lighter after a long gap")
	require.Equal(t, 1, l.Next.Target.Sets)
}

// A harder form takes the place, keeps it also after a gap, and gives it back by the
// rule alone; another programme begins anew.
func TestAFormKeepsThePlaceItWasLedTo(t *testing.T) {
	s := newScene(t)
	s.give(one("squat"))
	for range 2 {
		s.did(0, 13, 13)
		s.days(2)
	}
	l := s.today().Lines[0]
	require.Equal(t, "chair-squat", l.Exercise.ID, "the harder form")
	require.Equal(t, "squat", l.For)
	require.Contains(t, l.Words, "harder form")
	s.did(6000, 9, 9)
	s.days(16)
	l = s.today().Lines[0]
	require.Equal(t, "chair-squat", l.Exercise.ID, "it is the newer evidence, also after a gap")
	require.Equal(t, strength.ComeBack, l.Next.Move)
	s.did(1000, 5, 5) // the lightest dumbbell, and under the range
	s.days(2)
	l = s.today().Lines[0]
	require.Equal(t, "sit-to-stand", l.Exercise.ID, "the easier form of that")
	require.Equal(t, 8, l.Count)
	s.give(one("goblet-squat"))
	require.Equal(t, "goblet-squat", s.today().Lines[0].Exercise.ID)
}

func TestTheSessionFitsTheAthlete(t *testing.T) {
	for _, c := range []struct {
		why      string
		prepare  func(*scene)
		swapped  string // the exercise that goes
		words    string
		guarded  string // what a deputy must not read in it; empty: nothing
		tomorrow bool
	}{
		{"a knee that hurts", func(s *scene) { s.told(1, readiness.Pain{Site: "left knee", Score: 4}) }, "chair-squat", "it loads the knee, which hurts", "knee, which", false},
		{"pregnant", func(s *scene) { s.answered(30, screening.Pregnant) }, "arm-leg-reach", "", "", false},
		{"no dumbbells", func(s *scene) { s.has(0) }, "chair-squat", "it needs dumbbells", "", false},
		{"a run tomorrow", func(*scene) {}, "chair-squat", "the next run is tomorrow", "", true},
	} {
		s := newScene(t)
		s.give(strength.Default())
		c.prepare(s)
		today, err := s.Today(t.Context(), s.own, s.ana, c.tomorrow)
		require.NoError(t, err, c.why)
		if c.words == "" {
			require.NotEmpty(t, today.Cautions, c.why)
			continue
		}
		said := ""
		for _, w := range today.Swaps {
			said += w.Words + "\n"
			if c.guarded != "" {
				require.NotContains(t, w.Guarded, c.guarded, c.why)
				require.Contains(t, w.Guarded, "left out today", c.why)
			}
		}
		require.Contains(t, said, c.words, c.why)
		for _, l := range today.Lines {
			require.NotEqual(t, c.swapped, l.Exercise.ID, c.why)
		}
	}
}

func TestWhenNothingIsPrescribed(t *testing.T) {
	for _, c := range []struct {
		why     string
		prepare func(*scene)
		way     lift.Way
	}{
		{"nothing in the way", func(*scene) {}, lift.Open},
		{"a stop sign", func(s *scene) { s.signed(readiness.ChestPressure) }, lift.Referred},
		{"a bone sign", func(s *scene) { s.signed(readiness.NightPain) }, lift.Referred},
		{"sent to a doctor by the coach", func(s *scene) { s.athlete(func(a *roster.Athlete) { a.Held = roster.Referred }) }, lift.Referred},
		{"running is paused", func(s *scene) { s.athlete(func(a *roster.Athlete) { a.Held = roster.Paused }) }, lift.WithCare},
		{"ill", func(s *scene) { s.away(roster.Ill) }, lift.GetWell},
		{"an injury", func(s *scene) { s.away(roster.Injured) }, lift.WithCare},
		{"on holiday", func(s *scene) { s.away(roster.OnHoliday) }, lift.Open},
		{"not here yet", func(s *scene) { s.athlete(func(a *roster.Athlete) { a.Arrival = roster.Invited }) }, lift.NotHereYet},
	} {
		s := newScene(t)
		s.give(strength.Default())
		c.prepare(s)
		today := s.today()
		require.Equal(t, c.way, today.Way, c.why)
		require.Equal(t, c.way <= lift.WithCare, len(today.Lines) > 0, c.why)
	}
}

// What hurt at an exercise some time ago, and is not told of any more, lets it come
// back, though no heavier.
func TestPainThatIsGoneLetsTheExerciseComeBack(t *testing.T) {
	s := newScene(t)
	s.give(one("chair-squat"))
	for range 2 {
		today := s.today()
		_, err := s.log(lift.Told{Turn: today.Turn, Planned: 10, Lifts: []roster.Lift{{Exercise: "chair-squat", For: "chair-squat", Grams: 8000, Sets: []int{13, 13}}}},
			func(e *entry.Entry) { e.Pain = []readiness.Pain{{Site: "right knee", Score: 4}} })
		require.NoError(t, err)
		s.days(2)
	}
	for _, l := range s.today().Lines {
		require.NotEqual(t, "chair-squat", l.Exercise.ID, "while it hurts")
	}
	s.told(1)
	s.told(0)
	l := s.today().Lines[0]
	require.Equal(t, "chair-squat", l.Exercise.ID)
	require.Equal(t, strength.Repeat, l.Next.Move)
	require.Equal(t, strength.SmallPain, l.Next.Why)
}

func TestWhatCanBeTold(t *testing.T) {
	squat := roster.Lift{Exercise: "chair-squat", For: "chair-squat", Grams: 8000, Sets: []int{10, 0, 9}}
	with := func(change func(*roster.Lift)) roster.Lift {
		l := squat
		change(&l)
		return l
	}
	for _, c := range []struct {
		why    string
		lift   roster.Lift
		places []string
	}{
		{"as it should be", squat, nil},
		{"of no library", with(func(l *roster.Lift) { l.Exercise = "handstand" }), []string{"lift[0].exercise"}},
		{"in nobody's place", with(func(l *roster.Lift) { l.For = "" }), []string{"lift[0].exercise"}},
		{"a set of a thousand", with(func(l *roster.Lift) { l.Sets = []int{1000} }), []string{"lift[0].set[0]"}},
		{"fewer than none", with(func(l *roster.Lift) { l.Sets = []int{3, -1} }), []string{"lift[0].set[1]"}},
		{"no weight said", with(func(l *roster.Lift) { l.Grams = 0 }), []string{"lift[0].kg"}},
		{"no weight, as it was left out", with(func(l *roster.Lift) { l.Grams, l.Sets = 0, []int{0} }), []string{"lift[0].set[0]"}},
		{"a car", with(func(l *roster.Lift) { l.Grams = 900_000 }), []string{"lift[0].kg"}},
		{"more left than anybody has", with(func(l *roster.Lift) { l.Reserve = readiness.Some(21) }), []string{"lift[0].left"}},
		{"no weight needed", roster.Lift{Exercise: "squat", For: "squat", Sets: []int{10}}, nil},
	} {
		s := newScene(t)
		_, err := s.log(lift.Told{Turn: "A", Planned: 20, Lifts: []roster.Lift{c.lift}})
		require.Equal(t, c.places, places(err), c.why)
		kept, err := s.store.Strength(t.Context(), s.own.Club, s.ana)
		require.NoError(t, err)
		require.Equal(t, c.places == nil, len(kept.Lifted) == 1, c.why)
	}
}

func TestMinutesAreAlwaysKept(t *testing.T) {
	s := newScene(t)
	lifts := []roster.Lift{{Exercise: "squat", For: "squat", Sets: []int{10, 0}}, {Exercise: "bridge", For: "bridge", Sets: []int{0, 0}}}
	r, err := s.log(lift.Told{Planned: 24, Lifts: lifts})
	require.NoError(t, err)
	require.Equal(t, readiness.Some(6), r.Session.Minutes, "one of four sets")
	require.Len(t, r.Session.Lifts, 1, "what was left out is not kept")
	s.days(1)
	r, err = s.log(lift.Told{Planned: 24, Minutes: readiness.Some(31), Lifts: lifts})
	require.NoError(t, err)
	require.Equal(t, readiness.Some(31), r.Session.Minutes, "as told")
}

// A logged session is load like any other: effort times minutes, in the week it was
// done (rules 2.3, 8.1), and no running.
func TestALoggedSessionIsLoad(t *testing.T) {
	s := newScene(t)
	s.give(strength.Default())
	load := func() (week, running float64) {
		file, err := s.store.File(t.Context(), s.own.Club, s.ana, date)
		require.NoError(t, err)
		p := pathway.Default()
		h := file.History(p, file.Athlete.Today(s.now))
		v := readiness.Assess(&h)
		return v.Load.Week, v.Load.RunMinutes
	}
	before, _ := load()
	require.Zero(t, before)
	_, err := s.log(lift.Told{Turn: "A", Planned: 24, Minutes: readiness.Some(20), Lifts: []roster.Lift{{Exercise: "squat", For: "squat", Sets: []int{10}}}},
		func(e *entry.Entry) { e.Effort = readiness.Some(4) })
	require.NoError(t, err)
	week, running := load()
	require.InDelta(t, 80.0, week, 1e-9, "effort 4 for 20 minutes")
	require.Zero(t, running)
}

func TestSentTwiceIsStoredOnce(t *testing.T) {
	s := newScene(t)
	same := func(e *entry.Entry) { e.Key = "the-same-key" }
	told := lift.Told{Turn: "A", Planned: 24, Lifts: []roster.Lift{{Exercise: "squat", For: "squat", Sets: []int{10}}}}
	first, err := s.log(told, same)
	require.NoError(t, err)
	again, err := s.log(told, same)
	require.NoError(t, err)
	require.True(t, again.Again)
	require.Equal(t, first.ID, again.ID)
	kept, err := s.store.Strength(t.Context(), s.own.Club, s.ana)
	require.NoError(t, err)
	require.Len(t, kept.Lifted, 1)
}

func TestCorrectingTheSets(t *testing.T) {
	s := newScene(t)
	s.give(one("chair-squat"))
	id := s.did(8000, 10, 10).ID
	told := lift.Told{Lifts: []roster.Lift{{Exercise: "chair-squat", For: "chair-squat", Grams: 6000, Sets: []int{7, 6}}}}
	require.NoError(t, s.Correct(t.Context(), s.own, s.ana, id, 1, told, nil))
	s.days(2)
	l := s.today().Lines[0]
	require.Equal(t, []int{7, 6}, l.Last.Sets)
	require.Equal(t, strength.Lighter, l.Next.Move, "under the range")
	err := s.Correct(t.Context(), s.own, s.ana, id, 1, told, nil)
	require.Equal(t, fault.Conflict, fault.KindOf(err), "of an older version")
	told.Lifts[0].Grams = -1
	require.Equal(t, []string{"lift[0].kg"}, places(s.Correct(t.Context(), s.own, s.ana, id, 2, told, nil)))
	require.Equal(t, fault.NotFound, fault.KindOf(s.Correct(t.Context(), s.own, s.ana, 999, 1, told, nil)))
	ben := s.store.Runner(s.own.Club, "Ben")
	require.Equal(t, fault.NotFound, fault.KindOf(s.Correct(t.Context(), roster.Actor{Club: s.own.Club, Athlete: ben.ID}, s.ana, id, 2, told, nil)))
}

// told logs a session some days ago in which pain was asked about.
func (s *scene) told(ago int, pain ...readiness.Pain) {
	on := day.Of(s.now, time.UTC) - day.Date(ago)
	s.store.Logged = append(s.store.Logged, roster.Session{ID: roster.SessionID(9000 + len(s.store.Logged)), Athlete: s.ana, Session: readiness.Session{
		Kind: readiness.Other, Minutes: readiness.Some(10), Date: on, StartedAt: on.UTC().Add(time.Hour), PainAsked: true, Pain: pain,
	}})
}

func (s *scene) signed(sign readiness.Sign) {
	s.store.Logged = append(s.store.Logged, roster.Session{Athlete: s.ana, Session: readiness.Session{
		Kind: readiness.Other, Minutes: readiness.Some(10), Date: date - 1, StartedAt: (date - 1).UTC().Add(time.Hour), Signs: []readiness.Sign{sign},
	}})
}

func (s *scene) answered(ago int, expecting string) {
	s.store.Checked = append(s.store.Checked, roster.HealthCheck{
		Athlete: s.ana, Answers: screening.Answers{screening.Expecting: {expecting}}, Source: roster.FromPhone,
		HandedAt: s.now.AddDate(0, 0, -ago), HandedOn: date - day.Date(ago),
	})
}

func (s *scene) has(g strength.Gear) {
	s.store.Kits[s.ana] = roster.Kit{Athlete: s.ana, Has: g, Rack: roster.UsualKit().Rack, At: s.now}
}

func (s *scene) athlete(change func(*roster.Athlete)) {
	a := s.store.Athletes[s.ana]
	change(&a)
	s.store.Athletes[s.ana] = a
}

func (s *scene) away(why roster.LeaveKind) {
	s.store.Leaving[1] = roster.Leave{ID: 1, Athlete: s.ana, Kind: why, Span: day.Span{From: date - 2, To: date + 2}}
}

func TestWhoMayChangeWhat(t *testing.T) {
	s := newScene(t)
	deputy := s.coach
	deputy.Deputy = true
	for _, c := range []struct {
		who  roster.Actor
		kind fault.Kind
		why  string
	}{
		{s.own, fault.NotFound, "an athlete changes no programme"}, {deputy, fault.Forbidden, "nor does a deputy"},
	} {
		require.Equal(t, c.kind, fault.KindOf(s.Give(t.Context(), c.who, s.ana, 0, strength.Default(), nil, s.key())), c.why)
		require.Equal(t, c.kind, fault.KindOf(s.Add(t.Context(), c.who, own(), nil, s.key())), c.why)
		require.Equal(t, c.kind, fault.KindOf(s.Change(t.Context(), c.who, roster.OwnExercise{Exercise: own()}, false, nil)), c.why)
	}
	require.NoError(t, s.Equip(t.Context(), s.own, s.ana, roster.UsualKit(), nil), "what there is, everybody may say")
	require.NoError(t, s.Equip(t.Context(), deputy, s.ana, roster.UsualKit(), nil))
	_, _, err := s.Library(t.Context(), s.own)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = s.Today(t.Context(), roster.Actor{Club: s.own.Club, Athlete: s.ana + 1}, s.ana, false)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func own() strength.Exercise {
	return strength.Exercise{Name: " Wall  sit ", Pattern: strength.Squat, Measure: strength.Hold, Level: 1, Cues: []string{"Back flat on\nthe wall."}, Loads: body.Knee}
}

func TestOwnExercises(t *testing.T) {
	s := newScene(t)
	require.NoError(t, s.Add(t.Context(), s.coach, own(), nil, "the-same-key"))
	require.NoError(t, s.Add(t.Context(), s.coach, own(), nil, "the-same-key"), "sent twice")
	all, library, err := s.Library(t.Context(), s.coach)
	require.NoError(t, err)
	require.Len(t, all, 1)
	require.Equal(t, "Wall sit", all[0].Name)
	require.Equal(t, []string{"Back flat on the wall."}, all[0].Cues)
	_, there := library.Find(all[0].ID)
	require.True(t, there)

	wrong := own()
	wrong.Name, wrong.Loads = "", 0
	require.Equal(t, []string{"loads", "name"}, places(s.Add(t.Context(), s.coach, wrong, nil, s.key())))

	p := one("squat")
	p.Sessions[0].Slots[0].Exercise = all[0].ID
	s.give(p)
	require.Equal(t, all[0].ID, s.today().Lines[0].Exercise.ID)
	require.NoError(t, s.Change(t.Context(), s.coach, all[0], true, nil))
	today := s.today()
	require.NotEqual(t, all[0].ID, today.Lines[0].Exercise.ID, "put away: another stands in its place")
	require.Contains(t, today.Swaps[0].Words, "Wall sit: it is no longer in the library")
	require.Equal(t, fault.Conflict, fault.KindOf(s.Change(t.Context(), s.coach, all[0], false, nil)), "of an older version")
}

func TestGiving(t *testing.T) {
	s := newScene(t)
	p := strength.Default()
	p.Sessions[0].Slots[2].Target.Sets = 9
	require.Equal(t, []string{"sessions[0].slots[2].sets"}, places(s.Give(t.Context(), s.coach, s.ana, 0, p, nil, s.key())))
	require.Equal(t, []string{"key"}, places(s.Give(t.Context(), s.coach, s.ana, 0, strength.Default(), nil, "x")))
	s.give(strength.Default())
	require.Equal(t, fault.Conflict, fault.KindOf(s.Give(t.Context(), s.coach, s.ana, 0, strength.Default(), nil, s.key())), "made of an older one")
	for _, template := range lift.Templates() {
		require.Empty(t, template.Program.Check(strength.Standard()), template.Name)
	}
	_, there := lift.TemplateOf("nine")
	require.False(t, there)
	require.Equal(t, []string{"rack.list"}, places(s.Equip(t.Context(), s.own, s.ana, roster.Kit{Has: strength.Dumbbells, Rack: strength.Rack{List: []int{1}}}, nil)))
	require.NoError(t, s.Equip(t.Context(), s.own, s.ana, roster.Kit{Has: strength.Band}, nil), "without dumbbells there is no rack to ask for")
}
