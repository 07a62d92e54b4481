package e2e

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// beating lets the strap say something every second, by the phone's own clock: a
// heart that climbs in a run and comes down in a walk. From skinless on it feels no
// skin for ten seconds.
const beating = `(skinless => {
	let n = 0
	setInterval(() => {
		n++
		const phase = n % 300
		const bpm = Math.round(phase < 60 ? 100 + 50 * (1 - Math.exp(-phase / 40)) : 100 + 39 * Math.exp(-(phase - 60) / 50))
		testPhone.beat(n >= skinless && n < skinless + 10 ? [4, 0] : [6, bpm])
	}, 1000)
	return 0
})`

// A strap is worn from the start: its trace comes with the session and the marks of
// each block. Where it felt no skin, and where it was out of reach, there is
// nothing; and nothing is no heart rate of 0.
func TestAStrapsTraceComesWithTheSession(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.sql("update athlete set birth_year = 1985 where athlete_id = $1::text::bigint", o.id)
	o.ready()
	o.Until(everything + "('kept').then(all => all.some(one => one.easy))") // the week with the year of birth is here
	o.deed("strap")
	o.Until("document.querySelector('[data-heart]').textContent.includes('connected')")
	o.deed("start-cold")
	browser.Eval[any](o.Tab, beating+"(100)")
	o.Pass(30*second, browser.Awake)
	require.Regexp(t, `^Heart 1\d\d, your easy ceiling is 1\d\d$`, o.Text("[data-screen=going] [data-heart]"))
	o.signal(false)
	o.Pass(75*second, browser.Awake) // to 1:45
	require.Contains(t, o.Text("[data-screen=going] [data-heart]"), "does not feel a beat")
	o.deed("breath")
	o.Pass(45*second, browser.Awake) // to 2:30
	browser.Eval[any](o.Tab, "testPhone.away()")
	o.Pass(40*second, browser.Awake)
	require.Contains(t, o.Text("[data-screen=going] [data-heart]"), "out of reach")
	browser.Eval[any](o.Tab, "testPhone.near()")
	o.Pass(50*second, browser.Awake) // to 4:00; it is looked for every now and then
	require.Regexp(t, `^Heart `, o.Text("[data-screen=going] [data-heart]"))
	o.Pass(120*second, browser.Awake) // to 6:00, the end of the second run
	o.deed("pause")
	o.Pass(20*second, browser.Awake)
	o.deed("resume")
	o.Pass(100*second, browser.Awake) // of the second walk
	o.stop("done")
	o.answer(4)
	o.signal(true)
	o.sent()
	all := o.stored()
	require.Len(t, all, 1)
	require.True(t, all[0].Recorded)
	require.Equal(t, []int32{60, 240, 60, 100, 0}, all[0].Done[:5])
	require.EqualValues(t, 45, *all[0].Settle[1])
	o.traced()
	o.quiet()
}

// traced looks at what was read in the recording: the seconds are those of the
// session, which began with the first run.
func (o *outing) traced() {
	t := o.t
	t.Helper()
	var reading struct {
		By        string `json:"by"`
		Seconds   int    `json:"s"`
		Artefacts []struct {
			From, To int
			Kind     string
		}
		Lost []struct {
			From int    `json:"f"`
			To   int    `json:"t"`
			Kind string `json:"k"`
		} `json:"a"`
		Blocks []struct {
			Run        bool `json:"r"`
			Start, End int
			From       int    `json:"f"`
			To         int    `json:"t"`
			Valid      int    `json:"v"`
			State      string `json:"st"`
		} `json:"b"`
	}
	texts := o.texts("select reading::text from recording where format = 'strap'")
	require.Len(t, texts, 1)
	require.NoError(t, json.Unmarshal([]byte(texts[0]), &reading))
	require.Equal(t, "marks", reading.By, texts[0])
	for i, at := range [][2]int{{0, 60}, {60, 300}, {300, 360}, {360, 480}} {
		require.InDelta(t, at[0], reading.Blocks[i].From, 2, "block %d begins: %s", i, texts[0])
		require.InDelta(t, at[1], reading.Blocks[i].To, 2, "block %d ends: %s", i, texts[0])
	}
	lost := 0
	for _, a := range reading.Lost {
		lost += a.To - a.From
	}
	// Ten seconds without skin; out of reach for forty, and until it was found again.
	require.InDelta(t, 10+40+15, lost, 16, texts[0])
	require.InDelta(t, 240-lost, reading.Blocks[1].Valid, 12, texts[0])
	require.InDelta(t, 60, reading.Blocks[0].Valid, 2)
}
