// Package intensity holds how hard a body works: predicted maximum heart rate,
// heart-rate reserve, classes and zones, the easy ceiling with its uncertainty,
// effort on CR10 and the talk test. Borders are compared in whole thousandths of a
// beat, so that no float tips them over.
package intensity

// BPM is a heart rate in whole beats a minute; 0 is not known.
type BPM int

// Milli is a heart rate in thousandths of a beat a minute, in which every formula
// of this package is exact.
type Milli int64

// Milli is the same rate in thousandths.
func (b BPM) Milli() Milli { return 1000 * Milli(b) }

// Floor is the whole beats in it; rates are never negative.
func (m Milli) Floor() BPM { return BPM(m / 1000) }

// Beats is the rate as a float, for showing only.
func (m Milli) Beats() float64 { return float64(m) / 1000 }

// Formula predicts a maximum heart rate from the age. All of them miss a single
// person's by about 11 beats (one standard deviation); another formula does not
// mend that, a measurement does.
type Formula uint8

// The formulas, age in whole years.
const (
	// Nes is 211 − 0.64·age: Nes BM and others, Scand J Med Sci Sports
	// 2013;23:697–704 (found). Standard error 10.8 beats, 3320 adults, no
	// difference by sex, activity or body mass. Ages 19 to 89 from memory.
	Nes Formula = iota
	// Fox is 220 − age: Fox SM, Naughton JP, Haskell WL, Ann Clin Res
	// 1971;3:404–432 (citation from memory; formula and a standard deviation of 10
	// to 12 beats found in later reviews). A rough line through men mostly under
	// 55: too high in the young, too low in older people. No ages are stated.
	Fox
	// Tanaka is 208 − 0.7·age: Tanaka H, Monahan KD, Seals DR, J Am Coll Cardiol
	// 2001;37:153–156 (citation from memory, formula found). Standard error about
	// 11 beats in a later review (found). Ages 18 to 81 from memory.
	Tanaka
	// Gellish is 207 − 0.7·age: Gellish RL and others, Med Sci Sports Exerc
	// 2007;39:822–829 (found): 132 people, 908 tests, ages 27 to 78. Its error was
	// not found; taken as that of the others.
	Gellish
	// GellishQuadratic is 192 − 0.007·age² of the same paper: that there is one
	// was found, its coefficients are from memory. Ages and error as Gellish.
	GellishQuadratic
	// Zhu is 179 + 0.29·age − 0.011·age²: Zhu N and others, Med Sci Sports Exerc
	// 2010;42:1519–1527 (found): 9622 symptom-limited tests, ages 18 to 50 and
	// nobody else. Its error was not found; taken as that of the others.
	Zhu
)

// The formula's names in documents.
var formulaNames = [...]string{"nes", "fox", "tanaka", "gellish", "gellish_quadratic", "zhu"}

// String is the formula's name in documents.
func (f Formula) String() string { return formulaNames[f] }

// ParseFormula reads a name as documents have it; ok is false for any other text.
func ParseFormula(name string) (f Formula, ok bool) {
	for i, known := range formulaNames {
		if known == name {
			return Formula(i), true
		}
	}
	return Nes, false
}

// The ages, in years, of a person the program is made for: adults only.
const (
	Youngest = 18
	Oldest   = 110
)

// Ages are the youngest and the oldest age the formula is used for: those of the
// people it was drawn from, except that Nes and Fox stand for every adult.
func (f Formula) Ages() (from, to int) {
	switch f {
	case Tanaka:
		return 18, 81
	case Gellish, GellishQuadratic:
		return 27, 78
	case Zhu:
		return 18, 50
	default:
		return Youngest, Oldest
	}
}

// Max is the predicted maximum at the age, exact; ok is false, and the value
// still that of the formula, at an age it is not used for.
func (f Formula) Max(age int) (max Milli, ok bool) {
	from, to := f.Ages()
	ok = age >= from && age <= to
	a := Milli(age)
	switch f {
	case Fox:
		return 220_000 - 1000*a, ok
	case Tanaka:
		return 208_000 - 700*a, ok
	case Gellish:
		return 207_000 - 700*a, ok
	case GellishQuadratic:
		return 192_000 - 7*a*a, ok
	case Zhu:
		return 179_000 + 290*a - 11*a*a, ok
	default:
		return 211_000 - 640*a, ok
	}
}

// PredictedSD is how far one person's maximum lies from the prediction, as a
// standard deviation, with any of the formulas: 10.8 beats (Nes 2013, found; rule
// 4.3). The others print 10 to 12 or nothing.
const PredictedSD Milli = 10_800
