package intensity

// Source says what a ceiling rests on, the most trusted last (rule 4.1).
type Source uint8

// The sources.
const (
	NoSource      Source = iota
	FromPredicted        // a share of a predicted maximum
	FromMeasured         // a share of a measured maximum
	FromReserve          // a share of the reserve between a resting rate and a measured maximum
	FromTalkTest         // the heart rate of the last comfortable stage of a talk test
)

// String says the source in words.
func (s Source) String() string {
	return [...]string{"nothing", "a predicted maximum", "a measured maximum", "heart-rate reserve", "a talk test"}[s]
}

// Person is what is known of somebody's heart; 0 is not known.
type Person struct {
	Age         int // whole years
	Resting     BPM
	MeasuredMax BPM // measured, never predicted
	TalkTest    BPM // at the last comfortable stage
	Formula     Formula
}

// Ceiling is the top of a zone, itself still inside, with how surely it is known.
type Ceiling struct {
	BPM     BPM // rounded down
	SD      Milli
	Source  Source
	Formula Formula // the one used, where the source is FromPredicted
}

// Standard deviations of what a ceiling is made of (rule 4.3). That of the talk
// test and that of a measured maximum are our own.
const (
	TalkTestSD Milli = 5_000
	MeasuredSD Milli = 3_000
)

// Easy is the easy ceiling, the top of zone 1, by the order of trust of rule 4.1.
// ok is false where nothing known leads to one.
func (p Person) Easy() (c Ceiling, ok bool) {
	if p.TalkTest > 0 {
		return Ceiling{BPM: p.TalkTest, SD: TalkTestSD, Source: FromTalkTest}, true
	}
	return p.top(EasyOfMax, EasyOfReserve)
}

// Hard is the top of zone 2, above which a run counts as hard (rules 4.2, 5.2). A
// talk test says nothing of it, so it comes from a maximum; but it is never lower
// than the easy ceiling (our own).
func (p Person) Hard() (c Ceiling, ok bool) {
	easy, known := p.Easy()
	c, ok = p.top(HardOfMax, HardOfReserve)
	if known && ok && c.BPM < easy.BPM {
		return easy, true
	}
	return c, ok
}

// top is the ceiling at a share of the reserve, or else of the maximum.
func (p Person) top(ofMax, ofReserve int) (c Ceiling, ok bool) {
	max := p.MeasuredMax.Milli()
	switch {
	case max > 0 && p.Resting > 0 && p.Resting < p.MeasuredMax:
		at := OfReserve(ofReserve, p.Resting.Milli(), max)
		return Ceiling{BPM: at.Floor(), SD: OfMax(ofReserve, MeasuredSD), Source: FromReserve}, true
	case max > 0:
		return Ceiling{BPM: OfMax(ofMax, max).Floor(), SD: OfMax(ofMax, MeasuredSD), Source: FromMeasured}, true
	}
	max, formula, ok := p.predicted()
	if !ok {
		return Ceiling{}, false
	}
	return Ceiling{OfMax(ofMax, max).Floor(), OfMax(ofMax, PredictedSD), FromPredicted, formula}, true
}

// Max is the maximum heart rate as it is thought: the measured one, else the
// predicted one; ok is false where neither is known.
func (p Person) Max() (max Milli, measured, ok bool) {
	if p.MeasuredMax > 0 {
		return p.MeasuredMax.Milli(), true, true
	}
	max, _, ok = p.predicted()
	return max, false, ok
}

// predicted is the maximum by the formula chosen; at an age that one is not used
// for, by Nes (our own). ok is false outside the ages of adults.
func (p Person) predicted() (max Milli, f Formula, ok bool) {
	if max, ok = p.Formula.Max(p.Age); ok {
		return max, p.Formula, true
	}
	max, ok = Nes.Max(p.Age)
	return max, Nes, ok
}

// Low is the ceiling one standard deviation lower, High one higher, both rounded
// down: a walk is surely settled, or surely not, only where the three agree (rule
// 3.4).
func (c Ceiling) Low() BPM { return (c.BPM.Milli() - c.SD).Floor() }

// High is the ceiling one standard deviation higher, rounded down.
func (c Ceiling) High() BPM { return (c.BPM.Milli() + c.SD).Floor() }
