package postgres

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
)

// A coach gets what is kept of the coach, no secret, and nothing that is about others
// but their numbers.
func TestWhatIsKeptOfACoach(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.fill(t, c)
	text, err := b.Own(t.Context(), c.ID, c.Coach)
	require.NoError(t, err)
	var kept struct {
		Coach     map[string]any
		Logins    []map[string]any
		Passkeys  []map[string]any
		Letters   []map[string]any
		Decisions []map[string]any
		Notes     []map[string]any
		Looks     []map[string]any
	}
	require.NoError(t, json.Unmarshal(text, &kept))
	require.Equal(t, "Owner of Harbour", kept.Coach["name"])
	for _, list := range [][]map[string]any{kept.Logins, kept.Passkeys, kept.Letters, kept.Decisions, kept.Notes, kept.Looks} {
		require.NotEmpty(t, list)
	}
	require.EqualValues(t, a.ID, kept.Decisions[0]["athlete_id"])
	for _, secret := range []string{"password", "mail_stop", "token", "public_key", "credential", a.Name, "runs with a friend", "three easy ones", "Well run"} {
		require.NotContains(t, string(text), secret)
	}
	_, err = b.Own(t.Context(), other.ID, c.Coach)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "of another club")
}
