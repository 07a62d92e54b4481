package intensity

// Effort is a whole number from 0 to 10 on the modified CR10 scale, asked once for
// the whole session. It is not the scale from 6 to 20.
type Effort int

// Valid says whether it is on the scale.
func (e Effort) Valid() bool { return e >= 0 && e <= 10 }

// The anchors of the modified CR10 scale (Foster C and others, J Strength Cond Res
// 2001;15:109–115; the words found in a copy of the table). 6, 8 and 9 have none.
var anchors = [...]string{
	"rest", "very, very easy", "easy", "moderate", "somewhat hard", "hard", "", "very hard", "", "", "maximal",
}

// Anchor is the word printed beside the number; empty where there is none, or off
// the scale.
func (e Effort) Anchor() string {
	if !e.Valid() {
		return ""
	}
	return anchors[e]
}

// Words is the anchor, or between which two the number lies; empty off the scale.
func (e Effort) Words() string {
	switch e {
	case 6:
		return "between hard and very hard"
	case 8, 9:
		return "between very hard and maximal"
	default:
		return e.Anchor()
	}
}
