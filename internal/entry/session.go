package entry

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// aheadAllowed is how far a phone's clock may be ahead of ours: an entry so far
// in the future counts as now.
const aheadAllowed = 5 * time.Minute

// session turns the entry into a session of the athlete, or says everything that
// is wrong with it, field by field. Lists are addressed like blocks[2].done_s and
// pain[0].score.
func (e *Entry) session(f *roster.File, p *pathway.Pathway, now time.Time) (roster.Session, error) {
	a := &f.Athlete
	c := checker{faults: slices.Clone(e.Unread)}
	place := a.Place()
	s := roster.Session{Athlete: a.ID, Note: c.text("note", e.Note, roster.NoteLength)}
	s.Session = readiness.Session{
		Kind: e.Kind, Minutes: e.Minutes, PlannedMinutes: e.PlannedMinutes, Effort: e.Effort,
		Talk: e.Talk, Breath: e.Breath, Hot: e.Hot, Limp: e.Limp, Signs: distinct(e.Signs),
	}
	c.key(e.Key)
	c.figures(e)
	s.StartedAt, s.Date = c.when(e, place, now)
	s.Pain = c.pains(e.Pain, s.Date, day.Of(now, place))
	s.PainAsked = e.PainAsked || len(s.Pain) > 0
	switch e.Kind {
	case readiness.Planned:
		c.planned(e, f, p, &s.Session)
	case readiness.Extra:
		s.Blocks = c.blocks(e.Blocks)
	case readiness.Strength:
		s.Turn, s.Lifts = e.Turn, e.Lifts
	}
	c.length(&s.Session)
	c.around(e, &s)
	return s, c.err()
}

// planned fills in the phase, the blocks and the outcome of a planned session. A
// phone without a signal may tell late of a phase that is not the present one, or not
// on the pathway any more: told block by block, it is kept as what it was. A form knows
// the present phase alone: what is told on it of a day before that began, as done like
// planned, was the plan of that day.
func (c *checker) planned(e *Entry, f *roster.File, p *pathway.Pathway, s *readiness.Session) {
	a := &f.Athlete
	s.Phase, s.Outcome = c.text("phase", e.Phase, roster.PhaseLength), e.Outcome
	if s.Phase == "" {
		s.Phase = a.Phase
	}
	if e.Whole && (e.before == nil || e.before.Phase != s.Phase) && s.Phase == a.Phase && s.Date < a.PhaseSince {
		s.Phase = f.PhaseOn(s.Date)
	}
	rung := p.Find(s.Phase)
	switch {
	case !e.Whole:
		s.Blocks = c.blocks(e.Blocks)
	case rung == pathway.NoRung:
		c.fault("phase", "this phase is not on the pathway any more; please say it block by block")
		return
	default:
		s.Blocks = Whole(p.Blocks(rung))
	}
	if !c.touched("blocks") {
		c.outcome(s)
	}
}

// outcome compares what is said with what the blocks show (rule 2.2).
func (c *checker) outcome(s *readiness.Session) {
	if len(s.Blocks) == 0 {
		if s.Outcome == readiness.NotStated && !c.touched("outcome") {
			c.fault("outcome", "please say what became of the session")
		}
		return
	}
	if m := contradiction(s.Outcome, readiness.OutcomeOf(s)); m != "" {
		c.fault("outcome", m)
	}
}

// around keeps what was told of the warm-up and the cool-down; of a session that was
// not done there is nothing to tell.
func (c *checker) around(e *Entry, s *roster.Session) {
	if !e.WarmUp.Known() {
		c.fault("warm_up", "please choose from the list")
	}
	if !e.CoolDown.Known() {
		c.fault("cool_down", "please choose from the list")
	}
	if s.Kind != readiness.Planned || s.Outcome != readiness.Missed && s.Outcome != readiness.CalledOff {
		s.WarmUp, s.CoolDown = e.WarmUp, e.CoolDown
	}
}

// when is the instant and the civil date of the entry.
func (c *checker) when(e *Entry, place *time.Location, now time.Time) (time.Time, day.Date) {
	at, date := e.Started, e.Date
	if e.sameTime(place) {
		return e.before.StartedAt, e.before.Date
	}
	if at.IsZero() {
		if date == 0 {
			if !c.touched("date") {
				c.fault("date", "please give the day")
			}
			return now, day.Of(now, place)
		}
		minutes := e.Clock
		if c.touched("clock") {
			minutes = readiness.Maybe{}
		}
		at = clock(date, minutes, place, now)
	}
	at = at.Truncate(time.Minute)
	if at.After(now) {
		if at.Sub(now) > aheadAllowed {
			c.fault("date", "that is still to come; please check the day and the time")
		}
		at, date = now.Truncate(time.Minute), 0
	}
	if date == 0 {
		date = day.Of(at, place)
	}
	if far := date - day.Of(at, place); far < -1 || far > 1 {
		c.fault("date", "the day does not go with the time")
	}
	if day.Of(now, place)-date > roster.OldestEntry {
		c.fault("date", "that is more than half a year ago; sessions can be entered up to 183 days back")
	}
	return at, date
}

// sameTime says whether a correction leaves the day and the time as they are shown. Then
// the instant stays: read anew it would be another one where the zone changed meanwhile or
// the hour came twice, and refused where the session is an old one.
func (e *Entry) sameTime(place *time.Location) bool {
	if e.before == nil || !e.Started.IsZero() {
		return false
	}
	return e.Date == e.before.Date && e.Clock == clockOf(e.before, place)
}

// clockOf is the time of day of the start, in minutes after midnight.
func clockOf(s *roster.Session, place *time.Location) readiness.Maybe {
	shown := s.StartedAt.In(place)
	return readiness.Some(60*shown.Hour() + shown.Minute())
}

// clock is the instant of a time of day. Where clocks were put forward over it,
// it is as near as there is; where it comes twice, the first. Not given, it is
// noon, or now where noon is yet to come.
func clock(date day.Date, minutes readiness.Maybe, place *time.Location, now time.Time) time.Time {
	y, m, d := date.UTC().Date()
	at := time.Date(y, m, d, 0, minutes.Or(12*60), 0, 0, place)
	if !minutes.Known() && at.After(now) && day.Of(now, place) == date {
		return now
	}
	return firstOf(at)
}

// firstOf is the earlier of two instants with the same time of day, where clocks
// were put back by an hour or by half of one.
func firstOf(at time.Time) time.Time {
	for _, back := range []time.Duration{time.Hour, 30 * time.Minute} {
		if earlier := at.Add(-back); earlier.Hour() == at.Hour() && earlier.Minute() == at.Minute() {
			return earlier
		}
	}
	return at
}

// distinct is the signs without repeats.
func distinct(signs []readiness.Sign) []readiness.Sign {
	signs = slices.Clone(signs)
	slices.Sort(signs)
	return slices.Compact(signs)
}

// checker collects what is wrong.
type checker struct{ faults []fault.Field }

func (c *checker) fault(place, message string) {
	c.faults = append(c.faults, fault.Field{Place: place, Message: message})
}

func (c *checker) err() error { return fault.At(c.faults...) }

// touched says that something is wrong already at the place or inside it.
func (c *checker) touched(place string) bool {
	return slices.ContainsFunc(c.faults, func(f fault.Field) bool {
		return f.Place == place || strings.HasPrefix(f.Place, place+"[")
	})
}

// text cleans what was typed: nothing that is not text, no blank ends.
func (c *checker) text(place, s string, most int) string {
	s = roster.Clean(s)
	if n := utf8.RuneCountInString(s); n > most {
		c.fault(place, "is too long: "+thousands(n)+" characters, at most "+thousands(most))
	}
	return s
}
