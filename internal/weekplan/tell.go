package weekplan

import (
	"cmp"
	"slices"

	"halfhour.app/halfhour/internal/day"
)

// sessions is everything still to be done, in order.
func (b *board) sessions() []Session {
	list := slices.Clone(b.insisted)
	for i := range 7 {
		list = append(list, b.placedOn(i)...)
	}
	slices.SortStableFunc(list, byTime)
	return list
}

// loads is what each day of the board asks with the plan in it.
func (b *board) loads() [span]load {
	full := b.given
	for i := range 7 {
		full[before+i] |= b.options[i][b.found.choice[i]].adds
	}
	return full
}

// unplaced is what has no place: of the pathway, then strength.
func (b *board) unplaced() (list []Unplaced) {
	missing := func(k Kind, need int, is func(Session) bool) {
		placed, due := tally(b.sessions(), is)-tally(b.insisted, is), need-b.missed(is)
		for n := placed; n < need; n++ {
			list = append(list, Unplaced{Kind: k, Why: b.why(k), Missed: n >= due})
		}
	}
	missing(b.Kind, b.need, onPath)
	missing(Legs, b.legs, onLegs)
	missing(Strength, b.strength, sparesLegs)
	return list
}

// why is the lightest of what stands in the way of one more on the days of the week.
func (b *board) why(k Kind) Rule {
	least := DayOff
	for i := range 7 {
		if i >= b.first {
			least = min(least, b.hindrance(b.session(k, b.Monday+day.Date(i), Any), false))
		}
	}
	if b.first == 7 {
		return GoneBy
	}
	return least
}

// hindrance is the heaviest rule that the plan would break with one more session;
// of all parts of the day, at the best one. Instead leaves out what is like it on
// its day.
func (b *board) hindrance(s Session, instead bool) Rule {
	i, _ := b.on(s.On)
	open := b.times[i][s.Kind]
	switch {
	case b.Days[i].Off:
		return DayOff
	case !b.left(i).Has(s.Part):
		return GoneBy
	case !open.Has(s.Part):
		return CannotThen
	}
	done, planned := b.standing(i)
	planned = append(planned, b.placedOn(i)...)
	if instead {
		planned = slices.DeleteFunc(planned, func(o Session) bool { return alike(o.Kind, s.Kind) })
	}
	clash := b.clash(before+i, loadOf(s))
	least := HeldByCoach
	for p := Morning; p <= Evening; p++ {
		if open.Has(p) && (s.Part == Any || s.Part == p) {
			s.Part = p
			more := onDay(done, append(slices.Clone(planned), s)) &^ onDay(done, planned)
			least = min(least, (clash | more).heaviest())
			s.Part = Any
		}
	}
	return least
}

// clash are the rules that more on a day would newly break with other days.
func (b *board) clash(at int, more load) (s rules) {
	was := b.loads()
	full := was
	full[at] |= more
	for i := before; i < span; i++ {
		s |= broken(full[i-1], full[i]) &^ broken(was[i-1], was[i])
		if inARow(full[i-2], full[i-1], full[i]) && !inARow(was[i-2], was[i-1], was[i]) {
			s |= of(RunsPiled)
		}
	}
	if s.has(DayBetween) && len(pairsOf(&full)) > 1 {
		s |= of(RunsPiled)
	}
	if was[at] == 0 && !slices.Contains(full[before:before+7], 0) {
		s |= of(RestDay)
	}
	return s
}

// pairsOf are the later days of pairs of runs that touch the week.
func pairsOf(full *[span]load) (later []int) {
	for i := before; i < before+8; i++ {
		if pairOf(full[i-1], full[i]) {
			later = append(later, i)
		}
	}
	return later
}

// compromises are the rules that give way where something planned has a part in it.
func (b *board) compromises() (list []Compromise) {
	full := b.loads()
	for i := before; i < span; i++ {
		clash := b.between(i, &full)
		on, with := i, i-1
		for clash != 0 && full[on] == b.past[on] { // the newest day with something planned
			on, with = on-1, i
		}
		for r := RunFirst; r <= HardInARow; r++ {
			if clash.has(r) {
				list = append(list, Compromise{r, b.date(on), b.date(with)})
			}
		}
	}
	list = append(list, b.onOneDay(&full)...)
	slices.SortStableFunc(list, func(x, y Compromise) int {
		return cmp.Or(cmp.Compare(y.Rule, x.Rule), cmp.Compare(x.On, y.On))
	})
	return list
}

func (b *board) date(at int) day.Date { return b.Monday + day.Date(at-before) }

// between are the rules that give way between a day and those before it.
func (b *board) between(i int, full *[span]load) rules {
	clash := broken(full[i-1], full[i]) &^ broken(b.past[i-1], b.past[i])
	if inARow(full[i-2], full[i-1], full[i]) && !inARow(b.past[i-2], b.past[i-1], b.past[i]) {
		clash |= of(RunsPiled)
	}
	if pairs := pairsOf(full); clash.has(DayBetween) && pairs[0] != i {
		clash |= of(RunsPiled)
	}
	if clash.has(RunsPiled) {
		clash &^= of(DayBetween)
	}
	return clash
}

// onOneDay are the compromises that have to do with one day alone.
func (b *board) onOneDay(full *[span]load) (list []Compromise) {
	note := func(r Rule, on day.Date) { list = append(list, Compromise{r, on, on}) }
	last := -1
	for i := range 7 {
		done, planned := b.standing(i)
		planned = append(planned, b.placedOn(i)...)
		clash := onDay(done, planned)
		for _, r := range []Rule{RunFirst, FreshLegs, OneADay} {
			if clash.has(r) {
				note(r, b.Monday+day.Date(i))
			}
		}
		if len(planned) > 0 {
			last = i
		}
	}
	if last >= 0 && !slices.Contains(full[before:before+7], 0) {
		note(RestDay, b.Monday+day.Date(last))
	}
	for _, s := range b.insisted {
		i, _ := b.on(s.On)
		if !b.times[i][s.Kind].Has(s.Part) {
			note(CannotThen, s.On)
		}
	}
	for _, on := range b.beyond() {
		note(Beyond, on)
	}
	return list
}

// beyond are the dates of what a coach insists on over the week's numbers, the
// latest first.
func (b *board) beyond() (dates []day.Date) {
	over := func(is func(Session) bool, number int) {
		extra := tally(b.Done, is) + tally(b.insisted, is) - number
		for _, s := range slices.Backward(b.insisted) {
			if is(s) && extra > 0 {
				dates = append(dates, s.On)
				extra--
			}
		}
	}
	over(onPath, b.Sessions)
	over(func(s Session) bool { return s.Kind.lifting() }, b.Legs+b.Strength)
	return dates
}

// yielded are the fixed days to come that were not kept, and why.
func (b *board) yielded() []Yielded {
	list := slices.Clone(b.late)
	all := b.sessions()
	kept := func(p Pin) bool { return keeps(p, all) || keeps(p, b.Done) }
	for _, p := range b.pins {
		if kept(p) {
			continue
		}
		why := b.hindrance(b.session(p.Kind, p.On, p.Part), true)
		if why == NoRule || b.filled(p.Kind, kept) {
			why = NotNeeded
		}
		list = append(list, Yielded{p, why})
	}
	return list
}

// filled says whether all sessions of a kind that were to be placed stand on fixed
// days.
func (b *board) filled(k Kind, kept func(Pin) bool) bool {
	need := map[Kind]int{Legs: b.legs, Strength: b.strength}[k]
	if k.onPath() {
		need = b.need
	}
	dates := map[day.Date]bool{}
	for _, p := range b.pins {
		if alike(p.Kind, k) && !p.Insist && kept(p) {
			dates[p.On] = true
		}
	}
	return len(dates) >= need
}
