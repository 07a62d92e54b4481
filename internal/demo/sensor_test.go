package demo_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// shown is what the newest recording of somebody shows.
type shown struct {
	recordings int
	usable     bool
	mixed      bool
	source     intensity.Source // of the ceiling
	heart      heart.Said       // of most walks after a run
}

// worn is what the stories promise of recordings.
var worn = map[string]shown{
	"Priya Vandenberg": {2, true, false, intensity.FromPredicted, heart.HasSettled},
	"Youssef Tremblay": {3, true, false, intensity.FromPredicted, heart.HasSettled},
	"Greta Mwangi":     {3, true, false, intensity.FromTalkTest, heart.HasSettled},
	"Eun-ji Carvalho":  {2, true, false, intensity.FromPredicted, heart.HasSettled},
	"Sione Halloran":   {2, true, false, intensity.FromPredicted, heart.HasNotSettled},
	"Ravi Sundqvist":   {1, true, true, intensity.FromPredicted, heart.HasNotSettled},
	"Hinemoa Varga":    {2, true, false, intensity.FromPredicted, heart.CannotTell}, // in walks this short the heart speaks only for
	"Leyla Bergstrand": {1, true, false, intensity.FromPredicted, heart.CannotTell}, // half of it was not recorded
	"Dafydd Osei":      {1, false, false, intensity.FromPredicted, heart.CannotTell},
	"Bongani Faulkner": {1, true, false, intensity.FromPredicted, heart.CannotTell}, // no walks at all
}

// newest is the newest recording of each athlete who has one, by name, and how many
// there are.
func (m *memory) newest(t *testing.T) (newest map[string]*heart.Seen, count map[string]int) {
	t.Helper()
	newest, count = map[string]*heart.Seen{}, map[string]int{}
	for id, a := range m.Athletes {
		all := m.pulses.recordings[id]
		if len(all) == 0 {
			continue
		}
		seen, err := m.pulse().Seen(context.Background(), roster.Actor{Club: a.Club, Athlete: id}, id, all[len(all)-1].Session)
		require.NoError(t, err)
		newest[a.Name], count[a.Name] = seen, len(all)
	}
	return newest, count
}

func (m *memory) pulse() *heart.Service {
	return &heart.Service{Store: m, Now: func() time.Time { return tuesday }}
}

// most is what the heart says of more than half of the walks.
func most(walks []heart.Walk) heart.Said {
	count := map[heart.Said]int{}
	for _, w := range walks {
		count[w.Heart]++
	}
	for _, said := range []heart.Said{heart.HasSettled, heart.HasNotSettled} {
		if 2*count[said] > len(walks) {
			return said
		}
	}
	return heart.CannotTell
}

func TestRecordingsShowWhatTheStoriesPromise(t *testing.T) {
	m, _, _ := filled(t, "", tuesday)
	newest, count := m.newest(t)
	found := map[string]shown{}
	for name, s := range newest {
		found[name] = shown{count[name], s.Usable, s.Mixed, s.Recording.Ceiling.Source, most(s.Walks)}
		require.False(t, s.Stale, name)
	}
	require.Equal(t, worn, found)

	locked := func(a trace.Artefact) bool { return a.Kind == trace.CadenceLock }
	require.True(t, slices.ContainsFunc(newest["Eun-ji Carvalho"].Reading.Artefacts, locked), "the watch counts steps for a while")
	half := newest["Leyla Bergstrand"].Reading.Blocks
	require.Equal(t, trace.Settled, half[1].State)
	require.Equal(t, trace.NotRecorded, half[len(half)-1].Reason, "not recorded is not told")
}

// One run went above what age would let expect: offered, and nothing else.
func TestAHigherMaximumIsOffered(t *testing.T) {
	m, _, _ := filled(t, "", tuesday)
	offered := map[string]int{}
	for id, a := range m.Athletes {
		pulse, err := m.pulse().Pulse(context.Background(), roster.Actor{Club: a.Club, Athlete: id}, id)
		require.NoError(t, err)
		if len(pulse.Offers) > 0 {
			offered[a.Name] = len(pulse.Offers)
		}
		for _, n := range pulse.Measurements {
			require.Equal(t, "Greta Mwangi", a.Name)
			require.Equal(t, roster.TalkTested, n.Kind)
			require.Equal(t, intensity.BPM(131), n.BPM)
		}
	}
	require.Equal(t, map[string]int{"Bongani Faulkner": 1}, offered)
}
