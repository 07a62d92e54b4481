package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/roster"
)

// check is one that a coach filled in with the athlete beside them, handed in and
// looked at.
func (b *bench) check(c club, a roster.Athlete) roster.HealthCheck {
	return roster.HealthCheck{
		Athlete: a.ID, Form: 1, Answers: map[string][]string{"signs": {"chest", "faint"}, "injury_text": {"a <b>fall</b>, \"years\" ago"}},
		Sections: []string{"health", "bones"}, Source: roster.FromCoach, ByCoach: c.Coach, BegunAt: noon.Add(-time.Hour), HandedAt: noon, HandedOn: today,
		Advised: true, Why: []string{"You know one of the signs."}, SeenAt: noon.Add(time.Minute), SeenBy: c.Coach,
	}
}

// comeIn gives the athlete everything that coming in leaves behind.
func (b *bench) comeIn(t *testing.T, c club, a roster.Athlete) {
	t.Helper()
	now := func() roster.Athlete {
		a, err := b.Athlete(t.Context(), c.ID, a.ID)
		require.NoError(t, err)
		return a
	}
	consent := roster.Consent{Athlete: a.ID, Kind: roster.ToHealth, Text: 1, On: today, At: noon, ByCoach: c.Coach}
	require.NoError(t, b.Move(t.Context(), c.Actor, join.Move{Change: "athlete.agree", Athlete: now(), Consents: []roster.Consent{consent}}))
	require.NoError(t, b.Move(t.Context(), c.Actor, join.Move{Change: "athlete.answer", Athlete: now(), Check: b.check(c, a)}))
	d := b.decision(c, now(), roster.Cleared, "L4")
	d.Clearance = roster.Clearance{GivenOn: today, GivenBy: "Dr Aune", Limits: "Nothing uphill."}
	_, err := b.Keep(t.Context(), c.Actor, d, now().Version)
	require.NoError(t, err)
}
