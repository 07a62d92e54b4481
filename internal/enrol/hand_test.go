package enrol_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

func TestHandingOver(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	ivo := o.store.Coach(o.who.Club, "Ivo", "ivo@example.org", "")
	a := o.store.Runner(o.who.Club, "Ana")
	mara, his := o.who, roster.Actor{Club: o.who.Club, Coach: ivo.ID, OwnOnly: true}

	require.NoError(t, o.enrol.HandOver(ctx, mara, a.ID, ivo.ID))
	changes := len(o.store.Audit)
	require.NoError(t, o.enrol.HandOver(ctx, mara, a.ID, ivo.ID), "sent twice")
	require.Len(t, o.store.Audit, changes)
	told, err := o.enrol.Handed(ctx, his)
	require.NoError(t, err)
	require.Len(t, told, 1)
	require.Equal(t, "Ana", told[0].Name)
	require.NoError(t, o.enrol.TakeOver(ctx, his, a.ID))
	told, err = o.enrol.Handed(ctx, his)
	require.NoError(t, err)
	require.Empty(t, told)

	helper := mara
	helper.Deputy = true
	require.Equal(t, fault.Forbidden, fault.KindOf(o.enrol.HandOver(ctx, helper, a.ID, 0)))
	require.Equal(t, fault.Forbidden, fault.KindOf(o.enrol.HandOver(ctx, roster.Actor{Club: mara.Club, Athlete: a.ID}, a.ID, 0)))
	err = o.enrol.HandOver(ctx, mara, a.ID, 999)
	require.Equal(t, "coach", fault.FieldsOf(err)[0].Place)

	require.NoError(t, o.enrol.HandOver(ctx, his, a.ID, mara.Coach), "one's own to another")
	require.Equal(t, fault.NotFound, fault.KindOf(o.enrol.HandOver(ctx, his, a.ID, ivo.ID)), "and no longer one's own")
	require.Equal(t, fault.NotFound, fault.KindOf(o.enrol.TakeOver(ctx, his, a.ID)))
}

func TestWhoLeftIsSeenByTheirCoach(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	a := o.store.Runner(o.who.Club, "Ana")
	require.NoError(t, o.enrol.HandOver(ctx, o.who, a.ID, o.who.Coach))
	require.NoError(t, o.enrol.Leave(ctx, o.who, a.ID))
	for sees, who := range map[bool]roster.Actor{true: o.who, false: {Club: o.who.Club, Coach: 999, OwnOnly: true}} {
		gone, err := o.enrol.Gone(ctx, who)
		require.NoError(t, err)
		require.Equal(t, sees, len(gone) == 1)
	}
}
