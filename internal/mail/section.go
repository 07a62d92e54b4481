package mail

import (
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/letter"
)

// sections puts the lists of a week into words.
type sections struct {
	frame
	dates wording.Dates
	week  *morning.Weekly
	drawn int // blocks of strips so far
	most  int // of them
}

// How many blocks of strips a letter draws, fewer the more people it lists: some mail
// programs cut off what is longer than 102 kB (from memory). Of those after it the words
// alone stand.
const (
	mostDrawn    = 480
	lessAPerson  = 8
	drawnWithout = 12 // people to decide on for whom there is room besides
)

// room is how many blocks of strips the letter draws.
func room(w *morning.Weekly) int {
	listed := 0
	for _, rows := range [...][]*morning.Row{w.Stop, w.Ready, w.Stalling, w.Jumped, w.Other} {
		listed += min(len(rows), mostRows)
	}
	return mostDrawn - lessAPerson*max(0, listed-drawnWithout)
}

// all are the sections in which there is anybody, the most urgent first.
func (s *sections) all() []letter.Section {
	w, m := s.week, s.week.Morning
	s.most = room(w)
	var list []letter.Section
	add := func(one letter.Section, rows []*morning.Row, person func(*morning.Row) letter.Person) {
		if len(rows) == 0 {
			return
		}
		one.Count, one.More = strconv.Itoa(len(rows)), more(len(rows))
		for _, r := range rows[:min(len(rows), mostRows)] {
			one.People = append(one.People, person(r))
		}
		list = append(list, one)
	}
	add(letter.Section{Title: "Stop or ease back", Tone: letter.Rust}, w.Stop, s.decide)
	add(letter.Section{Title: "Ready to move up", Tone: letter.Teal}, w.Ready, s.decide)
	add(letter.Section{Title: "Stalling", Tone: letter.Plum}, w.Stalling, s.decide)
	add(letter.Section{Title: "Load jumped", Tone: letter.Ochre}, w.Jumped, s.decide)
	add(letter.Section{Title: "Also to decide", Tone: letter.Grey}, w.Other, s.decide)
	if len(w.Moved) > 0 {
		list = append(list, s.moved())
	}
	add(letter.Section{Title: "No word", Words: "Nothing logged for a week or more.", Narrow: true}, m.Quiet, s.quiet)
	waiting, others := s.waiting()
	add(letter.Section{Title: "Coming in", Words: s.comingWords(), Narrow: true}, waiting, s.coming)
	if n := len(list); others > 0 && len(waiting) > 0 {
		list[n-1].More = strings.TrimSpace(list[n-1].More + " " + wording.Capital(wording.Count(others, "more person is", "more people are")) + " on the way in.")
	}
	add(letter.Section{Title: "Away", Narrow: true}, m.Away, s.away)
	add(letter.Section{Title: "Going steadily", Words: "With the sessions done this week.", Narrow: true}, m.Steady, s.steady)
	return list
}

// more says how many are not listed; empty where all are.
func more(n int) string {
	if n <= mostRows {
		return ""
	}
	return "And " + wording.Number(n-mostRows) + " more on the roster."
}

// person is whatever is said of everybody.
func (s *sections) person(r *morning.Row) letter.Person {
	a := r.Athlete
	return letter.Person{Athlete: a.ID, Name: s.name(a), Href: s.here + "/athletes/" + strconv.FormatInt(int64(a.ID), 10)}
}

// decide is somebody who needs a decision.
func (s *sections) decide(r *morning.Row) letter.Person {
	p := s.person(r)
	p.Phase = wording.Phase(&r.Shelf.Pathway, r.Rung) + ", " + strconv.Itoa(r.Done) + " of " + strconv.Itoa(r.Of) + " sessions this week"
	p.Flag = flagWords(r)
	if s.Wishes.Detail == roster.Reasons {
		p.Lines = append(p.Lines, wording.Reason(r, !s.Coach.Deputy))
	}
	if also := alsoWords(r); also != "" {
		p.Lines = append(p.Lines, also)
	}
	p.Week, p.Load = s.weekWords(r), wording.Load(r)
	s.draw(&p, r)
	return p
}

// flagWords say what is proposed.
func flagWords(r *morning.Row) string {
	words := wording.Why(r)
	switch to := r.Proposal.To; {
	case r.Proposal.First == roster.MoveUp:
		words += " to " + wording.PhaseNamed(r.Shelf, to)
	case r.Proposal.First == roster.EaseBack:
		words += " to " + wording.PhaseNamed(r.Shelf, to)
	case r.Proposal.First == roster.HalfStep:
		words += ", a half step is proposed"
	}
	return words
}

// alsoWords name what was noticed besides; empty where nothing was.
func alsoWords(r *morning.Row) string {
	beside := wording.Beside(r)
	if len(beside) == 0 {
		return ""
	}
	words := make([]string, len(beside))
	for i, n := range beside {
		words[i] = strings.ToLower(n.Word[:1]) + n.Word[1:]
	}
	return "Also noticed: " + strings.Join(words, ", ") + "."
}

// moved are the decisions of the seven days that changed a standing.
func (s *sections) moved() letter.Section {
	all := s.week.Moved
	one := letter.Section{Title: "Moved this week", Count: strconv.Itoa(len(all)), Tone: letter.Teal, More: more(len(all))}
	for _, move := range all[:min(len(all), mostRows)] {
		p, d := s.person(move.Row), move.Decision
		p.Flag = wording.Capital(wording.Decided(d, move.Row.Shelf))
		on := s.dates.When(day.Of(d.At, s.place), s.week.Morning.Asked) + ", by " + d.By
		if d.Before.Phase != d.After.Phase {
			on = "from " + wording.PhaseNamed(move.Row.Shelf, d.Before.Phase) + ", " + on
		}
		p.Lines = []string{wording.Capital(on) + "."}
		one.People = append(one.People, p)
	}
	return one
}

func (s *sections) quiet(r *morning.Row) letter.Person {
	p := s.person(r)
	p.Phase, p.Note = wording.PhaseShort(r), "never"
	if heard := r.Heard(); heard != 0 {
		p.Note = "last " + s.dates.Short(heard)
	}
	return p
}

// waiting are whoever waits for a coach's word to come in, and how many others are on
// the way.
func (s *sections) waiting() (rows []*morning.Row, others int) {
	for _, r := range s.week.Morning.Coming {
		if r.Coming.Kind == morning.Waiting {
			rows = append(rows, r)
		} else {
			others++
		}
	}
	return rows, others
}

func (s *sections) comingWords() string {
	if s.Coach.Deputy {
		return "They wait for a coach's word."
	}
	return "They wait for your word: read the answers and say where to begin."
}

func (s *sections) coming(r *morning.Row) letter.Person {
	p := s.person(r)
	said := wording.Coming(r, s.dates, !s.Coach.Deputy)
	p.Phase, p.Note = said.What, said.Since
	return p
}

// away says of an illness or an injury only that somebody is on leave, unless reasons
// may stand in the letter.
func (s *sections) away(r *morning.Row) letter.Person {
	p := s.person(r)
	said := wording.Away(r, s.dates)
	if p.Phase, p.Note = said.What, said.Since; r.Away.Kind == morning.OnLeave && s.Wishes.Detail != roster.Reasons {
		p.Phase = wording.Leave(roster.OnHoliday)
	}
	if r.Away.Due {
		p.Note += ", time to ask"
	}
	return p
}

func (s *sections) steady(r *morning.Row) letter.Person {
	p := s.person(r)
	p.Phase, p.Note = wording.PhaseShort(r), strconv.Itoa(r.Done)+" of "+strconv.Itoa(r.Of)
	return p
}
