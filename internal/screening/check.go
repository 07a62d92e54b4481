package screening

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
)

// Check finds what is wrong with the answers to one section, in the order of its
// questions; the place of a fault is the question's ID. A question that is not to
// be asked (its condition does not hold) is not looked at. Answers to questions of
// other sections may be there and are not looked at either; what is no question at
// all is refused at its own name. An unknown section is a fault at its name.
func Check(c Circumstances, section string, a Answers, on day.Date) []fault.Field {
	sections := Sections(c)
	i := slices.IndexFunc(sections, func(s Section) bool { return s.ID == section })
	if i < 0 {
		return []fault.Field{{Place: section, Message: "this page of questions does not exist"}}
	}
	return append(checkSection(&sections[i], a, on), unknown(a)...)
}

// CheckAll finds what is wrong with the answers to all sections of the
// circumstances: what is left is complete.
func CheckAll(c Circumstances, a Answers, on day.Date) []fault.Field {
	var faults []fault.Field
	sections := Sections(c)
	for i := range sections {
		faults = append(faults, checkSection(&sections[i], a, on)...)
	}
	return append(faults, unknown(a)...)
}

// Tidy is the answers as they are kept: without blanks around values, without
// empty values, and without answers to questions that are not to be asked. What
// is no question stays, so that Check can refuse it.
func Tidy(a Answers) Answers {
	tidy := Answers{}
	for id, values := range a {
		var kept []string
		for _, v := range values {
			if v = strings.TrimSpace(v); v != "" {
				kept = append(kept, v)
			}
		}
		if len(kept) > 0 {
			tidy[id] = kept
		}
	}
	for _, s := range everySection() {
		for _, q := range s.Questions {
			if !q.OnlyIf.Holds(tidy) {
				delete(tidy, q.ID)
			}
		}
	}
	return tidy
}

// everySection are all sections there are, whatever the circumstances.
func everySection() []Section { return Sections(Circumstances{Minors: true}) }

// unknown refuses what is no question.
func unknown(a Answers) []fault.Field {
	known := map[string]bool{}
	for _, s := range everySection() {
		for _, q := range s.Questions {
			known[q.ID] = true
		}
	}
	var faults []fault.Field
	for _, id := range slices.Sorted(maps.Keys(a)) {
		if !known[id] {
			faults = append(faults, fault.Field{Place: id, Message: "this question does not exist"})
		}
	}
	return faults
}

func checkSection(s *Section, a Answers, on day.Date) []fault.Field {
	var faults []fault.Field
	for i := range s.Questions {
		q := &s.Questions[i]
		if !q.OnlyIf.Holds(a) {
			continue
		}
		if wrong := q.check(a.Given(q.ID), on); wrong != "" {
			faults = append(faults, fault.Field{Place: q.ID, Message: wrong})
		}
	}
	if s.ID == You {
		faults = append(faults, checkMinor(s, a, on, faults)...)
	}
	return faults
}

// checkMinor keeps the rules to those they were made for. Only the year of birth
// is known: who turns 18 this year is taken for an adult, and says so in the
// consent.
func checkMinor(s *Section, a Answers, on day.Date, found []fault.Field) []fault.Field {
	age, ok := ageOf(a, on)
	if !ok || age >= adult || slices.ContainsFunc(found, func(f fault.Field) bool { return f.Place == BirthYear }) {
		return nil
	}
	if !slices.ContainsFunc(s.Questions, func(q Question) bool { return q.ID == Guardian }) {
		return []fault.Field{{Place: BirthYear, Message: "Halfhour is made for adults: its rules rest on what is known of people of 18 and over"}}
	}
	if len(a.Given(Guardian)) == 0 {
		return []fault.Field{{Place: Guardian, Message: "please answer together with a parent or guardian, and give their name"}}
	}
	return nil
}

// check says what is wrong with the answer to one question; empty when nothing is.
func (q *Question) check(given []string, on day.Date) string {
	if len(given) == 0 {
		if q.Optional {
			return ""
		}
		return q.missing()
	}
	switch q.Kind {
	case Number:
		return q.checkNumber(given, on)
	case Text:
		return checkText(given)
	}
	return q.checkOptions(given)
}

func (q *Question) missing() string {
	switch {
	case q.Kind == Number:
		return "please give a number"
	case q.Kind == Text:
		return "please write something"
	case slices.ContainsFunc(q.Options, func(o Option) bool { return o.Value == None }):
		return "please choose what is true, or that none of them is"
	}
	return "please choose an answer"
}

func (q *Question) checkNumber(given []string, on day.Date) string {
	n, err := strconv.Atoi(given[0])
	most := q.Max
	if most == 0 {
		most = on.Year()
	}
	switch {
	case len(given) > 1:
		return "please give one number"
	case err != nil:
		return "please give a whole number, in figures"
	case n < q.Min || n > most:
		return fmt.Sprintf("please give a number from %d to %d", q.Min, most)
	}
	return ""
}

func checkText(given []string) string {
	strange := func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\r' && r != '\t' }
	switch text := given[0]; {
	case len(given) > 1:
		return "please write it in one place"
	case !utf8.ValidString(text), strings.ContainsFunc(text, strange):
		return "there are characters in it that cannot be shown"
	case utf8.RuneCountInString(text) > TextLength:
		return fmt.Sprintf("please keep it to %d characters", TextLength)
	}
	return ""
}

func (q *Question) checkOptions(given []string) string {
	for i, v := range given {
		if !slices.ContainsFunc(q.Options, func(o Option) bool { return o.Value == v }) {
			return "please choose one of the answers shown"
		}
		if slices.Contains(given[:i], v) {
			return "the same answer was sent twice"
		}
	}
	switch {
	case q.Kind == One && len(given) > 1:
		return "please choose one answer"
	case q.Kind == Many && len(given) > 1 && slices.Contains(given, None):
		return "please choose either what is true or “None of these”"
	}
	return ""
}
