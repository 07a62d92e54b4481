package morning

import (
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// AwayKind says why somebody is not running.
type AwayKind uint8

// The kinds of being away. Here is not away.
const (
	Here AwayKind = iota
	OnLeave
	OnPause
	Referred
)

// Away says since when somebody is not running, and until when.
type Away struct {
	Kind  AwayKind
	Since day.Date
	Until day.Date         // the last day of leave; zero: not known
	Leave roster.LeaveKind // of leave: why
	Due   bool             // a held athlete may be asked now whether it can end
}

// askAfter is how many days a pause or a referral is left alone before the roster
// says that it is time to ask, unless a session without pain came before: ours.
const askAfter = 7

// painClear is the highest score that counts as clear (rule 6.1).
const painClear = 2

func away(r *Row) Away {
	a := r.Athlete
	switch a.Held {
	case roster.Paused:
		return Away{Kind: OnPause, Since: a.HeldSince, Due: r.mayAsk()}
	case roster.Referred:
		return Away{Kind: Referred, Since: a.HeldSince, Due: r.Asked-a.HeldSince >= askAfter}
	}
	if l := r.file.LeaveOn(r.Asked); l.From != 0 {
		return Away{Kind: OnLeave, Since: l.From, Until: l.To, Leave: l.Kind}
	}
	return Away{}
}

// mayAsk says whether it is time to ask if a pause can end: after a week, or
// when the newest answer about pain since it began was clear.
func (r *Row) mayAsk() bool {
	since := r.Athlete.HeldSince
	if r.Asked-since >= askAfter {
		return true
	}
	var newest *roster.Session
	for i := range r.file.Sessions {
		s := &r.file.Sessions[i]
		if s.PainAsked && s.Date > since && s.Date <= r.Asked && (newest == nil || s.StartedAt.After(newest.StartedAt)) {
			newest = s
		}
	}
	if newest == nil || newest.Limp {
		return false
	}
	for _, p := range newest.Pain {
		if max(int(p.Score), p.NextMorning.Or(0)) > painClear {
			return false
		}
	}
	return true
}
