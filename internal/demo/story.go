package demo

import (
	"context"
	"errors"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/simulate"
)

// story tells the last weeks of a person's twelve, so that the day of the run finds
// what it should. Days are counted back from the day of the run; on that day itself
// nothing happens, so that a story holds at any hour of it.
type story struct {
	from    int // from so many days ago on nothing is left to chance
	look    int // up to so many days ago the coach looks every morning
	coach   []beat
	athlete []beat
	evening []beat // after whatever else the day brings
}

// beat is something that happens on a day.
type beat struct {
	ago int
	do  func(ctx context.Context, l *life, date day.Date) error
}

// bend changes what somebody tells of a session.
type bend func(l *life, a *simulate.Account)

// session is the planned session, surely done, in full and without pain, told as
// the bends say.
func session(ago int, bends ...bend) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		a := l.body.Train(date, l.plan())
		a.Session.Blocks = wholeWith(a.Session.Blocks)
		a.Session.Outcome, a.Session.Limp = readiness.NotStated, false
		a.Session.PainAsked, a.Session.Pain, a.Mornings = true, nil, nil
		for _, b := range bends {
			b(l, &a)
		}
		return l.log(ctx, date, a)
	}}
}

// sessions are several of the kind, on the days.
func sessions(b bend, days ...int) []beat {
	beats := make([]beat, len(days))
	for i, ago := range days {
		beats[i] = session(ago, b)
	}
	return beats
}

// run is a run of one's own, of so many minutes.
func run(ago, minutes, effort int) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		a := l.body.Extra(date, minutes)
		a.Session.Blocks = wholeWith(a.Session.Blocks)
		a.Session.Pain, a.Mornings, a.Session.Limp = nil, nil, false
		a.Session.Effort = readiness.Some(effort)
		return l.log(ctx, date, a)
	}}
}

// missed is a planned session that was not done, told as that.
func missed(ago int) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		return l.log(ctx, date, simulate.Account{
			Clock: 19 * 60, Session: readiness.Session{Date: date, Kind: readiness.Planned, Outcome: readiness.Missed},
		})
	}}
}

// looks is a morning on which the coach looks.
func looks(ago int) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		return errors.Join(l.look(ctx, date), l.opened(ctx, date))
	}}
}

// rules is a decision that the coach makes whatever is proposed.
func rules(ago int, r ruling) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error { return l.decide(ctx, date, r) }}
}

// notes is a note of the coach's.
func notes(ago int, text string) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error { return l.note(ctx, date, text, false) }}
}

// privately is a note that deputies do not see.
func privately(ago int, text string) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error { return l.note(ctx, date, text, true) }}
}

// leaves is the day on which the athlete leaves the club.
func leaves(ago int) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		l.at = l.clock(date, coffee+50)
		return l.counter.Leave(ctx, l.actor(), l.id)
	}}
}

// wholeWith is the blocks with all of each done, the taps kept where they were
// before the end of a walk.
func wholeWith(blocks []readiness.Block) []readiness.Block {
	for i := range blocks {
		blocks[i].Done = blocks[i].Planned
	}
	return blocks
}

// good is a session that opens a gate: breath back in time, easy, no pain.
func good(l *life, a *simulate.Account) {
	l.settles(a, 0.30, 0.45)
	easy(l, a)
}

// easy answers that the session was easy enough, in the walking base too.
func easy(_ *life, a *simulate.Account) {
	s := &a.Session
	if !running(s) {
		s.Effort, s.Talk = readiness.Some(min(max(s.Effort.Or(3), 2), 3)), readiness.Chat
		return
	}
	s.Effort = readiness.Some(min(max(s.Effort.Or(4), 3), 5))
	s.Talk = min(max(s.Talk, readiness.Chat), readiness.Sentence)
}

// calm is good at an effort of 4 at most.
func calm(l *life, a *simulate.Account) {
	good(l, a)
	a.Session.Effort = readiness.Some(min(a.Session.Effort.Or(4), 4))
}

// late is a session whose walks settle past their half.
func late(l *life, a *simulate.Account) { lateBy(0.62)(l, a) }

// lateBy is late by about the share of the walk.
func lateBy(share float64) bend {
	return func(l *life, a *simulate.Account) {
		l.settles(a, share-0.03, share+0.03)
		easy(l, a)
		if running(&a.Session) {
			a.Session.Effort = readiness.Some(max(a.Session.Effort.Or(5), 4))
		}
	}
}

// fast is run too fast and said to be fine: the answers disagree.
func fast(l *life, a *simulate.Account) { felt(7, readiness.Chat)(l, a) }

// hard is a session that was too hard by itself.
func hard(l *life, a *simulate.Account) { felt(7, readiness.Words)(l, a) }

// felt gives the answers about how hard it was.
func felt(effort int, talk readiness.Talk) bend {
	return func(_ *life, a *simulate.Account) {
		a.Session.Effort, a.Session.Talk = readiness.Some(effort), talk
	}
}

// hurts is a pain during the session and the next morning.
func hurts(site string, score int8, morning int) bend {
	return func(_ *life, a *simulate.Account) {
		a.Session.Pain, a.Mornings = []readiness.Pain{{Site: site, Score: score}}, []int{morning}
	}
}

// reports is a warning sign.
func reports(signs ...readiness.Sign) bend {
	return func(_ *life, a *simulate.Account) { a.Session.Signs = signs }
}

// stops leaves out the end, from a share of the blocks on.
func stops(share float64, outcome readiness.Outcome) bend {
	return func(_ *life, a *simulate.Account) {
		for i := max(1, int(share*float64(len(a.Session.Blocks)))); i < len(a.Session.Blocks); i++ {
			a.Session.Blocks[i].Done, a.Session.Blocks[i].Settle = 0, readiness.Maybe{}
		}
		a.Session.Outcome = outcome
	}
}

// runsOn makes every run longer than planned by a share.
func runsOn(share float64) bend {
	return func(_ *life, a *simulate.Account) {
		for i := range a.Session.Blocks {
			if b := &a.Session.Blocks[i]; b.Kind == pathway.Run {
				b.Done += int32(share * float64(b.Planned))
			}
		}
	}
}

// untold leaves out everything but the effort.
func untold(_ *life, a *simulate.Account) {
	s := &a.Session
	for i := range s.Blocks {
		s.Blocks[i].Settle = readiness.Maybe{}
	}
	s.Talk, s.Breath, s.PainAsked = readiness.NotAsked, readiness.BreathNotAsked, false
	s.Effort = readiness.Some(4)
}

// settles taps every walk after a run between two shares of its length; where the
// body was in that span by itself, it stays.
func (l *life) settles(a *simulate.Account, low, high float64) {
	blocks := a.Session.Blocks
	a.Session.Breath = readiness.BreathNotAsked
	for i := 1; i < len(blocks); i++ {
		b := &blocks[i]
		if b.Kind != pathway.Walk || blocks[i-1].Kind != pathway.Run {
			continue
		}
		w := float64(b.Planned)
		share := float64(b.Settle.Or(int(high*w)+1)) / w
		if share < low || share > high {
			share = low + (high-low)*l.chance.Float64()
		}
		b.Settle = readiness.Some(int(share * w))
	}
}

func running(s *readiness.Session) bool {
	for _, b := range s.Blocks {
		if b.Kind == pathway.Run {
			return true
		}
	}
	return false
}

// together puts lists of beats together.
func together(lists ...[]beat) []beat {
	var all []beat
	for _, list := range lists {
		all = append(all, list...)
	}
	return all
}
