package httpd

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/roster"
)

// A club where coaches see only their own: Ana is Ivo's, Dora is Sol's, and it is
// Sol who asks.
func TestIDsOfAnotherCoachsAthleteAreNotFoundInBodies(t *testing.T) {
	p := newPeople(t)
	p.ownOnly()
	sol := p.visitors[apart]
	ivo := roster.Actor{Club: p.club.ID, Coach: p.coach.ID}
	d, err := p.deps.Decide.Decide(context.Background(), ivo, decide.Ask{Athlete: p.ana.ID, Choice: roster.Seen, Version: 1, Key: "key-of-ivos-look"})
	require.NoError(t, err)
	packed := pick{p.ana.ID, 2, "key-of-sols-pick", d.Proposal}.pack()
	before := len(p.store.Audit)
	for path, body := range map[string][]string{
		"/roster":         {"choice", "hold", "pick", packed},
		"/decisions/undo": {"decision", idText(d.ID)},
		"/logins/" + p.login(0, p.ana.ID) + "/end": {},
	} {
		require.Equal(t, http.StatusNotFound, sol.post(path, body...).StatusCode, path)
	}
	require.Len(t, p.store.Audit, before, "nothing was changed")
	require.NotContains(t, sol.get("/roster").body, "Ana")
	require.NotContains(t, sol.get("/roster?did="+idText(d.ID)+"&left="+idText(p.ana.ID)).body, "Ana")
	require.Contains(t, p.visitors[clubCoach].get("/roster").body, "Ana", "she is Ivo's")
	require.Contains(t, p.visitors[clubOwner].get("/roster").body, "Ana", "an owner sees all")

	require.NoError(t, p.deps.Enrol.Leave(context.Background(), ivo, p.ana.ID))
	require.NotContains(t, sol.get("/club").body, "Ana", "nor once she has left")
	require.Contains(t, p.visitors[clubOwner].get("/club").body, "Ana")
}

// What hangs on Ana is not reached through an athlete of one's own either.
func TestWhatIsAnothersIsNotReachedThroughAnOwnAthlete(t *testing.T) {
	p := newPeople(t)
	p.ownOnly()
	dora := p.store.Runner(p.club.ID, "Dora")
	hers, ids := idText(p.ana.ID), p.ids
	ids["{athlete}"] = idText(dora.ID)
	session, leaves, measured := p.store.Logged[0], len(p.store.Leaving), len(p.store.Measured)
	recorded := p.store.Recorded[0]
	bodies := fields()
	for _, line := range routes() {
		if !strings.Contains(line.pattern, "{athlete}") || strings.Count(line.pattern, "{") < 2 {
			continue
		}
		path := strings.Replace(line.pattern, "{login}", p.login(0, p.ana.ID), 1)
		r := httptest.NewRequest(line.method, p.path(path), strings.NewReader(p.path(bodies[line.method+" "+line.pattern])))
		if line.method == post {
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		}
		a := p.visitors[apart].do(r)
		require.NotContains(t, a.body, "Ana", "%s %s", line.method, line.pattern)
		require.Less(t, a.StatusCode, 500, line.pattern)
	}
	require.Equal(t, session, p.store.Logged[0])
	require.Equal(t, recorded.Session, p.store.Recorded[0].Session)
	require.Len(t, p.store.Leaving, leaves)
	require.Len(t, p.store.Measured, measured)
	require.NotEmpty(t, p.login(0, p.ana.ID), "her login still holds")
	require.NotEqual(t, hers, ids["{athlete}"])
}
