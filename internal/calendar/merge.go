package calendar

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strconv"
	"time"

	"halfhour.app/halfhour/internal/day"
)

// Entry is something that is to stand in a calendar.
type Entry struct {
	Week        day.Date  // its Monday
	Kind        string    // with Week, what it cannot be told from when it moves: "run"; letters and minuses
	On          day.Date  // in that week
	Start       time.Time // zero: at any time of the day
	Minutes     int       // 1 to 1440
	Summary     string
	Description string
	Off         bool // called off, and struck out
	Silent      bool // nothing of the kind is shown in this week any more, not even what was: On and the rest do not count
}

// Event is an entry with its name and history.
type Event struct {
	Entry           // of one that is not wanted any more only Week, Kind, On, Start, Minutes and Off
	UID      string // for good
	Sequence int
	Changed  time.Time

	slot string
}

// State is how an event stands in a calendar.
type State string

// The states.
const (
	On   State = "on"
	Off  State = "off"  // struck out
	Gone State = "gone" // not shown
)

// Kept is what is remembered of an event.
type Kept struct {
	Slot     string // its name within the calendar, which stays
	Week     day.Date
	Kind     string
	On       day.Date
	Start    time.Time // zero: at any time of the day
	Minutes  int
	Words    string // a fingerprint of what it said
	State    State
	Sequence int // counts changes of its times and of its state
	Changed  time.Time
}

// merge sets entries against what was kept: those of a week and kind that stand on the
// same day are the same, then the others in their order, so that what moved keeps its
// name. What is left over is struck out, or gone where the week is silent.
func merge(kept []Kept, wanted []Entry, now time.Time) ([]Kept, []Event) {
	m := merger{now: now}
	kept, wanted = slices.Clone(kept), slices.Clone(wanted)
	slices.SortStableFunc(kept, func(a, b Kept) int {
		return cmp.Or(cmp.Compare(a.Week, b.Week), cmp.Compare(a.Kind, b.Kind), cmp.Compare(rank(a.State), rank(b.State)), cmp.Compare(a.On, b.On), cmp.Compare(a.Slot, b.Slot))
	})
	slices.SortStableFunc(wanted, byDay)
	for len(kept) > 0 || len(wanted) > 0 {
		week, kind := first(kept, wanted)
		k := 0
		for k < len(kept) && kept[k].Week == week && kept[k].Kind == kind {
			k++
		}
		w := 0
		for w < len(wanted) && wanted[w].Week == week && wanted[w].Kind == kind {
			w++
		}
		m.group(kept[:k], wanted[:w])
		kept, wanted = kept[k:], wanted[w:]
	}
	slices.SortStableFunc(m.events, func(a, b Event) int {
		return cmp.Or(cmp.Compare(a.On, b.On), a.Start.Compare(b.Start), cmp.Compare(a.slot, b.slot))
	})
	return m.kept, m.events
}

func byDay(a, b Entry) int {
	return cmp.Or(cmp.Compare(a.Week, b.Week), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.On, b.On), a.Start.Compare(b.Start))
}

// rank is which of several that could be the same event is taken first.
func rank(s State) int { return slices.Index([]State{On, Off, Gone}, s) }

// first is the first week and kind of both lists.
func first(kept []Kept, wanted []Entry) (day.Date, string) {
	switch {
	case len(kept) == 0:
		return wanted[0].Week, wanted[0].Kind
	case len(wanted) == 0:
		return kept[0].Week, kept[0].Kind
	}
	k, w := &kept[0], &wanted[0]
	if cmp.Or(cmp.Compare(k.Week, w.Week), cmp.Compare(k.Kind, w.Kind)) < 0 {
		return k.Week, k.Kind
	}
	return w.Week, w.Kind
}

type merger struct {
	now    time.Time
	kept   []Kept
	events []Event
}

// group merges those of one week and kind.
func (m *merger) group(kept []Kept, wanted []Entry) {
	silent := slices.ContainsFunc(wanted, func(e Entry) bool { return e.Silent })
	wanted = slices.DeleteFunc(slices.Clone(wanted), func(e Entry) bool { return e.Silent })
	of, taken := make([]int, len(wanted)), make([]bool, len(kept))
	for i := range wanted {
		of[i] = slices.IndexFunc(kept, func(k Kept) bool { return k.On == wanted[i].On && k.State != Gone })
		if of[i] >= 0 && taken[of[i]] {
			of[i] = -1
		}
		if of[i] >= 0 {
			taken[of[i]] = true
		}
	}
	for i := range wanted {
		if of[i] < 0 {
			if of[i] = slices.Index(taken, false); of[i] >= 0 {
				taken[of[i]] = true
			}
		}
	}
	number := len(kept)
	for i, e := range wanted {
		if of[i] >= 0 {
			m.again(kept[of[i]], e)
			continue
		}
		number++
		k := Kept{
			Slot: e.Week.String() + "-" + e.Kind + "-" + strconv.Itoa(number), Week: e.Week, Kind: e.Kind, On: e.On, Start: e.Start,
			Minutes: e.Minutes, Words: e.words(), State: e.state(), Changed: m.now,
		}
		m.put(k, e)
	}
	for i, k := range kept {
		if !taken[i] {
			m.leave(k, silent)
		}
	}
}

// again is an event that was there before.
func (m *merger) again(k Kept, e Entry) {
	if k.On != e.On || !k.Start.Equal(e.Start) || k.Minutes != e.Minutes || k.State != e.state() {
		k.Sequence++
		k.Changed = m.now
	}
	if k.Words != e.words() {
		k.Changed = m.now
	}
	k.On, k.Start, k.Minutes, k.State, k.Words = e.On, e.Start, e.Minutes, e.state(), e.words()
	m.put(k, e)
}

// leave is an event that is not wanted any more.
func (m *merger) leave(k Kept, silent bool) {
	state := Off
	if silent || k.State == Gone {
		state = Gone
	}
	if k.State != state {
		k.State, k.Changed = state, m.now
		k.Sequence++
	}
	m.put(k, Entry{Week: k.Week, Kind: k.Kind, On: k.On, Start: k.Start, Minutes: k.Minutes, Off: true})
}

func (m *merger) put(k Kept, e Entry) {
	m.kept = append(m.kept, k)
	if k.State != Gone {
		m.events = append(m.events, Event{Entry: e, Sequence: k.Sequence, Changed: k.Changed, slot: k.Slot})
	}
}

func (e *Entry) state() State {
	if e.Off {
		return Off
	}
	return On
}

func (e *Entry) words() string {
	sum := sha256.Sum256([]byte(e.Summary + "\x00" + e.Description))
	return hex.EncodeToString(sum[:])
}
