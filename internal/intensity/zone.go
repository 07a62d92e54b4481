package intensity

// The tops of zone 1 and zone 2 in per cent (rule 4.2), themselves still inside.
const (
	EasyOfMax     = 76
	HardOfMax     = 86
	EasyOfReserve = 60
	HardOfReserve = 75
)

// OfMax is so many per cent of the maximum, exact where that is a whole
// thousandth, else rounded down to one.
func OfMax(percent int, max Milli) Milli { return Milli(percent) * max / 100 }

// OfReserve is the heart rate at so many per cent of the reserve: rest + p·(max −
// rest), after Karvonen MJ, Kentala E, Mustala O, Ann Med Exp Biol Fenn
// 1957;35:307–315 (citation from memory).
func OfReserve(percent int, rest, max Milli) Milli {
	return rest + Milli(percent)*(max-rest)/100
}

// PercentOfMax is the share of the maximum in per cent, for showing only; ok is
// false where the maximum is not above 0.
func PercentOfMax(rate, max Milli) (percent float64, ok bool) {
	if max <= 0 {
		return 0, false
	}
	return 100 * float64(rate) / float64(max), true
}

// PercentOfReserve is the share of the reserve in per cent, for showing only; ok
// is false where the maximum is not above the resting rate.
func PercentOfReserve(rate, rest, max Milli) (percent float64, ok bool) {
	return PercentOfMax(rate-rest, max-rest)
}

// Zone is one of three (rule 4.2). There is none below zone 1: a rate far under
// its top is still zone 1, and more recovered.
type Zone uint8

// The zones.
const (
	Zone1 Zone = 1 + iota
	Zone2
	Zone3
)

// ZoneOfMax is the zone by the share of the maximum: zone 1 up to and including
// 76 %, zone 2 up to and including 86 %.
func ZoneOfMax(rate, max Milli) Zone { return zoneOf(rate, max, EasyOfMax, HardOfMax) }

// ZoneOfReserve is the zone by the share of the reserve: zone 1 up to and
// including 60 %, zone 2 up to and including 75 %.
func ZoneOfReserve(rate, rest, max Milli) Zone {
	return zoneOf(rate-rest, max-rest, EasyOfReserve, HardOfReserve)
}

func zoneOf(part, whole, easy, hard Milli) Zone {
	switch {
	case 100*part <= easy*whole:
		return Zone1
	case 100*part <= hard*whole:
		return Zone2
	default:
		return Zone3
	}
}
