package weekplan

// Rule is a reason: what gives way in a compromise, or what stands in the way.
type Rule uint8

// The rules, from the lightest. The first two may give way when a week is laid
// out; the others only where a coach insists, and the last three for nobody.
const (
	NoRule      Rule = iota
	RunFirst         // strength comes before the run of the same day
	DayBetween       // two easy runs on days in a row (the engine's back_to_back)
	StrengthGap      // strength on two days in a row
	RunsPiled        // a third run in a row, a second such pair in a week, or a pair with a hard day in it
	FreshLegs        // strength hard on the legs the day before a run, or before it on the same day
	HardInARow       // two hard days in a row
	OneADay          // a second session of the pathway, or of strength, on one day
	RestDay          // no day of rest left in the week
	Beyond           // more than the week's number
	CannotThen       // not a time at which the athlete can
	DayOff           // leave, or a holiday
	GoneBy           // the time has passed
	NotNeeded        // of a pin: the week has its sessions on other fixed days
	HeldByCoach      // of a move: a coach has fixed the day
)

// String names the rule.
func (r Rule) String() string {
	return [...]string{
		"", "run_first", "day_between", "strength_gap", "runs_piled", "fresh_legs", "hard_in_a_row", "one_a_day",
		"rest_day", "beyond", "cannot_then", "day_off", "gone_by", "not_needed", "held_by_coach",
	}[r]
}

// rules is a set of rules.
type rules uint16

func of(r Rule) rules { return 1 << r }

func (s rules) has(r Rule) bool { return s&of(r) != 0 }

// heaviest is the heaviest of the set; NoRule of none.
func (s rules) heaviest() Rule {
	for r := HeldByCoach; r > NoRule; r-- {
		if s.has(r) {
			return r
		}
	}
	return NoRule
}

// load is what a day asks of the body. More sessions only ever add to it.
type load uint8

const (
	something  load = 1 << iota
	onPathLoad      // a session of the pathway, or any run or walk
	running
	lifting
	heavyLegs
	hard
)

// loadOf is what a session asks.
func loadOf(s Session) load {
	l := something
	switch s.Kind {
	case Run:
		l |= onPathLoad | running
	case Walk:
		l |= onPathLoad
	case Strength:
		l |= lifting
	case Legs:
		l |= lifting | heavyLegs | hard
	default:
	}
	if s.Hard {
		l |= hard
	}
	return l
}

func (l load) has(what load) bool { return l&what == what }

// broken are the rules that two neighbouring days break between them.
func broken(day, next load) (s rules) {
	if day.has(running) && next.has(running) {
		s |= of(DayBetween)
		if (day | next).has(hard) {
			s |= of(RunsPiled)
		}
	}
	if day.has(heavyLegs) && next.has(running) {
		s |= of(FreshLegs)
	}
	if day.has(hard) && next.has(hard) {
		s |= of(HardInARow)
	}
	if day.has(lifting) && next.has(lifting) {
		s |= of(StrengthGap)
	}
	return s
}

// inARow says whether there is running on all three days.
func inARow(a, b, c load) bool { return (a & b & c).has(running) }
