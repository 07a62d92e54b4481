package demo

import (
	"context"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Habits of the coaches: practice varies, these are ours.
const (
	askAgain    = 7 // days before a proposal that was not followed is looked at again
	saidEnough  = 4 // days after any decision in which nothing is said that moves nobody
	pauseLasts  = 7 // days after which a pause is asked about
	doctorTakes = 9 // days until a referral is cleared
)

// ruling is what a coach decides, with the words that go with it.
type ruling struct {
	choice roster.Choice
	to     string // a phase, where the coach picks one
	reason string
	word   string

	clearance roster.Clearance
}

// look is the coach's morning: reads the verdict and decides where there is
// something to decide.
func (l *life) look(ctx context.Context, date day.Date) error {
	v := l.assess(date)
	r := l.judge(&v, date)
	if r.choice == "" {
		return nil
	}
	return l.decide(ctx, date, r)
}

// decide makes the decision through the desk, on what the engine says now. One
// that was made before the filling was broken off stands.
func (l *life) decide(ctx context.Context, date day.Date, r ruling) error {
	key := l.nextKey("said")
	l.at = l.clock(date, coffee+l.chance.IntN(15))
	d, again := l.made[key]
	if !again {
		a, err := l.Store.Athlete(ctx, l.club.ID, l.id)
		if err != nil {
			return err
		}
		v := l.assess(date)
		d, err = l.desk.Decide(ctx, l.actor(), decide.Ask{
			Athlete: l.id, Choice: r.choice, To: r.to, Reason: r.reason, Word: r.word, Clearance: r.clearance,
			Fingerprint: v.Fingerprint(), Version: a.Version, Key: key,
		})
		if err != nil {
			return err
		}
	}
	l.newest, l.standing = &d, d.After
	return nil
}

// judge is what the coach makes of the verdict; nothing where it asks for nothing,
// or was answered a few days ago.
func (l *life) judge(v *readiness.Verdict, date day.Date) ruling {
	switch l.standing.Held {
	case roster.Paused:
		if date-l.standing.HeldSince < pauseLasts {
			return ruling{}
		}
		return ruling{choice: roster.Resume, word: l.pick(resumeWords())}
	case roster.Referred:
		if date-l.standing.HeldSince < doctorTakes {
			return ruling{}
		}
		return ruling{choice: roster.Cleared, clearance: l.clearance(date), word: l.pick(resumeWords())}
	}
	r := l.answer(v, date)
	if n := l.newest; n != nil {
		since := date - n.AsOf
		same := n.Proposal == v.Fingerprint() || still(n.Choice) && strings.HasPrefix(n.Proposal, v.Action.String())
		answered := since < askAgain && same
		if answered || since < saidEnough && still(r.choice) {
			return ruling{}
		}
	}
	return r
}

// clearance is what a doctor said the day before.
func (l *life) clearance(date day.Date) roster.Clearance {
	said := clearances()
	c := said[l.chance.IntN(len(said))]
	c.GivenOn = date - 1
	return c
}

// still says that the choice moves nobody.
func still(c roster.Choice) bool { return c == roster.Hold || c == roster.Seen }

// answer follows the proposal, or mostly.
func (l *life) answer(v *readiness.Verdict, date day.Date) ruling {
	departs := int(l.today-date) > l.story.from && l.chance.IntN(7) == 0
	switch v.Action {
	case readiness.Refer:
		return ruling{choice: roster.Refer, word: l.pick(referWords())}
	case readiness.Pause:
		return ruling{choice: roster.Pause, word: l.pick(pauseWords())}
	case readiness.EaseBack:
		if departs {
			return ruling{choice: roster.Hold, reason: l.pick(stayReasons()), word: l.pick(holdWords())}
		}
		return ruling{choice: roster.EaseBack, word: l.pick(backWords())}
	case readiness.HalfStep:
		if departs {
			return ruling{choice: roster.Hold, reason: "One more week: the last two sessions were after night shifts.", word: l.pick(holdWords())}
		}
		return ruling{choice: roster.HalfStep, word: l.pick(halfWords())}
	case readiness.MoveUp:
		if departs {
			return ruling{choice: roster.Hold, reason: l.pick(holdReasons()), word: l.pick(holdWords())}
		}
		return ruling{choice: roster.MoveUp, word: l.some(upWords())}
	}
	return l.remarkOn(v)
}

// remarkOn answers what asks for no step: a jump, a standstill, missed sessions.
func (l *life) remarkOn(v *readiness.Verdict) ruling {
	switch {
	case v.Flags.Has(readiness.FlagLoadJump) && v.Load.Learning:
		return ruling{choice: roster.Hold, word: "For the first weeks only what is planned, please: the legs learn more slowly than the lungs."}
	case v.Flags.Has(readiness.FlagLoadJump):
		return ruling{choice: roster.Hold, word: l.pick(jumpWords())}
	case v.Stalling != readiness.NoCause:
		return ruling{choice: roster.Hold, word: l.pick(holdWords())}
	case v.Flags.Has(readiness.FlagIrregular), v.Flags.Has(readiness.FlagPain):
		return ruling{choice: roster.Seen}
	}
	return ruling{}
}
