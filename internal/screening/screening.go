// Package screening holds the questions somebody answers before the first step,
// and what the answers lead to: whether a doctor should be asked first, what a
// heart rate can mean, where on the pathway to begin, and what to be careful with.
//
// The logic is that of the 2015 preparticipation algorithm (Riebe D and others,
// Med Sci Sports Exerc 2015;47:2473–2479; its three inputs found, the cells of its
// table from memory); the wording is ours. Whoever is unsure is treated as if the
// answer were yes, and so is a question that nobody answered. Nothing here is
// medical advice: it only says when somebody who can give it should be asked.
package screening

import (
	"slices"
	"strings"
)

// Form is the version of the questions, stored beside the answers: it is counted
// up whenever a question or an option goes or means something else.
const Form = 1

// Circumstances are what decides which questions are asked.
type Circumstances struct {
	Fresh  bool // asked again after a long gap or an injury: health only, no starting questions, no days
	Minors bool // the club takes people under 18 with their guardian's consent
}

// Section is a page of questions.
type Section struct {
	ID, Title string
	Intro     string // why it is asked; a sentence or two
	Seen      string // who sees the answers, in words
	Questions []Question
}

// Kind says how a question is answered.
type Kind uint8

// The kinds of question.
const (
	One    Kind = iota // one of the options
	Many               // one or more of the options; None and Unsure stand alone
	Number             // a whole number between Min and Max
	Text               // up to TextLength characters, may have several lines
	Days               // any of the options, which are Weekdays × Parts as weekday-part
)

// Values that mean the same in every question.
const (
	Yes    = "yes"
	No     = "no"
	Unsure = "unsure"
	None   = "none" // of Many: none of the others
)

// TextLength is the most characters of a text.
const TextLength = 500

// Question is one thing asked.
type Question struct {
	ID       string // unique over all sections
	Label    string
	Hint     string // how to find the answer; may be empty
	Kind     Kind
	Options  []Option // of One, Many and Days
	Unit     string   // of Number: cm, kg, beats a minute, weeks; may be empty
	Min, Max int      // of Number; Max 0: the year asked in
	Optional bool     // may be left empty
	OnlyIf   Condition
}

// Option is one answer that can be chosen.
type Option struct {
	Value string // as stored
	Words string
	Hint  string // may be empty
}

// Condition says when a question is asked: when one of the values was answered to
// another question of the same section. The zero value is always.
type Condition struct {
	Question string
	Values   []string
}

// Answers are what was answered, by question, as stored. A question that is not
// in it, or has only blank values, was not answered.
type Answers map[string][]string

// Holds says whether the question with this condition is to be asked.
func (c Condition) Holds(a Answers) bool {
	return c.Question == "" || slices.ContainsFunc(c.Values, func(v string) bool { return a.Has(c.Question, v) })
}

// Has says whether the value is among the answers to the question.
func (a Answers) Has(question, value string) bool { return slices.Contains(a[question], value) }

// Given are the answers to a question that are not blank.
func (a Answers) Given(question string) []string {
	var given []string
	for _, v := range a[question] {
		if v = strings.TrimSpace(v); v != "" {
			given = append(given, v)
		}
	}
	return given
}

// Said is the answer to the question in words, one line for each value; empty
// where nothing was answered. A value that is no option of it is left out.
func (q *Question) Said(a Answers) []string {
	given := a.Given(q.ID)
	switch q.Kind {
	case Number:
		if len(given) > 0 && q.Unit != "" {
			return []string{given[0] + " " + q.Unit}
		}
		return given
	case Text:
		return given
	}
	var said []string
	for _, o := range q.Options {
		if slices.Contains(given, o.Value) {
			said = append(said, o.Words)
		}
	}
	return said
}

// Weekdays are the days of Days questions, from Monday on.
func Weekdays() []Option {
	return []Option{
		{Value: "monday", Words: "Monday"}, {Value: "tuesday", Words: "Tuesday"}, {Value: "wednesday", Words: "Wednesday"},
		{Value: "thursday", Words: "Thursday"}, {Value: "friday", Words: "Friday"}, {Value: "saturday", Words: "Saturday"},
		{Value: "sunday", Words: "Sunday"},
	}
}

// Parts are the parts of a day in Days questions.
func Parts() []Option {
	return []Option{
		{Value: "morning", Words: "morning"}, {Value: "midday", Words: "midday"}, {Value: "evening", Words: "evening"},
	}
}

// times are the options of a Days question, day by day.
func times() []Option {
	var all []Option
	for _, d := range Weekdays() {
		for _, p := range Parts() {
			all = append(all, Option{Value: d.Value + "-" + p.Value, Words: d.Words + " " + p.Words})
		}
	}
	return all
}
