package mail

import (
	"strconv"
	"strings"
	"time"
	"unicode"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/letter"
)

// lateAfter is how old a letter's hour is, at least, that says so. Ours.
const lateAfter = 6 * time.Hour

// mostRows is how many people a section lists: a letter is read in one go. Ours.
const mostRows = 12

// subject says how many decide, and names nobody: it is read on locked screens.
func subject(w *morning.Weekly, club string) string {
	var parts []string
	add := func(n int, words string) {
		if n > 0 {
			parts = append(parts, wording.Number(n)+" "+words)
		}
	}
	switch decide, ready := len(w.Morning.Decide), len(w.Ready); {
	case ready == decide:
		add(ready, "ready")
	default: // the number is that of the letter's first sentence
		add(decide, "to decide")
		add(ready, "of them ready")
	}
	if len(parts) == 0 {
		add(movers(w), "moved")
		add(len(w.Morning.Quiet), "without word")
	}
	switch {
	case len(parts) > 0:
	case len(w.Morning.Steady) > 0:
		parts = []string{"all going steadily"}
	default:
		parts = []string{"the week"}
	}
	return oneLine(club) + ": " + strings.Join(parts, ", ")
}

// weeklyOf puts the week into words.
func weeklyOf(w *morning.Weekly, f frame) letter.Weekly {
	d := wording.Dates{}
	m := w.Morning
	v := letter.Weekly{
		Title: f.Club.Name, Week: "Seven days up to " + d.Full(m.Asked, m.Asked), Lead: wording.Lead(m), Sub: wording.Sub(m),
		Roster: letter.Link{Words: "Open the roster", Href: f.here + "/roster"},
		Change: letter.Link{Words: "Change when the letter comes and what stands in it", Href: f.here + "/letter"},
	}
	if n := movers(w); n > 0 {
		v.Sub = strings.TrimSpace(wording.Capital(wording.Count(n, "person", "people")) + " moved this week. " + v.Sub)
	}
	if len(m.Rows()) == 0 && m.Others > 0 {
		v.Lead = "Nobody on the roster is yours at the moment."
	}
	if !f.due.IsZero() && w.At.Sub(f.due) > lateAfter {
		due := f.due.In(f.place)
		v.Late = "This letter is late: it was due on " + due.Format("Monday") + " at " + d.Clock(f.due, f.place) + ". It tells how things stand now."
	}
	if f.stop != "" {
		v.Stop = letter.Link{Words: "Stop this letter", Href: f.stop}
	}
	v.Foot = f.foot(w, d)
	s := sections{frame: f, dates: d, week: w}
	v.Sections = s.all()
	return v
}

// movers are how many people moved, each once.
func movers(w *morning.Weekly) int {
	who := map[roster.AthleteID]bool{}
	for _, m := range w.Moved {
		who[m.Row.Athlete.ID] = true
	}
	return len(who)
}

// foot says why the letter came, what stands in it, and what it is not.
func (f *frame) foot(w *morning.Weekly, d wording.Dates) []string {
	as := "It tells how things stood on " + d.Full(w.Morning.Asked, w.Morning.Asked) + " at " + d.Clock(w.At, f.place) + ". "
	why := "You get this letter on " + weekday(f.Wishes.Day) + "s at " + clock(f.Wishes.Hour) + " because you coach at " + f.Club.Name + ". "
	switch {
	case f.asked:
		why = "You asked for this letter, as a coach at " + f.Club.Name + ". "
	case f.Wishes.NewsOnly:
		why = "You get this letter on " + weekday(f.Wishes.Day) + "s at " + clock(f.Wishes.Hour) + " when there is news, because you coach at " + f.Club.Name + ". "
	}
	lines := []string{why + as + detailWords(f.Wishes.Detail)}
	if w.Morning.Others > 0 && !f.Wishes.All {
		lines = append(lines, wording.Capital(wording.Count(w.Morning.Others, "athlete of another coach is", "athletes of other coaches are"))+" left out.")
	}
	return append(lines, "The letter gives no medical advice. Nobody trains on with a warning sign: a doctor is asked first, and in an emergency the local emergency number is called.")
}

// detailWords say how much is told of athletes.
func detailWords(d roster.Detail) string {
	switch d {
	case roster.Names:
		return "Names and flags stand in it, and no reasons: mail is read by more machines than one."
	case roster.Reasons:
		return "Names, flags and reasons stand in it."
	}
	return "Only initials and flags stand in it: mail is read by more machines than one."
}

// weekday is a day of the week by its number, Monday is 1.
func weekday(n int) string { return time.Weekday(n % 7).String() }

func clock(hour int) string {
	return strings.Repeat("0", 2-len(strconv.Itoa(hour))) + strconv.Itoa(hour) + ":00"
}

// name is how the letter calls somebody.
func (f *frame) name(a *roster.Athlete) string {
	if f.Wishes.Detail == roster.Names || f.Wishes.Detail == roster.Reasons {
		return a.Name
	}
	return initials(a.Name)
}

// initials are the first letters of the first and of the last word: "I. O.".
func initials(name string) string {
	var letters []string
	for word := range strings.FieldsSeq(name) {
		at := strings.IndexFunc(word, unicode.IsLetter)
		if at < 0 {
			continue
		}
		letters = append(letters, string(unicode.ToUpper([]rune(word[at:])[0]))+".")
	}
	switch n := len(letters); n {
	case 0:
		return "Somebody"
	case 1:
		return letters[0]
	default:
		return letters[0] + " " + letters[n-1]
	}
}
