package page_test

import (
	"fmt"
	"strings"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// Invented people and sessions for the pages below. Nothing here is computed by
// the rules: the figures only have to look like those of real mornings.

// times is n runs and walks in turn, planned.
func times(n, run, walk int) []part.Block {
	var blocks []part.Block
	for range n {
		blocks = append(blocks, part.Block{Kind: part.Run, Planned: run}, part.Block{Kind: part.Walk, Planned: walk})
	}
	return blocks
}

// inFull is the session as planned, with the breath back after the given seconds
// and a little later every walk.
func inFull(plan []part.Block, settle, later int) []part.Block {
	blocks := append([]part.Block(nil), plan...)
	for i := range blocks {
		blocks[i].Done = blocks[i].Planned
		if blocks[i].Kind == part.Walk && i > 0 {
			blocks[i].Unsettled = min(settle, blocks[i].Planned)
			settle += later
		}
	}
	return blocks
}

// cut leaves the blocks after the n-th undone.
func cut(blocks []part.Block, n int) []part.Block {
	blocks = append([]part.Block(nil), blocks...)
	for i := n; i < len(blocks); i++ {
		blocks[i].Done, blocks[i].Unsettled = 0, 0
	}
	return blocks
}

var (
	l2 = times(6, 90, 210)
	l3 = times(6, 120, 180)
	l4 = times(5, 165, 195)
	r4 = times(3, 465, 135)
)

func done(day, words string, blocks []part.Block) part.Strip {
	return part.Strip{Day: day, Label: day + ", " + words, Blocks: blocks}
}

func week(plan []part.Block, words string, settle, later int) []part.Strip {
	return []part.Strip{
		done("Wed", "in full: "+words, inFull(plan, settle+4, later)),
		done("Fri", "in full: "+words, inFull(plan, settle, later)),
		done("Sun", "in full: "+words, inFull(plan, settle-3, later)),
	}
}

func trend(half int, seconds ...int) part.Trend {
	last := seconds[len(seconds)-1]
	return part.Trend{Seconds: seconds, Half: half, Figure: fmt.Sprintf("settles in %d s", last),
		Label: fmt.Sprintf("Settle times of the last sessions: %s s; half a walk is %d s.", list(seconds), half)}
}

func load(figure bool, weeks ...int) part.Load {
	l := part.Load{Weeks: weeks, Label: "Load of six weeks: " + list(weeks) + "."}
	if figure {
		l.Figure = fmt.Sprintf("%d this week", weeks[len(weeks)-1])
	}
	return l
}

func list(numbers []int) string {
	return strings.Trim(strings.Join(strings.Fields(fmt.Sprint(numbers)), ", "), "[]")
}

func desk(title string, at part.Section) part.Desk {
	return part.Desk{Title: title, Club: "Riverside Beginners", Date: "Tuesday 14 April", Coach: "Mara Lund", At: at}
}

func phone(title, at string) part.Phone { return part.Phone{Title: title, At: at} }

func ines() page.Decide {
	return page.Decide{
		Name: "Ines Okafor", Href: "/athletes/1", Phase: "Walk-led, phase 3 of 4", Plan: "run 2 min, walk 3 min, six times",
		Strips: week(l3, "run 2 min, walk 3 min, six times; breath back after 52 s at the median", 49, 2),
		Trend:  trend(90, 71, 70, 66, 60, 58, 52, 49), Load: load(true, 206, 218, 231, 228, 240, 252),
		Flag: part.Flagged{Mark: "ready", Word: "Ready to move up"},
		Why:  "3 of 3 sessions in full; 18 of 18 walks settled in under half their length.",
		Pick: "1.9f3ab2c4.7.KJH3K4J5H6", Group: "move_up",
		First: part.Act{Words: "Move up", Choice: "move_up"}, Second: part.Act{Words: "Hold", Href: "/athletes/1?choice=hold#decision"},
	}
}

func bram() page.Decide {
	l := load(true, 262, 270, 281, 274, 278, 436)
	l.Jump = true
	strips := week(r4, "run 7 min 45, walk 2 min 15, three times", 55, 3)
	strips[2] = part.Strip{Day: "Sat", Label: "Saturday, a run outside the plan: 24 min", State: part.Outside, Blocks: []part.Block{{Kind: part.Run, Done: 1440}}}
	return page.Decide{
		Name: "Bram Visser", Href: "/athletes/2", Phase: "Run-led, phase 4 of 7", Plan: "run 7 min 45, walk 2 min 15, three times",
		Strips: strips, Trend: trend(67, 56, 55, 57, 55, 57, 58, 58), Load: l,
		Flag: part.Flagged{Mark: "load_jump", Word: "Load jumped"},
		Why:  "Load of 436 this week against a mean of 276, up 58%. Most of it lies outside the plan.",
		More: []part.Flagged{{Mark: "back_to_back", Word: "ran two days in a row"}},
		Pick: "2.0c9d8e7f.3.KJH3K4J5H7", First: part.Act{Words: "Hold here", Choice: "hold"}, Second: part.Act{Words: "Seen", Choice: "seen"},
	}
}

func tove() page.Decide {
	strips := week(l4, "run 2 min 45, walk 3 min 15, five times; breath back after 129 s at the median", 118, 6)
	strips[2].Blocks = cut(strips[2].Blocks, 8)
	strips[2].Label = "Sunday, cut short after the fourth run"
	return page.Decide{
		Name: "Tove Lindqvist", Href: "/athletes/3", Phase: "Walk-led, phase 4 of 4", Plan: "run 2 min 45, walk 3 min 15, five times",
		Strips: strips, Trend: trend(97, 121, 124, 122, 126, 125, 127, 129), Load: load(true, 255, 270, 276, 274, 266, 271),
		Flag: part.Flagged{Mark: "stalling", Word: "Stalling"}, Why: "Week 4 on this phase, and the walks do not settle in time.",
		Pick: "3.1a2b3c4d.5.KJH3K4J5H8", First: part.Act{Words: "Half step before it", Choice: "half_step"}, Second: part.Act{Words: "Hold", Href: "/athletes/3?choice=hold#decision"},
	}
}

func marek() page.Decide {
	strips := []part.Strip{
		done("Tue", "in full: run 1 min 30, walk 3 min 30, six times", inFull(l2, 40, 3)),
		done("Thu", "cut short after the fourth run", cut(inFull(l2, 48, 4), 8)),
		{Day: "Sun", Label: "Sunday, missed", State: part.Missed},
	}
	return page.Decide{
		Name: "Marek Dvořák", Href: "/athletes/4", Phase: "Walk-led, phase 2 of 4", Plan: "run 1 min 30, walk 3 min 30, six times",
		Strips: strips, Trend: trend(105, 72, 66, 63, 60, 55, 51, 52), Load: load(true, 188, 201, 210, 222, 226, 120),
		Flag: part.Flagged{Mark: "pain", Word: "Pain reported"}, Why: "Left shin still at 4 of 10 the next morning.",
		Pick: "4.5e6f7a8b.2.KJH3K4J5H9", First: part.Act{Words: "Ease back", Choice: "ease_back"}, Second: part.Act{Words: "Hold", Href: "/athletes/4?choice=hold#decision"},
	}
}

func morning() page.Roster {
	aoife := ines()
	aoife.Name, aoife.Href, aoife.Pick = "Aoife Brennan", "/athletes/5", "5.77ab2c4e.7.KJH3K4J5HA"
	return page.Roster{
		Desk: desk("Roster", part.InRoster),
		Lead: "Five people need a decision from you. Five are going steadily.", Sub: "Two have not logged anything for a week.",
		Together: []page.Together{{ID: "move_up", Choice: "move_up", Words: "2 are ready to move up.", Button: "Move up everybody ticked", Count: 2}},
		Decide:   []page.Decide{marek(), bram(), tove(), aoife, ines()},
		Steady: []page.Steady{
			{Name: "Jonah Petrie", Href: "/athletes/6", Phase: "Walk-led, 1 of 4", Week: "2 of 3", Settles: "61 s", Load: load(false, 120, 160, 150, 170, 172, 181), Next: "One more session in full may open the gate"},
			{Name: "Pilar Quintana", Href: "/athletes/7", Phase: "Walk-led, 3 of 4", Week: "2 of 3", Settles: "71 s", Load: load(false, 190, 200, 205, 215, 222, 230), Next: "Walks settle sooner each session"},
			{Name: "Salma Haddad", Href: "/athletes/8", Phase: "Walking base, 3 of 4", Week: "1 of 3", Load: load(false, 0, 0, 60, 90, 110, 125), Next: "First week on this phase"},
			{Name: "Solveig Aune-Bergström", Href: "/athletes/9", Phase: "Run-led, 6 of 7", Week: "1 of 3", Settles: "61 s", Load: load(false, 240, 244, 250, 255, 252, 254), Next: "Two sessions left this week"},
			{Name: "Yuki Arai", Href: "/athletes/10", Phase: "Run-led, 6 of 7", Week: "3 of 3", Settles: "58 s", Load: load(false, 230, 240, 238, 244, 252, 260), Next: "You decided yesterday: hold"},
		},
		Quiet: []page.Quiet{
			{Name: "Edda Frost", Href: "/athletes/11", Phase: "Walk-led, 1 of 4", Heard: "9 days ago", Words: "Nothing logged since the session 9 days ago."},
			{Name: "Luca Moretti", Href: "/athletes/12", Phase: "Walking base, 2 of 4", Heard: "not yet", Words: "Nothing logged since this phase began, 12 days ago."},
		},
		Away: []page.Away{
			{Name: "Grete Holm", Href: "/athletes/13", Mark: "pause", What: "Paused", Since: "since 3 April", Phase: "Walk-led, 2 of 4", Words: "Time to ask whether it can end."},
			{Name: "Nils Okonkwo", Href: "/athletes/14", Mark: "refer", What: "Sent to a doctor", Since: "since 10 April", Phase: "Run-led, 1 of 7", Words: "Waits for clearance."},
			{Name: "Rosa Almeida", Href: "/athletes/15", Mark: "leave", What: "On leave", Since: "until 20 April", Phase: "Walk-led, 4 of 4"},
		},
		NewHref: "/athletes/new",
	}
}
