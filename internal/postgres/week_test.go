package postgres

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

func TestPinsAreKeptLiftedAndUndone(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	ctx, version := t.Context(), a.WeekVersion
	add := func(p roster.Pin, lifted ...roster.PinID) roster.PinID {
		t.Helper()
		id, err := b.AddPin(ctx, c.Actor, p, lifted, version)
		require.NoError(t, err)
		version++
		return id
	}
	every := b.pin(a)
	every.On, every.From, every.Weekday, every.Kind, every.ByCoach, every.Insist, every.Part = 0, 0, time.Sunday, weekplan.Legs, c.Coach, true, weekplan.Any
	every.ID = add(every)
	once := b.pin(a)
	once.ID = add(once)
	again, err := b.AddPin(ctx, c.Actor, once, nil, 0)
	require.NoError(t, err)
	require.Equal(t, once.ID, again, "the same key, whatever the version")
	_, err = b.AddPin(ctx, c.Actor, b.pin(a), nil, version-1)
	require.Equal(t, fault.Conflict, fault.KindOf(err), "somebody was quicker")

	next := b.pin(a)
	next.On, next.From, next.MadeAt = once.On+1, once.On, noon.Add(time.Minute)
	next.ID = add(next, once.ID)
	wanted := func() []roster.Pin {
		t.Helper()
		w, err := b.Wanted(ctx, c.ID, a.ID, today-30)
		require.NoError(t, err)
		all, err := b.Wanted(ctx, c.ID, 0, today-30)
		require.NoError(t, err)
		require.Equal(t, w.Pins, all.Pins, "one by one or all together")
		return w.Pins
	}
	lifted := once
	lifted.LiftedAt, lifted.LiftedOn = next.MadeAt, next.MadeOn
	require.Equal(t, []roster.Pin{every, lifted, next}, wanted())

	require.Equal(t, fault.Conflict, fault.KindOf(b.UndoPin(ctx, c.Actor, next, "key-of-the-undo", version-1)))
	require.NoError(t, b.UndoPin(ctx, c.Actor, next, "key-of-the-undo", version))
	next.LiftedAt, next.LiftedOn, next.Undone = next.MadeAt, next.MadeOn, "key-of-the-undo"
	require.Equal(t, []roster.Pin{every, once, next}, wanted(), "what it had ended holds again")

	every.LiftedAt, every.LiftedOn = noon.Add(time.Hour), today
	require.NoError(t, b.LiftPin(ctx, c.Actor, every))
	require.Equal(t, fault.NotFound, fault.KindOf(b.LiftPin(ctx, c.Actor, every)), "once")
	require.Equal(t, every, wanted()[0])
	w, err := b.Wanted(ctx, c.ID, a.ID, today+30)
	require.NoError(t, err)
	require.Empty(t, w.Pins, "what is gone by is not read")
	kept, err := b.Athlete(ctx, c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, version+2, kept.WeekVersion, "each change counts")
	require.Equal(t, 5, value[int](t, b, "select count(*)::int from audit where change like 'pin.%'"))
	_, err = b.AddPin(ctx, c.Actor, roster.Pin{Athlete: a.ID + 99, Key: b.key(), On: today, MadeAt: noon, MadeOn: today}, nil, 0)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

// Of two who read the same week, one is told that it changed meanwhile.
func TestTwoWishesAtOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	var all sync.WaitGroup
	kinds := make(chan fault.Kind, 8)
	for range cap(kinds) {
		p := b.pin(a)
		all.Go(func() {
			_, err := b.AddPin(t.Context(), c.Actor, p, nil, a.WeekVersion)
			kinds <- fault.KindOf(err)
		})
	}
	all.Wait()
	close(kinds)
	count := map[fault.Kind]int{}
	for k := range kinds {
		count[k]++
	}
	require.Equal(t, map[fault.Kind]int{fault.KindOf(nil): 1, fault.Conflict: 7}, count)
}

func TestGroupsHabitsAndHolidays(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, theirs := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	ctx := t.Context()
	g := roster.Group{Name: "Early birds", Meets: [7]readiness.Maybe{1: readiness.Some(390), 6: readiness.Some(0)}, Version: 1}
	key := b.key()
	id, err := b.SaveGroup(ctx, c.Actor, g, key)
	require.NoError(t, err)
	twice, err := b.SaveGroup(ctx, c.Actor, g, key)
	require.NoError(t, err)
	require.Equal(t, id, twice)
	require.NoError(t, b.SetHabits(ctx, c.Actor, a.ID, days.Habits{Available: 5, Strength: 2, Legs: 1, Group: id}))
	kept, err := b.Athlete(ctx, c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, []any{roster.Available(5), 2, 1, id}, []any{kept.Available, kept.Strength, kept.Legs, kept.Group})
	require.Equal(t, fault.NotFound, fault.KindOf(b.SetHabits(ctx, theirs.Actor, b.athlete(t, theirs, "Bo").ID, days.Habits{Group: id})), "another club's group")

	g.ID, g.People = id, 1
	h := roster.Holiday{Name: "Midsummer", Span: day.Span{From: today, To: today + 1}}
	h.ID, err = b.AddHoliday(ctx, c.Actor, h, b.key())
	require.NoError(t, err)
	w, err := b.Wanted(ctx, c.ID, 0, today)
	require.NoError(t, err)
	require.Equal(t, days.Wishes{Groups: []roster.Group{g}, Holidays: []roster.Holiday{h}}, w)
	g.Name = "Night owls"
	_, err = b.SaveGroup(ctx, c.Actor, g, "")
	require.NoError(t, err)
	_, err = b.SaveGroup(ctx, c.Actor, g, "")
	require.Equal(t, fault.Conflict, fault.KindOf(err), "the version is another")

	require.Equal(t, fault.NotFound, fault.KindOf(b.RemoveGroup(ctx, theirs.Actor, id)))
	require.NoError(t, b.RemoveGroup(ctx, c.Actor, id))
	kept, err = b.Athlete(ctx, c.ID, a.ID)
	require.NoError(t, err)
	require.Zero(t, kept.Group, "whoever was in it is in none")
	require.NoError(t, b.RemoveHoliday(ctx, c.Actor, h.ID))
	require.Equal(t, fault.NotFound, fault.KindOf(b.RemoveHoliday(ctx, c.Actor, h.ID)))
}
