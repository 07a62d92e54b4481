package entry

import (
	"context"
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Way says whether an athlete may run today.
type Way = roster.Way

// The ways, as they are called here.
const (
	Going        = roster.WayGoing
	OnLeave      = roster.WayOnLeave
	Ill          = roster.WayIll
	Hurt         = roster.WayHurt
	FromTomorrow = roster.WayFromTomorrow
	CheckFirst   = roster.WayCheckFirst
	Paused       = roster.WayPaused
	ReferBone    = roster.WayReferBone
	Referred     = roster.WayReferred
	StopSigned   = roster.WayStopSigned
	Invited      = roster.WayInvited
	Answered     = roster.WayAnswered
	Clearance    = roster.WayClearance
	Withdrawn    = roster.WayWithdrawn
)

// FollowUp is a session whose pain nobody has told of the next morning yet.
type FollowUp struct {
	Session roster.Session
	Pain    []readiness.Pain // those that lack the score
}

// Today is what an athlete's phone shows first.
type Today struct {
	Athlete   roster.Athlete
	Date      day.Date // the athlete's own
	Way       Way
	Shelf     *roster.Shelf
	Rung      pathway.Rung
	Plan      []pathway.Block   // of the present phase; empty where nothing is prescribed
	Week      []*roster.Session // planned sessions of W0, the oldest first
	Done, Of  int               // exposures in W0, and how many a week has
	Next      day.Date          // the next session is due on this date: today at the earliest
	Last      *roster.Session   // the newest session of which something was done; nil: none
	FollowUps []FollowUp
	Leave     roster.Leave     // the present one; zero: none
	Limits    roster.Clearance // what the newest clearance asks to keep to; zero Limits: nothing
	Newest    *roster.Decision // the newest decision that stands; nil: none yet
	Verdict   readiness.Verdict
}

// Number is which session of the week the next one is.
func (t *Today) Number() int { return min(t.Done+1, t.Of) }

// Today tells what is next.
func (s *Service) Today(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (Today, error) {
	now := s.Now()
	file, shelf, err := s.open(ctx, who, athlete, now)
	if err != nil {
		return Today{}, err
	}
	t := Today{
		Athlete: file.Athlete, Date: file.Athlete.Today(now), Shelf: shelf, Newest: file.Newest,
		Of: file.Athlete.AWeek(), Rung: shelf.Find(file.Athlete.Phase),
	}
	if t.Rung == pathway.NoRung {
		return Today{}, fault.New(fault.NotFound, "The phase you are on is not on your pathway. Please ask your coach.")
	}
	h := file.History(&shelf.Pathway, t.Date)
	t.Verdict = readiness.Assess(&h)
	t.Leave = file.LeaveOn(t.Date)
	t.Way = file.Way(&t.Verdict, t.Date)
	if t.Way <= OnLeave {
		t.Plan = shelf.Blocks(t.Rung)
	}
	if file.Cleared != nil && file.Cleared.Limits != "" {
		t.Limits = *file.Cleared
	}
	t.look(file.Sessions)
	if t.Way == Withdrawn {
		t.FollowUps = nil
	}
	return t, nil
}

// look reads the sessions up to today: the week, the last one, and mornings not
// told of.
func (t *Today) look(sessions []roster.Session) {
	byStart := make([]*roster.Session, 0, len(sessions))
	for i := range sessions {
		if sessions[i].Date <= t.Date {
			byStart = append(byStart, &sessions[i])
		}
	}
	slices.SortStableFunc(byStart, func(a, b *roster.Session) int { return a.StartedAt.Compare(b.StartedAt) })
	var exposures []day.Date
	for _, s := range byStart {
		if s.Exposure() {
			exposures = append(exposures, s.Date)
			t.Last = s
		}
		if day.WeeksBack(t.Date, s.Date) != 0 {
			continue
		}
		if s.Kind == readiness.Planned {
			t.Week = append(t.Week, s)
		}
		if s.Date < t.Date {
			t.follow(s)
		}
	}
	for _, d := range exposures {
		if day.WeeksBack(t.Date, d) == 0 {
			t.Done++
		}
	}
	t.Next = due(t.Date, exposures, t.Of)
}

// follow remembers a session with pain of which the next morning is not told.
func (t *Today) follow(s *roster.Session) {
	var open []readiness.Pain
	for _, p := range s.Pain {
		if p.Score > 0 && !p.NextMorning.Known() {
			open = append(open, p)
		}
	}
	if len(open) > 0 {
		t.FollowUps = append(t.FollowUps, FollowUp{Session: *s, Pain: open})
	}
}

// due is the date of the next session: no more than n in seven days, and up to
// three a week with a day between two of them (common practice). It is never
// before today.
func due(today day.Date, exposures []day.Date, n int) day.Date {
	k := len(exposures)
	if k == 0 {
		return today
	}
	rest := day.Date(2)
	if n > 3 {
		rest = 1
	}
	next := exposures[k-1] + rest
	if k >= n {
		next = max(next, exposures[k-n]+7)
	}
	return max(next, today)
}
