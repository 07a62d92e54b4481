// Package weekplan lays out a week: on which days, and at which time of the day,
// the sessions of a phase and the strength sessions are best done.
//
// A week is seven civil dates from Monday to Sunday; what stands in the two days
// before and after it counts too. Every placement of what is still to be done is
// looked at and the best is taken (see search.go); what is better comes from an
// ordered list (see cost.go) in which nothing further down ever outweighs what
// stands above it. Nothing is ever piled up: where the days do not hold all
// sessions, fewer are placed, and what was missed never goes into another week.
//
// The rules, and where they come from (each is a Rule, in order of weight):
//
//   - Nothing on days off, in time gone by, or where the athlete cannot; at least
//     one day of the week with nothing in it (practice; the days are the
//     athlete's own).
//   - One session of the pathway and one of strength a day, no more (ours).
//   - Never two hard days in a row (common practice). Hard is a day with strength
//     that is hard on the legs, or with a session that was or will be hard: an
//     effort of 7 or more, or words only (rule 5.1).
//   - No strength that is hard on the legs on the day before a run, nor before it
//     on the same day; after the run it is fine (common practice).
//   - A day between runs for novices; two days in a row are flagged (common
//     practice, rule 8.6). As a compromise, once a week at most, two easy runs may
//     stand on days in a row: so that there are two runs a week at all, or where
//     four a week and more are asked for. Three in a row never, nor two of which
//     one is on a hard day (ours). So no week gets more than four runs, however many
//     are asked for. That an untrained body does better with three a week than with
//     two is not known: in 1,696 novices the trend was the other way (Kluitenberg
//     2016, found), so a third run is not worth running on two days in a row (ours).
//   - A day between two sessions of strength: 48 hours for the same muscles (ACSM;
//     found at second hand, in part from memory), to the nearest day. Two a week
//     are enough to make headway (ACSM: two to three; found).
//   - Run first where both share a day (common practice); strength that spares the
//     legs may come before the run where there is no other way.
//   - Sessions of the walking base have none of the runs' spacing (ours).
//
// A missed session is placed again on a later day of its week only where all other
// sessions stay where they are and no rule gives way; else it is let go (ours). The
// room it leaves is used only to mend what had to give way before.
package weekplan

import "halfhour.app/halfhour/internal/day"

// Kind is what a session is to the body.
type Kind uint8

// The kinds.
const (
	Run      Kind = iota // a session of the pathway with running in it
	Walk                 // a session of the walking base
	Strength             // strength that spares the legs
	Legs                 // strength that is hard on the legs
	Other                // done only: anything else that makes a day no day of rest; not a rest day written down
)

// String names the kind.
func (k Kind) String() string {
	return [...]string{"run", "walk", "strength", "legs", "other"}[k]
}

// Part is a part of the day.
type Part uint8

// The parts. Any is no particular one: in a wish, any will do; in what was done,
// it is not known.
const (
	Any Part = iota
	Morning
	Midday
	Evening
)

// Times are parts of a day; zero is none.
type Times uint8

// AllDay is every part.
const AllDay Times = 0b111

// Has says whether the part is one of them; of Any, whether there is one.
func (t Times) Has(p Part) bool {
	if p == Any {
		return t != 0
	}
	return t&(1<<(p-1)) != 0
}

// With adds a part; Any adds all.
func (t Times) With(p Part) Times {
	if p == Any {
		return AllDay
	}
	return t | 1<<(p-1)
}

// Day is when the athlete can train on one date.
type Day struct {
	Times Times
	Off   bool // leave or a holiday: nothing, whatever the times
}

// Usually are the days of a week in which nothing is special, from three bits a
// day beginning with Monday's morning (as roster.Available keeps them:
// weekplan.Usually(uint32(a.Available))). Zero is not told, and then every time
// will do (ours).
func Usually(bits uint32) (days [7]Day) {
	for i := range days {
		days[i].Times = Times(bits>>(3*i)) & AllDay
		if bits == 0 {
			days[i].Times = AllDay
		}
	}
	return days
}

// Monday is the Monday of the week in which the date lies.
func Monday(d day.Date) day.Date { return d - (d-1)%7 }

// Session is one session on a date, done or planned.
type Session struct {
	Kind  Kind
	On    day.Date
	Part  Part
	Hard  bool // more than easy: an effort of 7 or more, or words only (rule 5.1)
	Extra bool // done outside the plan: its weight counts (of an easy walk: nothing), but not towards the week's number
}

// By says whose wish a pin is, which is how much it weighs: a coach's before an
// athlete's before a group's (ours).
type By uint8

// Whose.
const (
	ByGroup By = iota
	ByAthlete
	ByCoach
)

// String names whose it is.
func (b By) String() string { return [...]string{"group", "athlete", "coach"}[b] }

// Pin is a fixed day: a session of the kind on that date. A run and a walk are
// one kind here: the session of the pathway. It is kept as far as that is safe. The
// pin of an athlete says too that they can then, whatever their usual times.
type Pin struct {
	Kind   Kind
	On     day.Date
	Part   Part
	By     By
	Insist bool // a coach's only: stays whatever gives way, but for days off and time gone by

	moved bool // the newest wish, before others of its kind
}

// Week is the question: a week, and what is known of it.
type Week struct {
	Monday day.Date
	Today  day.Date // nothing is placed before it; before the Monday: the whole week is ahead
	Now    Part     // the earliest part of today that can still be used; Any: all of it
	Days   [7]Day   // from Monday on

	Kind     Kind // Run or Walk: what the sessions of the phase are
	Sessions int  // of the pathway in the whole week, 0 to 6, done ones included; 0 for whoever may not run
	HardRuns bool // the sessions are hard at present (see Session.Hard)
	Legs     int  // strength sessions hard on the legs, of the whole week
	Strength int  // those that spare the legs; 0 to 3 together

	Pins    []Pin     // of other weeks are left out
	Done    []Session // of this week, to today
	Around  []Session // done or planned in the two days before Monday and after Sunday
	Present []Session // this week as it was laid out last, with what is past; what of that is not done was missed
	Usual   []Session // a week to be like where all else is the same, whichever week it is of
}

// Plan is the answer.
type Plan struct {
	Sessions    []Session    // to be done from today on, in order
	Unplaced    []Unplaced   // what the week does not hold, pathway first
	Compromises []Compromise // what gives way, heaviest first
	Yielded     []Yielded    // fixed days to come that were not kept
}

// Unplaced is a session that found no place.
type Unplaced struct {
	Kind   Kind
	Why    Rule // the lightest of what stands in the way on the days of the week
	Missed bool // it was missed on an earlier day, and is let go
}

// Compromise is a rule that gives way in the plan.
type Compromise struct {
	Rule Rule
	On   day.Date // of a session still to be done
	With day.Date // the neighbouring day that clashes; the same where it is one day alone
}

// Yielded is a fixed day that was not kept.
type Yielded struct {
	Pin Pin
	Why Rule
}

// Place lays out what is left of the week. Errors are of kind fault.Invalid.
func Place(w *Week) (Plan, error) {
	if err := w.check(); err != nil {
		return Plan{}, err
	}
	return newBoard(w.weighed()).plan(), nil
}

// weighed is the week without the easy walks that somebody took besides: they are
// daily life, stand in no other session's way, and a day with one is still a day of
// rest (ours). A hard one is something else.
func (w *Week) weighed() *Week {
	of := func(list []Session) (left []Session) {
		for _, s := range list {
			if stroll := s.Extra && s.Kind == Walk; !stroll {
				left = append(left, s)
			} else if s.Hard {
				s.Kind = Other
				left = append(left, s)
			}
		}
		return left
	}
	next := *w
	next.Done, next.Around = of(w.Done), of(w.Around)
	return &next
}

// plan searches and tells what was found.
func (b *board) plan() Plan {
	b.best()
	return Plan{Sessions: b.sessions(), Unplaced: b.unplaced(), Compromises: b.compromises(), Yielded: b.yielded()}
}
