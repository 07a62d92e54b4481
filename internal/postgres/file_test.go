package postgres

import (
	"fmt"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

func TestFilesAreTheFileOfEach(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	b.crowd(t, c, 6, 30)
	b.fill(t, other)
	mine := b.fill(t, c)
	left := b.athlete(t, c, "Left")
	b.log(t, c, b.session(left, 3))
	require.NoError(t, b.Leave(t.Context(), c.Actor, left.ID, noon))
	id, err := b.AddLeave(t.Context(), c.Actor, roster.Leave{Athlete: mine.ID, Kind: roster.Ill, Span: day.Span{From: today}}, b.key())
	require.NoError(t, err)
	for _, name := range []string{"Žofia", "Émile", "zoe", "Adam"} {
		b.athlete(t, c, name)
	}

	files, err := b.Files(t.Context(), c.ID, today)
	require.NoError(t, err)
	var names []string
	for _, f := range files {
		names = append(names, f.Athlete.Name)
		own, err := b.File(t.Context(), c.ID, f.Athlete.ID, today)
		require.NoError(t, err)
		if f.Athlete.Name == "Ana of Harbour" {
			require.Equal(t, &roster.Clearance{GivenOn: today, GivenBy: "Dr Aune", Limits: "Nothing uphill."}, own.Cleared)
			own.Cleared = nil // read for one athlete only
		}
		require.Equal(t, own, f)
	}
	require.Equal(t, []string{
		"Adam", "Ana of Harbour", "Athlete 000", "Athlete 001", "Athlete 002", "Athlete 003", "Athlete 004", "Athlete 005", "Émile", "zoe", "Žofia",
	}, names, "by name as people sort them; who left is not there")
	require.Len(t, files[1].Leave, 2)
	require.Equal(t, day.Span{From: today - 30, To: today - 28}, files[1].Leave[0].Span)
	require.Equal(t, roster.Leave{ID: id, Athlete: mine.ID, Kind: roster.Ill, Span: day.Span{From: today}}, files[1].Leave[1])

	gone, err := b.File(t.Context(), c.ID, left.ID, today)
	require.NoError(t, err)
	require.Len(t, gone.Sessions, 1, "of who left too")
	_, err = b.File(t.Context(), other.ID, mine.ID, today)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

// reach is how many days ago each session of the athlete's file was, the oldest
// first.
func (b *bench) reach(t *testing.T, c club, a roster.AthleteID, asked day.Date) []int {
	file, err := b.File(t.Context(), c.ID, a, asked)
	require.NoError(t, err)
	var ago []int
	for _, s := range file.Sessions {
		ago = append(ago, int(today-s.Date))
	}
	return ago
}

func TestHowFarAFileReaches(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	full := func(s *roster.Session) {}
	painOf := func(score int8) func(*roster.Session) {
		return func(s *roster.Session) { s.Pain = []readiness.Pain{{Site: "left shin", Score: score}} }
	}
	strength := func(s *roster.Session) {
		s.Kind, s.Blocks, s.Phase, s.Outcome = readiness.Strength, nil, "", readiness.NotStated
	}
	walk := func(s *roster.Session) {
		s.Kind, s.Blocks, s.Phase, s.Outcome = readiness.Extra, nil, "", readiness.NotStated
	}
	rest := func(s *roster.Session) { strength(s); s.Kind, s.Minutes = readiness.Other, readiness.Some(0) }
	missed := func(s *roster.Session) { s.Blocks, s.Outcome, s.Minutes = nil, readiness.Missed, readiness.Maybe{} }
	type one struct {
		ago  int
		what func(*roster.Session)
	}
	for _, k := range []struct {
		why      string
		standing func(*roster.Standing)
		done     []one
		want     []int
	}{
		{"the last 70 days, and the three tries before", nil, []one{{0, full}, {69, full}, {70, full}, {71, full}, {72, full}, {73, full}, {74, full}}, []int{73, 72, 71, 70, 69, 0}},
		{"since the phase began", func(s *roster.Standing) { s.PhaseSince = today - 100 },
			[]one{{5, full}, {90, full}, {100, full}, {101, full}, {102, full}, {103, full}, {104, full}}, []int{103, 102, 101, 100, 90, 5}},
		{"the newest with load and the newest run lie apart", nil,
			[]one{{1, full}, {80, rest}, {81, strength}, {90, missed}, {100, full}, {110, full}, {120, full}, {130, full}}, []int{120, 110, 100, 81, 1}},
		{"where nobody ever ran, the newest walk", nil, []one{{80, strength}, {85, walk}, {86, walk}}, []int{85, 80}},
		{"an old pause that nobody cleared", nil, []one{{1, full}, {200, full}, {210, painOf(6)}, {220, full}, {230, full}, {240, full}, {250, full}},
			[]int{240, 230, 220, 210, 200, 1}},
		{"a stop that is dated before the one that began earlier", nil, []one{{210, painOf(6)}, {212, func(s *roster.Session) {
			s.Signs, s.StartedAt = []readiness.Sign{readiness.HopPain}, (today - 210).UTC().Add(9*time.Hour)
		}}, {200, full}, {150, full}, {140, full}}, []int{210, 212, 200, 150, 140}},
		{"an ache of somebody long silent", nil, []one{{130, full}, {120, painOf(3)}, {110, full}, {100, full}}, []int{120, 110, 100}},
		{"a limp", nil, []one{{210, func(s *roster.Session) { s.Limp = true }}, {200, full}, {150, full}}, []int{210, 200, 150}},
		{"a stop for pain", nil, []one{{210, func(s *roster.Session) { s.Outcome = readiness.StoppedForPain }}, {200, full}, {150, full}, {140, full}}, []int{210, 200, 150, 140}},
		{"outside the plan nothing is stopped for pain", nil,
			[]one{{210, func(s *roster.Session) { walk(s); s.Outcome = readiness.StoppedForPain }}, {200, full}, {190, walk}, {150, full}, {140, full}}, []int{200, 190, 150, 140}},
		{"a sign", nil, []one{{210, func(s *roster.Session) { s.Signs = []readiness.Sign{readiness.HopPain} }}, {200, full}, {150, full}, {140, full}}, []int{210, 200, 150, 140}},
		{"a bad next morning", nil, []one{{210, func(s *roster.Session) {
			s.Pain = []readiness.Pain{{Site: "calf", Score: 2, NextMorning: readiness.Some(7)}}
		}}, {200, full}, {150, full}, {140, full}}, []int{210, 200, 150, 140}},
		{"an old pause cleared on its day", func(s *roster.Standing) { s.ClearedOn = today - 210 },
			[]one{{200, full}, {210, painOf(6)}, {190, full}, {180, full}}, []int{200, 190, 180}},
		{"a pause on the day after a clearance", func(s *roster.Standing) { s.ClearedOn = today - 211 },
			[]one{{200, full}, {210, painOf(6)}, {190, full}, {180, full}}, []int{210, 200, 190, 180}},
		{"a pause that began after the instant of the clearance", func(s *roster.Standing) {
			s.ClearedOn, s.ClearedAt = today-210, (today - 210).UTC().Add(6*time.Hour)
		}, []one{{200, full}, {210, painOf(6)}, {190, full}, {180, full}}, []int{210, 200, 190, 180}},
		{"an ache of 3 to 5 alone keeps nothing", nil, []one{{210, painOf(5)}, {200, painOf(4)}, {190, full}, {180, full}}, []int{200, 190, 180}},
		{"three aches in a row", nil, []one{{240, full}, {230, full}, {220, painOf(3)}, {210, painOf(3)}, {200, painOf(3)}, {190, full}, {180, full}, {170, full}},
			[]int{230, 220, 210, 200, 190, 180, 170}},
		{"a missed session does not end the row", nil,
			[]one{{220, painOf(3)}, {210, painOf(3)}, {205, missed}, {200, painOf(3)}, {190, full}, {180, full}, {170, full}}, []int{220, 210, 200, 190, 180, 170}},
		{"one without an ache does", nil,
			[]one{{220, painOf(3)}, {210, painOf(3)}, {205, full}, {200, painOf(3)}, {190, full}, {180, full}}, []int{200, 190, 180}},
		{"a row that reaches over the border", nil, []one{{95, full}, {90, full}, {80, painOf(3)}, {75, painOf(3)}, {60, painOf(3)}}, []int{90, 80, 75, 60}},
	} {
		t.Run(k.why, func(t *testing.T) {
			a := b.athlete(t, c, "Ana")
			if k.standing != nil {
				k.standing(&a.Standing)
				_, err := b.Keep(t.Context(), c.Actor, roster.Decision{
					Athlete: a.ID, Coach: c.Coach, At: noon, AsOf: today, Choice: roster.Seen, Verdict: []byte("{}"),
					Before: a.Standing, After: a.Standing, Key: b.key(),
				}, a.Version)
				require.NoError(t, err)
			}
			for _, d := range k.done { // also in an order that is not that of the days
				s := b.session(a, d.ago)
				d.what(&s)
				b.log(t, c, s)
			}
			require.Equal(t, k.want, b.reach(t, c, a.ID, today))
		})
	}
}

func TestAFileForADayThatIsPast(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	for _, ago := range []int{0, 10, 20, 50, 95, 99} {
		b.log(t, c, b.session(a, ago))
	}
	require.Equal(t, []int{99, 95, 50, 20}, b.reach(t, c, a.ID, today-20), "what came later does not exist yet")
	require.Equal(t, []int{99, 95}, b.reach(t, c, a.ID, today-90))
}

// stroke is what a random history does next.
func stroke(t *rapid.T, b *bench, a roster.Athlete, ago int) roster.Session {
	s := b.session(a, ago)
	s.StartedAt = s.StartedAt.Add(time.Duration(rapid.IntRange(0, 600).Draw(t, "minute")) * time.Minute)
	switch rapid.IntRange(0, 9).Draw(t, "kind") {
	case 0:
		s.Kind, s.Blocks, s.Outcome, s.Minutes = readiness.Planned, nil, readiness.Missed, readiness.Maybe{}
	case 1:
		s.Kind, s.Blocks, s.Outcome, s.Phase = readiness.Extra, nil, readiness.NotStated, ""
	case 2:
		s.Kind, s.Blocks, s.Outcome, s.Phase = readiness.Strength, nil, readiness.NotStated, ""
	case 3:
		s.Blocks = []readiness.Block{{Kind: pathway.Run, Planned: 60, Done: 0}, {Kind: pathway.Walk, Planned: 60, Done: 60}}
		s.Outcome = readiness.NotStated
	case 4:
		s.Outcome = readiness.CalledOff
	}
	for _, site := range []string{"left shin", "knee"} {
		if rapid.IntRange(0, 3).Draw(t, "aches at "+site) == 0 {
			s.Pain = append(s.Pain, readiness.Pain{Site: site, Score: int8(rapid.SampledFrom([]int{1, 3, 3, 4, 5, 6}).Draw(t, "score"))})
		}
	}
	return s
}

// What a file leaves out may not change whether running is stopped, nor how long
// ago the last run was.
func TestAFileStopsWhomTheWholeHistoryStops(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	shelf, err := b.NewestShelf(t.Context(), c.ID)
	require.NoError(t, err)
	rapid.Check(t, func(rt *rapid.T) {
		a := b.athlete(t, c, "Ana")
		if rapid.Bool().Draw(rt, "cleared") {
			a.ClearedOn = today - day.Date(rapid.IntRange(60, 200).Draw(rt, "cleared ago"))
			_, err := b.admin.Exec(t.Context(), "update athlete set cleared_on = $1 where athlete_id = $2", a.ClearedOn.UTC(), a.ID)
			require.NoError(rt, err)
		}
		var logged []roster.Session
		for range rapid.IntRange(1, 16).Draw(rt, "sessions") {
			s := stroke(rt, b, a, rapid.IntRange(40, 220).Draw(rt, "ago"))
			id, _, err := b.Log(t.Context(), c.Actor, s, 0)
			if fault.KindOf(err) == fault.Conflict {
				continue
			}
			require.NoError(rt, err)
			s.ID, s.Version = id, 1
			logged = append(logged, s)
		}
		for i := range logged { // corrections and deletions move the rows of three about
			switch rapid.IntRange(0, 5).Draw(rt, "then") {
			case 0:
				s := stroke(rt, b, a, rapid.IntRange(40, 220).Draw(rt, "ago"))
				s.ID, s.Version = logged[i].ID, 1
				if err := b.Correct(t.Context(), c.Actor, s, 0); fault.KindOf(err) != fault.Conflict {
					require.NoError(rt, err)
				}
			case 1:
				require.NoError(rt, b.Delete(t.Context(), c.Actor, a.ID, logged[i].ID, 1))
			}
		}
		file, err := b.File(t.Context(), c.ID, a.ID, today)
		require.NoError(rt, err)
		part := file.History(&shelf.Pathway, today)
		file.Sessions, err = b.Sessions(t.Context(), c.ID, a.ID)
		require.NoError(rt, err)
		whole := file.History(&shelf.Pathway, today)
		got, want := readiness.Assess(&part), readiness.Assess(&whole)
		require.Equal(rt, want.Action, got.Action)
		require.Equal(rt, want.To, got.To)
		require.Equal(rt, want.WayBack(), got.WayBack())
	})
}

func TestTheMarkOfARowOfThree(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	marked := func() int { return value[int](t, b, "select count(*)::int from session where in_a_row and stops") }
	ache := func(ago int) roster.Session {
		s := b.session(a, ago)
		s.Pain = []readiness.Pain{{Site: "left shin", Score: 3}}
		return b.log(t, c, s)
	}
	ache(10)
	second := ache(8)
	require.Zero(t, marked())
	ache(6)
	require.Equal(t, 1, marked())
	ache(9) // told late
	require.Equal(t, 2, marked())
	healed := second
	healed.Pain, healed.ChangedAt = nil, noon
	require.NoError(t, b.Correct(t.Context(), c.Actor, healed, 0))
	require.Zero(t, marked(), "10, 9, then one without")
	require.NoError(t, b.Delete(t.Context(), c.Actor, a.ID, second.ID, 2))
	require.Equal(t, 1, marked(), "10, 9 and 6 are in a row again")
	between := b.log(t, c, b.session(a, 7))
	require.Equal(t, 1, marked(), "a late one in between may leave the mark: the look-back is only longer")
	require.NoError(t, b.Delete(t.Context(), c.Actor, a.ID, between.ID, 1))
	require.Equal(t, 1, marked())
}

func TestRowsOfThreeToldAtOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	for range 5 {
		a := b.athlete(t, c, "Ana")
		errs := make(chan error)
		for _, ago := range []int{10, 8, 6} { // a phone that was offline sends all it has
			s := b.session(a, ago)
			s.Pain = []readiness.Pain{{Site: "left shin", Score: 3}}
			go func() {
				_, _, err := b.Log(t.Context(), c.Actor, s, 0)
				errs <- err
			}()
		}
		for range 3 {
			require.NoError(t, <-errs)
		}
		require.Equal(t, 1, value[int](t, b, "select count(*)::int from session where in_a_row and athlete_id = $1", a.ID))
	}
}

// What Files reads must not grow with what lies further back. Rows looked at are
// counted, since times are not the same on two machines.
func TestFilesReadNoMoreForALongerPast(t *testing.T) {
	t.Parallel()
	b := open(t)
	reads := func(weeks int) (sessions, rows int) {
		c := b.club(t, fmt.Sprintf("%d weeks", weeks))
		b.crowd(t, c, 10, weeks)
		files, err := b.Files(t.Context(), c.ID, today)
		require.NoError(t, err)
		for _, f := range files {
			sessions += len(f.Sessions)
		}
		return sessions, b.rowsLookedAt(t, c)
	}
	sessions, rows := reads(20)
	manySessions, manyRows := reads(150)
	t.Logf("20 weeks: %d sessions, %d rows looked at; 150 weeks: %d and %d", sessions, rows, manySessions, manyRows)
	require.InEpsilon(t, sessions, manySessions, 0.1)
	require.LessOrEqual(t, float64(manyRows), 1.1*float64(rows))
}

// rowsLookedAt adds up what every node of the plan gave or threw away.
func (b *bench) rowsLookedAt(t *testing.T, c club) int {
	t.Helper()
	conn := b.hostile(t)
	tx, err := conn.Begin(t.Context())
	require.NoError(t, err)
	defer func() { _ = tx.Rollback(t.Context()) }()
	_, err = tx.Exec(t.Context(), "select set_config('halfhour.club', $1, true)", fmt.Sprint(c.ID))
	require.NoError(t, err)
	rows, err := tx.Query(t.Context(), "explain (analyze, format json) "+filesSQL, int64(c.ID), today.UTC())
	require.NoError(t, err)
	plans, err := pgx.CollectExactlyOneRow(rows, pgx.RowTo[[]map[string]any])
	require.NoError(t, err)
	return lookedAt(plans[0]["Plan"].(map[string]any))
}

func lookedAt(node map[string]any) int {
	number := func(name string) float64 { n, _ := node[name].(float64); return n }
	sum := int((number("Actual Rows") + number("Rows Removed by Filter")) * number("Actual Loops"))
	children, _ := node["Plans"].([]any)
	for _, child := range children {
		sum += lookedAt(child.(map[string]any))
	}
	return sum
}
