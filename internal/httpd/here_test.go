package httpd

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/roster"
)

// The phone is told in words why nothing is prescribed, and gets no plan.
func TestThePhoneOfSomebodyWhoIsNotHereYet(t *testing.T) {
	standings := map[string]bool{}
	for _, row := range []struct {
		arrival roster.Arrival
		held    roster.Held
		kind    string
		words   string
	}{
		{roster.Invited, roster.NotHeld, "before", "questions about your health"},
		{roster.Answered, roster.NotHeld, "before", "Your answers are in"},
		{roster.Answered, roster.Referred, "referred", "a doctor should be asked"},
		{roster.Withdrawn, roster.NotHeld, "before", "taken your consent back"},
	} {
		k := newTrack(t)
		a := k.store.Athletes[k.ines]
		a.Arrival, a.Held = row.arrival, row.held
		k.store.Athletes[k.ines] = a
		var w week
		require.NoError(t, json.Unmarshal([]byte(k.phone.get("/phone/week").body), &w))
		require.Empty(t, w.Plan)
		require.NotNil(t, w.Way)
		require.Equal(t, row.kind, w.Way.Kind)
		require.Contains(t, w.Way.Words[0], row.words)
		require.False(t, standings[w.Standing], "%s: a phone that is open sees the change", row.arrival)
		standings[w.Standing] = true
		require.Equal(t, http.StatusOK, k.phone.get("/today").StatusCode)
		require.Empty(t, k.phone.get("/today").all("a[href='/go']"), "nothing to start")
		require.Empty(t, k.phone.get("/sessions").all("a[href^='/log']"), "nor to log: it would not be taken")
		require.Empty(t, k.desk.get(athletePath(k.ines)).all("a[href*='/log']"), "nor for the coach")
	}
	require.Len(t, standings, 4)
}

func TestAClearanceIsRecordedOnThePage(t *testing.T) {
	k := newTrack(t)
	k.logs(k.ines, 1)
	at := athletePath(k.ines)
	require.Empty(t, k.desk.get(at).all("input[name=given_on]"), "not asked where nothing is to be cleared")
	a := k.store.Athletes[k.ines]
	a.Held, a.HeldSince = roster.Referred, tuesday()-2
	k.store.Athletes[k.ines] = a
	page := k.desk.get(at)
	require.True(t, has(page.one("details:has(input[name=given_on])"), "open"), "it is what is proposed")

	answer := k.desk.post(at+"/decide", decision(page, "cleared", "given_on", "14 April", "given_by", "Dr Aune", "limits", "Nothing uphill")...)
	require.Equal(t, http.StatusUnprocessableEntity, answer.StatusCode)
	require.Equal(t, []string{"14 April", "Dr Aune"}, []string{attr(answer.one("input[name=given_on]"), "value"), attr(answer.one("input[name=given_by]"), "value")}, "what was typed is kept")
	require.Equal(t, "true", attr(answer.one("input[name=given_on]"), "aria-invalid"))
	answer = k.desk.post(at+"/decide", decision(page, "cleared", "given_on", "2026-04-15", "given_by", " ")...)
	require.Equal(t, http.StatusUnprocessableEntity, answer.StatusCode)
	require.Contains(t, answer.body, "still to come")
	require.Contains(t, answer.body, "say who gave it")
	require.Equal(t, roster.Referred, k.standing(k.ines).Held)

	k.desk.post(at+"/decide", decision(page, "cleared", "given_on", "2026-04-13", "given_by", "Dr Aune", "limits", "Nothing uphill")...)
	require.Equal(t, roster.NotHeld, k.standing(k.ines).Held)
	today, err := k.deps.Entry.Today(t.Context(), roster.Actor{Club: k.club.ID, Athlete: k.ines}, k.ines)
	require.NoError(t, err)
	require.Equal(t, roster.Clearance{GivenOn: tuesday() - 1, GivenBy: "Dr Aune", Limits: "Nothing uphill"}, today.Limits)
	require.NotEqual(t, entry.Referred, today.Way)
}

func TestWhoAsksTheHealthQuestions(t *testing.T) {
	p := newPeople(t)
	b := p.visitors[clubCoach]
	a := b.post("/athletes", sent("answers", "paper", "asked_on", "", "asked_by", "")...)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	for _, place := range []string{"asked_on", "asked_by"} {
		require.NotEmpty(t, a.all(`a[href="#`+place+`"]`), "the summary leads to %s", place)
	}
	require.Equal(t, http.StatusOK, b.post("/athletes", sent("answers", "phone", "asked_on", "", "asked_by", "")...).StatusCode)
	require.Equal(t, []any{roster.Invited, "B1"}, []any{p.added()[0].Arrival, p.added()[0].Phase}, "whatever the form says below")
	require.Equal(t, http.StatusOK, b.post("/athletes", sent("answers", "paper", "key", "key-of-the-form-2")...).StatusCode)
	arrived := map[roster.Arrival]int{}
	for _, a := range p.added() {
		arrived[a.Arrival]++
	}
	require.Equal(t, map[roster.Arrival]int{roster.Invited: 1, roster.Here: 1}, arrived)
}
