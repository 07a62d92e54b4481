package morning

import (
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Why says what an athlete needs a decision for; the order is the order of the
// list.
type Why uint8

// The reasons to decide, the most careful first.
const (
	WhyNone Why = iota
	WhyRefer
	WhyPause
	WhyEaseBack
	WhyLoadJump
	WhyStalling
	WhyPain
	WhyAnswered // health questions were answered anew, and nobody has looked yet
	WhyHealthCheck
	WhyMoveUp
	WhyArrived
	WhyIrregular
)

// whyOf is the reason that the verdict gives: what it proposes, before what it
// only noticed (old pain that has cleared stops nobody from moving up). Answers
// about health are looked at before anybody moves up.
func whyOf(v *readiness.Verdict, a *roster.Athlete) Why {
	switch {
	case v.Action == readiness.Refer:
		return WhyRefer
	case v.Action == readiness.Pause:
		return WhyPause
	case v.Action == readiness.EaseBack:
		return WhyEaseBack
	case v.Flags.Has(readiness.FlagLoadJump):
		return WhyLoadJump
	case v.Flags.Has(readiness.FlagStalling):
		return WhyStalling
	case a.CheckSince != 0:
		return WhyAnswered
	case v.Action == readiness.MoveUp:
		return WhyMoveUp
	case v.Action == readiness.Arrived:
		return WhyArrived
	case v.Flags.Has(readiness.FlagPain):
		return WhyPain
	case v.Flags.Has(readiness.FlagHealthCheck):
		return WhyHealthCheck
	case v.Flags.Has(readiness.FlagIrregular):
		return WhyIrregular
	}
	return WhyNone
}

// answerHolds is how many days a decision answers the same proposal.
const answerHolds = 7

// decided says whether the newest decision has answered what the verdict
// proposes: it was made on the same proposal less than seven days ago, and
// nothing was entered or corrected since. What asks for no action counts as
// answered where nothing was to be changed. A stop is answered by a stop alone.
func (r *Row) decided(place *time.Location) bool {
	switch {
	case r.Why == WhyAnswered:
		return false // looking ends it
	case r.Why == WhyHealthCheck && r.cleared():
		return true
	}
	d := r.Newest
	if d == nil || d.Proposal != r.Print || r.Asked-day.Of(d.At, place) >= answerHolds {
		return false
	}
	switch r.Why {
	case WhyRefer, WhyPause:
		return d.Choice == roster.Refer || d.Choice == roster.Pause
	case WhyLoadJump, WhyPain, WhyIrregular:
		if d.Choice != roster.Seen && d.Choice != roster.Hold {
			return false
		}
	}
	for i := range r.file.Sessions {
		s := &r.file.Sessions[i]
		if s.LoggedAt.After(d.At) || s.ChangedAt.After(d.At) {
			return false
		}
	}
	return true
}

// cleared says whether a clearance was given since the fresh health check fell due.
// One that an injury asks for ends with it; after a long gap it holds until there is
// a run again.
func (r *Row) cleared() bool {
	since := r.Verdict.WayBack().Since
	return since != 0 && r.Athlete.ClearedOn >= since
}

// sort puts everybody into one of the five lists. The rows come by name.
func (m *Morning) sort(rows []Row) {
	for i := range rows {
		r := &rows[i]
		r.Away, r.Coming = away(r), coming(r)
		switch {
		case r.Coming.Kind != Arrived:
			m.Coming = append(m.Coming, r)
		case r.mustStop() || r.Away.Kind == Here && r.Why != WhyNone && !r.Decided:
			r.Sentence = r.Verdict.Sentence()
			m.Decide = append(m.Decide, r)
		case r.Away.Kind != Here:
			m.Away = append(m.Away, r)
		case r.Verdict.Flags.Has(readiness.FlagQuiet) && !r.justBack():
			m.Quiet = append(m.Quiet, r)
		default:
			r.Next = next(r)
			m.Steady = append(m.Steady, r)
		}
	}
	slices.SortStableFunc(m.Decide, func(a, b *Row) int { return int(a.Why) - int(b.Why) })
	slices.SortStableFunc(m.Coming, func(a, b *Row) int { return int(a.Coming.Kind) - int(b.Coming.Kind) })
}

// mustStop says that the verdict asks for more care than the coach has taken yet;
// that is said of people on leave too.
func (r *Row) mustStop() bool {
	switch r.Why {
	case WhyRefer:
		return r.Athlete.Held != roster.Referred
	case WhyPause:
		return r.Athlete.Held == roster.NotHeld
	}
	return false
}

// justBack says that a pause or a referral ended in the last seven days, so that
// nobody can have logged a run yet.
func (r *Row) justBack() bool {
	a := r.Athlete
	return a.ClearedOn != 0 && r.Asked-a.ClearedOn < answerHolds
}
