package activityfile_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/trace"
)

func TestGPXPoints(t *testing.T) {
	for _, c := range []struct {
		why    string
		points []string
		want   []trace.Sample // speeds are not looked at: all points lie at one place
	}{
		{"heart rate in an extension", []string{bare("07:00:05Z", beating(131))}, []trace.Sample{sample(0, 131)}},
		{"in any namespace and depth, by its local name", []string{
			bare("07:00:00Z", `<extensions><y:a xmlns:y="urn:y"><y:b><y:hr>131</y:hr></y:b></y:a></extensions>`),
			bare("07:00:01Z", `<extensions><heartrate>132</heartrate></extensions>`),
			bare("07:00:02Z", `<extensions><x:HeartRate>133</x:HeartRate></extensions>`),
			bare("07:00:03Z", `<hr>134</hr>`),
		}, []trace.Sample{sample(0, 131), sample(1, 132), sample(2, 133), sample(3, 134)}},
		{"offsets and fractions of times", []string{
			bare("07:00:05Z", beating(131)), bare("08:00:06.400+01:00", beating(132)), bare("05:30:07-01:30", beating(133)), bare("07:00:07.600Z", beating(134)),
		}, []trace.Sample{sample(0, 131), sample(1, 132), sample(2, 133), sample(3, 134)}},
		{"no zone at all: as it stands", []string{bare("07:00:05", beating(131)), bare("07:00:06Z", beating(132))}, []trace.Sample{sample(0, 131), sample(1, 132)}},
		{"no value and signs for none", []string{
			bare("07:00:00Z", beating(131)), bare("07:00:01Z", beating(0)), bare("07:00:02Z", beating(255)), bare("07:00:03Z", ""), bare("07:00:04Z", beating("")), bare("07:00:05Z", beating("--")), bare("07:00:06Z", beating(-4)),
		}, []trace.Sample{sample(0, 131), sample(1, 0), sample(2, 0), sample(3, 0), sample(4, 0), sample(5, 0), sample(6, 0)}},
		{"decimals are rounded", []string{bare("07:00:00Z", beating(131.49)), bare("07:00:01Z", beating("131,5"))}, []trace.Sample{sample(0, 131), sample(1, 132)}},
		{"a point without a time", []string{
			bare("07:00:00Z", beating(131)), `<trkpt lat="1" lon="2">` + beating(140) + `</trkpt>`, `<trkpt lat="1" lon="2"><time/>` + beating(140) + `</trkpt>`, bare("07:00:02Z", beating(132)),
		}, []trace.Sample{sample(0, 131), sample(2, 132)}},
		{"a time deeper inside is another", []string{bare("07:00:00Z", `<extensions><time>yesterday</time><hr>131</hr></extensions>`)}, []trace.Sample{sample(0, 131)}},
		{"doubled and going back", []string{bare("07:00:05Z", beating(131)), bare("07:00:05Z", beating(132)), bare("07:00:02Z", beating(133))},
			[]trace.Sample{sample(0, 131), sample(0, 132), sample(-3, 133)}},
		{"far from the margin", []string{bare("07:00:00Z", "<hr>\n"+strings.Repeat(" ", 200)+"131\n"+strings.Repeat(" ", 200)+"</hr>")}, []trace.Sample{sample(0, 131)}},
		{"written with a section of characters and a comment", []string{bare("07:00:00Z", "<hr><!-- high --><![CDATA[131]]></hr>")}, []trace.Sample{sample(0, 131)}},
	} {
		t.Run(c.why, func(t *testing.T) {
			r := read(t, gpxOf(segment(c.points...)))
			for i := range r.Samples {
				r.Samples[i].Speed = trace.Unknown
			}
			require.Equal(t, c.want, r.Samples)
			require.Equal(t, 2026, r.Start.Year())
		})
	}
}

// Two segments and two tracks are one recording with a gap.
func TestGPXSegments(t *testing.T) {
	r := read(t, gpxOf(segment(bare("07:00:00Z", beating(131)), bare("07:00:01Z", beating(132)))+
		segment(bare("07:02:00Z", beating(133)))+"</trk><trk>"+segment(bare("07:03:00Z", beating(134)))))
	require.Len(t, r.Samples, 4)
	require.Equal(t, []int32{0, 1, 120, 180}, []int32{r.Samples[0].At, r.Samples[1].At, r.Samples[2].At, r.Samples[3].At})
	require.Equal(t, int16(0), r.Samples[1].Speed, "nobody moved")
	require.Equal(t, int16(trace.Unknown), r.Samples[2].Speed, "what happened between segments is not known")
	require.Equal(t, int16(trace.Unknown), r.Samples[3].Speed)
}

// A minute of arc along a meridian is close to a nautical mile of 1852 m (from
// memory; defined as that length by the International Hydrographic Conference, 1929).
func TestGPXSpeed(t *testing.T) {
	point := func(clock string, lat, lon float64, more string) string {
		return fmt.Sprintf(`<trkpt lat="%.7f" lon="%.7f"><time>2026-03-02T%s</time>%s%s</trkpt>`, lat, lon, clock, beating(120), more)
	}
	for _, c := range []struct {
		why      string
		lat, lon float64
		more     string
		want     float64 // centimetres a second; below 0: not known
	}{
		{"north", 48 + 1./60, 8, "", 308.7},
		{"south", 48 - 1./60, 8, "", 308.7},
		{"east, where meridians lie closer", 48, 8 + 1./60, "", 308.7 * math.Cos(48*math.Pi/180)},
		{"standing", 48, 8, "", 0},
		{"given", 48 + 1./60, 8, "<extensions><x:speed>2.5</x:speed></extensions>", 250},
		{"given as it was in the version before", 48 + 1./60, 8, "<speed>2.5</speed>", 250},
		{"a leap of the satellites", 49, 8, "", -1},
		{"no place", 148, 8, "", -1},
	} {
		t.Run(c.why, func(t *testing.T) {
			r := read(t, gpxOf(segment(point("07:00:00Z", 48, 8, ""), point("07:10:00Z", c.lat, c.lon, c.more))))
			require.Equal(t, int16(trace.Unknown), r.Samples[0].Speed, "the first has nothing before it")
			require.InDelta(t, c.want, r.Samples[1].Speed, 1)
		})
	}
	r := read(t, gpxOf(segment(point("07:00:00Z", 48, 8, ""), point("07:00:00Z", 48.001, 8, ""))))
	require.Equal(t, int16(trace.Unknown), r.Samples[1].Speed, "no time went by")
}

// A cadence may count one foot or both: the whole file says which.
func TestGPXSteps(t *testing.T) {
	for _, c := range []struct {
		why   string
		busy  int
		easy  int
		first int16
	}{
		{"turns of one foot", 82, 58, 116},
		{"steps of both", 164, 116, 116},
		{"a walk, counted by both feet", 112, 108, 108},
		{"a walk, counted by one", 56, 54, 108},
	} {
		t.Run(c.why, func(t *testing.T) {
			var points []string
			for i := range 40 {
				cadence := c.easy
				if i >= 20 {
					cadence = c.busy
				}
				points = append(points, bare(fmt.Sprintf("07:00:%02dZ", i), fmt.Sprintf("<extensions><x:e><x:hr>120</x:hr><x:cad>%d</x:cad></x:e></extensions>", cadence)))
			}
			require.Equal(t, c.first, read(t, gpxOf(segment(points...))).Samples[0].Steps)
		})
	}
}

func TestGPXThatIsRefused(t *testing.T) {
	laughs := `<?xml version="1.0"?>
<!DOCTYPE gpx [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>
<gpx><trk><name>&b;</name></trk></gpx>`
	outside := `<?xml version="1.0"?>
<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/hostname">]><gpx><trk>&x;</trk></gpx>`
	for _, c := range []struct {
		why, body, says string
	}{
		{"entities that grow", laughs, "line 2: the file defines XML of its own"},
		{"entities from outside", outside, "line 2: the file defines XML of its own"},
		{"an entity that nobody defined", string(gpxOf("<name>&b;</name>")), "line 3: the XML is broken here"},
		{"fifty deep", string(gpxOf(strings.Repeat("<a>", 50) + strings.Repeat("</a>", 50))), "line 3: elements stand inside each other more than 32 deep"},
		{"a tag without end", string(gpxOf("<a b='" + strings.Repeat("x", 70_000) + "'/>")), "line 3: something begins that has no end for 64 kB"},
		{"a text without end", string(gpxOf("<name>" + strings.Repeat("x", 70_000) + "</name>")), "has no end for 64 kB"},
		{"ends that do not match", string(gpxOf("<trkseg></trkpt>")), "line 3: the XML is broken here"},
		{"a heart rate in words", string(gpxOf(segment(bare("07:00:00Z", beating("high"))))), "line 4: “high” is no number"},
		{"a time in words", string(gpxOf(segment(bare(":late", beating(120))))), "line 4: “2026-03-02T:late” is no time"},
		{"a day that there is not", string(gpxOf(segment(`<trkpt lat="1" lon="2"><time>2026-02-30T07:00:00Z</time></trkpt>`))), "is no time"},
		{"a planned way", string(gpxOf(segment(`<trkpt lat="1" lon="2"/>`))), "the points of this track have no times"},
		{"no points", string(gpxOf("")), "there are no records with a time in this file"},
		{"points that are not of a track", string(gpxOf("</trk><wpt lat='1' lon='2'><time>2026-03-02T07:00:00Z</time>" + beating(120) + "</wpt><trk>")), "there are no records with a time in this file"},
		{"no heart rate", string(gpxOf(segment(bare("07:00:00Z", ""), bare("07:00:01Z", beating(0))))), "there is no heart rate in this file"},
		{"letters that nobody can print", string(gpxOf(segment(bare("07:00:00Z", beating("\u202Ex\u200B"))))), "“·x·” is no number"},
		{"a long word", string(gpxOf(segment(bare("07:00:00Z", beating("a hundred and thirty one beats"))))), "“a hundred and thirty one…” is no number"},
	} {
		t.Run(c.why, func(t *testing.T) { require.Contains(t, refused(t, []byte(c.body)), c.says) })
	}
}

// Where somebody was is in no part of what is read.
func TestGPXPositionsAreGone(t *testing.T) {
	r := read(t, gpxActivity(100, time.Second))
	require.NotContains(t, fmt.Sprintf("%+v", r), "41.")
	require.NotContains(t, fmt.Sprintf("%+v", r), "8.0")
}
