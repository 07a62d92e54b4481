package demo

import (
	"fmt"
	"strings"
	"unicode"

	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/simulate"
	"halfhour.app/halfhour/internal/strength"
)

// member is one invented athlete. All days are counted back from the day of the
// run, so that a life is the same on whichever day it is told.
type member struct {
	number   int // in the list, from 1
	name     string
	age      int // years, by the calendar year
	week     int // sessions a week
	coach    int // 0 or 1
	joined   int // days ago
	start    string
	temper   simulate.Temperament
	fitness  float64 // 0 to 1, on joining
	days     string  // of the week with a planned session: digits 0 to 6, days ago modulo 7
	story    story
	sensor   sensor
	medicine bool // that keeps the heart rate down
	word     string
	gym      gym
}

// guideName is the athlete whose link is handed out: two sessions of three are
// done, and the next opens the gate.
const guideName = "Priya Vandenberg"

// cast is everybody, invented, from many places; nobody real is meant. The last
// one came in yesterday and did nothing yet, so that coming in ends the filling.
func cast() []member {
	people := append(deciding(), others()...)
	for i := range people {
		people[i].number = i + 1
	}
	return people
}

// deciding are those about whom the coach has to decide today.
func deciding() []member {
	return []member{
		{name: "Adaeze Lindholm", age: 34, week: 3, joined: 84, start: "L3", fitness: 0.30, days: "025", story: bone()},
		{name: "Tomasz Achterberg", age: 52, week: 3, coach: 1, joined: 58, start: "B4", fitness: 0.05, days: "135", story: stopped(), temper: simulate.Hurrier},
		{name: "Marisol Keating", age: 47, week: 3, joined: 45, start: "L1", fitness: 0.12, days: "146", story: soreMorning()},
		{name: "Ravi Sundqvist", age: 29, week: 3, coach: 1, joined: 84, start: "L1", fitness: 0.10, days: "025", story: returned(), sensor: strapOfUnfit(2)},
		{name: "Zsófia Amankwah", age: 31, week: 3, joined: 84, start: "L3", fitness: 0.35, days: "146", story: ownRuns(), temper: simulate.Overdoer},
		{name: "Callum Petrakis", age: 38, week: 3, coach: 1, joined: 77, start: "L2", fitness: 0.22, days: "025", story: harder(), temper: simulate.Hurrier},
		{name: "Hinemoa Varga", age: 56, week: 3, joined: 62, start: "L1", fitness: 0.05, days: "136", story: stalled(), sensor: strapOfBrisk(4)},
		{name: "Youssef Tremblay", age: 41, week: 3, joined: 52, start: "L1", fitness: 0.18, days: "025", story: ready(), sensor: strap(6), gym: gym{template: "two", from: 40, days: "14", begins: 6000}},
		{name: "Ilse Nakagawa", age: 63, week: 3, coach: 1, joined: 56, start: "B2", fitness: 0.08, days: "146", story: known(ready(), 24, thinBoneAnswers()), temper: simulate.Cautious},
		{name: "Bongani Faulkner", age: 27, week: 3, joined: 84, start: "R1", fitness: 0.72, days: "135", story: arrived(), sensor: strapAtMost(1)},
	}
}

// others go steadily, are quiet, away or new.
func others() []member {
	return []member{
		{name: "Eun-ji Carvalho", age: 36, week: 3, coach: 1, joined: 84, start: "L2", fitness: 0.20, days: "025", story: longer(), sensor: watch(4)},
		{name: "Dafydd Osei", age: 58, week: 3, joined: 70, start: "L1", fitness: 0.08, days: "136", story: known(stuckOnHalf(), 44, tabletAnswers()), sensor: strap(2), medicine: true},
		{name: "Leyla Bergstrand", age: 24, week: 3, coach: 1, joined: 75, start: "L2", fitness: 0.25, days: "146", story: nowAndThen(), sensor: flatStrap(5)},
		{name: "Mateus O'Rourke", age: 44, week: 3, joined: 42, start: "L1", fitness: 0.15, days: "025", story: justMoved(), gym: gym{template: "gentle", from: 33, days: "14", begins: 4000}},
		{name: guideName, age: 33, week: 3, joined: 50, start: "L1", fitness: 0.20, days: "136", story: known(halfway(), 38, kneeAnswers()), sensor: strap(5), gym: gym{template: "two", from: 36, days: "25", begins: 4000, rack: strength.Rack{List: []int{2000, 3000, 4000, 5000, 6000, 8000, 10_000}}}},
		{name: "Sione Halloran", age: 49, week: 3, coach: 1, joined: 84, start: "B2", fitness: 0.06, days: "146", story: sooner(), sensor: strapOfSlow(3), temper: simulate.Cautious},
		{name: "Greta Mwangi", age: 39, week: 4, joined: 63, start: "L4", fitness: 0.45, days: "0246", story: known(cutShort(), 47, nil), sensor: strap(6)},
		{name: "Anatoly Quispe", age: 71, week: 3, coach: 1, joined: 22, start: "B1", fitness: 0.05, days: "025", story: known(walking(), 17, tabletAnswers()), medicine: true},
		{name: "Noor Whitcombe", age: 22, week: 3, joined: 84, start: "L2", fitness: 0.30, days: "136", story: silent(), temper: simulate.Silent},
		{name: "Kaito Ferreira", age: 45, week: 3, coach: 1, joined: 60, start: "L1", fitness: 0.14, days: "025", story: quietFor(9)},
		{name: "Agnieszka Bello", age: 51, week: 2, joined: 84, start: "B2", fitness: 0.10, days: "15", story: quietFor(12), temper: simulate.Cautious},
		{name: "Desmond Yilmaz", age: 60, week: 3, coach: 1, joined: 84, start: "L1", fitness: 0.16, days: "146", story: holiday()},
		{name: "Freya Castellanos", age: 42, week: 3, joined: 48, start: "L1", fitness: 0.20, days: "025", story: waiting()},
		{name: "Tadhg Morisaki", age: 35, week: 3, joined: 53, start: "L1", fitness: 0.16, days: "025", story: illAtHome()},
		{name: "Xiomara Dekker", age: 46, week: 3, coach: 1, joined: 77, start: "L1", fitness: 0.17, days: "146", story: mended()},
		{name: "Ottoline Vieira", age: 37, week: 3, coach: 1, joined: 84, start: "L1", fitness: 0.18, days: "135", story: gone(45)},
		{name: "Lwazi Hartmann", age: 19, week: 3, coach: 1, joined: 1, start: "L1", fitness: 0.20, days: "", story: newcomer(), word: "Welcome. Start slower than you think you should; you can always add a little."},
	}
}

// seed is where the person's chances come from.
func (m *member) seed() uint64 { return uint64(1000 + m.number) }

// key is a key that is the same whenever the demo is filled.
func (m *member) key(what string, n int) roster.Key {
	return roster.Key(fmt.Sprintf("demo-%02d-%s-%03d", m.number, what, n))
}

// email is an address that nobody can have.
func (m *member) email() string {
	first, _, _ := strings.Cut(m.name, " ")
	plain := strings.Map(func(r rune) rune {
		if r > unicode.MaxASCII || !unicode.IsLetter(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, first)
	return plain + "@ternquay.example"
}
