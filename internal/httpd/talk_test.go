package httpd

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
)

// talkIn is the form on a page of the talk test as a browser would send it, with
// names and values in turn added to what is hidden in it.
func talkIn(a *answer, typed ...string) []string {
	for _, n := range a.all("main form input[type=hidden]") {
		typed = append(typed, attr(n, "name"), attr(n, "value"))
	}
	return typed
}

// step sends the form that is open.
func (b *browser) step(a *answer, typed ...string) *answer {
	b.site.t.Helper()
	return b.post(attr(a.one("main form"), "action"), talkIn(a, append(typed, "do", "next")...)...)
}

func TestTheTalkTestStageByStage(t *testing.T) {
	k := newTrack(t)
	a := k.phone.get("/talk-test")
	require.Contains(t, text(a.one("main")), "call the local emergency number")
	a = k.phone.step(a)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode, "not before the caution was read")
	require.Contains(t, text(a.one("#well")), "Please tick this first")

	a = k.phone.step(a, "well", "1")
	rates := []string{"98", "110", "124", "133"}
	for i, rate := range rates {
		require.Equal(t, talkStages[i].name, text(a.one("h1")))
		require.Contains(t, text(a.one("main")), page.Passage)
		talk := "chat"
		if i == len(rates)-1 {
			talk = "sentence"
		}
		a = k.phone.step(a, "rate", rate, "talk", talk)
		require.Equal(t, http.StatusOK, a.StatusCode)
	}
	require.Equal(t, "Your easy ceiling: 124", text(a.one("h1")))
	require.Contains(t, text(a.one("main")), "from today on; older sessions keep the ceiling they were judged with")
	require.Empty(t, k.store.Measured, "nothing is stored before somebody says so")
	keep := talkIn(a, "do", "keep")
	k.phone.post("/talk-test", keep...).leadsTo("/heart?said=talk-tested")
	k.phone.post("/talk-test", keep...).leadsTo("/heart?said=talk-tested")
	require.Len(t, k.store.Measured, 1)
	m := k.store.Measured[0]
	require.Equal(t, intensity.BPM(124), m.BPM)
	require.Equal(t, roster.TalkTested, m.Kind)
	require.Len(t, m.Stages, 4)
	require.Equal(t, tuesday(), m.On)
	require.Contains(t, text(k.phone.get("/heart").one("main")), "124 beats a minute From a talk test, since today.")
}

func TestAStageKeepsWhatWasTyped(t *testing.T) {
	k := newTrack(t)
	a := k.phone.step(k.phone.get("/talk-test"), "well", "1")
	for _, row := range []struct{ rate, talk, field, words string }{
		{"", "chat", "rate", "60 to 220"}, {"12", "chat", "rate", "60 to 220"}, {"many", "chat", "rate", "whole number"}, {"300", "chat", "rate", "60 to 220"},
		{"110", "", "talk", "pick one"}, {"110", "singing", "talk", "pick one"},
	} {
		wrong := k.phone.step(a, "rate", row.rate, "talk", row.talk)
		require.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
		require.Contains(t, text(wrong.one("#"+row.field+"-wrong")), row.words)
		require.Equal(t, row.rate, attr(wrong.one("#rate"), "value"))
		require.Equal(t, "Easy walk", text(wrong.one("h1")), "it stays at its stage")
	}
}

func TestHowATalkTestEndsWithoutACeiling(t *testing.T) {
	k := newTrack(t)
	first := k.phone.step(k.phone.get("/talk-test"), "well", "1")
	a := k.phone.step(first, "rate", "120", "talk", "words")
	require.Equal(t, "No ceiling today", text(a.one("h1")))
	require.Empty(t, a.all("main form"), "there is nothing to keep")

	a = first
	for range talkStages {
		a = k.phone.step(a, "rate", "120", "talk", "chat")
	}
	require.Equal(t, "Comfortable to the end", text(a.one("h1")))
	require.Empty(t, a.all("main form"))
	kept := k.phone.post("/talk-test", "key", "key-of-the-form", "well", "1", "do", "keep", "rate[0]", "120", "talk[0]", "chat")
	require.Equal(t, http.StatusUnprocessableEntity, kept.StatusCode, "a form made by hand keeps nothing either")
	require.Empty(t, k.store.Measured)
}

// Stages that no page of the test can have sent are refused whole.
func TestStagesThatCannotBe(t *testing.T) {
	k := newTrack(t)
	for _, pairs := range [][]string{
		{"rate[0]", "many", "talk[0]", "chat"},
		{"rate[0]", "110"},
		{"rate[0]", "110", "talk[0]", "words", "rate[1]", "120", "talk[1]", "chat"},
		{"rate[0]", "9000", "talk[0]", "chat"},
	} {
		a := k.phone.post("/talk-test", append([]string{"key", "key-of-the-form", "well", "1", "do", "next"}, pairs...)...)
		require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	}
	require.Equal(t, http.StatusUnprocessableEntity, k.phone.post("/talk-test", "well", "1", "do", "next").StatusCode, "without its key")
}

func TestACoachDoesTheTestWithTheAthlete(t *testing.T) {
	k := newTrack(t)
	at := athletePath(k.ines) + "/talk-test"
	a := k.desk.get(at)
	require.Contains(t, text(a.one("main")), "You are entering this for Ines Okafor")
	a = k.desk.step(a, "well", "1")
	a = k.desk.step(a, "rate", "101", "talk", "chat")
	a = k.desk.step(a, "rate", "118", "talk", "words")
	k.desk.post(at, talkIn(a, "do", "keep")...).leadsTo(athletePath(k.ines) + "/heart?said=talk-tested")
	require.Equal(t, k.owner.ID, k.store.Measured[0].ByCoach)
}

// Who is to stop, or waits for clearance, does no test either.
func TestNoTalkTestWhileRunningIsPaused(t *testing.T) {
	k := newTrack(t)
	k.logs(k.ines, 1, func(e *entry.Entry) { e.Limp = true })
	k.desk.post(athletePath(k.ines)+"/decide", decision(k.desk.get(athletePath(k.ines)), "pause")...)
	a := k.phone.get("/talk-test")
	require.Equal(t, "No running for now", text(a.one("h1")))
	require.Empty(t, a.all("main form"))
	a = k.phone.post("/talk-test", "key", "key-of-the-form", "well", "1", "do", "next")
	require.Equal(t, "No running for now", text(a.one("h1")))
}

// The passage takes about half a minute: shorter speech passes too easily.
func TestThePassageIsLongEnough(t *testing.T) {
	words := len(strings.Fields(page.Passage))
	require.GreaterOrEqual(t, words, 60)
	require.LessOrEqual(t, words, 80)
}
