package simulate

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
)

// Time over the ceiling and share of a walk by t = tau·ln((HR0−HRinf)/(ceiling−HRinf))
// and 1 − t/T: computed, for heart rates found in Barak 2011 (J Sports Sci Med
// 10:369–375) and for others of our own.
func TestRecoveryGoesByTheClosedForm(t *testing.T) {
	for _, c := range []struct {
		start, walk, tau float64
		ceiling          int
		cross            float64         // seconds; below 0: never
		shares           map[int]float64 // by seconds of the walk
	}{
		{165, 115, 90, 135, 82.47, map[int]float64{60: 0, 90: 0.0837, 120: 0.3128, 180: 0.5419, 240: 0.6564}},
		{165, 115, 75, 135, 68.72, map[int]float64{60: 0, 90: 0.2364, 120: 0.4273, 180: 0.6182, 240: 0.7137}},
		{160, 115, 60, 135, 48.66, map[int]float64{60: 0.1891, 90: 0.4594, 120: 0.5945, 180: 0.7297, 240: 0.7973}},
		{155, 110, 75, 135, 44.08, map[int]float64{60: 0.2653, 90: 0.5102, 120: 0.6326, 180: 0.7551, 240: 0.8163}},
		{165, 125, 90, 135, 124.77, map[int]float64{60: 0, 90: 0, 120: 0, 180: 0.3069, 240: 0.4801}},
		{165, 138, 60, 135, -1, map[int]float64{60: 0, 90: 0, 120: 0, 180: 0, 240: 0}},
	} {
		h := Heart{Down: c.tau, Up: 30}
		rate, cross := c.start, -1.0
		for s := range 240 {
			next := h.toward(rate, c.walk)
			if cross < 0 && next <= float64(c.ceiling) {
				cross = float64(s) + (rate-float64(c.ceiling))/(rate-next)
			}
			rate = next
			if want, asked := c.shares[s+1]; asked {
				got := 0.0
				if cross >= 0 {
					got = 1 - cross/float64(s+1)
				}
				require.InDelta(t, want, got, 0.0001, "%v after %d s", c, s+1)
			}
		}
		require.InDelta(t, c.cross, cross, 0.01, "%v", c)
	}
}

// From memory of the same formula: 86 % of the change after 60 s with 30 s, 74 % with 45 s.
func TestOnsetGoesByTheClosedForm(t *testing.T) {
	for tau, want := range map[float64]float64{30: 0.86, 45: 0.74} {
		h := Heart{Up: tau, Down: 90}
		rate := 0.0
		for range 60 {
			rate = h.toward(rate, 1)
		}
		require.InDelta(t, want, rate, 0.005)
	}
}

// A whole outing of a heart without unrest shows the same shares: two minutes after
// a run so long that the level of running is reached, in whole seconds and beats.
func TestACalmOutingGoesByTheClosedForm(t *testing.T) {
	plan := []pathway.Block{{Kind: pathway.Run, Planned: 600}, {Kind: pathway.Walk, Planned: 180}}
	out := GoOut(1, OutingOptions{Plan: plan, Ceiling: 135, Heart: Heart{Stand: 80, Walk: 115, Run: 165, Up: 30, Down: 75}})
	walk := out.Blocks[1]
	cross := 75 * math.Log((165-115)/(135.5-115)) // 135.5 is the last that is 135 in whole beats
	require.InDelta(t, 1-cross/180, walk.Share, 0.006)
	require.Equal(t, int(math.Ceil(cross)), walk.Settle)
	require.Equal(t, TrueBlock{
		Kind: pathway.Walk, Planned: 180, Done: 180, Start: 600, End: 780, Judged: true,
		Share: walk.Share, Settle: walk.Settle, WornShare: walk.Share, WornSettle: walk.Settle, Valid: 180, Recorded: true,
	}, walk)
	require.Len(t, out.Recording.Samples, 781)
	require.Empty(t, out.Artefacts)
	require.Zero(t, out.Troubles)
}

func TestTheSameSeedIsTheSameOuting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed, o := rapid.Uint64().Draw(t, "seed"), drawOptions(t)
		once := GoOut(seed, o)
		require.Equal(t, once, GoOut(seed, o))
		require.NotEqual(t, once.Recording, GoOut(seed+1, o).Recording)
	})
}

func drawOptions(t *rapid.T) OutingOptions {
	return OutingOptions{
		With: Trouble(rapid.Uint32Range(0, uint32(AnyTrouble)).Draw(t, "with")) & Trouble(rapid.Uint32Range(0, uint32(AnyTrouble)).Draw(t, "and")),
		May:  AnyTrouble, Speed: rapid.Bool().Draw(t, "speed"), Steps: rapid.Bool().Draw(t, "steps"),
		Laps: rapid.Bool().Draw(t, "laps"), AutoLaps: rapid.Bool().Draw(t, "auto laps"), Marks: rapid.Bool().Draw(t, "marks"),
	}
}

func TestTheTruthFitsThePlanAndTheRecording(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		out := GoOut(rapid.Uint64().Draw(t, "seed"), drawOptions(t))
		require.Len(t, out.Blocks, len(out.Plan))
		for i := range out.Blocks {
			checkBlock(t, &out, i)
		}
		checkRecording(t, &out)
	})
}

func checkBlock(t require.TestingT, out *Outing, i int) {
	b := &out.Blocks[i]
	require.Equal(t, pathway.Block{Kind: b.Kind, Planned: b.Planned}, out.Plan[i])
	require.GreaterOrEqual(t, b.End, b.Start)
	require.GreaterOrEqual(t, b.Done, 0)
	if !out.Troubles.Has(ClockJump) {
		require.Equal(t, b.Done, b.End-b.Start)
		if i > 0 {
			require.Equal(t, out.Blocks[i-1].End, b.Start, "blocks follow each other")
		}
	}
	if b.Judged {
		require.True(t, b.Kind == pathway.Walk && i > 0 && out.Blocks[i-1].Kind == pathway.Run && out.Blocks[i-1].Done > 0 && b.Done > 0)
		require.True(t, b.Share >= 0 && b.Share <= 1 && b.WornShare >= 0 && b.WornShare <= 1)
		require.True(t, b.Settle >= trace.None && b.Settle <= b.Window()-settledFor || b.Window() < settledFor)
		require.Equal(t, 100*b.Valid >= 80*b.Window(), b.Recorded)
		require.LessOrEqual(t, b.Valid, b.Window())
	} else {
		require.True(t, b.Share == 0 && b.Settle == trace.None && b.Valid == 0 && !b.Recorded)
	}
}

func checkRecording(t require.TestingT, out *Outing) {
	r := &out.Recording
	require.NotEmpty(t, r.Samples)
	require.Zero(t, r.Samples[0].At)
	require.LessOrEqual(t, len(r.Samples), trace.MostSamples)
	for i, s := range r.Samples {
		require.True(t, s.BPM >= 0 && s.BPM <= 255)
		require.True(t, s.Speed >= trace.Unknown && s.Steps >= trace.Unknown)
		if i > 0 && !out.Troubles.Has(ClockJump) && !out.Troubles.Has(Doubled) {
			require.Greater(t, s.At, r.Samples[i-1].At)
		}
	}
	for i, lap := range r.Laps {
		require.Positive(t, lap)
		require.True(t, i == 0 || lap >= r.Laps[i-1] || out.Troubles.Has(ClockJump))
	}
	require.True(t, len(r.Marks) == 0 || len(r.Marks) == len(out.Plan)+1)
	for _, a := range out.Artefacts {
		require.True(t, a.To > a.From || out.Troubles.Has(ClockJump))
	}
}

// Alone, each trouble changes the recording, mostly, and leaves the person as she is.
func TestEachTroubleAlone(t *testing.T) {
	plan := runsAndWalks(120, 180, 6)
	for i, name := range troubleNames {
		trouble := Trouble(1 << i)
		changed := 0
		for seed := range uint64(20) {
			calm := GoOut(seed, OutingOptions{Plan: plan, Steps: true})
			troubled := GoOut(seed, OutingOptions{Plan: plan, Steps: true, With: trouble})
			require.Equal(t, trouble, troubled.Troubles)
			require.Equal(t, calm.Heart, troubled.Heart, "the person stays who she is")
			if !sameRecording(&calm, &troubled) {
				changed++
			}
		}
		require.GreaterOrEqual(t, changed, 15, name)
	}
}

func sameRecording(a, b *Outing) bool {
	if len(a.Recording.Samples) != len(b.Recording.Samples) {
		return false
	}
	for i, s := range a.Recording.Samples {
		if s != b.Recording.Samples[i] {
			return false
		}
	}
	return true
}

func TestTroubleNames(t *testing.T) {
	require.Empty(t, Trouble(0).String())
	require.Equal(t, "wrist, doubled", (Wrist | Doubled).String())
	require.Len(t, strings.Split(AnyTrouble.String(), ", "), len(troubleNames))
}

func TestAGuidedSessionIsRecordedWhole(t *testing.T) {
	for seed := range uint64(20) {
		out := GoOut(seed, OutingOptions{Plan: runsAndWalks(60, 120, 3), With: ShiftedStart | StoppedSoon | Crossing, Marks: true})
		require.Equal(t, Crossing, out.Troubles)
		for i, b := range out.Blocks {
			require.Equal(t, b.Start, int(out.Recording.Marks[i]))
		}
		require.Equal(t, out.Blocks[5].End, int(out.Recording.Marks[6]))
	}
}

func TestWhatIsGivenStands(t *testing.T) {
	plan := runsAndWalks(60, 120, 3)
	out := GoOut(4, OutingOptions{Plan: plan, Done: []int{60, 120, 0, 0, 40, 200}, Ceiling: 128, With: Spikes})
	require.Equal(t, 128, out.Ceiling)
	var done []int
	var judged []bool
	for _, b := range out.Blocks {
		done = append(done, b.Done)
		judged = append(judged, b.Judged)
	}
	require.Equal(t, []int{60, 120, 0, 0, 40, 200}, done)
	require.Equal(t, []bool{false, true, false, false, false, true}, judged)
	require.Equal(t, 120, out.Blocks[5].Window(), "a longer walk is judged for as long as it was planned")
	require.NotEmpty(t, out.Artefacts)
}

// The recording of one trouble is compared with what is known of it.
func TestTroublesShowInTheRecording(t *testing.T) {
	for seed := range uint64(40) {
		late := GoOut(seed, OutingOptions{With: ShiftedStart})
		require.InDelta(t, 0, late.Blocks[0].Start, 150)

		lagging := GoOut(seed, OutingOptions{Plan: runsAndWalks(180, 180, 5), With: Wrist, Heart: Heart{Stand: 85, Walk: 110, Run: 160, Up: 30, Down: 50}, Ceiling: 135})
		for i := 1; i < len(lagging.Blocks); i += 2 {
			b := lagging.Blocks[i]
			require.InDelta(t, b.Settle+lagging.Delay, b.WornSettle, 8)
			require.True(t, lagging.Delay >= 6 && lagging.Delay <= 25, "5 to 20 s late, and half of 3 to 10 s more")
		}

		locked := GoOut(seed, OutingOptions{With: CadenceLock, Steps: true, Plan: runsAndWalks(180, 180, 5)})
		at := map[int]trace.Sample{}
		for _, s := range locked.Recording.Samples {
			at[int(s.At)] = s
		}
		for _, a := range locked.Artefacts {
			require.Equal(t, trace.CadenceLock, a.Kind)
			if a.To-a.From > 12 {
				require.True(t, at[(a.From+a.To)/2].BPM >= 148 && at[(a.From+a.To)/2].BPM <= 182)
			}
		}
	}
}

// A walk that lies outside the recording, or under what was made up, is not recorded.
func TestWhatWasNotRecorded(t *testing.T) {
	short := GoOut(7, OutingOptions{Plan: runsAndWalks(120, 180, 6), With: StoppedSoon})
	last := short.Blocks[len(short.Blocks)-1]
	end := int(short.Recording.Samples[len(short.Recording.Samples)-1].At)
	require.Greater(t, last.End, end)
	require.LessOrEqual(t, last.Valid, max(0, end+1-last.Start))

	for seed := range uint64(30) {
		out := GoOut(seed, OutingOptions{Plan: runsAndWalks(120, 180, 6), With: Dropout})
		for _, b := range out.Blocks {
			lost := 0
			for _, a := range out.Artefacts {
				lost += max(0, min(a.To, b.Start+b.Window())-max(a.From, b.Start))
			}
			if b.Judged {
				require.InDelta(t, b.Window()-lost, b.Valid, 1, "what is lost is not valid")
			}
		}
	}
}
