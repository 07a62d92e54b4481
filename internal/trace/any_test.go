package trace_test

import (
	"encoding/binary"
	"testing"

	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
)

// drawAnything is a recording as no device writes it: rows that mostly go on, with
// times, values, laps and marks of any kind in between.
func drawAnything(t *rapid.T) trace.Recording {
	var r trace.Recording
	wild := rapid.Int16()
	second := rapid.OneOf(rapid.Int32Range(-100, 2000), rapid.Int32())
	value := rapid.OneOf(rapid.Just(int16(trace.Unknown)), rapid.Int16Range(0, 300), wild)
	at := second.Draw(t, "first")
	for range rapid.IntRange(0, 40).Draw(t, "stretches") {
		step := rapid.SampledFrom([]int32{1, 1, 1, 2, 5, 11, 0, -1, -7, 600}).Draw(t, "step")
		bpm := rapid.OneOf(rapid.Int16Range(60, 200), value).Draw(t, "bpm")
		slope := rapid.Int16Range(-3, 3).Draw(t, "slope")
		speed, steps := value.Draw(t, "speed"), value.Draw(t, "steps")
		if rapid.IntRange(0, 19).Draw(t, "leap") == 0 {
			at = second.Draw(t, "at")
		}
		for range rapid.IntRange(1, 90).Draw(t, "rows") {
			r.Samples = append(r.Samples, trace.Sample{At: at, BPM: bpm, Speed: speed, Steps: steps})
			at += step
			bpm += slope
		}
	}
	for range rapid.IntRange(0, 8).Draw(t, "laps") {
		r.Laps = append(r.Laps, second.Draw(t, "lap"))
	}
	for range rapid.IntRange(0, 8).Draw(t, "marks") {
		r.Marks = append(r.Marks, second.Draw(t, "mark"))
	}
	return r
}

// readAnything reads anything, to any plan, at any ceilings.
func readAnything(t *rapid.T) {
	r := drawAnything(t)
	kind := rapid.SampledFrom([]pathway.Kind{pathway.Run, pathway.Walk})
	seconds := rapid.OneOf(rapid.IntRange(1, 600), rapid.SampledFrom([]int{1, 60, 120, 7200}))
	blocks := rapid.IntRange(0, 10).Draw(t, "blocks")
	if len(r.Marks) > 0 && rapid.Bool().Draw(t, "as many as marks") {
		blocks = len(r.Marks) - 1
	}
	plan := make([]pathway.Block, blocks)
	for i := range plan {
		plan[i] = pathway.Block{Kind: kind.Draw(t, "kind"), Planned: seconds.Draw(t, "seconds")}
	}
	var c trace.Ceilings
	if rapid.Bool().Draw(t, "ceilings") {
		easy, hard, doubt := intensity.BPM(rapid.IntRange(40, 220).Draw(t, "easy")), intensity.BPM(rapid.IntRange(40, 220).Draw(t, "hard")), intensity.BPM(rapid.IntRange(0, 20).Draw(t, "doubt"))
		c = trace.Ceilings{Easy: easy, EasyLow: easy - doubt, EasyHigh: easy + doubt, Hard: hard, HardLow: hard - doubt, HardHigh: hard + doubt}
	}
	reading := trace.Read(&r, plan, c)
	soundReading(t, &reading, len(r.Samples), plan)
}

func TestAnythingIsReadSoundly(t *testing.T) { rapid.Check(t, readAnything) }

// rowsOf makes rows of any bytes, six for each stretch: how many, how far apart, and
// what stands in them.
func rowsOf(body []byte) (rows []trace.Sample) {
	at := int32(0)
	for ; len(body) >= 6 && len(rows) < trace.MostSamples; body = body[6:] {
		if body[1] == 0x80 { // to anywhere
			at = int32(binary.LittleEndian.Uint32(body[2:]))
			continue
		}
		bpm := int16(body[2])
		for range body[0] {
			rows = append(rows, trace.Sample{At: at, BPM: bpm, Speed: 2*int16(body[4]) - 1, Steps: int16(body[5]) - 1})
			at += int32(int8(body[1]))
			bpm += int16(int8(body[3])) / 16
		}
	}
	return rows
}

// secondsOf makes seconds of any bytes, four each.
func secondsOf(body []byte) (seconds []int32) {
	for ; len(body) >= 4; body = body[4:] {
		seconds = append(seconds, int32(binary.LittleEndian.Uint32(body)))
	}
	return seconds
}

func FuzzRead(f *testing.F) {
	session := []byte{120, 1, 90, 0, 70, 111, 120, 1, 100, 8, 120, 161, 180, 1, 150, 0xf8, 70, 111}
	plan := []byte{1, 120, 0, 0, 120, 0, 1, 180, 0}
	f.Add(session, plan, []byte{}, []byte{}, byte(135))
	f.Add(session, plan, []byte{120, 0, 0, 0, 240, 0, 0, 0}, []byte{0, 0, 0, 0, 120, 0, 0, 0, 240, 0, 0, 0, 164, 1, 0, 0}, byte(120))
	f.Add(append([]byte{0, 0x80, 0, 0, 0, 0x80}, session...), plan, []byte{}, []byte{}, byte(0))
	f.Fuzz(func(t *testing.T, rows, blocks, laps, marks []byte, easy byte) {
		r := trace.Recording{Samples: rowsOf(rows), Laps: secondsOf(laps), Marks: secondsOf(marks)}
		var plan []pathway.Block
		for ; len(blocks) >= 3 && len(plan) < 40; blocks = blocks[3:] {
			kind := []pathway.Kind{pathway.Run, pathway.Walk}[blocks[0]%2]
			plan = append(plan, pathway.Block{Kind: kind, Planned: 1 + int(binary.LittleEndian.Uint16(blocks[1:]))%900})
		}
		var c trace.Ceilings
		if easy > 30 {
			c = around(int(easy))
		}
		reading := trace.Read(&r, plan, c)
		soundReading(t, &reading, len(r.Samples), plan)
	})
}
