package weekplan_test

import (
	"fmt"
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/weekplan"
)

// What follows says once more, as plainly as can be and without a look at the
// package's own way, what is allowed and what is better.

type session = weekplan.Session

func isRun(s session) bool    { return s.Kind == weekplan.Run }
func isPath(s session) bool   { return s.Kind == weekplan.Run || s.Kind == weekplan.Walk }
func isLegs(s session) bool   { return s.Kind == weekplan.Legs }
func isLight(s session) bool  { return s.Kind == weekplan.Strength }
func isLifted(s session) bool { return isLegs(s) || isLight(s) }
func isHard(s session) bool   { return s.Hard || isLegs(s) }

func anyOn(list []session, d day.Date, is func(session) bool) bool {
	return slices.ContainsFunc(list, func(s session) bool { return s.On == d && is(s) })
}

func amount(list []session, is func(session) bool) (n int) {
	for _, s := range list {
		if is(s) {
			n++
		}
	}
	return n
}

func planned(s session) bool { return !s.Extra }

func both(a, b func(session) bool) func(session) bool {
	return func(s session) bool { return a(s) && b(s) }
}

// clashes are all breaches between neighbouring days, by name and date of the later.
func clashes(list []session, monday day.Date) map[string]bool {
	found := map[string]bool{}
	for d := monday - 2; d <= monday+8; d++ {
		yesterday := func(is func(session) bool) bool { return anyOn(list, d-1, is) }
		today := func(is func(session) bool) bool { return anyOn(list, d, is) }
		note := func(broken bool, rule weekplan.Rule) {
			if broken {
				found[fmt.Sprint(rule, " ", d)] = true
			}
		}
		pair := yesterday(isRun) && today(isRun)
		note(pair, weekplan.DayBetween)
		note(pair && (yesterday(isHard) || today(isHard)), weekplan.RunsPiled)
		if pair && anyOn(list, d-2, isRun) {
			found[fmt.Sprint("third ", d)] = true
		}
		note(yesterday(isLegs) && today(isRun), weekplan.FreshLegs)
		note(yesterday(isHard) && today(isHard), weekplan.HardInARow)
		note(yesterday(isLifted) && today(isLifted), weekplan.StrengthGap)
	}
	return found
}

// runPairs are the pairs of runs on days in a row that touch the week.
func runPairs(list []session, monday day.Date) (n int) {
	for d := monday; d <= monday+7; d++ {
		if anyOn(list, d-1, isRun) && anyOn(list, d, isRun) {
			n++
		}
	}
	return n
}

// fixed is everything that stands whatever is placed, in the naive world: nothing is
// insisted on there.
func fixed(w *weekplan.Week) []session { return slices.Concat(w.Done, w.Around) }

// allowed says whether sessions may be placed, and how many strength sessions come
// before the run of their day.
func allowed(w *weekplan.Week, placed []session) (ok bool, first int) {
	given := fixed(w)
	all := slices.Concat(given, placed)
	old := clashes(given, w.Monday)
	for c := range clashes(all, w.Monday) {
		if !old[c] && c[:len("day_between")] != "day_between" {
			return false, 0
		}
	}
	if p := runPairs(all, w.Monday); p > 1 && p > runPairs(given, w.Monday) {
		return false, 0
	}
	fresh, empty := false, false
	for d := w.Monday; d < w.Monday+7; d++ {
		everything := func(session) bool { return true }
		if !anyOn(all, d, everything) {
			empty = true
		}
		if !anyOn(given, d, everything) && anyOn(placed, d, everything) {
			fresh = true
		}
	}
	if fresh && !empty {
		return false, 0
	}
	for i, a := range placed {
		others := slices.Concat(given, placed[:i], placed[i+1:])
		if isPath(a) && anyOn(others, a.On, isPath) || isLifted(a) && anyOn(others, a.On, isLifted) {
			return false, 0
		}
		if !isRun(a) {
			continue
		}
		early := func(s session) bool { return s.Part < a.Part || slices.Contains(w.Done, s) }
		if anyOn(others, a.On, both(isLegs, early)) {
			return false, 0
		}
		if anyOn(others, a.On, both(isLight, early)) {
			first++
		}
	}
	return true, first
}

// withoutStrolls leaves easy walks besides the plan out of sight; hard ones weigh as
// anything else does.
func withoutStrolls(w weekplan.Week) weekplan.Week {
	easy := func(s session) bool { return s.Extra && s.Kind == weekplan.Walk && !s.Hard }
	w.Done = slices.DeleteFunc(slices.Clone(w.Done), easy)
	w.Around = slices.DeleteFunc(slices.Clone(w.Around), easy)
	for _, list := range [][]session{w.Done, w.Around} {
		for i := range list {
			if list[i].Extra && list[i].Kind == weekplan.Walk {
				list[i].Kind = weekplan.Other
			}
		}
	}
	return w
}

// asked is what is left to do of a kind, and how much of it was not missed.
type asked struct{ path, duePath, close, legs, dueLegs, light, dueLight int }

func missed(w *weekplan.Week, is func(session) bool) int {
	kind := both(is, planned)
	past := func(s session) bool { return kind(s) && s.On < w.Today }
	now := func(s session) bool { return kind(s) && s.On == w.Today }
	extra := max(0, amount(w.Done, now)-amount(w.Present, now))
	return max(0, amount(w.Present, past)-amount(w.Done, past)-extra)
}

// due is how many of those asked for may be placed by moving others: once something
// was missed, no more than the present plan still has.
func due(w *weekplan.Week, asked int, is func(session) bool) (n int) {
	if missed(w, isPath) == 0 && missed(w, isLegs) == 0 && missed(w, isLight) == 0 {
		return asked
	}
	today := 0
	for _, s := range w.Present {
		if is(s) && planned(s) && s.On > w.Today {
			n++
		} else if is(s) && planned(s) && s.On == w.Today {
			today++
		}
	}
	for _, s := range w.Done {
		if is(s) && planned(s) && s.On == w.Today {
			today--
		}
	}
	return min(asked, n+max(0, today))
}

func asks(w *weekplan.Week) (a asked) {
	did := amount(w.Done, both(isPath, planned))
	a.path = max(0, w.Sessions-did)
	a.duePath = due(w, a.path, isPath)
	a.close = w.Sessions
	if w.Sessions == 3 {
		a.close = 2
	}
	a.close = max(0, min(a.close-did, a.duePath))
	a.legs = w.Legs - amount(w.Done, both(isLegs, planned))
	a.light = w.Strength - amount(w.Done, both(isLight, planned))
	if a.legs < 0 {
		a.light, a.legs = a.light+a.legs, 0
	}
	if a.light < 0 {
		a.legs, a.light = max(0, a.legs+a.light), 0
	}
	a.dueLegs, a.dueLight = due(w, a.legs, isLegs), due(w, a.light, isLight)
	return a
}

// price is what a placement costs, the heaviest first; worse is larger.
func price(w *weekplan.Week, placed []session, first int) []int {
	a, all := asks(w), slices.Concat(fixed(w), placed)
	own := slices.Concat(w.Done, placed)
	path, legs, lifted := amount(placed, isPath), amount(placed, isLegs), amount(placed, isLifted)
	moved, otherTime := apart(w, w.Present, own, func(s session) day.Date { return s.On })
	unlike, unusual := apart(w, w.Usual, own, func(s session) day.Date { return w.Monday + (s.On-1)%7 })
	return []int{
		unkept(w, own, weekplan.ByCoach), unkept(w, own, weekplan.ByAthlete), unkept(w, own, weekplan.ByGroup),
		max(0, a.close-path), runPairs(all, w.Monday) - runPairs(fixed(w), w.Monday), max(0, a.duePath-path),
		max(0, a.dueLegs+a.dueLight-lifted), max(0, a.dueLegs-legs), first, moved, otherTime,
		a.path - path, a.legs + a.light - lifted, edges(w, all), unlike, doubles(w, own, isPath, isLifted),
		squares(w, all, isPath, true), squares(w, all, isLifted, false), unusual, tight(placed), lateness(placed),
	}
}

func unkept(w *weekplan.Week, own []session, by weekplan.By) (n int) {
	for _, p := range w.Pins {
		i := int(p.On - w.Monday)
		if p.By != by || i < 0 || i > 6 || p.On < w.Today || w.Days[i].Off || goneBy(w, p.On, p.Part) {
			continue
		}
		is := both(sameThing(p.Kind), func(s session) bool {
			return s.Part == p.Part || s.Part == weekplan.Any || p.Part == weekplan.Any
		})
		if !anyOn(own, p.On, is) {
			n++
		}
	}
	return n
}

// goneBy says whether a part of a day is over; of Any, whether the day is.
func goneBy(w *weekplan.Week, d day.Date, p weekplan.Part) bool {
	if d != w.Today || p == weekplan.Any {
		return d < w.Today
	}
	return p < w.Now || anyOn(w.Done, d, func(s session) bool { return s.Part > p })
}

func sameThing(k weekplan.Kind) func(session) bool {
	switch k {
	case weekplan.Legs:
		return isLegs
	case weekplan.Strength:
		return isLight
	default:
		return isPath
	}
}

// apart counts what of a list is not to be found, and what is at another time.
func apart(w *weekplan.Week, list, own []session, on func(session) day.Date) (day, time int) {
	for _, s := range list {
		d := on(s)
		if s.Kind == weekplan.Other || s.Extra || d < w.Today {
			continue
		}
		then := func(o session) bool { return o.Part == s.Part || o.Part == weekplan.Any || s.Part == weekplan.Any }
		if !anyOn(own, d, sameThing(s.Kind)) {
			day++
		} else if !anyOn(own, d, both(sameThing(s.Kind), then)) {
			time++
		}
	}
	return day, time
}

// edges are the clashes of Sunday with this week's Monday, where nothing is known of
// the next.
func edges(w *weekplan.Week, all []session) int {
	var two []session
	for _, s := range all {
		switch s.On {
		case w.Monday + 7, w.Monday + 8:
			return 0
		case w.Monday + 6:
			two = append(two, s)
		case w.Monday:
			s.On += 7
			two = append(two, s)
		}
	}
	return len(clashes(two, w.Monday))
}

func doubles(w *weekplan.Week, own []session, a, b func(session) bool) (n int) {
	for d := w.Monday; d < w.Monday+7; d++ {
		if anyOn(own, d, a) && anyOn(own, d, b) {
			n++
		}
	}
	return n
}

// squares is the sum of the squared distances between neighbours.
func squares(w *weekplan.Week, all []session, is func(session) bool, reach bool) (sum int) {
	var week, earlier, later []int
	for d := w.Monday - 2; d <= w.Monday+8; d++ {
		switch {
		case !anyOn(all, d, is):
		case d < w.Monday:
			earlier = append(earlier, int(d))
		case d > w.Monday+6:
			later = append(later, int(d))
		default:
			week = append(week, int(d))
		}
	}
	if len(week) == 0 {
		// Only neighbours of the week: no distance is of this week.
		return 0
	}
	days := slices.Clone(week)
	if reach && len(earlier) > 0 {
		days = append([]int{earlier[len(earlier)-1]}, days...)
	}
	if reach && len(later) > 0 {
		days = append(days, later[0])
	} else {
		days = append(days, week[0]+7)
	}
	for i := 1; i < len(days); i++ {
		sum += (days[i] - days[i-1]) * (days[i] - days[i-1])
	}
	return sum
}

func tight(placed []session) (n int) {
	for _, s := range placed {
		if isPath(s) && anyOn(placed, s.On, both(isLifted, func(o session) bool { return o.Part == s.Part })) {
			n++
		}
	}
	return n
}

func lateness(placed []session) (n int) {
	for _, s := range placed {
		n += int(s.Part - weekplan.Morning)
	}
	return n
}

// every calls for each way to fill the open times with no more than is asked for.
func every(w *weekplan.Week, times func(d day.Date, k weekplan.Kind) []weekplan.Part, use func([]session)) {
	a := asks(w)
	var fill func(d day.Date, placed []session, path, legs, light int)
	fill = func(d day.Date, placed []session, path, legs, light int) {
		if d == w.Monday+7 {
			use(placed)
			return
		}
		ways := [][]session{nil}
		if path < a.path {
			for _, p := range times(d, w.Kind) {
				ways = append(ways, []session{{Kind: w.Kind, On: d, Part: p, Hard: w.HardRuns && w.Kind == weekplan.Run}})
			}
		}
		alone := len(ways)
		for _, k := range []weekplan.Kind{weekplan.Legs, weekplan.Strength} {
			if k == weekplan.Legs && legs == a.legs || k == weekplan.Strength && light == a.light {
				continue
			}
			for _, p := range times(d, k) {
				for _, way := range ways[:alone] {
					ways = append(ways, append(slices.Clone(way), session{Kind: k, On: d, Part: p, Hard: k == weekplan.Legs}))
				}
			}
		}
		for _, way := range ways {
			fill(d+1, slices.Concat(placed, way), path+amount(way, isPath), legs+amount(way, isLegs), light+amount(way, isLight))
		}
	}
	fill(w.Monday, nil, 0, 0, 0)
}
