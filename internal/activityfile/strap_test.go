package activityfile_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/trace"
)

// A strap that hears the skin only after a while: the recording's clock begins with
// its first sample, and the marks are laid on that clock.
func TestAStrapsRecording(t *testing.T) {
	r := read(t, strapOf("[2250,92],[3251.6,0],[4249,null],[70000,131],[71000,251]", "0,61.75,122.5"))
	require.Equal(t, begun.Add(2250*time.Millisecond), r.Start)
	require.Equal(t, []trace.Sample{sample(0, 92), sample(1, 0), sample(2, 0), sample(68, 131), sample(69, 0)}, r.Samples, "no skin is no beat, and 251 is no heart rate")
	require.Equal(t, []int32{-2, 60, 120}, r.Marks, "to the nearest second")
	require.Empty(t, r.Laps)
}

// Names may stand in any order after the first.
func TestTheOrderOfAStrapsDocumentDoesNotMatter(t *testing.T) {
	r := read(t, []byte(`{ "halfhour_strap" : 1, "marks": [10, 20], "samples": [[1000, 99]], "started_at": "2026-03-02T08:00:00.5+01:00" }`))
	require.Equal(t, begun.Add(1500*time.Millisecond), r.Start)
	require.Equal(t, []int32{9, 19}, r.Marks)
}

func TestAStrapsRecordingThatCannotBeTaken(t *testing.T) {
	whole := string(strapOf("[0,92],[1000,93]", "0,1"))
	const damaged = "the recording of the strap is damaged"
	for _, c := range []struct{ why, body, says string }{
		{"cut off in a list", whole[:len(whole)-8], "ends in the middle of a record"},
		{"cut off before its last sign", whole[:len(whole)-1], "ends in the middle of a record"},
		{"two in one", whole + whole, damaged},
		{"a name twice", `{"halfhour_strap":1,"marks":[],"marks":[]}`, damaged},
		{"a name nobody knows", strings.Replace(whole, "marks", "places", 1), damaged},
		{"a sample of three", string(strapOf("[0,92,5]", "")), damaged},
		{"a sample of one", string(strapOf("[0]", "")), damaged},
		{"a rate in words", string(strapOf(`[0,"92"]`, "")), damaged},
		{"a rate that is a list", string(strapOf(`[0,[92]]`, "")), damaged},
		{"a time in words", string(strapOf(`["0",92]`, "")), damaged},
		{"a mark in words", string(strapOf(`[0,92]`, `"0"`)), damaged},
		{"a number too large for one", string(strapOf(`[0,1e999]`, "")), damaged},
		{"samples that are no list", `{"halfhour_strap":1,"samples":{}}`, damaged},
		{"another version", strings.Replace(whole, `strap":1`, `strap":2`, 1), "not known here yet"},
		{"no date", strings.Replace(whole, "2026-03-02T07:00:00Z", "yesterday", 1), "does not say when it began"},
		{"no beginning", `{"halfhour_strap":1,"samples":[[0,92]]}`, "does not say when it began"},
		{"half a day after its beginning", string(strapOf("[0,92],[43200001,93]", "")), "longer than twelve hours"},
		{"nothing heard", string(strapOf("[0,0],[1000,null]", "0,1")), "no heart rate in this file"},
		{"no samples", string(strapOf("", "0,1")), "no records with a time"},
		{"marks without end", string(strapOf("[0,92]", "0"+strings.Repeat(",1", 1000))), "far more than"},
	} {
		t.Run(c.why, func(t *testing.T) { require.Contains(t, refused(t, []byte(c.body)), c.says) })
	}
}
