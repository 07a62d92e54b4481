package outdoors

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// experienced says whether somebody has been running for months.
func experienced(a *roster.Athlete, shelf *roster.Shelf, today day.Date) bool {
	rung := shelf.Find(a.Phase)
	if rung == pathway.NoRung || today-a.JoinedOn < monthsOfRunning {
		return false
	}
	return pathway.LongestRun(shelf.Blocks(rung)) >= longRun
}

// usedToHeat says whether somebody has lately trained in heat often enough.
func usedToHeat(sessions []roster.Session, today day.Date) bool {
	n := 0
	for i := range sessions {
		one := &sessions[i]
		if one.Hot && one.Exposure() && one.Date <= today && today-one.Date < hotDays {
			n++
		}
	}
	return n >= hotSessions
}

// atRisk says whether heat is harder for somebody: by the newest answers, or shortly
// after an illness.
func atRisk(checks []roster.HealthCheck, leaves []roster.Leave, today day.Date) bool {
	unwell := slices.ContainsFunc(leaves, func(l roster.Leave) bool {
		return l.Kind == roster.Ill && l.From <= today && (l.To == 0 || today-l.To <= unwellDays)
	})
	i := slices.IndexFunc(checks, func(c roster.HealthCheck) bool { return !c.Draft() })
	return unwell || i < 0 || checks[i].Source == roster.FromPaper || screening.HeatRisk(checks[i].Answers)
}
