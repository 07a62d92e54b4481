package roster

// Alarm is what coaches are told of at once, because it stops running. Several may come
// together; 0 is none.
type Alarm uint8

// The alarms, each by its kind alone.
const (
	AlarmSign    Alarm = 1 << iota // a warning sign (rule 6.5)
	AlarmBone                      // pain that may come from a bone (rule 6.4)
	AlarmPain                      // pain that pauses running (rule 6.1)
	AlarmAnswers                   // answers about health that ask for a doctor first
)

// Has says whether all of the others are part of it.
func (a Alarm) Has(other Alarm) bool { return a&other == other }
