package httpd

import (
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/part"
)

// trendPicture draws how soon the breath came back.
func trendPicture(t morning.Trend) part.Trend {
	last, ok := t.Last()
	if !ok {
		return part.Trend{Figure: "settle time not known", Label: "No settle times yet."}
	}
	var b strings.Builder
	b.WriteString("Settle times, the newest last: ")
	for i, m := range t.Medians {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(strconv.Itoa(m))
	}
	b.WriteString(" s")
	if t.Half > 0 {
		b.WriteString("; half a walk is " + strconv.Itoa(t.Half) + " s")
	}
	b.WriteByte('.')
	return part.Trend{Seconds: t.Medians, Half: t.Half, Figure: "settles in " + pathway.Time(last), Label: b.String()}
}

// loadPicture draws six weeks of load.
func loadPicture(r *morning.Row) part.Load {
	l := part.Load{Weeks: make([]int, len(r.Load)), Jump: r.Verdict.Flags.Has(readiness.FlagLoadJump)}
	for i, au := range r.Load {
		l.Weeks[i] = wording.Rounded(au)
	}
	l.Figure = strconv.Itoa(l.Weeks[len(l.Weeks)-1]) + " this week"
	l.Label = wording.Load(r)
	return l
}

// minutesWords writes seconds of running as minutes: "36 min", "13 min 45".
func minutesWords(seconds int) string {
	if seconds == 0 {
		return "0 min"
	}
	return pathway.Time(seconds)
}

// weeksPicture draws load and running by week.
func weeksPicture(p *morning.Portrait, f wording.Dates) part.Weeks {
	chart := part.Weeks{Weeks: make([]part.Week, len(p.Weeks))}
	for i, w := range p.Weeks {
		b := part.Week{
			Label: f.Span(w.First, w.Last, p.Asked), Short: f.Short(w.Last), Load: wording.Rounded(w.Load), LoadText: strconv.Itoa(wording.Rounded(w.Load)),
			RunSeconds: w.Ran, RunPlanned: w.RunPlanned, RunText: minutesWords(w.Ran), PlanText: minutesWords(w.RunPlanned),
			Sessions: strconv.Itoa(w.Sessions) + " of " + strconv.Itoa(p.Of),
		}
		if w.Filled > 0 {
			b.LoadText = "about " + b.LoadText
			b.Remark = wording.Count(w.Filled, "effort not told: the usual one stands in", "efforts not told: the usual one stands in")
		}
		chart.Weeks[i] = b
	}
	if n := len(chart.Weeks); n > 0 {
		now := chart.Weeks[n-1]
		chart.Label = "Load and running of " + wording.Count(n, "week", "weeks") + ". This week: load " + now.LoadText + ", " + now.RunText + " of running."
	}
	return chart
}

// settlesPicture draws the settle times of all sessions.
func settlesPicture(p *morning.Portrait, f wording.Dates) part.Settles {
	chart := part.Settles{Points: make([]part.Settle, len(p.Settles))}
	for i, s := range p.Settles {
		chart.Points[i] = part.Settle{
			Date: f.Day(s.Date, p.Asked), Median: s.Median, Half: s.Walk / 2,
			Text: pathway.Time(s.Median) + " of " + pathway.Time(s.Walk),
		}
	}
	if n := len(chart.Points); n > 0 {
		chart.Label = "Median settle times of " + wording.Count(n, "session", "sessions") + ", from " + chart.Points[0].Text + " to " + chart.Points[n-1].Text + "."
	}
	return chart
}

// sitesPicture draws pain by place, all over the same time.
func sitesPicture(p *morning.Portrait, f wording.Dates) []part.Site {
	first := p.Asked
	for _, site := range p.Pains {
		first = min(first, site.Scores[0].Date)
	}
	sites := make([]part.Site, len(p.Pains))
	for i, site := range p.Pains {
		sites[i] = sitePicture(site, first, p.Asked, f)
	}
	return sites
}

func sitePicture(site morning.Site, first, asked day.Date, f wording.Dates) part.Site {
	s := part.Site{Name: site.Name, Days: int(asked-first) + 1}
	words := make([]string, len(site.Scores))
	for i, score := range site.Scores {
		a := part.Ache{Date: f.Day(score.Date, asked), Day: int(score.Date - first), During: score.During, Morning: score.NextMorning.Or(-1)}
		s.Aches = append(s.Aches, a)
		words[i] = a.Date + " " + strconv.Itoa(a.During)
		if a.Morning >= 0 {
			words[i] += ", next morning " + strconv.Itoa(a.Morning)
		}
	}
	s.Label = site.Name + ", of 10: " + strings.Join(words, "; ") + "."
	return s
}
