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
type Way uint8

// The ways. Only Going and OnLeave prescribe a session.
const (
	Going        Way = iota
	OnLeave          // away; a session is there all the same
	Ill              // away, ill
	Hurt             // away, with an injury
	FromTomorrow     // today is the last day of an illness or injury
	CheckFirst       // long away or injured: the coach looks first, with a fresh health check (rule 9.4)
	Paused           // for pain, by the engine or by the coach
	ReferBone        // signs of a bone: first to a doctor (rule 6.4)
	Referred         // sent to a doctor by the coach
	StopSigned       // a stop sign: nothing is prescribed until clearance (rule 6.5)
	Invited          // the health questions are not answered yet
	Answered         // answered; the coach says where to begin
	Clearance        // the answers ask for a doctor's word before the first step
	Withdrawn        // the consent was taken back
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
		Of: perWeek(&file.Athlete), Rung: shelf.Find(file.Athlete.Phase),
	}
	if t.Rung == pathway.NoRung {
		return Today{}, fault.New(fault.NotFound, "The phase you are on is not on your pathway. Please ask your coach.")
	}
	h := file.History(&shelf.Pathway, t.Date)
	t.Verdict = readiness.Assess(&h)
	t.Leave = file.LeaveOn(t.Date)
	t.Way = way(&file.Athlete, &t.Verdict, file.Sessions, t.Leave, t.Date)
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

// perWeek is how many sessions the athlete's week has: three unless set (rule 7).
func perWeek(a *roster.Athlete) int {
	if a.SessionsAWeek == 0 {
		return 3
	}
	return a.SessionsAWeek
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

// way says whether the athlete may run, the most careful answer first. What the
// engine sees and what the coach decided both count. Whoever is well again today rests
// until tomorrow (ours: the day counts as away, and one day more costs nothing).
func way(a *roster.Athlete, v *readiness.Verdict, sessions []roster.Session, leave roster.Leave, today day.Date) Way {
	switch {
	case v.Action == readiness.Refer && stopSigned(a, sessions):
		return StopSigned
	case v.Action == readiness.Refer:
		return ReferBone
	case a.Arrival != roster.Here:
		return coming(a)
	case a.Held == roster.Referred:
		return Referred
	case v.Action == readiness.Pause || a.Held == roster.Paused:
		return Paused
	case leave.Kind == roster.Injured && leave.To != today:
		return Hurt
	case leave.Kind == roster.Ill && leave.To != today:
		return Ill
	case v.Action == readiness.EaseBack && a.ClearedOn < v.WayBack().Since:
		return CheckFirst
	case leave.Kind == roster.Injured || leave.Kind == roster.Ill:
		return FromTomorrow
	case leave.From != 0:
		return OnLeave
	}
	return Going
}

// coming says how far somebody has come in who is not here yet.
func coming(a *roster.Athlete) Way {
	switch {
	case a.Arrival == roster.Withdrawn:
		return Withdrawn
	case a.Arrival != roster.Answered:
		return Invited
	case a.Held == roster.Referred:
		return Clearance
	}
	return Answered
}

// stopSigned looks for a stop sign that no clearance has answered (rule 6.7).
func stopSigned(a *roster.Athlete, sessions []roster.Session) bool {
	for i := range sessions {
		s := &sessions[i]
		cleared := s.Date <= a.ClearedOn
		if !a.ClearedAt.IsZero() {
			cleared = !s.StartedAt.After(a.ClearedAt)
		}
		if !cleared && slices.ContainsFunc(s.Signs, func(sign readiness.Sign) bool { return !sign.Bone() }) {
			return true
		}
	}
	return false
}
