package httpd

import (
	"encoding/json"
	"strconv"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// undoableFor is how many days the athlete's page offers to take the newest
// decision back.
const undoableFor = 7

// decidedOf is one decision of the past, with the verdict as it stood.
func decidedOf(p *morning.Portrait, d *roster.Decision, f wording.Dates) page.Decided {
	place := p.Athlete.Place()
	on := p.Athlete.Today(d.At)
	v := page.Decided{
		When: f.Full(on, p.Asked) + ", " + f.Clock(d.At, place), By: d.By,
		Words: wording.Capital(wording.Decided(d, p.Shelf)), Reason: d.Reason, Word: d.Word,
	}
	var stood struct{ Action, Sentence string }
	if json.Unmarshal(d.Verdict, &stood) == nil {
		v.Verdict = stood.Sentence
		if !follows(d.Choice, stood.Action) {
			v.Against = "Proposed was: " + actionWords(stood.Action)
		}
	}
	switch {
	case !d.UndoneAt.IsZero():
		v.Undone = "Taken back on " + f.Day(p.Athlete.Today(d.UndoneAt), p.Asked)
	case p.Newest != nil && p.Newest.ID == d.ID && p.Asked-on < undoableFor && p.Athlete.LeftAt.IsZero():
		v.UndoForm = part.Undo{Action: undoAt, Fields: []part.Hidden{
			{Name: "decision", Value: strconv.FormatInt(int64(d.ID), 10)}, {Name: "from", Value: "athlete"},
		}}
	}
	return v
}

// follows says whether a choice did what the action of a document proposed.
// Looking, and ending a stop, are no answers to it.
func follows(c roster.Choice, action string) bool {
	switch c {
	case roster.Seen, roster.Resume, roster.Cleared:
		return true
	case roster.Hold:
		return action == readiness.Stay.String() || action == readiness.Arrived.String()
	}
	return string(c) == action
}

// actionWords name the engine's action.
func actionWords(action string) string {
	return map[string]string{
		"refer": "refer", "pause": "pause running", "ease_back": "ease back", "stay": "stay", "half_step": "a half step",
		"move_up": "move up", "arrived": "thirty minutes reached",
	}[action]
}

// figuresOf are the numbers of the load, each with what to keep in mind of it
// (rule 8.5). No rule reads the last four.
func figuresOf(v *readiness.Verdict) []page.Figure {
	l := &v.Load
	list := []page.Figure{
		{Name: "Load this week", Value: strconv.Itoa(wording.Rounded(l.Week)) + " AU", Caution: filledWords(l.Filled)},
		{Name: "Running this week", Value: strconv.Itoa(wording.Rounded(l.RunMinutes)) + " min"},
	}
	if l.Learning {
		return append(list, page.Figure{Name: "Usual week", Value: "still learning", Caution: "There are not two whole weeks to compare with yet."})
	}
	list = append(list,
		page.Figure{Name: "Usual week", Value: strconv.Itoa(wording.Rounded(l.Reference)) + " AU, " + strconv.Itoa(wording.Rounded(l.RunReference)) + " min of running",
			Caution: "The mean of the whole weeks among the four before this one."})
	add := func(known bool, name string, value float64, places int, caution string) {
		if known {
			list = append(list, page.Figure{Name: name, Value: strconv.FormatFloat(value, 'f', places, 64), Caution: caution})
		}
	}
	add(l.RatioKnown, "This week against four", l.Ratio, 2, "No limit of it is proven to keep anybody safe; it swings by itself with three sessions a week.")
	add(l.WeightedKnown, "The same, weighted", l.RatioWeighted, 2, "It moves with the weekday even where training stays the same.")
	add(l.MonotonyKnown, "Monotony", l.Monotony, 1, "Mean of the seven days by their sample standard deviation; high where every day is alike.")
	add(l.MonotonyKnown, "Strain", l.Strain, 0, "The week's load times monotony; only to be compared with the same person's other weeks.")
	return list
}

// aroundShown is how many of the newest sessions that tell of it are counted.
const aroundShown = 6

// aroundFigures count warm-ups and cool-downs among the newest sessions, the newest
// first, that tell of them; nothing where none does.
func aroundFigures(sessions []roster.Session) []page.Figure {
	var list []page.Figure
	count := func(name string, of func(*roster.Session) roster.Around) {
		done, told := 0, 0
		for i := range sessions {
			if around := of(&sessions[i]); around != roster.AroundNotTold && told < aroundShown {
				told++
				if around == roster.AroundDone {
					done++
				}
			}
		}
		if told > 0 {
			list = append(list, page.Figure{Name: name, Value: "in " + strconv.Itoa(done) + " of the last " + strconv.Itoa(told), Caution: "Of the sessions that tell of it; no rule reads it."})
		}
	}
	count("Warm-up", func(s *roster.Session) roster.Around { return s.WarmUp })
	count("Cool-down", func(s *roster.Session) roster.Around { return s.CoolDown })
	return list
}

func filledWords(n int) string {
	if n == 0 {
		return ""
	}
	return wording.Capital(wording.Count(n, "effort was", "efforts were")) + " not told; the usual one stands in."
}
