package e2e

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// joins lets somebody in by an invitation for the role.
func (c *club) joins(role, name, email string) *visitor.Visitor {
	c.t.Helper()
	link := c.coach.Get("/club").Form(`form[action="/club/invitations"]`).Set("role", role).Send().Attr("#address", "value")
	v := visitor.New(c.t, c.Address)
	page := v.Get(link).Form("main form").Set("name", name, "email", email, "password", "another calm voice").Send()
	require.Equal(c.t, "/roster", page.Path, page)
	return v
}

// An athlete is handed over in a club where coaches see only their own: from then on
// the one sees her and the other does not, whatever is asked.
func TestHandingOverWhereCoachesSeeTheirOwn(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	ines, link := c.add("Ines Okafor", "L1")
	edda, _ := c.add("Edda Frost", "L1")
	phone := c.phone(link)
	bo, una := c.joins("coach", "Bo Halvorsen", "bo@example.org"), c.joins("coach", "Una Dahl", "una@example.org")
	kim := c.joins("deputy", "Kim Oyelaran", "kim@example.org")
	require.Equal(t, 403, kim.Get("/athletes/new").Status, "a deputy takes nobody in")
	require.Equal(t, 200, una.Get(ines).Status, "nobody's athlete is everybody's")

	page := c.coach.Get("/club").Form(`form[action="/club/settings"]`).Set("own_only", "1").Send()
	require.Equal(t, 200, page.Status, page)
	require.Equal(t, 200, una.Get(ines).Status, "as long as she is nobody's")
	bosID := c.count("select coach_id::int from coach where email = 'bo@example.org'")
	page = c.coach.Get(ines).Form(`form[action$="/hand"]`).Set("coach", strconv.Itoa(bosID)).Send()
	require.Equal(t, 200, page.Status, page)

	require.Contains(t, bo.Get("/roster").Text("[aria-label='Handed over to you']"), "Mara Lindqvist handed Ines Okafor over to you today.")
	require.Contains(t, phone.Get("/me").Text("main"), "Coach Bo Halvorsen")
	for _, at := range []string{ines, ines + "/edit", ines + "/log", ines + "/sessions", ines + "/heart", ines + "/leave"} {
		require.Equal(t, 404, una.Get(at).Status, at)
		require.Equal(t, 200, bo.Get(at).Status, at)
		require.Equal(t, 200, c.coach.Get(at).Status, at)
	}
	require.NotContains(t, una.Get("/roster").Text("main"), "Ines")
	require.Contains(t, una.Get("/roster").Text("main"), "Edda")
	require.Equal(t, 200, una.Get(edda).Status)

	require.Equal(t, 200, bo.Get("/roster").Form(`form[action$="/taken"]`).Send().Status)
	require.NotContains(t, bo.Get("/roster").Text("main"), "handed Ines")
	unasID := c.count("select coach_id::int from coach where email = 'una@example.org'")
	page = bo.Get(ines).Form(`form[action$="/hand"]`).Set("coach", strconv.Itoa(unasID)).Send()
	require.Contains(t, page.Text(".notice"), "you no longer see")
	require.Equal(t, 404, bo.Get(ines).Status)
	require.Equal(t, 200, una.Get(ines).Status)

	page = c.coach.Get("/club/coaches/" + strconv.Itoa(unasID)).Form(`form[action$="/end"]`).Send()
	require.Contains(t, page.Text(".notice"), "One athlete is everybody's now")
	require.Contains(t, una.Get("/roster").Text("h1"), "Sign in")
	require.Equal(t, 200, bo.Get(ines).Status, "everybody's again")
	require.Equal(t, []string{"athlete.hand_over", "athlete.take_over", "athlete.hand_over", "athlete.free"},
		c.texts("select change from audit where change in ('athlete.hand_over', 'athlete.take_over', 'athlete.free') order by audit_id"))
}
