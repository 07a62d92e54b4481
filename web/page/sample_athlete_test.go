package page_test

import (
	"fmt"
	"strings"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

func portrait() page.Athlete {
	large := done("Sunday", "in full: run 2 min, walk 3 min, six times; breath back after 49 s at the median", inFull(l3, 46, 3))
	large.Size = part.Large
	return page.Athlete{
		Desk: desk("Ines Okafor", part.InRoster), Name: "Ines Okafor", About: "41, sixth week, walk-led phase 3 of 4",
		Headline: "Ready to move up to run 2 min 45, walk 3 min 15, five times.",
		Why:      "3 of 3 sessions in full; 18 of 18 walks settled in under half their length.",
		Flags:    []part.Flagged{{Mark: "ready", Word: "Ready to move up"}, {Mark: "learning", Word: "Load still learning"}},
		Decision: page.Decision{
			Action: "/athletes/1/decisions", Pick: "1.9f3ab2c4.7", Key: "KJH3K4J5H6",
			Proposed: part.Option{Value: "move_up", Words: "Move up to run 2 min 45, walk 3 min 15, five times"},
			Others: []part.Option{
				{Value: "hold", Words: "Hold", Hint: "same phase, asked again next time"},
				{Value: "half_step", Words: "Half step", Hint: "run 1 min 45, walk 3 min 15, six times"},
				{Value: "ease_back", Words: "Ease back", Hint: "to a lower phase"},
				{Value: "pause", Words: "Pause", Hint: "no running until you say so"},
				{Value: "refer", Words: "Send to a doctor", Hint: "no running until cleared"},
				{Value: "seen", Words: "Seen", Hint: "nothing changes"},
			},
			To: []part.Option{{Value: "", Words: "Where the choice leads by itself"}, {Value: "L2", Words: "L2: run 1 min 30, walk 3 min 30, six times"}, {Value: "L1", Words: "L1: run 1 min, walk 4 min, six times"}},
		},
		Gate: page.Gate{Phase: "walk-led phase 3 of 4", Verdict: "The gate is open.", Conditions: []part.Condition{
			{State: part.Met, Asked: "3 sessions within ten days", Seen: "3 in 6 days"},
			{State: part.Met, Asked: "each in full", Seen: "3 of 3; shortest 29 min 40 of 30 min"},
			{State: part.Unmet, Asked: "most walks settled before half their length", Seen: "18 of 18; median 52 s of 180 s"},
			{State: part.Unknown, Asked: "runs no harder than a short sentence, effort 6 of 10 at most", Seen: "effort 4 at most; a short sentence at worst"},
			{State: part.NotAsked, Asked: "no pain above 2 of 10, no limp", Seen: "highest 1"},
		}},
		Newest: &page.Session{Title: "Sunday, session 3 of 3", Facts: "30 min, effort 4 of 10, no pain", Strip: large,
			Words: "Run 2 min, walk 3 min, six times. Breath back after 49 s at the median; a short sentence was possible in the runs", Note: "Lovely morning, felt easier than Friday.", Href: "/sessions/31"},
		Sessions: sessionRows(), LogHref: "/athletes/1/sessions/new", MoreHref: "/athletes/1/sessions",
		Weeks: weeks(), Settles: settles(), Sites: sites(),
		Stays: []page.Stay{
			{Phase: "Walk-led, 1 of 4", Plan: "run 1 min, walk 4 min, six times", From: "3 March", To: "17 March", Sessions: "6 sessions", Strip: plain(times(6, 60, 240))},
			{Phase: "Walk-led, 2 of 4", Plan: "run 1 min 30, walk 3 min 30, six times", From: "17 March", To: "6 April", Sessions: "8 sessions", Strip: plain(l2)},
			{Phase: "Walk-led, 3 of 4", Plan: "run 2 min, walk 3 min, six times", From: "6 April", Sessions: "3 sessions", Strip: plain(l3)},
		},
		Arrival: "Thirty minutes may come between the beginning of June and the end of July; the middle of it is the last week of June.",
		Figures: []page.Figure{
			{Name: "Load this week", Value: "252 AU", Caution: "effort times minutes; two equal weeks may differ by about 45%"},
			{Name: "Mean of the four weeks before", Value: "229 AU"},
			{Name: "This week to that mean", Value: "1.10", Caution: "shares its week with what it is divided by; no rule reads it"},
			{Name: "The same, weighted by days", Value: "1.06", Caution: "sensitive to the first weeks"},
			{Name: "Monotony", Value: "0.8", Caution: "with three sessions a week it moves little"},
			{Name: "Strain", Value: "202", Caution: "load times monotony; inherits both faults"},
		},
		Decisions: []page.Decided{
			{When: "Monday 6 April, 7.40", By: "Mara Lund", Words: "Moved up to run 2 min, walk 3 min, six times", Word: "Lovely settle times. Same ease, please.", Verdict: "3 of 3 sessions in full; 17 of 18 walks settled in under half their length."},
			{When: "Monday 30 March, 7.52", By: "Mara Lund", Words: "Held", Against: "Proposed was: move up", Reason: "She had a cold until Friday.", Verdict: "3 of 3 sessions in full."},
			{When: "Monday 30 March, 7.50", By: "Mara Lund", Words: "Moved up to run 2 min, walk 3 min, six times", Undone: "Taken back at 7.51."},
		},
		Notes:    []page.Note{{When: "2 April", By: "Mara Lund", Text: "Old left ankle sprain (2019).\nPrefers grass."}},
		NoteForm: page.NoteForm{Action: "/athletes/1/notes", Key: "KJH3K4J5HB"},
		Leave: page.Leave{Action: "/athletes/1/leave", Key: "KJH3K4J5HC", Times: []page.Time{
			{Words: "from 10 April, holiday", Open: true, Over: "Back today", Back: "/athletes/1/leave/2/back", Never: "/athletes/1/leave/2/never", Today: "2026-04-14", Key: "KJH3K4J5HD"},
			{Words: "20 to 27 February, a cold", Never: "/athletes/1/leave/1/never"},
		}},
		Access: page.Access{LinkAction: "/athletes/1/link", Logins: []page.Login{
			{Device: "Firefox on Android", Since: "since 3 March", Seen: "seen today", Action: "/logins/7/end"},
		}},
		EditHref: "/athletes/1/edit",
		LeaveClub: page.Confirm{Action: "/athletes/1/left", Button: "Ines has left the club",
			Words: "She leaves the roster and her logins end. What was logged stays, and you can take her in again from the club page."},
		Rules: []string{"7", "10.1"},
	}
}

func plain(blocks []part.Block) part.Strip {
	return part.Strip{State: part.Planned, Label: "The session as planned", Blocks: blocks}
}

func sessionRows() []page.SessionRow {
	days := []string{"Sun 12 April", "Fri 10 April", "Wed 8 April", "Sat 4 April", "Thu 2 April", "Tue 31 March", "Sun 29 March", "Thu 26 March", "Tue 24 March", "Sun 22 March"}
	var rows []page.SessionRow
	for i, d := range days {
		plan := l3
		if i > 2 {
			plan = l2
		}
		row := page.SessionRow{Date: d, What: "In full", Strip: done(d, "in full", inFull(plan, 46+3*i, 2)), Length: "30 min", Effort: "4", Talk: "a short sentence", Breath: fmt.Sprintf("%d s", 49+3*i), Pain: "none", Href: fmt.Sprintf("/sessions/%d", 31-i)}
		switch i {
		case 3:
			row.What, row.Strip, row.Pain = "Cut short", done(d, "cut short", cut(row.Strip.Blocks, 8)), "left shin 3, next morning 1"
			row.Note = "Shin spoke up on the fourth run, so I walked home."
		case 5:
			row = page.SessionRow{Date: d, What: "Missed", Strip: part.Strip{Label: d + ", missed", State: part.Missed}, Href: row.Href}
		case 6:
			row = page.SessionRow{Date: d, What: "Called off", Note: "Ice on the paths.", Strip: part.Strip{Label: d + ", called off", State: part.CalledOff}, Href: row.Href}
		case 7:
			row.What, row.Strip = "Extra run", part.Strip{Label: d + ", a run outside the plan: 12 min", State: part.Outside, Blocks: []part.Block{{Kind: part.Run, Done: 720}}}
			row.Length, row.Breath = "12 min", ""
		case 8:
			row.What, row.Strip = "Strength", part.Strip{Label: d + ", strength: 40 min", Blocks: []part.Block{{Kind: part.Some, Done: 2400}}}
			row.Length, row.Talk, row.Breath = "40 min", "", ""
		}
		rows = append(rows, row)
	}
	return rows
}

func weeks() part.Weeks {
	w := part.Weeks{Label: "Load rose from 96 to 252 AU in eight weeks, running from 18 to 36 minutes a week; twice less was run than planned."}
	loads, runs, plans := []int{96, 140, 175, 206, 218, 231, 190, 252}, []int{18, 18, 27, 27, 27, 27, 18, 36}, []int{18, 18, 27, 27, 27, 27, 27, 36}
	for i := range loads {
		k := part.Week{Label: fmt.Sprintf("week %d", i+1), Short: fmt.Sprintf("week %d", i+1), Load: loads[i], LoadText: fmt.Sprint(loads[i]),
			RunSeconds: 60 * runs[i], RunPlanned: 60 * plans[i], RunText: fmt.Sprintf("%d min", runs[i]), PlanText: fmt.Sprintf("%d min", plans[i]), Sessions: "3 of 3"}
		if i == 7 {
			k.Short = "this week"
		}
		w.Weeks = append(w.Weeks, k)
	}
	return w
}

func settles() part.Settles {
	s := part.Settles{Label: "From 84 s in the first session with taps to 49 s in the newest; half of the walk is 90 s now."}
	for i, m := range []int{84, 80, 83, 76, 72, 74, 70, 66, 64, 71, 66, 60, 58, 52, 49} {
		p := part.Settle{Date: fmt.Sprintf("%d March", 4+i), Median: m, Half: 120, Text: fmt.Sprintf("%d s of 4 min", m)}
		switch {
		case i > 11:
			p.Half = 90
		case i > 5:
			p.Half = 105
		}
		s.Points = append(s.Points, p)
	}
	return s
}

func sites() []part.Site {
	return []part.Site{
		{Name: "Left shin", Label: "Left shin: 3 on 4 April and 1 the morning after; 2 on 6 April; 1 on 12 April.", Days: 42, Aches: []part.Ache{
			{Date: "4 April", Day: 31, During: 3, Morning: 1}, {Date: "6 April", Day: 33, During: 2, Morning: 4}, {Date: "12 April", Day: 39, During: 1, Morning: -1}}},
		{Name: "Right knee", Label: "Right knee: 2 on 10 March.", Days: 42, Aches: []part.Ache{{Date: "10 March", Day: 6, During: 2, Morning: 0}}},
	}
}

func departing() page.Athlete {
	v := portrait()
	v.Standing = part.Flagged{Mark: "pause", Word: "Paused since 3 April"}
	v.Desk.Notice = part.Notice{Text: "Nothing was stored: please look at the reason.", Warn: true}
	v.Decision.Choice, v.Decision.Errors = "hold", part.Errors{"reason": "this is not what is proposed; please say why"}
	v.Access.Link = link("Ines Okafor")
	return v
}

func gone() page.Athlete {
	return page.Athlete{Desk: desk("Luca Moretti", part.NoSection), Name: "Luca Moretti", About: "age not told, second week, walking base phase 2 of 4",
		Left: "Left the club on 3 April", Headline: "Nothing logged yet.", Why: "New on this phase: three sessions in full open the gate.",
		Return: page.Confirm{Action: "/athletes/12/return", Button: "Take in again", Words: "He comes back onto the roster where he stood."}}
}

func link(name string) *page.SignLink {
	return &page.SignLink{Address: "https://halfhour.example/in/" + strings.Repeat("kX3", 14) + "Q", QR: code("Code that opens the sign-in link of " + name), Until: "It works once, until 28 April.", For: name}
}

// code looks like a code to scan; it is none.
func code(label string) part.QR {
	var path strings.Builder
	for y := 4; y < 37; y++ {
		for x := 4; x < 37; x++ {
			if (x*x+3*y*x+y*y*7+x*y%5)%3 == 0 {
				fmt.Fprintf(&path, "M%d %dh1v1h-1z", x, y)
			}
		}
	}
	return part.QR{Side: 41, Path: path.String(), Label: label}
}
