package load

// Exceeds says whether a value is more than so many per cent of a reference, in
// whole numbers (rule 8.3): exactly 110 % is not more than 110 %, which a float
// gets wrong. Both are of the same unit.
func Exceeds(value, reference, percent int64) bool {
	return 100*value > percent*reference
}

// Category says how far a run outgrew the longest of the 30 days before it.
type Category uint8

// The categories of Frandsen and others, Br J Sports Med 2025;59:1203–1210: upper
// edges belong to the category below. They were drawn from the kilometres of
// experienced runners; nothing in the rule book hangs on them.
const (
	NoReference   Category = iota // no run in the 30 days before
	WithinTen                     // shorter, or up to 10 % longer
	SmallSpike                    // more than 10 and up to 30 % longer
	ModerateSpike                 // more than 30 and up to 100 % longer
	LargeSpike                    // more than twice as long
)

// String says the category in words.
func (c Category) String() string {
	return [...]string{"no reference", "up to 10 %", "10 to 30 %", "30 to 100 %", "more than 100 %"}[c]
}

// Spike compares a run with the longest of the 30 days before, both in the same
// whole unit (metres or seconds); a longest of 0 is no reference.
func Spike(run, longest int) Category {
	value, reference := int64(run), int64(longest)
	switch {
	case longest <= 0:
		return NoReference
	case Exceeds(value, reference, 200):
		return LargeSpike
	case Exceeds(value, reference, 130):
		return ModerateSpike
	case Exceeds(value, reference, 110):
		return SmallSpike
	default:
		return WithinTen
	}
}
