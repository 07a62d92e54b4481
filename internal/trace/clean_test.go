package trace

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// unwritten stands where no sample spoke of a second.
const unwritten = math.MinInt16

// courseOf is the course of a heart with these rates, and with these steps if given.
func courseOf(rates, steps []int16) *course {
	c := &course{rates: slices.Clone(rates), steps: slices.Clone(steps), covered: make([]bool, len(rates))}
	for t, rate := range rates {
		c.covered[t] = rate != unwritten
		if !c.covered[t] {
			c.rates[t] = 0
		}
	}
	for len(c.steps) < len(rates) {
		c.steps = append(c.steps, Unknown)
	}
	return c
}

// walking is a calm walk around a rate, never twice the same beat for long.
func walking(seconds int, rate int16) (rates []int16) {
	for t := range seconds {
		rates = append(rates, rate+[...]int16{0, 0, 1, 1, 0, -1, -1}[t%7])
	}
	return rates
}

// going is a heart on its way from one rate to another.
func going(seconds int, from, to, tau float64) (rates []int16) {
	for t := range seconds {
		rates = append(rates, int16(math.Round(recoveryOf{from, to, tau}.at(float64(t)))))
	}
	return rates
}

// wildly leaps about with this many beats from second to second.
func wildly(seconds int, low, step int16) (rates []int16) {
	for t := range seconds {
		rates = append(rates, low+int16(t%2)*step)
	}
	return rates
}

// cleaning is a case of what a sensor made up, or did not.
type cleaning struct {
	why   string
	rates []int16
	steps []int16
	found []Artefact
}

func (c *cleaning) check(t *testing.T) {
	course := courseOf(c.rates, c.steps)
	found := course.clean()
	require.Equal(t, c.found, found, c.why)
	for second, rate := range course.rates {
		made := slices.ContainsFunc(found, func(a Artefact) bool { return second >= a.From && second < a.To })
		require.Equal(t, made, rate == 0, "%s: second %d is taken out, and only if it was made up", c.why, second)
		if !made {
			require.Equal(t, c.rates[second], rate, "%s: nothing is changed", c.why)
		}
	}
}

func joined(parts ...[]int16) []int16 { return slices.Concat(parts...) }

func TestWhatIsNoHeartRate(t *testing.T) {
	calm := walking(60, 115)
	for _, c := range []cleaning{
		{"a calm walk", calm, nil, nil},
		{"nothing at all", nil, nil, nil},
		{"a gap", joined(calm, inPieces(piece{30, unwritten}), calm), nil, []Artefact{{60, 90, Gap}}},
		{"a gap at the beginning and one at the end", joined(inPieces(piece{5, unwritten}), calm, inPieces(piece{7, unwritten})), nil, []Artefact{{0, 5, Gap}, {65, 72, Gap}}},
		{"zeros stand for nothing", joined(calm, inPieces(piece{30, 0}), calm), nil, []Artefact{{60, 90, NoContact}}},
		{"255 likewise (evidence, section 19.10)", joined(calm, inPieces(piece{30, 255}), calm), nil, []Artefact{{60, 90, NoContact}}},
		{"zeros within a gap are two things", joined(calm, inPieces(piece{10, 0}, piece{20, unwritten}), calm), nil, []Artefact{{60, 70, NoContact}, {70, 90, Gap}}},
		{"24 is no heart rate, nor is one below nought", joined(calm, inPieces(piece{10, 24}, piece{10, -3}), calm), nil, []Artefact{{60, 80, NoContact}}},
		{"25 is one", walking(60, 26), nil, nil},
		{"250 is the highest", walking(60, 249), nil, nil},
		{"251 is none", joined(walking(60, 249), inPieces(piece{10, 251}), walking(60, 249)), nil, []Artefact{{60, 70, NoContact}}},
	} {
		c.check(t)
	}
}

func TestHeldValues(t *testing.T) {
	calm := walking(60, 115)
	for _, c := range []cleaning{
		{"a plateau of a calm walk: 200 s of one beat, led up to beat by beat", joined(going(120, 150, 115, 30), inPieces(piece{200, 115}), walking(60, 115)), nil, nil},
		{"45 s that end with a step of three", joined(walking(60, 117), inPieces(piece{45, 116}), walking(60, 119)), nil, []Artefact{{60, 105, Held}}},
		{"45 s that begin with a step of three", joined(walking(60, 120), inPieces(piece{45, 116}), walking(60, 117)), nil, []Artefact{{60, 105, Held}}},
		{"44 s are not held yet", joined(walking(60, 120), inPieces(piece{44, 116}), walking(60, 117)), nil, nil},
		{"a step of two is one that hearts make, but 100 s still are not what this sensor writes", joined(walking(60, 115), inPieces(piece{100, 117}), walking(60, 119)), nil, []Artefact{{60, 160, Held}}},
		{"where a sensor writes every beat still, 300 s may be so", joined(inPieces(piece{60, 115}, piece{300, 116}, piece{60, 117})), nil, nil},
		{"a recording of one value only says nothing of itself", inPieces(piece{240, 116}), nil, nil},
		{"beside zeros there is no step", joined(inPieces(piece{60, 115}, piece{10, 0}, piece{60, 116}, piece{10, 0}, piece{60, 115})), nil, []Artefact{{60, 70, NoContact}, {130, 140, NoContact}}},
		{"between zeros, but not as this sensor writes", joined(calm, inPieces(piece{10, 0}, piece{60, 116}, piece{10, 0}), calm), nil, []Artefact{{60, 70, NoContact}, {70, 130, Held}, {130, 140, NoContact}}},
		{"stuck as a run begins, found again in the middle of it", joined(walking(60, 117), inPieces(piece{100, 116}), going(60, 128, 165, 30)), nil, []Artefact{{60, 160, Held}}},
	} {
		c.check(t)
	}
}

func TestSpikes(t *testing.T) {
	calm := walking(60, 115)
	for _, c := range []cleaning{
		{"one second far above", joined(calm, inPieces(piece{1, 190}), calm), nil, []Artefact{{60, 61, Spike}}},
		{"three seconds far below", joined(calm, inPieces(piece{3, 60}), calm), nil, []Artefact{{60, 63, Spike}}},
		{"16 beats off", joined(inPieces(piece{60, 115}), inPieces(piece{2, 131}), inPieces(piece{60, 115})), nil, []Artefact{{60, 62, Spike}}},
		{"15 are not far", joined(walking(30, 115), inPieces(piece{10, 115}, piece{2, 130}, piece{10, 115}), walking(30, 115)), nil, nil},
		{"six seconds are a spike", joined(calm, inPieces(piece{6, 145}), calm), nil, []Artefact{{60, 66, Spike}}},
		{"eight seconds outweigh what is around them, and are no spike", joined(calm, inPieces(piece{8, 145}), calm), nil, nil},
		{"the very first second", joined(inPieces(piece{1, 190}), calm), nil, []Artefact{{0, 1, Spike}}},
		{"the very last", joined(calm, inPieces(piece{2, 40})), nil, []Artefact{{60, 62, Spike}}},
		{"a second of truth between two of them", joined(calm, inPieces(piece{2, 190}), calm[:2], inPieces(piece{2, 190}), calm), nil, []Artefact{{60, 62, Spike}, {64, 66, Spike}}},
		{"a heart that rises 60 beats with a constant of 20 s", joined(walking(60, 110), going(120, 110, 170, 20)), nil, nil},
		{"and falls as quickly", joined(walking(60, 170), going(120, 170, 110, 20)), nil, nil},
	} {
		c.check(t)
	}
}

// Evidence, section 19.10: a strap that is dry for the first minutes.
func TestAWildStrap(t *testing.T) {
	for _, c := range []struct {
		why      string
		wild     []int16
		from, to int // all of these are taken out; seconds of calm before and after
		any      bool
	}{
		{"leaps of 20 beats each second", wildly(60, 100, 20), 60, 120, true},
		{"five beats a second at the mean", wildly(60, 113, 5), 60, 120, true},
		{"four are a restless heart, or a rounding", wildly(60, 113, 4), 0, 0, false},
		{"ten seconds of five beats do not make 15", wildly(10, 113, 5), 0, 0, false},
	} {
		course := courseOf(joined(walking(60, 115), c.wild, walking(60, 115)), nil)
		found := course.clean()
		if !c.any {
			require.Empty(t, found, c.why)
			continue
		}
		for _, a := range found {
			require.Equal(t, Spike, a.Kind, c.why)
			require.GreaterOrEqual(t, a.From, c.from-wildTime, "%s: hardly anything before", c.why)
			require.LessOrEqual(t, a.To, c.to+wildTime, "%s: hardly anything after", c.why)
		}
		require.Zero(t, countIn(course.rates, c.from+1, c.to-1, all), c.why)
		require.Equal(t, 60-wildTime, countIn(course.rates, 0, 60-wildTime, all), c.why)
		require.Equal(t, 60-wildTime, countIn(course.rates, c.to+wildTime, 180, all), c.why)
	}
}

// Evidence, section 19.10 (judgement there): within five beats of the steps for half a
// minute, with an abrupt change.
func TestCadenceLock(t *testing.T) {
	stepping := func(before, run, after int) []int16 {
		return inPieces(piece{before, 104}, piece{run, 168}, piece{after, 104})
	}
	walk, run := walking(120, 115), joined(going(90, 115, 150, 30), walking(30, 150))
	locked := walking(60, 168)
	for _, c := range []cleaning{
		{"by steps: up at once, and down at once", joined(walk, locked, walk), stepping(120, 60, 120), []Artefact{{120, 180, CadenceLock}}},
		{"by leaps: the same where no steps are known", joined(walk, locked, walk), nil, []Artefact{{120, 180, CadenceLock}}},
		{"by steps: below the heart, for a heart may beat faster than the steps", joined(walking(120, 185), walking(60, 160), walking(120, 185)), inPieces(piece{300, 160}), []Artefact{{120, 180, CadenceLock}}},
		{"by leaps: it begins with one and slides back", joined(walk, locked, going(60, 168, 118, 15), walk), nil, []Artefact{{120, 184, CadenceLock}}},
		{"by leaps: it slides there and ends with one", joined(walk, going(60, 118, 168, 15), locked, walk), nil, []Artefact{{145, 240, CadenceLock}}},
		{"by steps: slid into, left with a leap", joined(walk, going(60, 118, 168, 20), walking(40, 168), walk), stepping(120, 100, 120), []Artefact{{165, 220, CadenceLock}}},
		{"by steps: 29 s are too few, and a slide of 13 beats is no leap", joined(walking(60, 155), inPieces(piece{1, 159}, piece{1, 162}), walking(29, 168), inPieces(piece{1, 162}, piece{1, 159}), walking(60, 155)), inPieces(piece{62, 140}, piece{29, 168}, piece{62, 140}), nil},
		{"a plateau of 16 s beside a leap may be anything", joined(walk, inPieces(piece{10, 140}, piece{6, 141}), walk), nil, nil},
		{"one of 19 s that is slid out of", joined(walk, inPieces(piece{10, 140}, piece{9, 141}), going(40, 130, 118, 20)), nil, nil},
		{"one of 20 is made up", joined(walk, inPieces(piece{10, 140}, piece{10, 141}), walk), nil, []Artefact{{120, 140, CadenceLock}}},
		{"a run whose steps happen to be as many as the beats, with no leap", joined(walk, run, going(120, 150, 115, 60)), inPieces(piece{120, 112}, piece{120, 150}, piece{120, 112}), nil},
		{"a real quick rise: 60 beats with a constant of 20 s are 11 in four seconds", joined(walk, going(120, 115, 175, 20), going(120, 175, 115, 45)), nil, nil},
	} {
		c.check(t)
	}
}

// Where the line runs between a lock and a heart: fifteen beats in four seconds, and
// half a minute beside the steps.
func TestHardlyALock(t *testing.T) {
	climb := func(seconds int) (rates []int16) { // with steps that quicken too much for a plateau
		for s := range seconds {
			rates = append(rates, 150+int16(s))
		}
		return rates
	}
	walk := walking(120, 115)
	for _, c := range []cleaning{
		{"up by 15 beats at once", inPieces(piece{40, 115}, piece{40, 130}), nil, []Artefact{{40, 80, CadenceLock}}},
		{"by 14", inPieces(piece{40, 115}, piece{40, 129}), nil, nil},
		{"down by 15 at once: what was before was made up", inPieces(piece{40, 130}, piece{40, 115}), nil, []Artefact{{0, 40, CadenceLock}}},
		{"by 14", inPieces(piece{40, 129}, piece{40, 115}), nil, nil},
		{"up by 15 within four seconds", inPieces(piece{40, 115}, piece{1, 119}, piece{1, 123}, piece{1, 127}, piece{40, 130}), nil, []Artefact{{43, 83, CadenceLock}}},
		{"within five", inPieces(piece{40, 115}, piece{1, 118}, piece{1, 121}, piece{1, 124}, piece{1, 127}, piece{40, 130}), nil, nil},
		{"30 s beside steps that quicken", joined(walk, climb(30), going(120, 178, 118, 30)), joined(inPieces(piece{120, 104}), climb(30), inPieces(piece{120, 104})), []Artefact{{120, 150, CadenceLock}}},
		{"29 s", joined(walk, climb(29), going(120, 177, 118, 30)), joined(inPieces(piece{120, 104}), climb(29), inPieces(piece{120, 104})), nil},
		{"30 s six beats from the steps", joined(walk, climb(30), going(120, 178, 118, 30)), joined(inPieces(piece{126, 104}), climb(30), inPieces(piece{114, 104})), nil},
		{"a leap into nothing known is none", inPieces(piece{40, 115}, piece{2, 0}, piece{40, 140}), nil, []Artefact{{40, 42, NoContact}}},
	} {
		c.check(t)
	}
}

// A device that writes in steps leaps again and again: three plateaus beside leaps may
// be made up, more are only if they are little of the recording.
func TestLocksOrADeviceThatWritesInSteps(t *testing.T) {
	inSteps := func(times, low, high int) (rates []int16, found []Artefact) {
		for range times {
			rates = joined(rates, walking(low, 115))
			found = append(found, Artefact{len(rates), len(rates) + high, CadenceLock})
			rates = joined(rates, walking(high, 160))
		}
		return joined(rates, walking(low, 115)), found
	}
	for _, c := range []struct {
		why              string
		times, low, high int
		taken            bool
	}{
		{"three, though most of the recording", 3, 35, 35, true},
		{"four, 18 % of it", 4, 126, 35, false},
		{"four, 14 % of it", 4, 168, 35, true},
	} {
		rates, found := inSteps(c.times, c.low, c.high)
		if !c.taken {
			found = nil
		}
		(&cleaning{c.why, rates, nil, found}).check(t)
	}
}

// A sensor that is never still, and then holds a value six times as long as ever.
func TestARestlessSensorThatIsStuck(t *testing.T) {
	turning := func(seconds, times int) (rates []int16) {
		for i := range times {
			rates = append(rates, inPieces(piece{seconds, 115 + int16(i%2)})...)
		}
		return rates
	}
	for _, c := range []struct {
		why           string
		each, pieces  int
		held          int
		stuck, toTurn bool
	}{
		{"six times eight seconds", 8, 40, 48, true, true},
		{"a second less", 8, 40, 47, false, true},
		{"longer, where it is hardly ever still", 10, 30, 100, true, true},
		{"as long, where it turns every twenty seconds", 20, 16, 130, false, false},
	} {
		rates := joined(turning(c.each, c.pieces), inPieces(piece{c.held, 117}), turning(c.each, 2))
		require.Equal(t, c.toTurn, courseOf(rates, nil).restless(), c.why)
		var found []Artefact
		if c.stuck {
			found = []Artefact{{c.each * c.pieces, c.each*c.pieces + c.held, Held}}
		}
		(&cleaning{c.why, rates, nil, found}).check(t)
	}
}
