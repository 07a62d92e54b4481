package entry

import "halfhour.app/halfhour/internal/readiness"

// contradiction says how what was stated goes against what the blocks show
// (rule 2.2); empty where it does not.
func contradiction(stated, shown readiness.Outcome) string {
	switch {
	case stated == readiness.NotStated || stated == shown:
		return ""
	case shown == readiness.Missed:
		return "nothing was done of any block, so it was missed; please say how much was done"
	case stated == readiness.Missed:
		return "some of it was done, so it was not missed"
	case stated == readiness.InFull:
		return "a run, or the whole, is shorter than planned, so it was shortened"
	case stated == readiness.Shortened:
		return "every block was done, so it was not shortened"
	}
	return ""
}
