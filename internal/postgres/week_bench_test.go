package postgres

import (
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// BenchmarkWeeks is everybody's week in a club of 300 who have trained for twelve
// weeks and have strength besides.
func BenchmarkWeeks(b *testing.B) {
	bench := open(b)
	c := bench.club(b, "Harbour")
	for _, a := range bench.crowd(b, c, 300, 12) {
		require.NoError(b, bench.SetHabits(b.Context(), c.Actor, a.ID, days.Habits{Strength: 2, Legs: 1}))
	}
	s := &days.Service{Store: bench.Store, Now: func() time.Time { return noon }}
	var weeks []days.Week
	for b.Loop() {
		var err error
		weeks, err = s.Weeks(b.Context(), roster.Actor{Club: c.ID, Coach: c.Coach}, 0)
		require.NoError(b, err)
	}
	require.Len(b, weeks, 300)
}

// BenchmarkCoachsCalendar is what a coach's calendar asks for at each look: the seven
// weeks of everybody in clubs of 100 and of 300.
func BenchmarkCoachsCalendar(b *testing.B) {
	for _, athletes := range []int{100, 300} {
		b.Run(strconv.Itoa(athletes), func(b *testing.B) {
			bench := open(b)
			c := bench.club(b, "Harbour")
			for _, a := range bench.crowd(b, c, athletes, 12) {
				require.NoError(b, bench.SetHabits(b.Context(), c.Actor, a.ID, days.Habits{Strength: 2, Legs: 1}))
			}
			s := &days.Service{Store: bench.Store, Now: func() time.Time { return noon }}
			first := weekplan.Monday(today) - 7*calendar.Back
			for b.Loop() {
				courses, err := s.Courses(b.Context(), c.Actor, first, calendar.Back+1+calendar.Ahead)
				require.NoError(b, err)
				require.Len(b, courses, athletes)
			}
		})
	}
}
