package httpd

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

// pulseForm is one of the forms of the page, as it would be sent.
func pulseForm(a *answer, kind, bpm, on string) []string {
	key := attr(a.all("form[action$='/measurements'] input[name=key]")[0], "value")
	return []string{"key", key, "kind", kind, "bpm", bpm, "on", on}
}

func TestTheCeilingIsSaidWithItsSource(t *testing.T) {
	k := newTrack(t)
	for _, b := range []*browser{k.phone, k.desk} {
		at := "/heart"
		if b == k.desk {
			at = athletePath(k.ines) + "/heart"
		}
		main := text(b.get(at).one("main"))
		require.Contains(t, main, "140 beats a minute") // 76 % of 211 − 0.64 × 41, rounded down (rules 4.1, 4.2)
		require.Contains(t, main, "From a maximum predicted from the age")
		require.Contains(t, main, "In two of three people it lies within 8 beats of that.")
		require.Contains(t, main, "Zone 2 ends at 158")
		require.Contains(t, main, "Nothing yet.")
	}
	k.talked(128, 2)
	main := text(k.phone.get("/heart").one("main"))
	require.Contains(t, main, "128 beats a minute From a talk test, since Sunday.")
	require.Contains(t, main, "128 since 12 April, from a talk test")
	require.Contains(t, main, "140 since 9 March, from a maximum predicted from the age")
}

func TestARestingRateIsKeptOnceAndTakenBack(t *testing.T) {
	k := newTrack(t)
	form := pulseForm(k.phone.get("/heart"), "resting", "58", "2026-04-13")
	k.phone.post("/heart/measurements", form...).leadsTo("/heart?said=measured")
	k.phone.post("/heart/measurements", form...).leadsTo("/heart?said=measured")
	require.Len(t, k.store.Measured, 1)
	a := k.phone.get("/heart")
	require.Contains(t, text(a.one("main")), "58 At rest, 13 April, by you")
	back := attr(a.one("form[action$='/back']"), "action")
	require.Equal(t, fmt.Sprintf("/heart/measurements/%d/back", k.store.Measured[0].ID), back)
	k.phone.post(back).leadsTo("/heart?said=unmeasured")
	require.Empty(t, k.store.Measured)
}

func TestAMeasurementOutOfRangeStaysInItsForm(t *testing.T) {
	k := newTrack(t)
	at := athletePath(k.ines) + "/heart"
	for _, row := range []struct{ kind, bpm, on, field, words string }{
		{"resting", "20", "2026-04-13", "resting-bpm", "30 to 120"},
		{"resting", "58", "2027-01-01", "resting-on", "still to come"},
		{"resting", "sixty", "2026-04-13", "resting-bpm", "whole number"},
		{"resting", "", "2026-04-13", "resting-bpm", "whole number"},
		{"max", "400", "2026-04-13", "max-bpm", "100 to 230"},
		{"max", "184", "", "max-on", "give the day"},
	} {
		a := k.desk.post(at+"/measurements", pulseForm(k.desk.get(at), row.kind, row.bpm, row.on)...)
		require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
		require.Contains(t, text(a.one("#"+row.field+"-wrong")), row.words)
		require.Equal(t, row.bpm, attr(a.one("#"+row.kind+"-bpm"), "value"))
		require.True(t, has(a.one("details:has(#"+row.kind+"-bpm)"), "open"))
	}
	require.Empty(t, k.store.Measured)
}

func TestAMaximumIsForCoaches(t *testing.T) {
	k := newTrack(t)
	require.Empty(t, k.phone.get("/heart").all("#max-bpm, #formula"))
	a := k.phone.post("/heart/measurements", pulseForm(k.phone.get("/heart"), "max", "184", "2026-04-13")...)
	require.Equal(t, http.StatusForbidden, a.StatusCode)
	at := athletePath(k.ines) + "/heart"
	require.Contains(t, text(k.desk.get(at).one("main")), "A maximum test is not for beginners")
	k.desk.post(at+"/measurements", pulseForm(k.desk.get(at), "max", "184", "2026-04-13")...).leadsTo(at + "?said=measured")
	require.Contains(t, text(k.desk.get(at).one("main")), "From a measured maximum, since yesterday.")
	mine := k.phone.get("/heart")
	require.Empty(t, mine.all("form[action$='/back']"), "what a coach measured only a coach takes back")
}

func TestTheFormulaOfThePredictedMaximum(t *testing.T) {
	k := newTrack(t)
	at := athletePath(k.ines) + "/heart"
	require.Len(t, k.desk.get(at).all("#formula option"), 6)
	k.desk.post(at+"/formula", "formula", "tanaka").leadsTo(at + "?said=changed")
	require.Equal(t, intensity.Tanaka, k.store.Athletes[k.ines].Formula)
	require.True(t, has(k.desk.get(at).one("#formula option[value=tanaka]"), "selected"))
	a := k.desk.post(at+"/formula", "formula", "a guess")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.NotEmpty(t, text(a.one("#formula-wrong")))
}

// A peak above the maximum that was thought is offered to coaches; the athlete sees
// that they are asked.
func TestAHigherMaximumIsOfferedAndNeverTakenSilently(t *testing.T) {
	k, id := heard(t)
	k.phone.do(upload(fmt.Sprintf("/sessions/%d/recording", id), beating(l3(), "")))
	k.store.Recorded[0].Reading.Peak = 190
	a := k.phone.get("/heart")
	require.Contains(t, text(a.one(".offer")), "holds 190 beats a minute for ten seconds; a maximum of 184 was predicted. Your coach is asked")
	require.Empty(t, a.all(".offer form"))
	at := athletePath(k.ines) + "/heart"
	require.Contains(t, text(k.desk.get(athletePath(k.ines)).one("[aria-labelledby=heart-card]")), "A higher maximum was seen")
	desk := k.desk.get(at)
	sent := func(choice string) []string {
		return []string{"key", attr(desk.one(".offer input[name=key]"), "value"), "recording", attr(desk.one(".offer input[name=recording]"), "value"), "choice", choice}
	}
	require.Equal(t, http.StatusUnprocessableEntity, k.desk.post(at+"/offers", sent("perhaps")...).StatusCode)
	k.desk.post(at+"/offers", sent("take")...).leadsTo(at + "?said=offer-taken")
	k.desk.post(at+"/offers", sent("take")...).leadsTo(at + "?said=offer-taken")
	require.Equal(t, roster.MaxObserved, k.store.Measured[1].Kind)
	require.Len(t, k.store.Measured, 2)
	require.Empty(t, k.desk.get(at).all(".offer"))
}

func TestAnOfferCanBeLeft(t *testing.T) {
	k, id := heard(t)
	k.phone.do(upload(fmt.Sprintf("/sessions/%d/recording", id), beating(l3(), "")))
	k.store.Recorded[0].Reading.Peak = 190
	at := athletePath(k.ines) + "/heart"
	k.desk.post(at+"/offers", "key", "key-of-the-form", "recording", idText(k.store.Recorded[0].ID), "choice", "leave").leadsTo(at + "?said=offer-left")
	require.Empty(t, k.desk.get(at).all(".offer"))
	require.Len(t, k.store.Measured, 1, "nothing was taken")
}

func TestWhereHeartRateDoesNotCountNothingIsOffered(t *testing.T) {
	k := newTrack(t)
	a := k.store.Athletes[k.ines]
	a.HeartUsable = false
	k.store.Athletes[k.ines] = a
	page := k.phone.get("/heart")
	require.Contains(t, text(page.one(".stop")), "Everything works without it")
	require.Empty(t, page.all("a[href='/talk-test']"))
	test := k.phone.get("/talk-test")
	require.Equal(t, http.StatusOK, test.StatusCode)
	require.Contains(t, text(test.one("main")), "Not by heart rate")
	require.Empty(t, test.all("main form"))
}
