package join_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

func TestAskedOnPaper(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	begin := join.Confirmation{Phase: "R1", SessionsAWeek: 3, Version: s.athlete().Version}
	require.Equal(t, []string{"asked_on", "asked_by"}, places(s.join.Asked(ctx, s.mara, s.id, roster.Paper{}, begin)))
	require.Equal(t, []string{"asked_on"}, places(s.join.Asked(ctx, s.mara, s.id, roster.Paper{On: tuesday + 1, By: "Mara"}, begin)), "still to come")
	require.Equal(t, []string{"asked_on"}, places(s.join.Asked(ctx, s.mara, s.id, roster.Paper{On: tuesday - 400, By: "Mara"}, begin)), "long ago")
	require.Empty(t, s.Checked)

	paper := roster.Paper{On: tuesday - 2, By: " Mara "}
	require.NoError(t, s.join.Asked(ctx, s.mara, s.id, paper, begin))
	require.NoError(t, s.join.Asked(ctx, s.mara, s.id, paper, begin), "sent twice")
	require.Len(t, s.Checked, 1)
	c := s.Checked[0]
	require.Equal(t, []any{roster.FromPaper, tuesday - 2, "Mara", s.mara.Coach, s.mara.Coach}, []any{c.Source, c.AskedOn, c.AskedBy, c.ByCoach, c.SeenBy})
	require.Empty(t, c.Answers)
	a := s.athlete()
	require.Equal(t, []any{roster.Here, "R1", false}, []any{a.Arrival, a.Phase, a.HeartUsable})
	require.NotEmpty(t, s.today(t).Plan)
	state := s.state(t)
	require.Equal(t, screening.NotNeeded, state.Result.Advice, "nothing was answered here, so nothing is read in it")
	require.Nil(t, state.Answers)
	review, err := s.join.Review(ctx, s.mara, s.id)
	require.NoError(t, err)
	require.Equal(t, "R1", review.Phase)
}

func TestAFreshCheckLaterOn(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	s.handIn(t, well())
	require.NoError(t, s.confirm())
	require.NoError(t, s.walks(readiness.Planned))
	s.now = s.now.AddDate(0, 0, 3)
	state := s.state(t)
	require.True(t, state.Fresh)
	require.Len(t, state.Sections, 5, "health only")
	s.answers(t, s.ines, well(screening.Medicine, "beta"))
	require.NotEmpty(t, s.today(t).Plan, "a draft changes nothing")
	require.NoError(t, s.join.HandIn(ctx, s.ines, s.id))
	state = s.state(t)
	require.False(t, state.Result.Heart.Usable)
	require.True(t, state.Check.Fresh)
	require.Len(t, state.Earlier, 1)
	require.Equal(t, state.Today, s.athlete().CheckSince, "the coach's look is waited for")
	require.Equal(t, roster.Here, s.athlete().Arrival)

	review, err := s.join.Review(ctx, s.mara, s.id)
	require.NoError(t, err)
	require.Equal(t, []any{"L1", false, 4}, []any{review.Phase, review.HeartUsable, review.SessionsAWeek}, "where they are stays")
	kind(t, fault.Conflict, s.join.Look(ctx, s.mara, s.id, state.Earlier[0].ID, true), "older answers than there are")
	require.NoError(t, s.join.Look(ctx, s.mara, s.id, state.Check.ID, review.HeartUsable))
	version := s.athlete().Version
	require.NoError(t, s.join.Look(ctx, s.mara, s.id, state.Check.ID, true), "looked at already")
	a := s.athlete()
	require.Equal(t, version, a.Version)
	require.Zero(t, a.CheckSince)
	require.False(t, a.HeartUsable)
	require.Equal(t, s.mara.Coach, s.state(t).Check.SeenBy)
}

func TestAFreshCheckThatAsksForADoctor(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	s.handIn(t, well())
	require.NoError(t, s.confirm())
	s.now = s.now.AddDate(0, 2, 0)
	s.answers(t, s.ines, well(screening.Signs, "chest"))
	require.NoError(t, s.join.HandIn(ctx, s.ines, s.id))
	require.Equal(t, entry.Referred, s.today(t).Way)
	require.Empty(t, s.today(t).Plan)
	state := s.state(t)
	require.True(t, state.Open)
	require.NotEmpty(t, state.Check.Why)
	require.NoError(t, s.join.Look(ctx, s.mara, s.id, state.Check.ID, true))
	require.Empty(t, s.today(t).Plan, "having looked clears nobody")
	s.now = s.now.AddDate(0, 0, 1)
	require.NoError(t, s.clear())
	require.NotEqual(t, entry.Referred, s.today(t).Way)
}

// The coach fills it in with the person beside them: the same pages, another source.
func TestFilledInByTheCoach(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	require.NoError(t, s.join.Agree(ctx, s.mara, s.id, all()))
	s.answers(t, s.mara, well())
	require.NoError(t, s.join.HandIn(ctx, s.mara, s.id))
	c := s.state(t).Check
	require.Equal(t, []any{roster.FromCoach, s.mara.Coach}, []any{c.Source, c.ByCoach})
	require.NoError(t, s.confirm())
	require.Equal(t, s.mara.Coach, s.Measured[0].ByCoach)
}

// Questions of an older version are asked anew rather than half understood.
func TestADraftOfAnOlderForm(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	require.NoError(t, s.join.Agree(ctx, s.ines, s.id, all()))
	s.answers(t, s.ines, well())
	s.Checked[0].Form = screening.Form - 1
	require.Len(t, places(s.join.HandIn(ctx, s.ines, s.id)), 8)
	require.Equal(t, screening.You, s.state(t).Next)
	s.answers(t, s.ines, well())
	require.NoError(t, s.join.HandIn(ctx, s.ines, s.id))
	require.Len(t, s.Checked, 1)
}
