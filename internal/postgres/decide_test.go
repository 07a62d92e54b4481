package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// decision is one about the athlete that leads to the phase.
func (b *bench) decision(c club, a roster.Athlete, choice roster.Choice, to string) roster.Decision {
	d := roster.Decision{
		Athlete: a.ID, Coach: c.Coach, At: noon, AsOf: today, Choice: choice, To: to, Reason: "three easy ones", Word: "Well run.",
		Proposal: "move_up:" + to, Verdict: []byte(`{"action": "move_up"}`), Before: a.Standing, After: a.Standing, Key: b.key(),
	}
	if d.After.Phase != to {
		d.After.LastPassed, d.After.Phase, d.After.PhaseSince = d.After.Phase, to, today
	}
	return d
}

func TestADecisionComesBackAsItWent(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	d := b.decision(c, a, roster.Cleared, "L4")
	d.Before.Held, d.Before.HeldSince = roster.Referred, today-20
	d.After.ClearedOn, d.After.ClearedAt, d.After.InjuredOn = today, noon, today-21
	id, err := b.Keep(t.Context(), c.Actor, d, a.Version)
	require.NoError(t, err)
	d.ID, d.By = id, "Owner of Harbour"

	kept, err := b.Decision(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Equal(t, d, kept)
	all, err := b.Decisions(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, []roster.Decision{d}, all)

	after, err := b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, d.After, after.Standing)
	require.Equal(t, "Well run.", after.CoachWord)
	require.Equal(t, a.Version+1, after.Version)

	d.Verdict = nil // a list does not carry it
	file, err := b.File(t.Context(), c.ID, a.ID, today)
	require.NoError(t, err)
	require.Equal(t, &d, file.Newest)
	recent, err := b.Since(t.Context(), c.ID, noon.Add(-time.Hour))
	require.NoError(t, err)
	require.Equal(t, []roster.Decision{d}, recent)
}

func TestDecisionsSinceAnInstantThatStand(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	var kept []roster.DecisionID
	for _, at := range []time.Time{noon.Add(-61 * time.Minute), noon.Add(-time.Hour), noon.Add(-time.Minute), noon} {
		a := b.athlete(t, c, "Ana")
		d := b.decision(c, a, roster.MoveUp, "L4")
		d.At = at
		id, err := b.Keep(t.Context(), c.Actor, d, a.Version)
		require.NoError(t, err)
		kept = append(kept, id)
	}
	require.NoError(t, b.Undo(t.Context(), c.Actor, kept[3], noon))
	recent, err := b.Since(t.Context(), c.ID, noon.Add(-time.Hour))
	require.NoError(t, err)
	require.Len(t, recent, 2)
	require.Equal(t, []roster.DecisionID{kept[2], kept[1]}, []roster.DecisionID{recent[0].ID, recent[1].ID})
}

func TestTwoCoachesDecideAtOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	const coaches = 8
	errs := make(chan error)
	for range coaches {
		go func() {
			_, err := b.Keep(t.Context(), c.Actor, b.decision(c, a, roster.MoveUp, "L4"), a.Version)
			errs <- err
		}()
	}
	stored := 0
	for range coaches {
		if err := <-errs; err == nil {
			stored++
		} else {
			require.Equal(t, fault.Conflict, fault.KindOf(err), err)
		}
	}
	require.Equal(t, 1, stored)
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from decision"))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'decision.keep'"))
}

func TestADecisionSentTwiceIsKeptOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	d := b.decision(c, a, roster.MoveUp, "L4")
	first, err := b.Keep(t.Context(), c.Actor, d, a.Version)
	require.NoError(t, err)
	again, err := b.Keep(t.Context(), c.Actor, d, a.Version)
	require.NoError(t, err, "though the version has gone on")
	require.Equal(t, first, again)
	require.NoError(t, b.Undo(t.Context(), c.Actor, first, noon))
	_, err = b.Keep(t.Context(), c.Actor, d, a.Version+2)
	require.Equal(t, fault.Conflict, fault.KindOf(err), "what was taken back is not said to be decided")
	d.Athlete = 999
	_, err = b.Keep(t.Context(), c.Actor, d, 1)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestUndoPutsBackWhatWasBefore(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	a.CoachWord = "Take it easy."
	require.NoError(t, b.Change(t.Context(), c.Actor, a))
	a.Version++
	id, err := b.Keep(t.Context(), c.Actor, b.decision(c, a, roster.MoveUp, "L4"), a.Version)
	require.NoError(t, err)

	require.NoError(t, b.Undo(t.Context(), c.Actor, id, noon.Add(time.Minute)))
	require.NoError(t, b.Undo(t.Context(), c.Actor, id, noon.Add(time.Hour)), "undone already is no error")
	after, err := b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, a.Standing, after.Standing)
	require.Equal(t, "Take it easy.", after.CoachWord, "what the decision said to the athlete goes with it")
	require.Equal(t, a.Version+2, after.Version)
	d, err := b.Decision(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Equal(t, noon.Add(time.Minute), d.UndoneAt)
	file, err := b.File(t.Context(), c.ID, a.ID, today)
	require.NoError(t, err)
	require.Nil(t, file.Newest, "it does not stand any more")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'decision.undo'"))
}

func TestUndoLeavesAloneWhatMovedOn(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	keep := func(a roster.Athlete, to string) (roster.DecisionID, roster.Athlete) {
		id, err := b.Keep(t.Context(), c.Actor, b.decision(c, a, roster.MoveUp, to), a.Version)
		require.NoError(t, err)
		a, err = b.Athlete(t.Context(), c.ID, a.ID)
		require.NoError(t, err)
		return id, a
	}
	first, a := keep(b.athlete(t, c, "Ana"), "L4")
	second, _ := keep(a, "R1")
	require.Equal(t, fault.Conflict, fault.KindOf(b.Undo(t.Context(), c.Actor, first, noon)), "a newer one stands")
	require.NoError(t, b.Undo(t.Context(), c.Actor, second, noon))
	require.NoError(t, b.Undo(t.Context(), c.Actor, first, noon), "now it is the newest that stands")

	third, other := keep(b.athlete(t, c, "Bo"), "L4")
	other.InjuredOn = today
	require.NoError(t, b.Change(t.Context(), c.Actor, other))
	require.Equal(t, fault.Conflict, fault.KindOf(b.Undo(t.Context(), c.Actor, third, noon)), "the standing is another")
	require.Equal(t, fault.NotFound, fault.KindOf(b.Undo(t.Context(), c.Actor, 999, noon)))
	strange := b.club(t, "Hill")
	require.Equal(t, fault.NotFound, fault.KindOf(b.Undo(t.Context(), strange.Actor, third, noon)), "of another club")
}

func TestTwoCoachesUndoAtOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	id, err := b.Keep(t.Context(), c.Actor, b.decision(c, a, roster.MoveUp, "L4"), a.Version)
	require.NoError(t, err)
	errs := make(chan error)
	for range 8 {
		go func() { errs <- b.Undo(t.Context(), c.Actor, id, noon) }()
	}
	for range 8 {
		require.NoError(t, <-errs)
	}
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'decision.undo'"))
}
