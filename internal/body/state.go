package body

// The scores of rule 6.1: from Hold on a place is spared, from Strong on somebody
// has to look at it before more is done.
const (
	Hold   = 3
	Strong = 6
)

// Pain is what hurts, in the words in which it was told, 0 to 10: the higher of
// the scores during and the next morning.
type Pain struct {
	Words string
	Score int
}

// Spared are the places at which pain asks to be spared: 3 or more (rule 6.1).
func Spared(pains []Pain) Site {
	var spared Site
	for _, p := range pains {
		if p.Score >= Hold {
			spared |= SiteOf(p.Words)
		}
	}
	return spared
}

// Unknown are the pains of 3 or more in whose words no place was recognised: what
// to spare there only a person can say.
func Unknown(pains []Pain) []Pain {
	var unknown []Pain
	for _, p := range pains {
		if p.Score >= Hold && SiteOf(p.Words) == 0 {
			unknown = append(unknown, p)
		}
	}
	return unknown
}

// State is what a pregnancy or a birth asks to be heeded.
type State uint8

// The states. Unsure counts as pregnant.
const (
	Usual State = iota
	Pregnant
	JustBorn // less than RestoreWeeks ago
)

// RestoreWeeks are the weeks after a birth in which nothing strains the abdomen.
// Common practice; running before about twelve weeks is usually too early, too.
const RestoreWeeks = 12

// StateOf reads what was answered: pregnant, or perhaps, and the weeks since a
// birth; weeks below 0: none within the year.
func StateOf(pregnant bool, bornWeeks int) State {
	switch {
	case pregnant:
		return Pregnant
	case bornWeeks >= 0 && bornWeeks < RestoreWeeks:
		return JustBorn
	}
	return Usual
}

// Demand is what a position or a movement asks beside the places it loads.
type Demand uint8

// The demands, as bits.
const (
	OnBack  Demand = 1 << iota // lies on the back
	OnFront                    // lies on the belly, or hangs in the front of the trunk
	Strains                    // strains the abdominal wall
	Hops                       // both feet leave the ground
)

// Forbids are the demands that the state rules out. In pregnancy lying flat on
// the back can press on a large vein, later on above all (common practice, also of
// midwives; the week is not asked, so it holds from the beginning); hops are left
// out for the pelvic floor, in pregnancy and in the weeks after a birth (common practice).
func (s State) Forbids() Demand {
	switch s {
	case Pregnant:
		return OnBack | OnFront | Strains | Hops
	case JustBorn:
		return Strains | Hops
	}
	return 0
}

// Words say what a demand is, after "it": "lies on the back". Of several the
// first; empty for none.
func (d Demand) Words() string {
	switch {
	case d&OnBack != 0:
		return "lies on the back"
	case d&OnFront != 0:
		return "lies or leans on the belly"
	case d&Strains != 0:
		return "strains the belly"
	case d&Hops != 0:
		return "hops"
	}
	return ""
}
