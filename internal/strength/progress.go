package strength

import (
	"slices"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
)

// Done is what was done of one exercise in one session.
type Done struct {
	Date    day.Date
	Grams   int             // of one dumbbell; 0 where there was none
	Reps    []int           // of each set, or its seconds; of the weaker side; empty: left out
	Reserve readiness.Maybe // repetitions still left after the hardest set; not known: not asked
	Pain    int             // 0 to 10, at a place that the exercise loads
}

// Move is what to do next.
type Move uint8

// The moves.
const (
	Begin      Move = iota // nothing is known yet
	Repeat                 // the same again
	Heavier                // 2 to 10 % more, or as little as the rack allows
	Longer                 // more repetitions before a dumbbell that is far heavier
	NextBell               // that dumbbell, with the fewest repetitions of the range
	Lighter                // the last time was under the range
	HarderForm             // of an exercise without weight
	EasierForm             // likewise, or there is no lighter dumbbell
	SwapOut                // it hurt
	ComeBack               // lighter after a long gap
)

// Why says what led to the move.
type Why uint8

// The reasons; where several hold, the first decides.
const (
	NoneYet     Why = iota // not done yet
	Pained                 // 3 or more
	LongGap                // 14 days or more
	UnderRange             // a set under the bottom of the range
	SmallPain              // 1 or 2: clear, but nothing is added on top of it
	TooNear                // less in reserve than wanted, in one of the newest two
	BeatenTwice            // the top beaten in both of the newest two
	BeatenOnce             // so far only the newest
	InRange                // not beaten
	NoHeavier              // beaten, but there is nothing heavier or harder
)

// Case is everything that says with how much to go on.
type Case struct {
	Exercise Exercise
	Target   Target
	History  []Done // in any order
	Rack     Rack
	Now      Circumstances
	Library  Library
	AsOf     day.Date
}

// Next is what to do the next time.
type Next struct {
	Move   Move
	Why    Why
	Grams  int    // of one dumbbell; 0: none, or still to be found
	Target Target // of Longer, High is what has to be reached twice before the next dumbbell
	Form   string // of HarderForm, EasierForm and ComeBack: an ID or words; empty: none
	Bell   int    // of Longer and NextBell: the dumbbell that is far heavier, in grams
}

// Gaps in days after which to begin lighter, and with how many per cent of the
// weight, beside the way back of running (rule 9.4); a set less, too. That strength
// keeps longer than breath is common practice; the figures are ours.
const (
	longGap, longGapPercent       = 14, 90
	longerGap, longerGapPercent   = 28, 75
	longestGap, longestGapPercent = 56, 50
)

// lessPercent is what is left of a weight with which the bottom of the range was
// missed (ours: as much down as the usual rise is up).
const lessPercent = 95

// holdStep is what stands for one repetition in what is held, in seconds (ours).
const holdStep = 5

// Progress says what to do the next time by double progression: first repetitions
// within the range, then weight. Sessions after the day asked about, and those in
// which the exercise was left out, do not exist.
func Progress(c *Case) Next {
	done := c.read()
	n := Next{Move: Repeat, Target: c.Target}
	if len(done) == 0 {
		n.Move, n.Why = Begin, NoneYet
		return n
	}
	last := &done[0]
	n.Grams = last.Grams
	switch pain, gap := max(last.Pain, c.pain()), int(c.AsOf-last.Date); {
	case pain >= body.Hold:
		n.Move, n.Why = SwapOut, Pained
	case gap >= longGap:
		c.comeBack(&n, gap)
	case slices.Min(last.Reps) < c.Target.Low:
		c.lighter(&n)
	case pain > 0:
		n.Why = SmallPain
	case c.beaten(last) == 0:
		n.Why = InRange
	default:
		c.climb(&n, done)
	}
	return n
}

// read are the sessions up to the day, the newest first.
func (c *Case) read() []Done {
	done := slices.DeleteFunc(slices.Clone(c.History), func(d Done) bool { return d.Date > c.AsOf || len(d.Reps) == 0 })
	slices.SortStableFunc(done, func(a, b Done) int { return int(b.Date - a.Date) })
	return done
}

// pain is the highest score at present at a place that the exercise loads.
func (c *Case) pain() int {
	highest := 0
	for _, p := range c.Now.Pains {
		if body.SiteOf(p.Words)&c.Exercise.Loads != 0 {
			highest = max(highest, p.Score)
		}
	}
	return highest
}

// beaten is by how many repetitions, or steps of seconds, the weakest set was over
// the top of the range.
func (c *Case) beaten(d *Done) int {
	over := max(slices.Min(d.Reps)-c.Target.High, 0)
	if c.Exercise.Measure == Hold {
		return over / holdStep
	}
	return over
}

// weighted says whether it is weight that progresses: also of what is carried for
// seconds.
func (c *Case) weighted(n *Next) bool {
	return n.Grams > 0 && (c.Exercise.Measure == Weight || c.Exercise.Needs&Dumbbells != 0)
}

// comeBack begins lighter after a gap: with less weight or an easier form, and a set
// less.
func (c *Case) comeBack(n *Next, gap int) {
	n.Move, n.Why = ComeBack, LongGap
	n.Target.Sets = max(n.Target.Sets-1, 1)
	percent := longGapPercent
	if gap >= longestGap {
		percent = longestGapPercent
	} else if gap >= longerGap {
		percent = longerGapPercent
	}
	if c.weighted(n) {
		if grams := c.Rack.below(n.Grams * percent / 100); grams > 0 {
			n.Grams = grams
			return
		}
	}
	n.Form = c.form(Exercise.easier)
}

// lighter goes back after a set under the bottom of the range: to a lighter
// dumbbell, or where there is none to an easier form.
func (c *Case) lighter(n *Next) {
	n.Why = UnderRange
	if c.weighted(n) {
		if grams := c.Rack.below(n.Grams * lessPercent / 100); grams > 0 {
			n.Move, n.Grams = Lighter, grams
			return
		}
	}
	if n.Form = c.form(Exercise.easier); n.Form != "" {
		n.Move = EasierForm
	}
}

// climb goes on after a session that beat the top of the range: on two sessions in
// a row (common practice on the college's rule), with the reserve that is wanted.
func (c *Case) climb(n *Next, done []Done) {
	switch {
	case c.near(&done[0]):
		n.Why = TooNear
	case !pair(done) || c.beaten(&done[1]) == 0:
		n.Why = BeatenOnce
	case c.near(&done[1]):
		n.Why = TooNear
	case c.weighted(n):
		c.heavier(n, min(slices.Min(done[0].Reps), slices.Min(done[1].Reps)))
	default:
		c.harder(n)
	}
}

// near says whether less was left in reserve than wanted; not asked is not near.
func (c *Case) near(d *Done) bool { return d.Reserve.Or(c.Target.Reserve) < c.Target.Reserve }

// pair says whether the session before counts with the newest: done with the same
// weight, without pain, and with no long gap between.
func pair(done []Done) bool {
	return len(done) > 1 && done[1].Grams == done[0].Grams && done[1].Pain == 0 && done[0].Date-done[1].Date < longGap
}

// harder goes on without more weight: with a harder form where one fits.
func (c *Case) harder(n *Next) {
	if n.Form = c.form(Exercise.harder); n.Form == "" {
		n.Why = NoHeavier
		return
	}
	n.Move, n.Why = HarderForm, BeatenTwice
}

// heavier goes on with weight: to the next dumbbell where it is at most 10 %
// heavier; else by more repetitions until it asks no more than they do.
func (c *Case) heavier(n *Next, reps int) {
	n.Why = BeatenTwice
	if grams := c.Rack.next(n.Grams); grams > 0 {
		n.Move, n.Grams = Heavier, grams
		return
	}
	bell := c.Rack.above(n.Grams)
	want := max(c.enough(n.Grams, bell), c.Target.High+1) // where there is no other, nobody asks
	switch {
	case bell == 0 || c.Exercise.Measure == Hold || want > MostReps:
		c.harder(n)
	case reps >= want:
		n.Move, n.Grams, n.Bell = NextBell, bell, bell
	default:
		n.Move, n.Bell, n.Target.High = Longer, bell, want
	}
}

// enough are the repetitions with the one weight that ask as much as the fewest of
// the range with the other, the reserve left in both: by Epley's rule of thumb a
// weight lifted r times at most is 30/(30+r) of what can be lifted once (1985, from
// memory).
func (c *Case) enough(grams, bell int) int {
	left := 30 + c.Target.Reserve
	return (bell*(left+c.Target.Low)+grams-1)/grams - left
}

func (e Exercise) easier() string { return e.Easier }
func (e Exercise) harder() string { return e.Harder }

// form is the next easier or harder form that fits the circumstances: the ID of an
// exercise, or the words of this one; empty where there is none. An exercise that
// does not fit leads on to its own next, whose words would not speak of this one.
func (c *Case) form(next func(Exercise) string) string {
	form := next(c.Exercise)
	if _, known := c.Library.Find(form); !known {
		return form
	}
	for range len(c.Library) { // the forms of own exercises may lead in a circle
		e, known := c.Library.Find(form)
		if !known || e.ID == c.Exercise.ID {
			return ""
		}
		if c.Now.Fits(&e) == nil {
			return form
		}
		form = next(e)
	}
	return ""
}
