package postgres

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/warmup"
	"halfhour.app/halfhour/internal/weather"
)

// ownMove is a movement that a coach may add.
func ownMove() warmup.Move {
	return warmup.Move{
		Name: "Windmill", Kind: warmup.Dynamic, How: "Feet apart, reach for one foot after the other.", Sides: true, Usual: 6,
		Loads: body.Back | body.Achilles, Demands: body.Strains | body.Hops,
	}
}

func TestWeatherIsKeptOnceAndReadBack(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a, ben := b.athlete(t, c, "Ana"), b.athlete(t, c, "Ben")
	ana := roster.Actor{Club: c.ID, Athlete: a.ID}
	own := roster.Weather{Athlete: a.ID, Air: weather.Air{Tenths: -35, Shade: true}, At: noon, ToldAt: noon}
	key := b.key()
	id, err := b.TellWeather(t.Context(), ana, own, key)
	require.NoError(t, err)
	again, err := b.TellWeather(t.Context(), ana, own, key)
	require.NoError(t, err)
	require.Equal(t, id, again, "the same key is the same weather")
	clubs := roster.Weather{Air: weather.Air{Tenths: 312, Humidity: 55}, At: noon.Add(6 * time.Hour), ToldAt: noon.Add(time.Minute), ByCoach: c.Coach}
	_, err = b.TellWeather(t.Context(), c.Actor, clubs, key)
	require.NoError(t, err, "a coach's key is another")

	read := func(club roster.ClubID, of roster.AthleteID, from, to time.Time) []roster.Weather {
		all, err := b.Weather(t.Context(), club, of, from, to)
		require.NoError(t, err)
		for i := range all {
			all[i].ID = 0
		}
		return all
	}
	clubs.By = "Owner of Harbour"
	day := 24 * time.Hour
	require.Equal(t, []roster.Weather{clubs, own}, read(c.ID, a.ID, noon, noon.Add(day)), "the newest told first")
	require.Equal(t, []roster.Weather{clubs}, read(c.ID, ben.ID, noon, noon.Add(day)), "another's own is not for him")
	require.Equal(t, []roster.Weather{clubs}, read(c.ID, 0, noon, noon.Add(day)))
	require.Equal(t, []roster.Weather{own}, read(c.ID, a.ID, noon, noon.Add(6*time.Hour)), "to before the second instant")
	require.Empty(t, read(other.ID, a.ID, noon, noon.Add(day)), "another club")
}

func TestOldWeatherGoesWithNew(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a, ben := b.athlete(t, c, "Ana"), b.athlete(t, c, "Ben")
	tell := func(of roster.AthleteID, at time.Time) {
		who := roster.Actor{Club: c.ID, Athlete: of}
		w := roster.Weather{Athlete: of, Air: weather.Air{Tenths: 200, Humidity: 50}, At: at, ToldAt: at}
		if of == 0 {
			who, w.ByCoach = c.Actor, c.Coach
		}
		_, err := b.TellWeather(t.Context(), who, w, b.key())
		require.NoError(t, err)
	}
	for _, of := range []roster.AthleteID{0, a.ID, ben.ID} {
		tell(of, noon)
	}
	tell(a.ID, noon.AddDate(0, 0, outdoors.KeptDays))
	require.Equal(t, 4, value[int](t, b, "select count(*)::int from weather"), "two weeks old is not older than that")
	tell(a.ID, noon.AddDate(0, 0, outdoors.KeptDays).Add(time.Second))
	require.Equal(t, []roster.AthleteID{ben.ID, a.ID, a.ID}, valuesOf[roster.AthleteID](t, b.admin, "select athlete_id from weather order by weather_id"),
		"the club's and her own went; his he tells himself")
}

func TestWeatherThatCannotBe(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	for _, k := range []struct {
		why string
		w   roster.Weather
	}{
		{"hotter than anywhere", roster.Weather{Athlete: a.ID, Air: weather.Air{Tenths: 501, Humidity: 10}}},
		{"colder than anybody runs", roster.Weather{Athlete: a.ID, Air: weather.Air{Tenths: -401}}},
		{"damper than water", roster.Weather{Athlete: a.ID, Air: weather.Air{Tenths: 200, Humidity: 101}}},
		{"warm, with the humidity left out", roster.Weather{Athlete: a.ID, Air: weather.Air{Tenths: 100}}},
		{"by nobody", roster.Weather{Air: weather.Air{Tenths: 50}}},
		{"an athlete's by a coach", roster.Weather{Athlete: a.ID, Air: weather.Air{Tenths: 50}, ByCoach: c.Coach}},
	} {
		k.w.At, k.w.ToldAt = noon, noon
		_, err := b.TellWeather(t.Context(), c.Actor, k.w, b.key())
		require.Equal(t, fault.Invalid, fault.KindOf(err), "%s: %v", k.why, err)
	}
}

func TestRoutinesAreVersions(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	has, roller, err := b.RepertoireFor(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.False(t, roller)
	require.Equal(t, roster.Repertoire{Routine: roster.Routine{Routine: warmup.Default()}}, has, "the one everybody begins with")

	key := b.key()
	number, err := b.AddMovement(t.Context(), c.Actor, ownMove(), noon, key)
	require.NoError(t, err)
	again, err := b.AddMovement(t.Context(), c.Actor, ownMove(), noon, key)
	require.NoError(t, err)
	require.Equal(t, number, again)
	edited := warmup.Default()
	edited.Before[3] = warmup.Step{Move: ownID(number), Count: 7}
	first, err := b.EditRoutine(t.Context(), c.Actor, 0, edited, noon, key)
	require.NoError(t, err)
	same, err := b.EditRoutine(t.Context(), c.Actor, 0, warmup.Default(), noon, key)
	require.NoError(t, err)
	require.Equal(t, first, same, "the same form sent twice")
	_, err = b.EditRoutine(t.Context(), c.Actor, 0, warmup.Default(), noon, b.key())
	require.Equal(t, fault.Conflict, fault.KindOf(err), "somebody edited it meanwhile")

	want := ownMove()
	want.ID = ownID(number)
	has, err = b.Repertoire(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, roster.Routine{ID: first, Routine: edited, At: noon, By: "Owner of Harbour"}, has.Routine)
	require.Equal(t, []roster.Movement{{Number: number, Move: want}}, has.Movements)

	for range 2 {
		require.NoError(t, b.PutAway(t.Context(), c.Actor, number, noon))
	}
	require.Equal(t, fault.NotFound, fault.KindOf(b.PutAway(t.Context(), other.Actor, number, noon)), "another club's")
	has, err = b.Repertoire(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, noon, has.Movements[0].AwayAt)
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'movement.away'"), "said once")

	elsewhere, err := b.Repertoire(t.Context(), other.ID)
	require.NoError(t, err)
	require.Zero(t, elsewhere.Routine.ID)
	require.Empty(t, elsewhere.Movements)
}

func TestWhoHasARoller(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	for range 2 {
		require.NoError(t, b.SetRoller(t.Context(), roster.Actor{Club: c.ID, Athlete: a.ID}, a.ID, true))
	}
	_, roller, err := b.RepertoireFor(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.True(t, roller)
	require.Equal(t, fault.NotFound, fault.KindOf(b.SetRoller(t.Context(), other.Actor, a.ID, true)))
	_, _, err = b.RepertoireFor(t.Context(), other.ID, a.ID)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'athlete.roller'"))
}

// A session remembers the routine of when its warm-up was told, whatever is edited later.
func TestSessionsKeepTheRoutineOfThen(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	log := func(ago int, warm, cool roster.Around) roster.Session {
		s := b.session(a, ago)
		s.WarmUp, s.CoolDown = warm, cool
		return b.log(t, c, s)
	}
	read := func(id roster.SessionID) roster.Session {
		s, err := b.Session(t.Context(), c.ID, a.ID, id)
		require.NoError(t, err)
		return s
	}
	ours, untold := log(6, roster.AroundDone, roster.AroundSkipped), log(5, "", "")
	require.Equal(t, roster.AroundDone, read(ours.ID).WarmUp)
	require.Equal(t, roster.AroundSkipped, read(ours.ID).CoolDown)
	require.Zero(t, read(ours.ID).Routine)
	first, err := b.EditRoutine(t.Context(), c.Actor, 0, warmup.Default(), noon, b.key())
	require.NoError(t, err)
	told := log(4, "", roster.AroundDone)
	require.Equal(t, first, read(told.ID).Routine)
	second, err := b.EditRoutine(t.Context(), c.Actor, first, warmup.Default(), noon, b.key())
	require.NoError(t, err)

	told.WarmUp = roster.AroundDone
	require.NoError(t, b.Correct(t.Context(), c.Actor, told, 0))
	require.Equal(t, first, read(told.ID).Routine, "told then, corrected now")
	untold.WarmUp = roster.AroundSkipped
	require.NoError(t, b.Correct(t.Context(), c.Actor, untold, 0))
	require.Equal(t, second, read(untold.ID).Routine, "told for the first time now")
	ours.WarmUp, ours.CoolDown = "", ""
	require.NoError(t, b.Correct(t.Context(), c.Actor, ours, 0))
	require.Equal(t, roster.AroundNotTold, read(ours.ID).WarmUp)

	odd := b.session(a, 1)
	odd.WarmUp = "half"
	_, _, err = b.Log(t.Context(), c.Actor, odd, 0)
	require.Equal(t, fault.Invalid, fault.KindOf(err))
}

// aroundThatCannotBe are statements that break a constraint each: its name, and what
// breaks it.
func aroundThatCannotBe(c club, a roster.Athlete) [][2]string {
	aired := func(column, value string) string {
		columns := "club_id, athlete_id, key, at, told_at, tenths, humidity, shade, by_coach"
		values := strings.Replace("club_id, athlete_id, 'another-key', at, told_at, tenths, humidity, shade, by_coach", column, value, 1)
		return "insert into weather (" + columns + ") select " + values + " from weather where athlete_id = " + fmt.Sprint(a.ID)
	}
	routine := func(of ...string) string {
		steps := map[string]string{"before_moves": "'{march}'", "before_counts": "'{30}'", "after_moves": "'{cool-walk}'", "after_counts": "'{300}'", of[0]: of[1]}
		return fmt.Sprintf("insert into routine (club_id, key, coach_id, at, before_moves, before_counts, after_moves, after_counts) values (%d, 'another-key', %d, now(), %s, %s, %s, %s)",
			c.ID, c.Coach, steps["before_moves"], steps["before_counts"], steps["after_moves"], steps["after_counts"])
	}
	movement := func(column, value string) string {
		columns := "club_id, key, coach_id, at, name, kind, how, sides, timed, usual, loads, on_back, on_front, strains, hops"
		values := strings.Replace("club_id, 'another-key', coach_id, at, name, kind, how, sides, timed, usual, loads, on_back, on_front, strains, hops", column, value, 1)
		return "insert into movement (" + columns + ") select " + values + " from movement"
	}
	return [][2]string{
		{"weather_tenths", aired("tenths", "501")},
		{"weather_humidity", aired("humidity", "0")},
		{"weather_humidity", aired("humidity", "101")},
		{"weather_mild", aired("humidity", "null")},
		{"weather_by", aired("by_coach", fmt.Sprint(c.Coach))},
		{"weather_by", aired("athlete_id", "null")},
		{"weather_key_once", aired("'another-key'", "key")},
		{"movement_ids", routine("before_moves", "'{}'")},
		{"movement_ids", routine("before_moves", "'{null}'")},
		{"movement_ids", routine("before_moves", "array['']")},
		{"movement_ids", routine("before_moves", "array[repeat('x', 41)]")},
		{"movement_ids", routine("before_moves", "array_fill('march'::text, array[15])")},
		{"movement_counts", routine("before_counts", "'{0}'")},
		{"movement_counts", routine("before_counts", "'{901}'")},
		{"movement_counts", routine("after_counts", "'{null}'")},
		{"routine_before", routine("before_counts", "'{30,30}'")},
		{"routine_after", routine("after_counts", "'{30,30}'")},
		{"routine_key_once", "insert into routine (club_id, key, coach_id, at, before_moves, before_counts, after_moves, after_counts) select club_id, key, coach_id, at, before_moves, before_counts, after_moves, after_counts from routine"},
		{"movement_name", movement("name", "''")},
		{"movement_name", movement("name", "repeat('x', 61)")},
		{"movement_kind", movement("kind", "'dance'")},
		{"movement_how", movement("how", "''")},
		{"movement_how", movement("how", "repeat('x', 301)")},
		{"movement_usual", movement("usual", "0")},
		{"movement_loads", movement("loads", "array['soul']")},
		{"movement_loads", movement("loads", "array[null::text]")},
		{"movement_key_once", movement("'another-key'", "key")},
		{"session_warm_up", "update session set warm_up = 'half'"},
		{"session_cool_down", "update session set cool_down = ''"},
	}
}
