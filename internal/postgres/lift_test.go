package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

// ownExercise is one that a coach may add.
func ownExercise() strength.Exercise {
	return strength.Exercise{
		Name: "Wall sit", Pattern: strength.Squat, Measure: strength.Hold, Level: 1, Cues: []string{"Back flat on the wall.", "Stay."},
		Easier: "Sit higher.", Harder: "squat", Caution: "Shoes that do not slip.", Loads: body.Knee | body.Achilles, Demands: body.Strains, Hard: true,
	}
}

// lifting is a strength session so many days ago with what was done of two exercises.
func (b *bench) lifting(a roster.Athlete, ago int) roster.Session {
	s := b.session(a, ago)
	s.Session = readiness.Session{
		StartedAt: s.StartedAt, Date: s.Date, Kind: readiness.Strength, Minutes: readiness.Some(24), PlannedMinutes: readiness.Some(25),
		Effort: readiness.Some(4), PainAsked: true, Pain: []readiness.Pain{{Site: "left knee", Score: 2, NextMorning: readiness.Some(1)}},
	}
	s.Turn = "A"
	s.Lifts = []roster.Lift{
		{Exercise: "goblet-squat", For: "chair-squat", Grams: 8000, Sets: []int{10, 10, 9}, Reserve: readiness.Some(2)},
		{Exercise: "plank", For: "plank", Sets: []int{30}},
	}
	return s
}

// lift gives the athlete a programme, a kit, an exercise of the club and a session.
func (b *bench) lift(t *testing.T, c club, a roster.Athlete) {
	t.Helper()
	_, err := b.GiveProgram(t.Context(), c.Actor, 0, roster.Program{Athlete: a.ID, Program: strength.Default(), At: noon}, b.key())
	require.NoError(t, err)
	require.NoError(t, b.SetKit(t.Context(), c.Actor, roster.Kit{Athlete: a.ID, Has: strength.Dumbbells | strength.Band, Rack: strength.Rack{List: []int{2000, 4000}}, At: noon}))
	_, err = b.AddExercise(t.Context(), c.Actor, ownExercise(), noon, b.key())
	require.NoError(t, err)
	b.log(t, c, b.lifting(a, 2))
}

func TestWhatWasLiftedIsKeptWithItsSession(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a, ben := b.athlete(t, c, "Ana"), b.athlete(t, c, "Ben")
	session := b.lifting(a, 2)
	id, again, err := b.Log(t.Context(), c.Actor, session, 0)
	require.NoError(t, err)
	require.False(t, again)
	twice, again, err := b.Log(t.Context(), c.Actor, session, 0)
	require.NoError(t, err)
	require.True(t, again, "the same key")
	require.Equal(t, id, twice)
	older := b.lifting(a, 5)
	older.Lifts = older.Lifts[:1]
	b.log(t, c, older)
	b.log(t, c, b.lifting(ben, 2))

	read := func(club roster.ClubID, of roster.AthleteID) []roster.Lifted {
		all, err := b.Strength(t.Context(), club, of)
		require.NoError(t, err)
		return all.Lifted
	}
	all := read(c.ID, a.ID)
	require.Len(t, all, 2)
	require.Equal(t, roster.Lifted{Session: id, Date: session.Date, StartedAt: session.StartedAt.UTC(), Turn: "A", Lifts: session.Lifts, Pain: session.Pain}, all[0], "the newest first")
	require.Empty(t, read(other.ID, a.ID), "another club")

	stored, err := b.Session(t.Context(), c.ID, a.ID, id)
	require.NoError(t, err)
	stored.Date, stored.StartedAt, stored.Pain = stored.Date-1, stored.StartedAt.Add(-24*time.Hour), nil
	require.NoError(t, b.Correct(t.Context(), c.Actor, stored, 0))
	all = read(c.ID, a.ID)
	require.Equal(t, stored.Date, all[0].Date, "what is corrected of the session is so here")
	require.Empty(t, all[0].Pain)
	require.Equal(t, session.Lifts, all[0].Lifts, "and leaves what was lifted")

	changed := []roster.Lift{{Exercise: "squat", For: "squat", Sets: []int{12, 12}}}
	kind(t, fault.Conflict, b.Relift(t.Context(), c.Actor, a.ID, id, 1, changed, noon), "of an older version")
	require.NoError(t, b.Relift(t.Context(), c.Actor, a.ID, id, 2, changed, noon))
	require.Equal(t, changed, read(c.ID, a.ID)[0].Lifts)
	stored, err = b.Session(t.Context(), c.ID, a.ID, id)
	require.NoError(t, err)
	require.Equal(t, 3, stored.Version)

	stored.Kind, stored.PlannedMinutes = readiness.Other, readiness.Maybe{}
	require.NoError(t, b.Correct(t.Context(), c.Actor, stored, 0))
	require.Len(t, read(c.ID, a.ID), 1, "what is no strength session any more was not lifted")
	require.NoError(t, b.Delete(t.Context(), c.Actor, a.ID, id, 4))
	require.Len(t, read(c.ID, a.ID), 1)
	require.Equal(t, 2, value[int](t, b, "select count(*)::int from lifted"), "it goes with the session")
}

// Weeks know which strength was hard on the legs, where its exercises were told.
func TestWhichStrengthWasHardOnTheLegs(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a, ben := b.athlete(t, c, "Ana"), b.athlete(t, c, "Ben")
	own, err := b.AddExercise(t.Context(), c.Actor, ownExercise(), noon, b.key())
	require.NoError(t, err)
	wallSit, theirs := ownID(own), b.athlete(t, other, "Cy")
	log := func(c club, a roster.Athlete, ago int, exercises ...string) roster.SessionID {
		s := b.lifting(a, ago)
		s.Lifts = nil
		for _, e := range exercises {
			s.Lifts = append(s.Lifts, roster.Lift{Exercise: e, For: e, Sets: []int{10}})
		}
		return b.log(t, c, s).ID
	}
	want := map[roster.SessionID]bool{
		log(c, a, 2, "plank", "goblet-squat"): true, log(c, a, 4, "plank"): false, log(c, a, 6, "plank", wallSit): true,
	}
	for _, of := range []roster.Program{{At: noon}, {At: noon.Add(time.Hour)}} {
		newest := roster.ProgramID(value[int64](t, b, "select coalesce(max(program_id), 0) from program"))
		_, err = b.GiveProgram(t.Context(), c.Actor, newest, roster.Program{Athlete: a.ID, Program: strength.Default(), At: of.At}, b.key())
		require.NoError(t, err)
	}
	log(c, a, 8)                   // nothing told
	log(c, a, 40, "squat")         // long ago
	log(other, theirs, 2, "squat") // another club's
	bens := log(c, ben, 2, "squat")
	w, err := b.Wanted(t.Context(), c.ID, a.ID, today-30)
	require.NoError(t, err)
	require.Equal(t, want, w.Legs)
	require.Equal(t, map[roster.AthleteID]time.Time{a.ID: noon}, w.Given, "the first that was given")
	want[bens] = true
	w, err = b.Wanted(t.Context(), c.ID, 0, today-30)
	require.NoError(t, err)
	require.Equal(t, want, w.Legs, "everybody's")
	require.Equal(t, map[roster.AthleteID]time.Time{a.ID: noon}, w.Given)
}

func TestProgrammesAreVersions(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	all, err := b.Strength(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, roster.Strength{Kit: roster.UsualKit()}, all, "nothing yet")

	key := b.key()
	given := roster.Program{Athlete: a.ID, Program: strength.Default(), At: noon, Hard: 2}
	first, err := b.GiveProgram(t.Context(), c.Actor, 0, given, key)
	require.NoError(t, err)
	inWeek := func() [2]int {
		now, err := b.Athlete(t.Context(), c.ID, a.ID)
		require.NoError(t, err)
		return [2]int{now.Strength, now.Legs}
	}
	require.Equal(t, [2]int{given.AWeek, 2}, inWeek(), "the weeks have as many from now on")
	given.Hard = 0
	again, err := b.GiveProgram(t.Context(), c.Actor, 0, given, key)
	require.NoError(t, err)
	require.Equal(t, first, again, "the same key is the same version")
	_, err = b.GiveProgram(t.Context(), c.Actor, 0, given, b.key())
	require.Equal(t, fault.Conflict, fault.KindOf(err), "made of an older one")
	all, err = b.Strength(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	given.ID, given.ByCoach, given.By = first, c.Coach, "Owner of Harbour"
	require.Equal(t, given, all.Program)

	ended := roster.Program{Athlete: a.ID, Program: strength.Program{AWeek: 2}, At: noon}
	_, err = b.GiveProgram(t.Context(), c.Actor, first, ended, b.key())
	require.NoError(t, err)
	all, err = b.Strength(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Empty(t, all.Program.Sessions)
	require.Equal(t, [2]int{0, 0}, inWeek(), "ended, there are none")
	_, err = b.GiveProgram(t.Context(), c.Actor, 0, roster.Program{Athlete: 987654, Program: strength.Default(), At: noon}, b.key())
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestKitsAndOwnExercises(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	for _, k := range []roster.Kit{
		{Athlete: a.ID, Has: strength.Dumbbells | strength.Step, Rack: strength.Rack{List: []int{2000, 7500}}, At: noon},
		{Athlete: a.ID, Has: strength.Dumbbells, Rack: strength.Rack{Least: 1000, Most: 12_000, Step: 500}, At: noon.Add(time.Hour)},
	} {
		require.NoError(t, b.SetKit(t.Context(), c.Actor, k))
		all, err := b.Strength(t.Context(), c.ID, a.ID)
		require.NoError(t, err)
		require.Equal(t, k, all.Kit, "the last word holds")
	}
	key := b.key()
	number, err := b.AddExercise(t.Context(), c.Actor, ownExercise(), noon, key)
	require.NoError(t, err)
	again, err := b.AddExercise(t.Context(), c.Actor, ownExercise(), noon, key)
	require.NoError(t, err)
	require.Equal(t, number, again)
	own, err := b.Exercises(t.Context(), c.ID)
	require.NoError(t, err)
	e := ownExercise()
	e.ID = ownID(number)
	require.Equal(t, []roster.OwnExercise{{Number: number, Exercise: e, Version: 1}}, own)
	theirs, err := b.Exercises(t.Context(), other.ID)
	require.NoError(t, err)
	require.Empty(t, theirs)

	own[0].Name, own[0].AwayAt, own[0].Demands = "Wall sit, low", noon, body.Hops
	require.NoError(t, b.ChangeExercise(t.Context(), c.Actor, own[0]))
	kind(t, fault.Conflict, b.ChangeExercise(t.Context(), c.Actor, own[0]), "of an older version")
	own[0].Version = 2
	read, err := b.Exercises(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, own, read)
}

// liftThatCannotBe are rows that break a constraint each, by its name.
func liftThatCannotBe() [][2]string {
	program := func(column, value string) string {
		columns := "club_id, athlete_id, key, coach_id, at, a_week, names, sizes, exercises, patterns, sets, low, high, reserve"
		values := "club_id, athlete_id, "
		for _, name := range []string{"key", "coach_id", "at", "a_week", "names", "sizes", "exercises", "patterns", "sets", "low", "high", "reserve"} {
			switch {
			case name == column:
				name = value
			case name == "key":
				name = "'another-key'"
			}
			values += name + ", "
		}
		return "insert into program (" + columns + ") select " + values[:len(values)-2] + " from program"
	}
	exercise := func(column, value string) string { return "update exercise set " + column + " = " + value }
	return [][2]string{
		{"program_key_once", program("key", "key")},
		{"program_a_week", program("a_week", "4")},
		{"program_names", program("names", "array['A', '', 'C']")},
		{"program_names", program("names", "array[repeat('x', 181), 'B', 'C']")},
		{"program_patterns", program("patterns", "array[null::text]")},
		{"program_slots", program("sets", "'{2}'")},
		{"program_slots", program("sizes", "'{6}'")},
		{"slot_numbers", program("low", "'{121}'")},
		{"slot_numbers", program("low", "'{null}'")},
		{"exercise_ids", program("exercises", "array['']")},
		{"exercise_ids", program("exercises", "array[null::text]")},
		{"kit_has", "update kit set has = array['rocket']"},
		{"kit_weights", "update kit set weights = '{99}'"},
		{"kit_weights", "update kit set weights = '{null}'"},
		{"kit_rack", "update kit set most = 100001"},
		{"lifted_turn", "insert into lifted (club_id, athlete_id, session_id, turn, exercises, stood_for, grams, reserve, sets, counts) select club_id, athlete_id, -1, repeat('x', 61), exercises, stood_for, grams, reserve, sets, counts from lifted"},
		{"lifted_grams", "update lifted set grams = '{-1, 0}'"},
		{"lifted_reserve", "update lifted set reserve = '{21, 0}'"},
		{"lifted_counts", "update lifted set counts = '{0}'"},
		{"lifted_lists", "update lifted set sets = '{1}'"},
		{"exercise_key_once", "insert into exercise (club_id, key, coach_id, at, name, pattern, needs, measure, sides, level, cues, easier, harder, caution, loads, hard, on_back, on_front, strains, hops) select club_id, key, coach_id, at, name, pattern, needs, measure, sides, level, cues, easier, harder, caution, loads, hard, on_back, on_front, strains, hops from exercise"},
		{"exercise_name", exercise("name", "''")},
		{"exercise_pattern", exercise("pattern", "'twist'")},
		{"exercise_needs", exercise("needs", "array['rocket']")},
		{"exercise_measure", exercise("measure", "'miles'")},
		{"exercise_level", exercise("level", "4")},
		{"exercise_cues", exercise("cues", "'{}'")},
		{"exercise_easier", exercise("easier", "repeat('x', 201)")},
		{"exercise_harder", exercise("harder", "repeat('x', 201)")},
		{"exercise_caution", exercise("caution", "repeat('x', 201)")},
		{"exercise_loads", exercise("loads", "'{}'")},
		{"exercise_loads", exercise("loads", "array['soul']")},
	}
}
