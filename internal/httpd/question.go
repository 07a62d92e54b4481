package httpd

import (
	"slices"
	"strconv"

	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// questionsOf are questions as a page shows them, with their answers. A question
// that hangs on another one's answer comes below that one.
func questionsOf(questions []screening.Question, a screening.Answers) []page.Question {
	var shown []page.Question
	for i := range questions {
		q := questionOf(&questions[i], a)
		on := questions[i].OnlyIf
		at := slices.IndexFunc(shown, func(p page.Question) bool { return p.Name == on.Question })
		if on.Question == "" || at < 0 {
			shown = append(shown, q)
			continue
		}
		parent := &shown[at]
		parent.Then = append(parent.Then, q)
		for k := range parent.Options {
			parent.Options[k].Opens = parent.Options[k].Opens || slices.Contains(on.Values, parent.Options[k].Value)
		}
	}
	return shown
}

func questionOf(q *screening.Question, a screening.Answers) page.Question {
	v := page.Question{Name: q.ID, Label: q.Label, Hint: q.Hint, Unit: q.Unit, Optional: q.Optional}
	switch q.Kind {
	case screening.One, screening.Many:
		v.Kind = "one"
		if q.Kind == screening.Many {
			v.Kind = "many"
		}
		for _, o := range q.Options {
			v.Options = append(v.Options, page.Choice{Value: o.Value, Words: o.Words, Hint: o.Hint, On: a.Has(q.ID, o.Value)})
		}
	case screening.Days:
		v.Kind, v.Rows = "days", dayRows(q.ID, a)
	case screening.Number:
		v.Kind = "number"
	case screening.Text:
		v.Kind = "text"
		if q.ID == screening.Guardian {
			v.Kind = "line"
		}
	}
	if given := a[q.ID]; len(given) > 0 && v.Options == nil && v.Rows == nil {
		v.Value = given[0]
	}
	return v
}

// mistaken is the summary on top of a page of questions, each with the question.
func (f *form) mistaken(questions []screening.Question) []part.Mistake {
	var list []part.Mistake
	for _, field := range f.faults {
		words := sentence(field.Message)
		if i := slices.IndexFunc(questions, func(q screening.Question) bool { return q.ID == field.Place }); i >= 0 {
			words = questions[i].Label + " " + words
		}
		list = append(list, part.Mistake{Field: field.Place, Words: words})
	}
	return list
}

// dayRows are the days of the week with their times.
func dayRows(question string, a screening.Answers) []page.DayRow {
	var rows []page.DayRow
	for _, d := range screening.Weekdays() {
		row := page.DayRow{Day: d.Words}
		for _, p := range screening.Parts() {
			value := d.Value + "-" + p.Value
			row.Times = append(row.Times, page.Choice{Value: value, Words: wording.Capital(p.Words), On: a.Has(question, value)})
		}
		rows = append(rows, row)
	}
	return rows
}

// effortOptions are the efforts of a walk, from 0 to 10.
func effortOptions(picked string) []page.Choice {
	var options []page.Choice
	for n, words := range page.Efforts() {
		value := strconv.Itoa(n)
		options = append(options, page.Choice{Value: value, Words: value, Hint: words, On: value == picked})
	}
	return options
}
