package roster

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
)

// Way says whether an athlete may run today.
type Way uint8

// The ways. Only WayGoing and WayOnLeave prescribe a session.
const (
	WayGoing        Way = iota
	WayOnLeave          // away; a session is there all the same
	WayIll              // away, ill
	WayHurt             // away, with an injury
	WayFromTomorrow     // today is the last day of an illness or injury
	WayCheckFirst       // long away or injured: the coach looks first, with a fresh health check (rule 9.4)
	WayPaused           // for pain, by the engine or by the coach
	WayReferBone        // signs of a bone: first to a doctor (rule 6.4)
	WayReferred         // sent to a doctor by the coach
	WayStopSigned       // a stop sign: nothing is prescribed until clearance (rule 6.5)
	WayInvited          // the health questions are not answered yet
	WayAnswered         // answered; the coach says where to begin
	WayClearance        // the answers ask for a doctor's word before the first step
	WayWithdrawn        // the consent was taken back
)

// Way says whether the athlete may run, the most careful answer first. What the
// engine sees and what the coach decided both count. Whoever is well again today rests
// until tomorrow (ours: the day counts as away, and one day more costs nothing).
func (f *File) Way(v *readiness.Verdict, today day.Date) Way {
	a, leave := &f.Athlete, f.LeaveOn(today)
	switch {
	case v.Action == readiness.Refer && f.stopSigned():
		return WayStopSigned
	case v.Action == readiness.Refer:
		return WayReferBone
	case a.Arrival != Here:
		return a.Coming()
	case a.Held == Referred:
		return WayReferred
	case v.Action == readiness.Pause || a.Held == Paused:
		return WayPaused
	case leave.Kind == Injured && leave.To != today:
		return WayHurt
	case leave.Kind == Ill && leave.To != today:
		return WayIll
	case v.Action == readiness.EaseBack && a.ClearedOn < v.WayBack().Since:
		return WayCheckFirst
	case leave.Kind == Injured || leave.Kind == Ill:
		return WayFromTomorrow
	case leave.From != 0:
		return WayOnLeave
	}
	return WayGoing
}

// Coming says how far somebody has come in who is not here yet.
func (a *Athlete) Coming() Way {
	switch {
	case a.Arrival == Withdrawn:
		return WayWithdrawn
	case a.Arrival != Answered:
		return WayInvited
	case a.Held == Referred:
		return WayClearance
	}
	return WayAnswered
}

// stopSigned looks for a stop sign that no clearance has answered (rule 6.7).
func (f *File) stopSigned() bool {
	a := &f.Athlete
	for i := range f.Sessions {
		s := &f.Sessions[i]
		cleared := s.Date <= a.ClearedOn
		if !a.ClearedAt.IsZero() {
			cleared = !s.StartedAt.After(a.ClearedAt)
		}
		if (!cleared || a.toldLate(s)) && slices.ContainsFunc(s.Signs, func(sign readiness.Sign) bool { return !sign.Bone() }) {
			return true
		}
	}
	return false
}
