package roster

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
)

func TestThePhaseOfADate(t *testing.T) {
	on := func(d int) day.Date { return day.On(2026, 4, d) }
	session := func(d int, phase string) Session {
		return Session{Session: readiness.Session{Date: on(d), StartedAt: on(d).UTC(), Phase: phase}}
	}
	f := File{
		Athlete:  Athlete{Standing: Standing{Phase: "L3", PhaseSince: on(20)}},
		Sessions: []Session{session(2, "L1"), session(9, "L2"), session(11, ""), session(21, "L3")},
	}
	f.Newest = &Decision{
		Before: Standing{Phase: "L2", PhaseSince: on(8)}, After: Standing{Phase: "L3", PhaseSince: on(20)},
	}
	for _, c := range []struct {
		d    int
		want string
		why  string
	}{
		{25, "L3", "the present one"},
		{20, "L3", "from its first day"},
		{19, "L2", "the one that a decision ended"},
		{8, "L2", "from when that began"},
		{7, "L1", "by the session before"},
		{1, "L3", "nothing is known"},
	} {
		require.Equal(t, c.want, f.PhaseOn(on(c.d)), c.why)
	}
	f.Newest.Before = f.Newest.After // a pause, say
	require.Equal(t, "L2", f.PhaseOn(on(19)), "by the session before, outside the plan left out")
	f.Newest = nil
	require.Equal(t, "L2", f.PhaseOn(on(19)))
}
