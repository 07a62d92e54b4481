package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// said is everything a verdict says. Left out is the weighted ratio, which reaches
// back without end, a little less with each day, and which no rule reads (8.5).
func said(h *readiness.History) map[string]any {
	v := readiness.Assess(h)
	v.Load.RatioWeighted = 0
	return map[string]any{
		"action": v.Action, "to": v.To, "gate": v.Gate, "flags": v.Flags.Names(), "stalling": v.Stalling,
		"load": v.Load, "rules": v.Rules, "sentence": v.Sentence(), "conditions": v.Evidence(), "way back": v.WayBack(),
	}
}

// stand puts the athlete where somebody may stand: for long or not, cleared or hurt
// at any time.
func (b *bench) stand(t *rapid.T, a roster.Athlete, phase string) {
	var cleared, instant, injured any
	if rapid.Bool().Draw(t, "cleared") {
		on := (today - day.Date(rapid.IntRange(0, 200).Draw(t, "cleared ago"))).UTC()
		cleared = on
		if rapid.Bool().Draw(t, "at an instant") {
			instant = on.Add(time.Duration(rapid.IntRange(-600, 1800).Draw(t, "minute")) * time.Minute)
		}
	}
	if rapid.IntRange(0, 4).Draw(t, "injured") == 0 {
		injured = (today - day.Date(rapid.IntRange(0, 200).Draw(t, "injured ago"))).UTC()
	}
	_, err := b.admin.Exec(t.Context(), "update athlete set phase = $2, phase_since = $3, cleared_on = $4, cleared_at = $5, injured_on = $6 where athlete_id = $1",
		a.ID, phase, (today - day.Date(rapid.IntRange(0, 150).Draw(t, "since"))).UTC(), cleared, instant, injured)
	require.NoError(t, err)
}

// turn changes a session into one of another phase, effort or place. What was
// missed or called off says nothing of a phase, a pain or minutes: of those before
// its reach a file does not know. Efforts are all given, or all that are given are
// the same: what is missing is filled with the median of the file's (8.1).
func turn(t *rapid.T, s *roster.Session, phases []string, rated bool) {
	s.Date += day.Date(rapid.SampledFrom([]int{0, 0, 0, 0, -1, 1}).Draw(t, "zone"))
	s.Phase = rapid.SampledFrom(phases).Draw(t, "its phase")
	if s.Kind != readiness.Planned {
		s.Phase = ""
		s.Minutes = readiness.Some(rapid.SampledFrom([]int{0, 30}).Draw(t, "minutes"))
	}
	if s.Outcome == readiness.CalledOff || s.Outcome == readiness.Missed {
		s.Blocks, s.Minutes, s.Phase, s.Pain = nil, readiness.Maybe{}, "", nil
	}
	if len(s.Blocks) > 0 && rapid.Bool().Draw(t, "no minutes") {
		s.Minutes = readiness.Maybe{}
	}
	if rated {
		s.Effort = readiness.Some(rapid.IntRange(1, 10).Draw(t, "effort"))
	} else if rapid.Bool().Draw(t, "not rated") {
		s.Effort = readiness.Maybe{}
	}
	s.LoggedAt = s.StartedAt.Add(time.Duration(rapid.SampledFrom([]int{1, 1, 1, 30, 24 * 60}).Draw(t, "told after hours")) * time.Hour)
	if rapid.IntRange(0, 9).Draw(t, "sign") == 0 {
		s.Signs = []readiness.Sign{readiness.Sign(rapid.IntRange(0, int(readiness.GroinDeep)).Draw(t, "which"))}
	}
}

// What a file leaves out changes nothing that is said.
func TestAFileSaysWhatTheWholeHistorySays(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	shelf, err := b.NewestShelf(t.Context(), c.ID)
	require.NoError(t, err)
	rapid.Check(t, func(rt *rapid.T) {
		a := b.athlete(t, c, "Ana")
		phases := []string{"B1", "B2", "L3", "L3-", "R1"}
		phase := rapid.SampledFrom(phases).Draw(rt, "phase")
		b.stand(rt, a, phase)
		rated := rapid.Bool().Draw(rt, "rated")
		ago := rapid.IntRange(-2, 100).Draw(rt, "newest")
		for range rapid.IntRange(1, 40).Draw(rt, "sessions") {
			s := stroke(rt, b, a, ago)
			turn(rt, &s, append(phases, phase, phase, phase), rated)
			_, _, err := b.Log(t.Context(), c.Actor, s, 0)
			if fault.KindOf(err) != fault.Conflict {
				require.NoError(rt, err)
			}
			ago += rapid.SampledFrom([]int{0, 1, 2, 2, 2, 2, 2, 3, 3, 3, 3, 4, 9, 20, 40}).Draw(rt, "pause")
		}
		file, err := b.File(t.Context(), c.ID, a.ID, today)
		require.NoError(rt, err)
		part := file.History(&shelf.Pathway, today)
		file.Sessions, err = b.Sessions(t.Context(), c.ID, a.ID)
		require.NoError(rt, err)
		whole := file.History(&shelf.Pathway, today)
		require.Equal(rt, said(&whole), said(&part), "%d of %d sessions", len(part.Sessions), len(whole.Sessions))
	})
}
