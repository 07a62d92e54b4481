package intensity

// Class is an intensity class of the 2011 position stand of the American College
// of Sports Medicine.
type Class uint8

// The classes (Garber CE and others, Med Sci Sports Exerc 2011;43:1334–1359,
// citation from memory, borders found in two tables taken from it). The printed
// tables hold whole per cents; here each class begins at its printed lower number
// and reaches up to, but not including, the next.
const (
	VeryLight   Class = iota // under 57 % of maximum, under 30 % of reserve
	Light                    // from 57 % of maximum, 30 % of reserve
	Moderate                 // from 64 % of maximum, 40 % of reserve
	Vigorous                 // from 77 % of maximum, 60 % of reserve
	NearMaximal              // from 96 % of maximum, 90 % of reserve
)

// String is the class in words.
func (c Class) String() string {
	return [...]string{"very light", "light", "moderate", "vigorous", "near-maximal to maximal"}[c]
}

// ClassOfMax is the class of a heart rate by its share of the maximum; ok is
// false where the maximum is not above 0. A class by maximum and one by reserve
// are different things: they do not convert into each other without a resting
// rate.
func ClassOfMax(rate, max Milli) (c Class, ok bool) {
	return classOf(rate, max, [...]Milli{57, 64, 77, 96})
}

// ClassOfReserve is the class of a heart rate by its share of the reserve; ok is
// false where the maximum is not above the resting rate.
func ClassOfReserve(rate, rest, max Milli) (c Class, ok bool) {
	return classOf(rate-rest, max-rest, [...]Milli{30, 40, 60, 90})
}

// classOf counts the borders, in per cent of the whole, that the part has reached.
func classOf(part, whole Milli, borders [4]Milli) (c Class, ok bool) {
	if whole <= 0 {
		return VeryLight, false
	}
	for _, percent := range borders {
		if 100*part >= percent*whole {
			c++
		}
	}
	return c, true
}
