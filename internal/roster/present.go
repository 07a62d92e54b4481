package roster

import (
	"slices"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/screening"
)

// What of the past still hurts (ours, on the careful side): what the newest two
// sessions of two weeks told of.
const (
	painSessions = 2
	painDays     = 14
)

// Aching is what hurts at present, by the newest sessions in which pain was asked about,
// in any order given.
func Aching(sessions []Session, today day.Date) []body.Pain {
	var told []*Session
	for i := range sessions {
		if one := &sessions[i]; one.PainAsked && one.Date <= today && today-one.Date < painDays {
			told = append(told, one)
		}
	}
	slices.SortStableFunc(told, func(a, b *Session) int { return b.StartedAt.Compare(a.StartedAt) })
	var all []body.Pain
	for _, one := range told[:min(len(told), painSessions)] {
		for _, p := range one.Pain {
			all = append(all, body.Pain{Words: p.Site, Score: max(int(p.Score), p.NextMorning.Or(0))})
		}
	}
	return all
}

// BodyState is what a pregnancy or a birth asks for by the newest answers, the newest
// check first, and whether anything was answered here; on paper a coach keeps the
// answers.
func BodyState(checks []HealthCheck, today day.Date) (state body.State, asked bool) {
	for i := range checks {
		if checks[i].Draft() {
			continue
		}
		if checks[i].Source == FromPaper {
			return body.Usual, false
		}
		pregnant, weeks := screening.Birth(checks[i].Answers)
		if weeks >= 0 {
			weeks += int(today-checks[i].HandedOn) / 7
		}
		return body.StateOf(pregnant, weeks), true
	}
	return body.Usual, false
}
