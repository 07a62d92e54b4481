package screening

import (
	"fmt"
	"strings"

	"halfhour.app/halfhour/internal/day"
)

// Assess says what the answers lead to, seen from the date. It takes whatever is
// there: an answer that is missing, unknown or contradicts another counts as the
// more careful one.
func Assess(a Answers, on day.Date) Result {
	a = Tidy(a)
	r := Result{Advice: advise(a), Heart: heartOf(a), Injuries: injuriesOf(a)}
	r.Age, _ = ageOf(a, on)
	r.BMI = bmi(a)
	r.Bone = boneOf(a)
	r.Why = why(a, r.Advice)
	for _, own := range ownReasons(a) {
		r.Advice = max(r.Advice, Clearance)
		r.Why = append(r.Why, own)
	}
	r.Cautions = cautions(a, &r)
	r.Start = begin(a, &r)
	return r
}

// why are the reasons that the table gives.
func why(a Answers, advice Advice) []string {
	if advice == NotNeeded {
		return nil
	}
	var reasons []string
	if some(a, Signs) {
		reasons = append(reasons, "A doctor should look first at: "+listed(a, Signs, signs())+".")
	}
	if !diseased(a) {
		return reasons
	}
	known := "A known disease: " + disease(a) + "."
	switch {
	case a.Has(Active, Yes) && !some(a, Signs):
		known += " Running is hard effort for most who begin, and no doctor has agreed to it within the last twelve months."
	case !a.Has(Active, Yes):
		known += " Without regular training in the last three months a doctor should agree before it begins."
	}
	return append(reasons, known)
}

// disease says which disease counts, in words.
func disease(a Answers) string {
	var words []string
	if some(a, Disease) {
		words = append(words, listed(a, Disease, diseases()))
	}
	words = append(words, heartConditions(a)...)
	for _, medicine := range heartMedicines(a) {
		words = append(words, medicine+", which is given for the heart")
	}
	return small(strings.Join(words, "; "))
}

// ownReasons are those that the table does not know and that we add to be on the
// safe side (ours): pregnancy, the first weeks after a birth, a fresh operation.
func ownReasons(a Answers) []string {
	const ours = " The 2015 algorithm does not ask this; it is a rule of our own."
	var reasons []string
	switch weeks, known := weeksAfter(a); {
	case expecting(a):
		reasons = append(reasons, "Pregnant, or perhaps: moving does good, and whoever looks after the pregnancy should agree before it begins."+ours)
	case known && weeks < earlyWeeks:
		reasons = append(reasons, fmt.Sprintf("Fewer than %d weeks after a birth: the body needs time, and a doctor or midwife should agree first.%s", earlyWeeks, ours))
	}
	if a.Has(Operation, recent) {
		reasons = append(reasons, "An operation in the last three months: whoever operated should agree first."+ours)
	}
	return reasons
}

// earlyWeeks are the first weeks after a birth, in which nobody begins to run
// without a word from somebody who knows (common practice; ours as a rule).
const earlyWeeks = 12

// expecting says whether somebody is pregnant or may be; silence may be.
func expecting(a Answers) bool {
	return yes(a, Expecting) && (!a.Has(Expecting, Born) || a.Has(Expecting, Pregnant) || a.Has(Expecting, Unsure))
}

// weeksAfter are the weeks since a birth within the last year; a number that is
// missing or makes no sense is taken as 0. It is not known where there was none.
func weeksAfter(a Answers) (weeks int, known bool) {
	if !a.Has(Expecting, Born) {
		return 0, false
	}
	weeks, ok := number(a, BornWeeks)
	if !ok || weeks < 0 {
		return 0, true
	}
	return weeks, true
}

// listed are the words of what was answered, with unsure and silence said as such.
func listed(a Answers, question string, options []Option) string {
	given := a.Given(question)
	if len(given) == 0 {
		return "a question that was not answered"
	}
	var words []string
	for _, o := range options {
		if !a.Has(question, o.Value) || o.Value == None {
			continue
		}
		if o.Value == Unsure {
			words = append(words, "something not sure, which we take as a yes")
			continue
		}
		words = append(words, small(o.Words))
	}
	if len(words) == 0 {
		return "an answer that cannot be read"
	}
	return strings.Join(words, "; ")
}

// small begins a text with a small letter.
func small(text string) string {
	if text == "" || strings.HasPrefix(text, "I ") {
		return text
	}
	return strings.ToLower(text[:1]) + text[1:]
}

// injuriesOf are the injuries and operations, in words.
func injuriesOf(a Answers) []string {
	var all []string
	for _, site := range named(injurySites(), a.Given(Injuries)) {
		if site != "None of these" && site != "I am not sure" {
			all = append(all, "Earlier: "+small(site))
		}
	}
	if len(a.Given(Injuries)) == 0 || a.Has(Injuries, Unsure) {
		all = append(all, "Earlier injury: not sure")
	}
	for _, o := range operations() {
		if a.Has(Operation, o.Value) && o.Value != None {
			all = append(all, "Operation: "+small(o.Words))
		}
	}
	if yes(a, HurtsNow) {
		all = append(all, "Something hurts at present")
	}
	return all
}

// boneOf are the bone risks, in words. A body mass index under 18.5 is underweight
// (World Health Organization, from memory).
func boneOf(a Answers) []string {
	var all []string
	for _, o := range boneRisks() {
		switch {
		case !a.Has(Bone, o.Value), o.Value == None:
		case o.Value == Unsure:
			all = append(all, "Not sure, which we take as a yes")
		default:
			all = append(all, o.Words)
		}
	}
	if len(a.Given(Bone)) == 0 {
		all = append(all, "Not answered, which we take as a yes")
	}
	if under(a) && !a.Has(Bone, "thin") {
		all = append(all, "Little weight for the height")
	}
	return all
}
