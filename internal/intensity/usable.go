package intensity

// Obstacle is a set of reasons why heart rate cannot be read as intensity (rule
// 4.4); everything works without it. The zero value is none.
type Obstacle uint16

// The obstacles: of a person until heat, of a session from then on.
const (
	RateLimitingMedicine Obstacle = 1 << iota // beta blockers and others that hold the rate down
	AtrialFibrillation
	Pacemaker
	Transplant
	Pregnancy
	CoachSaysSo
	HeatIndex   // the heat index was HotFrom or more
	ReportedHot // the athlete said that it was hot
)

var obstacleNames = [...]string{
	"rate-limiting medicine", "atrial fibrillation", "a pacemaker", "a transplant", "pregnancy", "the coach says so",
	"heat", "it was hot",
}

// HotFrom is the heat index, in degrees Fahrenheit, from which heart rate says
// nothing (rule 4.4; common practice).
const HotFrom = 90

// Weather is what a session's heat leads to: heatIndex in degrees Fahrenheit,
// asked only where known.
func Weather(heatIndex float64, known, reportedHot bool) Obstacle {
	var o Obstacle
	if known && heatIndex >= HotFrom {
		o |= HeatIndex
	}
	if reportedHot {
		o |= ReportedHot
	}
	return o
}

// Usable says whether heart rate can be read: there is no obstacle.
func (o Obstacle) Usable() bool { return o == 0 }

// Names are the obstacles in words, in their order; none is empty.
func (o Obstacle) Names() []string {
	var names []string
	for i, name := range obstacleNames {
		if o&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	return names
}
