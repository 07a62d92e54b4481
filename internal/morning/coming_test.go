package morning_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// arriving adds somebody who is not here yet.
func (s *scene) arriving(name string, arrival roster.Arrival, since day.Date, sessions ...roster.Session) *roster.Athlete {
	a := &s.add(name, "B1", sessions...).Athlete
	a.Arrival, a.ArrivalSince = arrival, since
	return a
}

func TestWhoIsComingIn(t *testing.T) {
	s := newScene()
	s.add("Ana", "L3", ready("L3")...)
	s.add("Bo", "L3", done("L3", 1))
	s.arriving("Cora", roster.Invited, tuesday-9)
	s.arriving("Dan", roster.Withdrawn, tuesday-1)
	s.arriving("Edda", roster.Answered, tuesday-1).Held = roster.Referred
	s.arriving("Finn", roster.Answered, tuesday-2)
	s.arriving("Gil", roster.Invited, tuesday)
	s.arriving("Hana", roster.Answered, tuesday)
	walk := done("B1", 0, signed(readiness.Faint))
	walk.Kind, walk.Phase = readiness.Extra, ""
	s.arriving("Ida", roster.Answered, tuesday, walk)
	m := s.roster(t)
	require.Equal(t, []string{"Finn", "Hana", "Edda", "Ida", "Dan", "Cora", "Gil"}, names(m.Coming), "the coach's turn first, then by name")
	var seen []morning.Coming
	for _, r := range m.Coming {
		seen = append(seen, r.Coming)
	}
	require.Equal(t, []morning.Coming{
		{Kind: morning.Waiting, Since: tuesday - 2}, {Kind: morning.Waiting, Since: tuesday},
		{Kind: morning.Clearing, Since: tuesday - 1}, {Kind: morning.Clearing, Since: tuesday},
		{Kind: morning.Withdrawn, Since: tuesday - 1},
		{Kind: morning.Invited, Since: tuesday - 9}, {Kind: morning.Invited, Since: tuesday},
	}, seen)
	require.Equal(t, []string{"Ana"}, names(m.Decide))
	require.Equal(t, []string{"Bo"}, names(m.Steady))
	require.Empty(t, m.Quiet, "who is not here yet is not silent")
	require.Empty(t, m.Away)
	require.Equal(t, roster.AthleteID(4), m.Row(4).Athlete.ID)
	require.Len(t, m.Rows(), 9)
	require.Equal(t, morning.Arrived, m.Decide[0].Coming.Kind)
}
