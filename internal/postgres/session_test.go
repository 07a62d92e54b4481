package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// maybe draws a number of the range, or none.
func maybe(t *rapid.T, name string, low, high int) readiness.Maybe {
	if !rapid.Bool().Draw(t, name+" given") {
		return readiness.Maybe{}
	}
	return readiness.Some(rapid.IntRange(low, high).Draw(t, name))
}

func drawHeart(t *rapid.T, b *readiness.Block) {
	if !rapid.Bool().Draw(t, "recorded") {
		return
	}
	valid := rapid.IntRange(0, int(b.Done)).Draw(t, "valid")
	seconds := rapid.IntRange(0, valid).Draw(t, "seconds")
	less, more := rapid.IntRange(0, seconds).Draw(t, "less"), rapid.IntRange(seconds, valid).Draw(t, "more")
	b.Heart = readiness.Heart{Valid: readiness.Some(valid), Seconds: readiness.Some(seconds)}
	if rapid.Bool().Draw(t, "both ceilings") {
		b.Heart.Low, b.Heart.High = readiness.Some(less), readiness.Some(more)
		if b.Kind == pathway.Run {
			b.Heart.Low, b.Heart.High = b.Heart.High, b.Heart.Low
		}
	}
}

func drawBlock(t *rapid.T) readiness.Block {
	b := readiness.Block{
		Kind:    pathway.Kind(rapid.IntRange(0, 1).Draw(t, "kind")),
		Planned: int32(rapid.IntRange(1, 7200).Draw(t, "planned")), Done: int32(rapid.IntRange(0, 14400).Draw(t, "done")),
	}
	if b.Kind == pathway.Walk {
		b.Settle = maybe(t, "settle", 0, int(b.Done))
	}
	drawHeart(t, &b)
	return b
}

func drawPain(t *rapid.T) readiness.Pain {
	return readiness.Pain{
		Site:        rapid.StringMatching(`[\p{L}<>&'" ]{1,80}`).Draw(t, "site"),
		Score:       int8(rapid.IntRange(0, 10).Draw(t, "score")),
		NextMorning: maybe(t, "next morning", 0, 10),
	}
}

// drawSession draws any session that the rule book takes.
func drawSession(t *rapid.T, a roster.Athlete, key roster.Key) roster.Session {
	micros := rapid.Int64Range(0, 86400e6*700).Draw(t, "started")
	at := noon.Add(-time.Duration(micros) * time.Microsecond)
	s := roster.Session{Athlete: a.ID, Key: key, LoggedAt: at.Add(time.Hour), Version: 1}
	s.Session = readiness.Session{
		StartedAt: at, Date: day.Of(at, time.UTC) + day.Date(rapid.IntRange(-2, 2).Draw(t, "zone")),
		Kind:    readiness.SessionKind(rapid.IntRange(0, 3).Draw(t, "kind")),
		Phase:   rapid.SampledFrom([]string{"L3", "R1", "L3-", "somebody's own phase"}).Draw(t, "phase"),
		Outcome: readiness.Outcome(rapid.IntRange(0, 5).Draw(t, "outcome")),
		Minutes: maybe(t, "minutes", 0, 600), PlannedMinutes: maybe(t, "planned minutes", 0, 600), Effort: maybe(t, "effort", 0, 10),
		Talk: readiness.Talk(rapid.IntRange(0, 3).Draw(t, "talk")), Breath: readiness.Breath(rapid.IntRange(0, 3).Draw(t, "breath")),
		Hot: rapid.Bool().Draw(t, "hot"), Limp: rapid.Bool().Draw(t, "limp"), PainAsked: rapid.Bool().Draw(t, "asked"),
	}
	for range rapid.IntRange(0, roster.MostBlocks).Draw(t, "blocks") {
		s.Blocks = append(s.Blocks, drawBlock(t))
	}
	for range rapid.IntRange(0, roster.MostPains).Draw(t, "pains") {
		s.Pain, s.PainAsked = append(s.Pain, drawPain(t)), true
	}
	for sign := readiness.ChestPressure; sign <= readiness.GroinDeep; sign++ {
		if rapid.IntRange(0, 5).Draw(t, "sign") == 0 {
			s.Signs = append(s.Signs, sign)
		}
	}
	s.Note = rapid.StringMatching(`[\p{L}\n<>&'";]{0,200}`).Draw(t, "note")
	if len(s.Blocks) == 0 { // then something else must say what was done
		s.Minutes = readiness.Some(s.Minutes.Or(30))
		if s.Outcome == readiness.NotStated {
			s.Outcome = readiness.InFull
		}
	}
	return s
}

func TestAnySessionComesBackAsItWent(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	rapid.Check(t, func(rt *rapid.T) {
		s := drawSession(rt, a, b.key())
		if rapid.Bool().Draw(rt, "by a coach") {
			s.ByCoach = c.Coach
		}
		id, again, err := b.Log(t.Context(), c.Actor, s, 0)
		require.NoError(rt, err)
		require.False(rt, again)
		s.ID = id
		kept, err := b.Session(t.Context(), c.ID, a.ID, id)
		require.NoError(rt, err)
		require.Equal(rt, s, kept)

		other := drawSession(rt, a, s.Key)
		other.ID, other.ByCoach, other.LoggedAt, other.ChangedAt = id, s.ByCoach, s.LoggedAt, noon
		require.NoError(rt, b.Correct(t.Context(), c.Actor, other, 0))
		other.Version = 2
		kept, err = b.Session(t.Context(), c.ID, a.ID, id)
		require.NoError(rt, err)
		require.Equal(rt, other, kept)
		require.NoError(rt, b.Delete(t.Context(), c.Actor, a.ID, id, 2))
	})
}

func TestSessionsComeNewestFirst(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a, other := b.athlete(t, c, "Ana"), b.athlete(t, c, "Bo")
	old, young := b.log(t, c, b.session(a, 9)), b.log(t, c, b.session(a, 2))
	b.log(t, c, b.session(other, 1))
	all, err := b.Sessions(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, []roster.Session{young, old}, all)
	_, err = b.Session(t.Context(), c.ID, other.ID, old.ID)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "of another athlete")
}

func TestWhatIsSentTwiceIsStoredOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	s := b.session(a, 1)
	type result struct {
		id    roster.SessionID
		again bool
		err   error
	}
	const phones = 16
	results := make(chan result)
	for range phones {
		go func() {
			id, again, err := b.Log(t.Context(), c.Actor, s, 0)
			results <- result{id, again, err}
		}()
	}
	fresh, ids := 0, map[roster.SessionID]bool{}
	for range phones {
		r := <-results
		require.NoError(t, r.err)
		ids[r.id] = true
		if !r.again {
			fresh++
		}
	}
	require.Len(t, ids, 1)
	require.Equal(t, 1, fresh)
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from session"))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'session.log'"))
}

func TestTwoSessionsOfOneInstantConflict(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	first := b.log(t, c, b.session(a, 1))

	twin := b.session(a, 1)
	_, _, err := b.Log(t.Context(), c.Actor, twin, 0)
	require.Equal(t, fault.Conflict, fault.KindOf(err))

	twin.Kind = readiness.Strength
	b.log(t, c, twin)
	third := b.log(t, c, b.session(a, 3))
	third.StartedAt, third.Date = first.StartedAt, first.Date
	require.Equal(t, fault.Conflict, fault.KindOf(b.Correct(t.Context(), c.Actor, third, 0)))
	require.Equal(t, 3, value[int](t, b, "select count(*)::int from audit where change like 'session.%'"), "what failed left no line")
}

func TestTwoPhonesCorrectTheSame(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	s := b.log(t, c, b.session(a, 1))
	s.Note, s.ChangedAt = "from the first", noon
	require.NoError(t, b.Correct(t.Context(), c.Actor, s, 0))
	s.Note = "from the second"
	require.Equal(t, fault.Conflict, fault.KindOf(b.Correct(t.Context(), c.Actor, s, 0)))
	require.Equal(t, fault.Conflict, fault.KindOf(b.Delete(t.Context(), c.Actor, a.ID, s.ID, 1)))
	kept, err := b.Session(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	require.Equal(t, "from the first", kept.Note)
	require.NoError(t, b.Delete(t.Context(), c.Actor, a.ID, s.ID, 2))
	require.Equal(t, fault.Conflict, fault.KindOf(b.Delete(t.Context(), c.Actor, a.ID, s.ID, 2)), "not there any more")
}

func TestALogForNobody(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	s := b.session(roster.Athlete{ID: 999}, 1)
	_, _, err := b.Log(t.Context(), c.Actor, s, 0)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	require.Zero(t, value[int](t, b, "select count(*)::int from audit where change = 'session.log'"))
}
