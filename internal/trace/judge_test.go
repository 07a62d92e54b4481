package trace

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
)

// piece is some seconds of one rate.
type piece struct {
	seconds int
	rate    int16
}

// inPieces are rates second by second.
func inPieces(pieces ...piece) (rates []int16) {
	for _, p := range pieces {
		for range p.seconds {
			rates = append(rates, p.rate)
		}
	}
	return rates
}

// walkOf is what the rates show of a walk of so many seconds that begins at the second
// start, after a run of a minute.
func walkOf(rates []int16, start, walk int, c Ceilings) Block {
	blocks := []Block{
		{Kind: pathway.Run, Planned: 60, Start: start - 60, End: start},
		{Kind: pathway.Walk, Planned: walk, Start: start, End: start + walk},
	}
	judge(blocks, rates, c)
	return blocks[1]
}

// at is a ceiling with five beats of doubt.
func at(easy intensity.BPM) Ceilings {
	return Ceilings{Easy: easy, EasyLow: easy - 5, EasyHigh: easy + 5}
}

// recoveryOf is a heart that falls from one level towards another: HR(t) = walk + (start − walk)·exp(−t/tau).
type recoveryOf struct{ start, walk, tau float64 }

func (r recoveryOf) at(t float64) float64 { return r.walk + (r.start-r.walk)*math.Exp(-t/r.tau) }

// cross is when it comes down to a ceiling, in seconds; ok is false if never.
func (r recoveryOf) cross(ceiling float64) (seconds float64, ok bool) {
	switch {
	case r.start <= ceiling:
		return 0, true
	case r.walk >= ceiling:
		return 0, false
	}
	return r.tau * math.Log((r.start-r.walk)/(ceiling-r.walk)), true
}

// Evidence, section 7.4: time to the ceiling by tau·ln((HR0−HRinf)/(ceiling−HRinf))
// and share of a walk of T seconds by max(0, 1 − t/T), computed; heart rates after
// Barak 2011 (J Sports Sci Med 10:369–375, found) and of our own.
var recoveries = []struct {
	recoveryOf
	cross  float64 // seconds; below 0: never
	shares [5]float64
}{
	{recoveryOf{165, 115, 90}, 82.47, [5]float64{0, 0.0837, 0.3128, 0.5419, 0.6564}},
	{recoveryOf{165, 115, 75}, 68.72, [5]float64{0, 0.2364, 0.4273, 0.6182, 0.7137}},
	{recoveryOf{160, 115, 60}, 48.66, [5]float64{0.1891, 0.4594, 0.5945, 0.7297, 0.7973}},
	{recoveryOf{155, 110, 75}, 44.08, [5]float64{0.2653, 0.5102, 0.6326, 0.7551, 0.8163}},
	{recoveryOf{165, 125, 90}, 124.77, [5]float64{0, 0, 0, 0.3069, 0.4801}},
	{recoveryOf{165, 138, 60}, -1, [5]float64{0, 0, 0, 0, 0}},
}

var walkLengths = [5]int{60, 90, 120, 180, 240}

// The table to the digit: a thousand rates a second, each the least whole number not
// below the heart, so that one is at or under 135 just when the heart is.
func TestSharesOfModelledRecoveriesToTheDigit(t *testing.T) {
	const fine = 1000
	for _, c := range recoveries {
		cross, ever := c.recoveryOf.cross(135)
		require.Equal(t, c.cross >= 0, ever)
		if ever {
			require.InDelta(t, c.cross, cross, 0.005, "%v", c.recoveryOf)
		}
		for i, walk := range walkLengths {
			rates := make([]int16, fine*walk)
			for u := range rates {
				rates[u] = int16(math.Ceil(c.recoveryOf.at(float64(u) / fine)))
			}
			b := walkOf(rates, 0, fine*walk, at(135))
			why := fmt.Sprintf("%v, %d s", c.recoveryOf, walk)
			require.Equal(t, fine*walk, b.Valid, why)
			require.InDelta(t, c.shares[i], float64(b.Easy)/float64(b.Valid), 0.00005+1.0/float64(fine*walk), why)
			require.Equal(t, c.shares[i] > 0.5, b.State == Settled, why)
		}
	}
}

// The same as a device writes it, whole beats once a second: a rate is 135 as long as
// the heart is below 135.5, and second t holds what was so at its beginning.
func TestSharesOfModelledRecoveriesInWholeSeconds(t *testing.T) {
	for _, c := range recoveries {
		cross, ever := c.recoveryOf.cross(135.5)
		for _, walk := range walkLengths {
			rates := inPieces(piece{120, int16(c.start)})
			for second := range walk {
				rates = append(rates, int16(math.Round(c.recoveryOf.at(float64(second)))))
			}
			easy, settle := 0, None
			if ever {
				first := int(math.Floor(cross)) + 1
				easy = max(0, walk-first)
				if easy >= inARow {
					settle = first
				}
			}
			b := walkOf(rates, 120, walk, at(135))
			why := fmt.Sprintf("%v, %d s", c.recoveryOf, walk)
			require.Equal(t, easy, b.Easy, why)
			require.Equal(t, settle, b.Settle, why)
			require.Equal(t, 2*easy > walk, b.State == Settled, why)
		}
	}
}

// Evidence, section 7.4, reading c: a maximum of 180 ± 10.8 moves the ceiling to 126.9,
// 135 and 143.1 and the share to 0.1028, 0.4273 and 0.6398; here in tenths of a beat and
// thousandths of a second. Reading d: most of two minutes needs a tau of 65.5 s or less.
func TestADeviationOfTheCeilingMovesTheShare(t *testing.T) {
	const fine, tenths, walk = 1000, 10, 120
	for _, c := range []struct {
		tau   float64
		state State
	}{{75, NotSettled}, {65, Settled}, {66, NotSettled}} {
		r := recoveryOf{165, 115, c.tau}
		rates := make([]int16, fine*walk)
		for u := range rates {
			rates[u] = int16(math.Ceil(tenths * r.at(float64(u)/fine)))
		}
		b := walkOf(rates, 0, fine*walk, Ceilings{Easy: 1350, EasyLow: 1269, EasyHigh: 1431})
		require.Equal(t, c.state, b.State, "tau %v", c.tau)
		if c.tau == 75 {
			require.InDelta(t, 0.1028, float64(b.EasyLow)/float64(b.Valid), 0.00006)
			require.InDelta(t, 0.4273, float64(b.Easy)/float64(b.Valid), 0.00006)
			require.InDelta(t, 0.6398, float64(b.EasyHigh)/float64(b.Valid), 0.00006)
		}
	}
}

// Evidence, section 7.2: drop in the first minute A·(1 − exp(−60/tau)), computed from
// the means of Barak 2011 (found). A drop here is between means over six seconds, half
// of them before the instant, in whole beats.
func TestDropOfModelledRecoveries(t *testing.T) {
	for _, c := range []struct {
		why string
		recoveryOf
		drop float64
	}{
		{"athletes, seated", recoveryOf{147, 89, 52.5}, 39.50},
		{"athletes, active", recoveryOf{147, 88, 74.1}, 32.75},
		{"sedentary, seated", recoveryOf{144, 100, 50.6}, 30.56},
		{"sedentary, active", recoveryOf{144, 96, 90.6}, 23.25},
	} {
		require.InDelta(t, c.drop, c.start-c.recoveryOf.at(60), 0.005, c.why)
		rates := inPieces(piece{120, int16(c.start)})
		means := [2]float64{3 * c.start / 6, 0}
		for second := range 120 {
			rate := c.recoveryOf.at(float64(second))
			rates = append(rates, int16(math.Round(rate)))
			if second < around {
				means[0] += rate / 6
			}
			if second >= recovery-around && second < recovery+around {
				means[1] += rate / 6
			}
		}
		b := walkOf(rates, 120, 120, at(135))
		require.InDelta(t, means[0]-means[1], float64(b.Drop), 1.5, "%s: two means, each rounded, of rates that are", c.why)
		require.InDelta(t, c.drop, float64(b.Drop), 2, c.why)
	}
}

// Evidence, section 7.1: 172 to 160 at 60 s is 12, 172 to 159 is 13.
func TestDrop(t *testing.T) {
	for _, c := range []struct {
		why   string
		rates []int16 // a run of 60 s, then a walk
		walk  int
		drop  int
	}{
		{"172 to 160 is 12", inPieces(piece{70, 172}, piece{110, 160}), 120, 12},
		{"172 to 159 is 13", inPieces(piece{70, 172}, piece{110, 159}), 120, 13},
		{"a walk of exactly a minute has one", inPieces(piece{70, 172}, piece{110, 160}), 60, 12},
		{"a walk of a second less has none", inPieces(piece{70, 172}, piece{110, 160}), 59, None},
		{"only what lies within three seconds of the instant counts", inPieces(piece{57, 200}, piece{6, 172}, piece{54, 100}, piece{6, 160}, piece{57, 90}), 120, 12},
		{"half of them are enough", inPieces(piece{57, 172}, piece{3, 0}, piece{57, 172}, piece{3, 160}, piece{60, 0}), 120, 12},
		{"fewer are not, at the beginning", inPieces(piece{57, 172}, piece{4, 0}, piece{119, 160}), 120, None},
		{"fewer are not, at the end", inPieces(piece{100, 172}, piece{19, 0}, piece{2, 160}, piece{59, 0}), 120, None},
		{"a heart that rises has a drop below nought", inPieces(piece{70, 150}, piece{110, 155}), 120, -5},
		{"means are rounded half up", inPieces(piece{60, 151}, piece{57, 150}, piece{63, 140}), 120, 11},
		{"a recording that ends before the minute tells none", inPieces(piece{70, 172}, piece{47, 160}), 120, None},
	} {
		require.Equal(t, c.drop, walkOf(c.rates, 60, c.walk, at(135)).Drop, c.why)
	}
}

// Evidence, sections 7.4 and 19.1 and 19.2: what is easily counted wrongly.
func TestCounting(t *testing.T) {
	for _, c := range []struct {
		why           string
		rates         []int16 // of a walk of 120 s
		valid, easy   int
		state         State
		reason        Reason
		naive, honest float64 // share of the planned seconds, and of the valid ones
	}{
		{"40 above, 50 below, 30 without: 0.4167 of the walk and 0.5556 of what is valid, but coverage 0.75",
			inPieces(piece{40, 150}, piece{50, 120}, piece{30, 0}), 90, 50, NotAssessable, TooLittle, 0.4167, 0.5556},
		{"50 above, 50 below, 20 without: coverage 0.833, and exactly half is no majority",
			inPieces(piece{50, 150}, piece{50, 120}, piece{20, 0}), 100, 50, NotSettled, NoReason, 0.4167, 0.5},
		{"49 above, 51 below, 20 without: more than half of what is valid, though not of the walk",
			inPieces(piece{49, 150}, piece{51, 120}, piece{20, 0}), 100, 51, Settled, NoReason, 0.425, 0.51},
		{"60 of 120 is no majority", inPieces(piece{60, 150}, piece{60, 120}), 120, 60, NotSettled, NoReason, 0.5, 0.5},
		{"61 of 120 is", inPieces(piece{59, 150}, piece{61, 120}), 120, 61, Settled, NoReason, 0.5083, 0.5083},
		{"the ceiling itself is easy", inPieces(piece{59, 136}, piece{61, 135}), 120, 61, Settled, NoReason, 0.5083, 0.5083},
		{"96 of 120 valid is 80 %, and enough", inPieces(piece{24, 0}, piece{96, 120}), 96, 96, Settled, NoReason, 0.8, 1},
		{"95 of 120 is less", inPieces(piece{25, 0}, piece{95, 120}), 95, 95, NotAssessable, TooLittle, 0.7917, 1},
		{"dropouts are no recovered seconds", inPieces(piece{96, 150}, piece{24, 0}), 96, 0, NotSettled, NoReason, 0, 0},
	} {
		b := walkOf(append(inPieces(piece{60, 160}), c.rates...), 60, 120, at(135))
		require.Equal(t, [2]int{c.valid, c.easy}, [2]int{b.Valid, b.Easy}, c.why)
		require.Equal(t, c.state, b.State, c.why)
		require.Equal(t, c.reason, b.Reason, c.why)
		require.InDelta(t, c.naive, float64(b.Easy)/120, 0.00005, c.why)
		require.InDelta(t, c.honest, float64(b.Easy)/float64(b.Valid), 0.00005, c.why)
	}
}

// Evidence, section 7.4: samples at 0, 30, 60 and each of the next five seconds. Six of
// eight samples are easy, 5 of 65 seconds are when each value is held until the next,
// and with ten seconds of holding hardly anything is known.
func TestIrregularSampling(t *testing.T) {
	var r Recording
	easy := 0
	for i, second := range []int32{0, 30, 60, 61, 62, 63, 64, 65} {
		s := Sample{At: second, BPM: []int16{160, 140, 130, 130, 129, 129, 128, 128}[i], Speed: Unknown, Steps: Unknown}
		r.Samples = append(r.Samples, s)
		if s.BPM <= 135 {
			easy++
		}
	}
	require.InDelta(t, 0.75, float64(easy)/float64(len(r.Samples)), 0.00005, "share of samples")
	b := walkOf(inPieces(piece{30, 160}, piece{30, 140}, piece{2, 130}, piece{2, 129}, piece{1, 128}), 0, 65, at(135))
	require.InDelta(t, 0.0769, float64(b.Easy)/float64(b.Valid), 0.00005, "share of time, held")

	r.Marks = []int32{-60, 0, 65}
	read := Read(&r, []pathway.Block{{Kind: pathway.Run, Planned: 60}, {Kind: pathway.Walk, Planned: 65}}, at(135))
	require.Equal(t, 25, read.Blocks[1].Valid, "ten seconds each of the first two, five of the others")
	require.Equal(t, 5, read.Blocks[1].Easy)
	require.Equal(t, NotAssessable, read.Blocks[1].State)
	require.Equal(t, TooLittle, read.Blocks[1].Reason)
}
