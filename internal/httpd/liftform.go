package httpd

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
)

const (
	purposeWords = strength.Purpose
	cautionWords = strength.Caution
)

// mostLines and mostSets bound the numbers of repeated fields that are looked for.
const (
	mostLines = 2 * strength.MostSlots
	mostSets  = 2 * strength.MostSets
)

func liftField(i int, what string) string { return "lift[" + strconv.Itoa(i) + "]." + what }

func setField(n int) string { return "set[" + strconv.Itoa(n) + "]" }

// liftsOf fills in the session as it is planned for today.
func (f *form) liftsOf(t *lift.Today) {
	f.fill("turn", t.Turn, "planned", strconv.Itoa(t.Minutes))
	for i := range t.Lines {
		l := &t.Lines[i]
		f.fill(liftField(i, "exercise"), l.Exercise.ID, liftField(i, "for"), l.For, liftField(i, "count"), strconv.Itoa(l.Count))
		if weighted(&l.Exercise) {
			f.values.Set(liftField(i, "kg"), "")
			if l.Next.Grams > 0 {
				f.values.Set(liftField(i, "kg"), kilograms(l.Next.Grams))
			}
		}
		for n := range l.Next.Target.Sets {
			f.fill(liftField(i, setField(n)), strconv.Itoa(l.Count))
		}
	}
}

// weighted says whether a weight is asked for.
func weighted(e *strength.Exercise) bool {
	return e.Measure == strength.Weight || e.Needs&strength.Dumbbells != 0
}

// kilograms writes grams as a number of kilograms.
func kilograms(grams int) string {
	number, _, _ := strings.Cut(strength.Kilograms(grams), " ")
	return number
}

// grams reads kilograms, with a point or a comma; empty is none.
func (f *form) grams(name string) int {
	typed := strings.ReplaceAll(f.text(name), ",", ".")
	if typed == "" {
		return 0
	}
	kg, err := strconv.ParseFloat(typed, 64)
	if err != nil || math.IsNaN(kg) || math.Abs(kg) > 1000 {
		f.wrong(name, "a weight in kilograms like 7.5, please")
		return 0
	}
	return int(math.Round(kg * 1000))
}

// toldOf reads what was done of each exercise.
func toldOf(f *form) lift.Told {
	told := lift.Told{Turn: f.text("turn")}
	for i := range mostLines {
		id := f.text(liftField(i, "exercise"))
		if id == "" {
			break
		}
		l := roster.Lift{Exercise: id, For: f.text(liftField(i, "for")), Grams: f.grams(liftField(i, "kg")), Reserve: f.maybe(liftField(i, "left"))}
		for n := range mostSets {
			name := liftField(i, setField(n))
			if _, there := f.values[name]; !there {
				break
			}
			l.Sets = append(l.Sets, f.maybe(name).Or(0))
		}
		told.Lifts = append(told.Lifts, l)
	}
	return told
}

// asPlanned puts back what each set was filled with.
func (f *form) asPlanned() {
	for i := range mostLines {
		for n := range mostSets {
			if name := liftField(i, setField(n)); f.values.Has(name) {
				f.values.Set(name, f.text(liftField(i, "count")))
			}
		}
	}
}

// steps takes the number one step further whose button was tapped, and says whether one
// was. Weights go to the next there is.
func (f *form) steps(t *lift.Today) bool {
	name, way, tapped := strings.Cut(f.text("step"), " ")
	if !tapped || !f.values.Has(name) {
		return tapped
	}
	up := way == "+"
	at, what, _ := strings.Cut(name, "].")
	if what == "kg" {
		f.values.Set(name, stepWeight(t.Kit.Rack.Weights(), f.grams(name), up))
		f.faults = nil
		return true
	}
	by := 1
	if e, known := t.Known.Find(f.text(at + "].exercise")); known && e.Measure == strength.Hold {
		by = holdStep
	}
	if !up {
		by = -by
	}
	f.values.Set(name, strconv.Itoa(min(max(f.maybe(name).Or(0)+by, 0), strength.MostSeconds*5)))
	f.faults = nil
	return true
}

// holdStep is what a tap adds to what is held, in seconds.
const holdStep = 5

// stepWeight is the next weight there is, half a kilogram away where there is none.
func stepWeight(weights []int, from int, up bool) string {
	next := max(from-500, 0)
	if up {
		next = from + 500
	}
	if !up {
		slices.Reverse(weights)
	}
	for _, w := range weights {
		if up && w > from || !up && w < from {
			next = w
			break
		}
	}
	return kilograms(next)
}

// liftLines are the exercises as they stand in the form, with what today says of each.
func (f *form) liftLines(t *lift.Today, d wording.Dates) []page.LiftLine {
	var lines []page.LiftLine
	for i := range mostLines {
		id := f.text(liftField(i, "exercise"))
		e, known := t.Known.Find(id)
		if id == "" {
			break
		}
		if !known {
			e.Name = "An exercise of before"
		}
		l := liftLine(&e, t)
		l.N, l.ID, l.For, l.Count = i, id, f.text(liftField(i, "for")), f.text(liftField(i, "count"))
		l.KG, l.Left = f.text(liftField(i, "kg")), f.text(liftField(i, "left"))
		for n := range mostSets {
			name := liftField(i, setField(n))
			if !f.values.Has(name) {
				break
			}
			l.Sets = append(l.Sets, f.text(name))
		}
		for n := range t.Lines {
			if line := &t.Lines[n]; line.Exercise.ID == id {
				l.Goal, l.Why = goalWords(line), line.Words
				l.Last = lastWords(line, t, d)
			}
		}
		lines = append(lines, l)
	}
	return lines
}

// liftLine is what there is to say of an exercise.
func liftLine(e *strength.Exercise, t *lift.Today) page.LiftLine {
	l := page.LiftLine{
		Name: e.Name, Figure: e.Figure, Cues: e.Cues, Forms: formsOf(e, t.Known), Caution: e.Caution, Weighted: weighted(e), Unit: setUnit(e), By: "1",
	}
	if e.Measure == strength.Hold {
		l.By = strconv.Itoa(holdStep)
	}
	for n, grams := range t.Kit.Rack.Weights() {
		if n > 0 {
			l.Weights += " "
		}
		l.Weights += kilograms(grams)
	}
	return l
}

// setUnit is what stands beside the number of a set; repetitions go without saying.
func setUnit(e *strength.Exercise) string {
	return strings.TrimSpace(strings.TrimPrefix(unitWords(e), "repetitions"))
}

func unitWords(e *strength.Exercise) string {
	unit := "repetitions"
	if e.Measure == strength.Hold {
		unit = "seconds"
	}
	if e.Sides {
		unit += " each side"
	}
	return unit
}

// formsOf are the easier and the harder form in words.
func formsOf(e *strength.Exercise, known strength.Library) []string {
	var forms []string
	for _, form := range [...][2]string{{"Easier: ", e.Easier}, {"Harder: ", e.Harder}} {
		words := form[1]
		if other, there := known.Find(words); there {
			words = other.Name + "."
		}
		if words != "" {
			forms = append(forms, form[0]+words)
		}
	}
	return forms
}

// goalWords say what to do: "2 × 10 at 8 kg, with 2 left over".
func goalWords(l *lift.Line) string {
	t := l.Next.Target
	t.Low, t.High = l.Count, l.Count
	words := t.Words(&l.Exercise)
	if l.Next.Grams > 0 {
		words += " at " + strength.Kilograms(l.Next.Grams)
	}
	if l.Exercise.Measure != strength.Hold && t.Reserve > 0 {
		words += ", with " + strconv.Itoa(t.Reserve) + " left over"
	}
	return words
}

// lastWords say what was done the last time: "Last time, on Sunday: 10, 10, 9 at 8 kg".
func lastWords(l *lift.Line, t *lift.Today, d wording.Dates) string {
	if l.Last == nil {
		return ""
	}
	return "Last time, " + d.Near(l.Last.Date, t.Date) + ": " + setsWords(&l.Last.Lift, &l.Exercise)
}

// setsWords say what was done: "10, 10, 9 at 8 kg, 2 left over".
func setsWords(l *roster.Lift, e *strength.Exercise) string {
	var sets []string
	for _, n := range l.Sets {
		sets = append(sets, strconv.Itoa(n))
	}
	words := strings.Join(sets, ", ")
	if e.Measure == strength.Hold {
		words += " s"
	}
	if l.Grams > 0 {
		words += " at " + strength.Kilograms(l.Grams)
	}
	if left, told := l.Reserve.Get(); told {
		words += ", " + strconv.Itoa(left) + " left over"
	}
	return words
}

// liftNotes say when the last session was, where it was a moment ago.
func liftNotes(t *lift.Today, d wording.Dates) []string {
	if len(t.Lifted) == 0 || t.Date-t.Lifted[0].Date > 1 {
		return nil
	}
	when := d.Near(t.Lifted[0].Date, t.Date)
	return []string{"The last strength session was " + when + ". A day between two does the muscles good; this is the next one."}
}

// liftLabels name the fields of the summary.
func liftLabels(lines []page.LiftLine) map[string]string {
	labels := map[string]string{}
	for place, label := range afterLabels {
		labels[place] = label
	}
	for _, l := range lines {
		for _, what := range []string{"exercise", "kg", "left"} {
			labels[l.Field(what)] = l.Name
		}
		for n := range l.Sets {
			labels[l.Field(setField(n))] = l.Name + ", set " + strconv.Itoa(n+1)
		}
	}
	return labels
}

// countWords counts things: "1 exercise", "6 exercises".
func countWords(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return strconv.Itoa(n) + " " + thing
}

func minutesShort(n int) string { return countWords(n, "minute") }

// storedLifts fills in what was done in a session that is corrected.
func (f *form) storedLifts(l *roster.Lifted, known strength.Library, version int) {
	f.fill("version", strconv.Itoa(version), "turn", l.Turn)
	for i := range l.Lifts {
		one := &l.Lifts[i]
		f.fill(liftField(i, "exercise"), one.Exercise, liftField(i, "for"), one.For, liftField(i, "left"), typed(one.Reserve))
		if e, there := known.Find(one.Exercise); there && (weighted(&e) || one.Grams > 0) {
			f.values.Set(liftField(i, "kg"), kilograms(one.Grams))
		}
		sets := len(one.Sets) + 1
		for n := range min(sets, strength.MostSets) {
			count := readiness.Maybe{}
			if n < len(one.Sets) {
				count = readiness.Some(one.Sets[n])
			}
			f.values.Set(liftField(i, setField(n)), typed(count))
		}
	}
}
