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
