package httpd

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/readiness"
)

// The page of the guided session holds nothing of anybody: a phone keeps it.
func TestGoIsTheSameForEveryAthlete(t *testing.T) {
	k := newTrack(t)
	k.logs(k.ines, 0)
	a := k.phone.get("/go")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.NotContains(t, a.body, "Ines")
	again := k.phone.get("/go")
	require.Equal(t, a.body, again.body, "no key of a form, no date, no time")
	require.Empty(t, a.Header.Values("Set-Cookie"))
	without := text(a.one("noscript"))
	require.Contains(t, without, "needs JavaScript")
	require.Contains(t, without, "/log?kind=planned")
}

func TestTodayLeadsToGo(t *testing.T) {
	k := newTrack(t)
	require.Equal(t, "Start", text(k.phone.get("/today").one("a[href='/go']")))
}

// What the phone says at once, without a signal, is what is said after it was stored.
func TestGoSaysTheSameAsThePageAfterASign(t *testing.T) {
	for kind, change := range map[string]func(*entry.Entry){
		"stop":   func(e *entry.Entry) { e.Signs = []readiness.Sign{readiness.Faint} },
		"bone":   func(e *entry.Entry) { e.Signs = []readiness.Sign{readiness.NightPain} },
		"paused": func(e *entry.Entry) { e.Limp = true },
	} {
		k := newTrack(t)
		stopped := k.phone.get("/sessions/" + idText(k.logs(k.ines, 0, change)) + "/stopped")
		alarm := k.phone.get("/go").one("[data-alarm=" + kind + "]")
		said := text(stopped.one(".alarm"))
		title := text(stopped.one(".alarm h1"))
		require.Equal(t, strings.TrimSpace(strings.TrimPrefix(said, title)), text(alarm), kind)
		require.Equal(t, title, attr(alarm, "data-title"), kind)
	}
}
