package httpd

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
)

// onlyLeave is the one time away that is kept.
func (p *people) onlyLeave() roster.Leave {
	p.t.Helper()
	require.Len(p.t, p.store.Leaving, 1)
	for _, l := range p.store.Leaving {
		return l
	}
	return roster.Leave{}
}

func TestAnAthleteNotesATimeAway(t *testing.T) {
	p := newPeople(t)
	clear(p.store.Leaving)
	b := p.visitors[herself]
	a := b.post("/away", "key", "key-of-the-form-1", "from", "2026-04-20", "to", "2026-04-18", "why", "<b>holiday</b>")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "2026-04-20", attr(a.one("input[name=from]"), "value"), "what was typed is kept")
	require.Equal(t, "2026-04-18", attr(a.one("input[name=to][aria-invalid=true]"), "value"))
	require.Equal(t, "<b>holiday</b>", attr(a.one("input[name=why]"), "value"), "escaped by the page")
	require.Contains(t, a.body, "This is before the first day away.")

	for range 2 {
		a = b.post("/away", "key", "key-of-the-form-1", "from", "2026-04-20", "to", "2026-04-28", "why", "<b>holiday</b>")
		a.leadsTo("/away?said=away")
	}
	l := p.onlyLeave()
	require.Equal(t, day.Span{From: day.On(2026, 4, 20), To: day.On(2026, 4, 28)}, l.Span)
	page := b.get("/away?said=away")
	require.Contains(t, page.body, "The time away is noted.")
	require.Contains(t, text(page.one("main")), "20 to 28 April, <b>holiday</b>")

	b.post("/away/"+idText(l.ID)+"/back", "to", "2026-04-24").leadsTo("/away?said=away")
	require.Equal(t, day.On(2026, 4, 24), p.onlyLeave().To)
	a = b.post("/away/"+idText(l.ID)+"/back", "to", "2026-04-19")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, day.On(2026, 4, 24), p.onlyLeave().To)

	p.visitors[otherAthlete].post("/away/" + idText(l.ID) + "/never")
	require.Len(t, p.store.Leaving, 1, "another athlete's time away stays")
	for range 2 {
		b.post("/away/" + idText(l.ID) + "/never").leadsTo("/away?said=unsaid")
	}
	require.Empty(t, p.store.Leaving)
}

func TestACoachNotesATimeAway(t *testing.T) {
	p := newPeople(t)
	clear(p.store.Leaving)
	b, base := p.visitors[clubCoach], athletePath(p.ana.ID)
	a := b.post(base+"/leave", "key", "key-of-the-form-1", "from", "tomorrow")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "tomorrow", attr(a.one("input[name=from]"), "value"))
	require.Contains(t, text(a.one("body")), "Ana")
	b.post(base+"/leave", "key", "key-of-the-form-1", "from", "2026-04-14").leadsTo(base + "?said=away")
	l := p.onlyLeave()
	require.Zero(t, l.To)
	b.post(base+"/leave/"+idText(l.ID)+"/back", "to", "2026-04-15").leadsTo(base + "?said=away")
	b.post(base + "/leave/" + idText(l.ID) + "/never").leadsTo(base + "?said=unsaid")
	require.Empty(t, p.store.Leaving)
}

func TestIllnessAndInjuryAreNotedAndLeadBack(t *testing.T) {
	p := newPeople(t)
	clear(p.store.Leaving)
	b := p.visitors[herself]
	a := b.post("/away", "key", "key-of-the-form-1", "kind", "injury", "from", "2026-04-20")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, a.body, "noted once it is there")
	a.one("input[name=kind][value=injury][checked]")
	a = b.post("/away", "key", "key-of-the-form-1", "kind", "tired", "from", "2026-04-12")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, a.body, "Please say what it is.")

	b.post("/away", "key", "key-of-the-form-1", "kind", "injury", "from", "2026-04-12", "why", "left ankle").leadsTo("/away?said=away")
	require.Equal(t, day.On(2026, 4, 12), p.store.Athletes[p.ana.ID].InjuredOn)
	require.Contains(t, text(b.get("/away").one("main")), "Since 12 April, injured, left ankle")
	l := p.onlyLeave()
	at := "/away/" + idText(l.ID) + "/back"
	b.post(at, "to", "2026-04-14").leadsTo(at + "?said=away")
	page := text(b.get(at).one("main"))
	for _, words := range []string{"Coming back after an injury", "half an hour on the flat without pain", "first phase: walk 15 min", "common practice", "no medical advice"} {
		require.Contains(t, page, words)
	}
	base := athletePath(p.ana.ID)
	coach := p.visitors[clubCoach].get(base + "/leave/" + idText(l.ID) + "/back")
	require.Contains(t, text(coach.one("main")), "Coming back after an injury")
	require.Contains(t, text(coach.one("body")), "Ana")
	require.Equal(t, http.StatusNotFound, p.visitors[otherAthlete].get(at).StatusCode)
	b.post("/away/" + idText(l.ID) + "/never").leadsTo("/away?said=unsaid")
	require.Zero(t, p.store.Athletes[p.ana.ID].InjuredOn)

	b.post("/away", "key", "key-of-the-form-2", "kind", "illness", "from", "2026-04-12").leadsTo("/away?said=away")
	at = "/away/" + idText(p.onlyLeave().ID) + "/back"
	require.Contains(t, text(b.get("/away").one("form[action='"+at+"'] button")), "Well again today")
	b.post(at, "to", "2026-04-14").leadsTo(at + "?said=away")
	require.Empty(t, b.get("/away").all("form[action='"+at+"']"), "said already")
	today := b.get("/today")
	require.Contains(t, text(today.one("main")), "Back from tomorrow")
	require.NotContains(t, text(today.one("main")), "Get well first")
	require.NotEmpty(t, today.all("a.btn[href='"+at+"']"))
	require.Empty(t, today.all("a[data-start]"))
	page = text(b.get(at).one("main"))
	for _, words := range []string{"Coming back after being ill", "from tomorrow there are sessions again", "No training with a fever, or with signs below the neck", "easier than planned", "Pressure or pain in the chest", "common practice"} {
		require.Contains(t, page, words)
	}
	b.post("/away/" + idText(p.onlyLeave().ID) + "/never")
	b.post("/away", "key", "key-of-the-form-3", "from", "2026-04-12")
	b.get("/away/" + idText(p.onlyLeave().ID) + "/back").leadsTo("/away")
}

func TestTheRosterSaysWhoIsIllOrInjured(t *testing.T) {
	p := newPeople(t)
	for kind, words := range map[roster.LeaveKind]string{roster.OnHoliday: "On leave", roster.Ill: "Ill", roster.Injured: "Comes back at the first phase, with a fresh health check."} {
		clear(p.store.Leaving)
		p.store.Leaving[1] = roster.Leave{ID: 1, Athlete: p.ana.ID, Kind: kind, Span: day.Span{From: day.On(2026, 4, 13)}}
		require.Contains(t, text(p.visitors[clubCoach].get("/roster").one("section[aria-labelledby=away]")), words)
		word := map[roster.LeaveKind]string{roster.OnHoliday: "On leave", roster.Ill: "Ill", roster.Injured: "Injured"}[kind]
		require.Contains(t, text(p.visitors[clubCoach].get(athletePath(p.ana.ID)).one("main")), word+" since")
	}
}

func TestLeaveWords(t *testing.T) {
	today, on := day.On(2026, 4, 14), func(m, d int) day.Date { return day.On(2026, 3, 31) + day.Date((m-4)*30+d) }
	for words, l := range map[string]roster.Leave{
		"Since 3 April":              {Span: day.Span{From: on(4, 3)}},
		"From 20 April, holiday":     {Span: day.Span{From: on(4, 20)}, Why: "holiday"},
		"20 to 28 April":             {Span: day.Span{From: on(4, 20), To: on(4, 28)}},
		"20 April, wedding":          {Span: day.Span{From: on(4, 20), To: on(4, 20)}, Why: "wedding"},
		"Since 2 April, ill, a cold": {Span: day.Span{From: on(4, 2)}, Kind: roster.Ill, Why: "a cold"},
		"Since 1 April, injured":     {Span: day.Span{From: on(4, 1)}, Kind: roster.Injured},
		"28 April to 3 May, illness": {Span: day.Span{From: on(4, 28), To: on(5, 3)}, Why: "illness"},
	} {
		require.Equal(t, words, leaveWords(l, wording.Dates{}, today))
	}
}
