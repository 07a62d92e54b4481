package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

// talkTest is one of today.
func (b *bench) talkTest(a roster.Athlete) roster.Measurement {
	return roster.Measurement{
		Athlete: a.ID, Key: b.key(), On: today, Kind: roster.TalkTested, BPM: 128, At: noon,
		Stages: []intensity.Stage{{Rate: 112, Talk: intensity.Chat}, {Rate: 128, Talk: intensity.Chat}, {Rate: 141, Talk: intensity.Sentence}, {Talk: intensity.Words}},
	}
}

func TestMeasurements(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a, bo := b.athlete(t, c, "Ana"), b.athlete(t, c, "Bo")
	test := b.talkTest(a)
	rest := roster.Measurement{Athlete: a.ID, Key: b.key(), On: today - 9, Kind: roster.RestMeasured, BPM: 30, At: noon.Add(time.Minute)}
	most := roster.Measurement{Athlete: a.ID, Key: b.key(), On: today, Kind: roster.MaxMeasured, BPM: 230, At: noon.Add(-time.Minute), ByCoach: c.Coach}
	for _, m := range []*roster.Measurement{&test, &rest, &most} {
		id, err := b.Measure(t.Context(), c.Actor, *m)
		require.NoError(t, err)
		again, err := b.Measure(t.Context(), c.Actor, *m)
		require.NoError(t, err)
		require.Equal(t, id, again)
		m.ID = id
	}
	most.By = "Owner of Harbour"
	all, err := b.Measurements(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, []roster.Measurement{rest, most, test}, all, "the oldest date first, then as they came")
	require.Equal(t, 3, value[int](t, b, "select count(*)::int from audit where change = 'measurement.add'"), "sent twice, stored once")

	kind(t, fault.NotFound, b.Unmeasure(t.Context(), c.Actor, bo.ID, rest.ID))
	require.NoError(t, b.Unmeasure(t.Context(), c.Actor, a.ID, rest.ID))
	kind(t, fault.NotFound, b.Unmeasure(t.Context(), c.Actor, a.ID, rest.ID))
	all, err = b.Measurements(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, []roster.Measurement{most, test}, all)
	none, err := b.Measurements(t.Context(), c.ID, bo.ID)
	require.NoError(t, err)
	require.Empty(t, none)
}

func TestSetFormula(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	require.Equal(t, intensity.Nes, a.Formula)
	require.NoError(t, b.SetFormula(t.Context(), c.Actor, a.ID, "gellish_quadratic"))
	changed, err := b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	a.Formula, a.Version = intensity.GellishQuadratic, a.Version+1
	require.Equal(t, a, changed)
	changed.Name = "Anna"
	require.NoError(t, b.Change(t.Context(), c.Actor, changed))
	changed, err = b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, intensity.GellishQuadratic, changed.Formula, "another change leaves it")
	kind(t, fault.Invalid, b.SetFormula(t.Context(), c.Actor, a.ID, "guess"))
	kind(t, fault.NotFound, b.SetFormula(t.Context(), c.Actor, 999, "nes"))
}
