package httpd

import (
	"strings"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// comingRows are whoever is coming in, the coach's turn first, each with the one
// thing to do. A deputy sees how far everybody is and nothing else.
func comingRows(rows []*morning.Row, d wording.Dates, keeper bool) []page.Coming {
	var list []page.Coming
	for _, row := range rows {
		list = append(list, comingRow(row, d, keeper))
	}
	return list
}

// comingIn is the page of somebody who is not here yet: nothing is decided, and the
// engine is not asked.
func comingIn(v *page.Athlete, p *morning.Portrait, d wording.Dates, keeper bool) {
	row := comingRow(&p.Row, d, keeper)
	v.Coming = &row
	v.Headline, v.Why, v.About = firstName(p.Athlete.Name)+" is coming in.", "Nothing is prescribed until a coach has said where to begin.", strings.ToLower(row.What)+" "+row.Since
	v.Flags, v.Gate, v.Rules, v.Stays, v.Arrival, v.Figures, v.Decision, v.LogHref = nil, page.Gate{}, nil, nil, "", nil, page.Decision{}, ""
}

func comingRow(row *morning.Row, d wording.Dates, keeper bool) page.Coming {
	a := row.Athlete
	at := athletePath(a.ID)
	s := wording.Coming(row, d, keeper)
	v := page.Coming{Name: a.Name, Href: at, What: s.What, Since: s.Since, Words: s.Words}
	switch row.Coming.Kind {
	case morning.Waiting:
		v.Mark, v.First = "health_check", true
		v.Act = part.Link{Href: at + "/review", Words: "Review"}
	case morning.Clearing:
		v.Mark = "refer"
		v.Act = part.Link{Href: at + "/review", Words: "Record it"}
	case morning.Withdrawn:
		v.Mark = "leave"
		v.Act = part.Link{Href: at, Words: "Look"}
	default:
		v.Mark = "learning"
		v.Act = part.Link{Href: at + part.JoiningAt, Words: "Answer together"}
	}
	if !keeper {
		v.Act, v.First = part.Link{}, false
		if row.Coming.Kind == morning.Clearing {
			v.Mark = "health_check" // what was answered is not for deputies
		}
	}
	return v
}

// comingNotice is what is said after a step of coming in.
func comingNotice(said string) part.Notice {
	switch said {
	case "withdrawn":
		return part.Notice{Text: "The consent is taken back. Nothing is prescribed any more, and what is kept stays until it is erased."}
	case "begun":
		return part.Notice{Text: "Taken in. The first session stands on Today."}
	case "cleared":
		return part.Notice{Text: "The clearance is kept. Its limits stand on Today."}
	}
	return part.Notice{}
}
