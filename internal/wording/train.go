package wording

import "halfhour.app/halfhour/internal/pathway"

// Pace says to an athlete how hard the session is to be.
func Pace(plan []pathway.Block) string {
	switch {
	case !pathway.HasRun(plan):
		return "Walk so that you could chat all the way."
	case pathway.WalksAfterRun(plan) == 0:
		return "Run so that you could still say a short sentence. Slow is right."
	}
	return "Run so that you could still say a short sentence. Walk until you could chat. Slow is right."
}

// NoAdvice says what Halfhour is not, wherever something can hurt.
const NoAdvice = "Halfhour is a training diary and gives no medical advice."
