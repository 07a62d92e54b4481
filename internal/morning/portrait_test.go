package morning_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

func (s *scene) portrait(t *testing.T) *morning.Portrait {
	t.Helper()
	p, err := s.use.Athlete(context.Background(), 7, 1)
	require.NoError(t, err)
	return p
}

// moved is a decision that led from one phase to another.
func moved(from string, since day.Date, to string, on day.Date) roster.Decision {
	return roster.Decision{
		Athlete: 1, Choice: roster.MoveUp, At: on.UTC().Add(18 * time.Hour), AsOf: on,
		Before: roster.Standing{Phase: from, PhaseSince: since}, After: roster.Standing{Phase: to, PhaseSince: on},
	}
}

func TestAnAthleteInFull(t *testing.T) {
	s := newScene()
	f := s.add("Ines", "L3", slices.Concat(ready("L3"), every("L2", []day.Date{11, 13, 15}), every("L1", []day.Date{18, 20, 22}))...)
	f.Athlete.JoinedOn, f.Athlete.PhaseSince = tuesday-23, tuesday-9
	undone := moved("L3", tuesday-9, "L4", tuesday-2)
	undone.UndoneAt = s.now
	s.decisions = []roster.Decision{undone, moved("L2", tuesday-16, "L3", tuesday-9), moved("L1", tuesday-23, "L2", tuesday-16)}
	s.leaves = []roster.Leave{{ID: 1, Span: day.Span{From: tuesday - 40, To: tuesday - 30}}}
	s.notes = []roster.Note{{ID: 1, Text: "runs with a friend"}}
	p := s.portrait(t)
	require.Equal(t, readiness.MoveUp, p.Verdict.Action)
	require.Len(t, p.Evidence, 5)
	require.NotEmpty(t, p.Sentence)
	require.Len(t, p.Sessions, 9)
	require.Equal(t, tuesday-1, p.Sessions[0].Date)
	require.Equal(t, []morning.Stay{
		{Phase: "L1", From: tuesday - 23, To: tuesday - 16, Sessions: 3},
		{Phase: "L2", From: tuesday - 16, To: tuesday - 9, Sessions: 3},
		{Phase: "L3", From: tuesday - 9, Sessions: 3},
	}, p.Phases)
	require.Less(t, tuesday, p.Forecast.Early)
	require.LessOrEqual(t, p.Forecast.Early, p.Forecast.Median)
	require.LessOrEqual(t, p.Forecast.Median, p.Forecast.Late)
	require.Len(t, p.Decisions, 3)
	require.Len(t, p.Leaves, 1)
	require.Len(t, p.Notes, 1)
}

func TestOnOnePhaseSinceTheStart(t *testing.T) {
	s := newScene()
	s.add("Ines", "L3", done("L3", 1)).Athlete.PhaseSince = tuesday - 4
	require.Equal(t, []morning.Stay{{Phase: "L3", From: tuesday - 4, Sessions: 1}}, s.portrait(t).Phases)
}

func TestWeeksPlannedBesideDone(t *testing.T) {
	s := newScene()
	cut := done("L3", 9, func(s *roster.Session) { s.Blocks[10].Done = 60 })
	f := s.add("Ines", "L3", done("L3", 1), cut, done("L3", 11), done("L3", 15))
	f.Athlete.JoinedOn, f.Athlete.PhaseSince = tuesday-30, tuesday-30
	weeks := s.portrait(t).Weeks
	require.Len(t, weeks, 3)
	require.Equal(t, morning.Week{First: tuesday - 6, Last: tuesday, Load: 120, Ran: 720, RunPlanned: 720, Sessions: 1}, weeks[2], "this week is not over")
	w1 := weeks[1]
	require.Equal(t, []int{2, 1380, 3 * 720}, []int{w1.Sessions, w1.Ran, w1.RunPlanned}, "a third session was planned and nobody logged it")
	require.Equal(t, 3*720, weeks[0].RunPlanned)
	s.leaves = []roster.Leave{{Span: day.Span{From: tuesday - 13, To: tuesday - 11}}}
	require.Equal(t, 2*720, s.portrait(t).Weeks[1].RunPlanned, "three days of leave take away their share, rounded up")
	f.Athlete.JoinedOn = tuesday - 12
	require.Equal(t, 2*720, s.portrait(t).Weeks[1].RunPlanned, "the week of joining asks only what was listed")
}

func TestSettleTimesAndPains(t *testing.T) {
	s := newScene()
	s.add("Ines", "L3",
		done("L3", 1, taps(50), hurts("LEFT SHIN ", 1), hurts("achilles", 2)),
		done("L2", 8, taps(70), func(s *roster.Session) {
			s.Pain = []readiness.Pain{{Site: "Left shin", Score: 3, NextMorning: readiness.Some(1)}}
		}),
		done("L3", 3))
	p := s.portrait(t)
	require.Equal(t, []morning.Settling{{Date: tuesday - 8, Median: 70, Walk: 210}, {Date: tuesday - 1, Median: 50, Walk: 180}}, p.Settles)
	require.Equal(t, []morning.Site{
		{Name: "achilles", Scores: []morning.Score{{Date: tuesday - 1, During: 2}}},
		{Name: "Left shin", Scores: []morning.Score{
			{Date: tuesday - 8, During: 3, NextMorning: readiness.Some(1)}, {Date: tuesday - 1, During: 1},
		}},
	}, p.Pains)
}

func TestMedianOfTaps(t *testing.T) {
	walk := func(settle ...int) (blocks []readiness.Block) {
		for _, s := range settle {
			blocks = append(blocks, readiness.Block{Kind: pathway.Run}, readiness.Block{Settle: readiness.Some(s)})
		}
		return blocks
	}
	_, ok := morning.Median(walk())
	require.False(t, ok)
	for want, taps := range map[int][]int{40: {40}, 45: {50, 40}, 50: {90, 50, 10}, 0: {0}} {
		got, ok := morning.Median(walk(taps...))
		require.True(t, ok)
		require.Equal(t, want, got)
	}
}

func TestAnotherClubsAthlete(t *testing.T) {
	s := newScene()
	s.add("Ines", "L3")
	_, err := s.use.Athlete(context.Background(), 8, 1)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestThePathwayWithWhoStandsWhere(t *testing.T) {
	s := newScene()
	edited := *pathway.Default()
	edited.Phases = edited.Phases[4:]
	s.shelves[2] = &roster.Shelf{ID: 2, Name: "Half an hour", Version: 2, Pathway: edited}
	s.add("One", "L3")
	s.add("Two", "L3-")
	s.add("Three", "R1").Athlete.Pathway = 2
	s.add("Four", "B1").Athlete.Pathway = 2
	ladders, err := s.use.Pathway(context.Background(), mara)
	require.NoError(t, err)
	require.Len(t, ladders, 2)
	require.Equal(t, []int{2, 1}, []int{ladders[0].Shelf.Version, ladders[1].Shelf.Version}, "the newest first")
	require.Equal(t, 1, ladders[0].Here, "a phase that is gone holds nobody")
	steps := ladders[1].Steps
	require.Len(t, steps, 15)
	l3 := steps[6]
	require.Equal(t, "L3", l3.Phase.ID)
	require.Equal(t, []int{3, 4, 720, 180, 1, 1}, []int{l3.Number, l3.Of, l3.Ran, l3.Rise, l3.Here, l3.OnHalf})
	require.NotEmpty(t, l3.Half)
	require.Zero(t, steps[0].Rise)
}
