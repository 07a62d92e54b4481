package page_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/web"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// What a roster of a hundred people may weigh, compressed, with all it loads.
const (
	wholeRoster = 60_000
	fontsAtMost = 30_000 // where no name needs more than plain letters
	styleAtMost = 7_500
	pageAtMost  = 20_000
)

// hundred is a hard morning of a hundred people: a third to decide about.
func hundred() page.Roster {
	random := rand.New(rand.NewPCG(1, 2))
	between := func(low, high int) int { return low + random.IntN(high-low+1) }
	given := []string{"Ines", "Bram", "Tove", "Marek", "Aoife", "Jonah", "Pilar", "Salma", "Solveig", "Yuki", "Edda", "Luca", "Grete", "Nils", "Rosa", "José", "Zoë", "Łucja", "Ondřej", "Petra"}
	family := []string{"Okafor", "Visser", "Lindqvist", "Dvořák", "Brennan", "Petrie", "Quintana", "Haddad", "Aune", "Arai", "Frost", "Moretti", "Holm", "Okonkwo", "Almeida", "Nowak", "Müller", "Çelik", "Szabó", "Reyes"}
	n := 0
	name := func() (string, string) {
		n++
		return given[random.IntN(20)] + " " + family[random.IntN(20)], fmt.Sprintf("/athletes/%d", 100+n)
	}
	pick := func() string {
		return fmt.Sprintf("%d.%08x%08x.%d.%016X", 100+n, random.Uint32(), random.Uint32(), between(1, 40), random.Uint64())
	}
	loads := func(figure bool) part.Load {
		l := make([]int, 6)
		for i := range l {
			l[i] = between(90, 320)
		}
		return load(figure, l...)
	}
	plans := [][]part.Block{l2, l3, l4, r4, times(6, 60, 240), times(5, 195, 165), times(5, 225, 135), times(4, 315, 135)}
	sessions := func() []part.Strip {
		plan, strips := plans[random.IntN(len(plans))], []part.Strip(nil)
		for _, day := range []string{"Tue", "Thu", "Sun"} {
			blocks := inFull(plan, between(35, 120), between(0, 6))
			if random.IntN(5) == 0 {
				blocks = cut(blocks, between(3, len(blocks)-1))
			}
			strips = append(strips, done(day, fmt.Sprintf("in full: run 2 min, walk 3 min, six times; breath back after %d s at the median", between(35, 120)), blocks))
		}
		return strips
	}
	v := morning()
	kinds := []page.Decide{ines(), bram(), tove(), marek()}
	v.Decide, v.Steady, v.Quiet, v.Away = nil, nil, nil, nil
	for i := range 35 {
		d := kinds[i%4]
		d.Name, d.Href = name()
		d.Pick, d.Strips, d.Load = pick(), sessions(), loads(true)
		s := make([]int, 7)
		for i := range s {
			s[i] = between(40, 130)
		}
		d.Trend = trend(between(67, 120), s...)
		d.Why = fmt.Sprintf("%d of 3 sessions in full; %d of 18 walks settled in under half their length. Load of %d this week.", between(1, 3), between(3, 18), between(100, 400))
		v.Decide = append(v.Decide, d)
	}
	for range 50 {
		s := page.Steady{Phase: fmt.Sprintf("Walk-led, %d of 4", between(1, 4)), Week: fmt.Sprintf("%d of 3", between(0, 3)), Settles: fmt.Sprintf("%d s", between(40, 120)), Load: loads(false), Next: "Walks settle sooner each session"}
		s.Name, s.Href = name()
		v.Steady = append(v.Steady, s)
	}
	for range 8 {
		q := page.Quiet{Phase: "Run-led, 2 of 7", Heard: fmt.Sprintf("%d days ago", between(7, 30)), Words: "Nothing logged since the session."}
		q.Name, q.Href = name()
		v.Quiet = append(v.Quiet, q)
	}
	for range 7 {
		a := page.Away{Mark: "pause", What: "Paused", Since: fmt.Sprintf("since %d April", between(1, 14)), Phase: "Run-led, 1 of 7", Words: "Time to ask whether it can end."}
		a.Name, a.Href = name()
		v.Away = append(v.Away, a)
	}
	return v
}

// squeezed is the size of something sent with gzip.
func squeezed(t *testing.T, content []byte) int {
	t.Helper()
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, 6)
	require.NoError(t, err)
	_, err = w.Write(content)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return out.Len()
}

func asset(t *testing.T, name string) []byte {
	t.Helper()
	content, err := fs.ReadFile(web.Static(), name)
	require.NoError(t, err)
	return content
}

// Everything a roster of a hundred loads stays light, even if its names need every
// font there is.
func TestWeightOfARosterOfAHundred(t *testing.T) {
	html := squeezed(t, []byte(render(t, page.RosterPage(hundred()))))
	style := squeezed(t, asset(t, "site.css"))
	script, icon := squeezed(t, asset(t, "halfhour.js")), squeezed(t, asset(t, "icon.svg"))
	fonts := len(asset(t, "fonts/fraunces.woff2")) + len(asset(t, "fonts/atkinson.woff2"))
	names := len(asset(t, "fonts/atkinson-accents.woff2")) + len(asset(t, "fonts/atkinson-extended.woff2"))
	whole := html + style + script + icon + fonts + names
	t.Logf("page %d, style %d, script %d, icon %d, fonts %d, fonts of names %d: %d bytes", html, style, script, icon, fonts, names, whole)
	require.LessOrEqual(t, html, pageAtMost)
	require.LessOrEqual(t, style, styleAtMost)
	require.LessOrEqual(t, fonts, fontsAtMost)
	require.LessOrEqual(t, whole, wholeRoster)
	require.Less(t, len(asset(t, "halfhour.js")), 2_000)
}

// What pages about heart rate load besides stays small too, and so does a trace of
// half an hour with everything that can be drawn in it.
func TestWeightOfATrace(t *testing.T) {
	style, scripts := squeezed(t, asset(t, "heart.css")), squeezed(t, asset(t, "talktest.js"))+squeezed(t, asset(t, "strap.js"))
	recording := squeezed(t, []byte(render(t, page.RecordingPage(recorded()))))
	t.Logf("style %d, scripts %d, page %d bytes", style, scripts, recording)
	require.LessOrEqual(t, style, 1_800)
	require.LessOrEqual(t, scripts, 3_600) // types in comments among them
	require.LessOrEqual(t, recording, 6_000)
}

// What pages about strength load besides.
func TestWeightOfStrength(t *testing.T) {
	style, script := squeezed(t, asset(t, part.LiftStyle)), squeezed(t, asset(t, part.LiftScript))
	session := squeezed(t, []byte(render(t, page.LiftingPage(lifting()))))
	t.Logf("style %d, script %d, page %d bytes", style, script, session)
	require.LessOrEqual(t, style, 1_100)
	require.LessOrEqual(t, script, 900)
	require.LessOrEqual(t, session, 7_000)
}

// All that the phone loads to guide a session: the modules, the library that keeps
// things, the strap, and what every page loads.
func TestWeightOfThePhone(t *testing.T) {
	names, err := fs.Glob(web.Static(), "phone/*.js")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(names), 8)
	whole := 0
	for _, name := range append(names, "vendor/idb/index.js", "strap.js", "halfhour.js") {
		size := squeezed(t, asset(t, name))
		t.Logf("%6d %s", size, name)
		whole += size
	}
	shell, style := squeezed(t, []byte(render(t, page.GoPage(guided())))), squeezed(t, asset(t, part.GoStyle))
	t.Logf("scripts %d, page %d, style %d bytes", whole, shell, style)
	require.LessOrEqual(t, whole, 60_000)
	require.LessOrEqual(t, shell, 8_000)
	require.LessOrEqual(t, style, 2_000)
}

func BenchmarkRosterOfAHundred(b *testing.B) {
	v := hundred()
	for b.Loop() {
		render(b, page.RosterPage(v))
	}
}
