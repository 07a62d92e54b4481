package page_test

import (
	"strings"

	"github.com/a-h/templ"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// weekPages are those about weeks.
func weekPages() map[string]templ.Component {
	moving := ownWeek()
	moving.Week.Moving, moving.Week.Leave, moving.Week.Told = "Where should Thursday’s run go?", "/week?monday=2026-04-13", nil
	for i := range moving.Week.Rows {
		moving.Week.Rows[i].Place = &page.WeekPlace{Action: "/week/move", Button: "Move it here", Fields: []part.Hidden{{Name: "to", Value: "2026-04-13"}}}
	}
	moving.Week.Rows[0].Place = &page.WeekPlace{Refused: "Gone by."}
	moving.Week.Rows[2].Place.Costs = []string{"Saturday’s run goes to Sunday."}
	moving.Week.Rows[3].Place.Parts = []part.Option{{Value: "midday", Words: "At midday"}, {Value: "evening", Words: "In the evening"}}
	moving.Week.Rows[3].Items[0].Here = true
	moving.Week.Rows[5].Place = &page.WeekPlace{Action: "/week/move", Button: "Move it here all the same", Quiet: true, Refused: "It would make two hard days in a row.", Costs: []string{"Two hard days in a row, Friday and Saturday."}}
	moving.Week.Rows[6].Place = &page.WeekPlace{Refused: "Not here: your coach has fixed that day. Nothing was moved.", Quiet: true}
	closed := ownWeek()
	closed.Week.Closed, closed.Week.Told = []string{"Running is paused until your coach says so."}, nil
	for i := range closed.Week.Rows {
		closed.Week.Rows[i].Items, closed.Week.Rows[i].Quiet = nil, "nothing planned"
	}
	bad := coachWeek()
	bad.Ways.Errors = part.Errors{"legs": "No more of them than there are sessions of strength."}
	bad.Ways.Legs.Error = bad.Ways.Errors.At("legs")
	return map[string]templ.Component{
		"week":           page.OwnWeekPage(ownWeek()),
		"week-moving":    page.OwnWeekPage(moving),
		"week-closed":    page.OwnWeekPage(closed),
		"week-coach":     page.CoachWeekPage(coachWeek()),
		"week-coach-bad": page.CoachWeekPage(bad),
		"weeks":          page.AllWeeksPage(allWeeks()),
		"weeks-empty":    page.AllWeeksPage(page.AllWeeks{Desk: weekDesk("Everybody’s week"), Title: "Everybody’s week", Sub: "13 to 19 April, 0 athletes", Empty: "Nobody is here yet."}),
		"groups":         page.GroupsPage(groupsView()),
		"groups-look":    page.GroupsPage(page.GroupsPageView{Desk: weekDesk("Groups and holidays"), Groups: []page.OneGroup{{Name: "Early birds", Words: "Tuesday 06:30", People: "4 athletes", Weeks: "/weeks?group=1"}}}),
	}
}

// calendarPages are those about calendars elsewhere.
func calendarPages() map[string]templ.Component {
	v := page.Calendar{
		Lead: "Your sessions in the calendar of your phone or computer, beside everything else you have on.", Action: "/me/calendar", Key: "a-secret-to-be", End: "/me/calendar/end",
		Holds: []string{"Your sessions of two weeks back and four ahead.", "Nothing of your health, and no reason why there are no sessions."},
		Back:  part.Link{Href: "/me", Words: "Back to About me"},
	}
	none := page.OwnCalendar{Phone: phone("My calendar elsewhere", ""), Calendar: v}
	made := none
	made.There = "There is one, made on 2 April; a calendar program looked last yesterday."
	made.Shown = &page.Address{
		Text: "https://run.example.org/calendar/" + strings.Repeat("Q3x", 14) + "A.ics", Webcal: "webcal://run.example.org/calendar/x.ics",
		QR: part.QR{Side: 29, Path: "M2 2h7v1h-7z", Label: "Code that subscribes to your calendar"},
	}
	club := page.ClubCalendar{Desk: desk("My calendar elsewhere", part.InClub), Calendar: made.Calendar}
	club.Shown = nil
	return map[string]templ.Component{
		"calendar": page.OwnCalendarPage(none), "calendar-made": page.OwnCalendarPage(made), "calendar-coach": page.ClubCalendarPage(club),
	}
}

// paperPages are weeks on paper and their entry.
func paperPages() map[string]templ.Component {
	sheet := page.Sheet{
		Name: "Ines Okafor", Week: "13 to 19 April", Phase: "Walk-led, phase 3 of 4", Plan: "Run 2 min, walk 3 min, six times.", Strip: *toCome(inFull(l3, 50, 2)),
		Rows: []page.PaperRow{
			{When: "Tuesday 14 April", What: "Run and walk", Before: "Already told: in full, effort 4."},
			{When: "Wednesday 15 April, in the evening", What: "Strength"}, {When: "Thursday 16 April, in the morning", What: "Run and walk", Runs: true},
			{When: "Friday 17 April", What: "Strength"}, {When: "Saturday 18 April, 09:30 with the early birds", What: "Run and walk", Runs: true},
		},
	}
	sheet.Strip.Size = part.Large
	quiet := page.Sheet{Name: "Bo Lind", Week: "13 to 19 April", Quiet: "Nothing is planned in this week."}
	paper := part.Paper{Title: "Weeks on paper", Back: part.Link{Href: "/weeks", Words: "Back to everybody’s week"}}
	row := page.WeekFormRow{At: "rows[1].", Title: "Thursday 16 April: Run and walk", Runs: true, Phase: "L2", Plan: "L2: run 1 min 30, walk 3 min 30, six times.", Key: "a-key-of-a-row", Kind: "planned", Date: "2026-04-16", From: "2026-04-13", To: "2026-04-19"}
	bad := row
	bad.Became, bad.Effort, bad.Errors = "all", "14", part.Errors{"effort": "Effort goes from 0 to 10, not 14."}
	form := page.WeekForm{
		Desk: weekDesk("Enter the week of Ines Okafor"), Name: "Ines Okafor", Href: "/athletes/1/week", Sub: "13 to 19 April", Action: "/athletes/1/week/enter",
		Print: part.Link{Href: "/athletes/1/week/print", Words: "Print the week"}, Whole: part.Link{Href: "/athletes/1/log?kind=planned", Words: "The whole form for one session"},
		Rows: []page.WeekFormRow{
			{At: "rows[0].", Title: "Tuesday 14 April: Run and walk", Done: "Stored: in full, effort 4.", Look: part.Link{Href: "/athletes/1/sessions/3", Words: "Look at it"}},
			row, {At: "rows[2].", Title: "Saturday 18 April: Strength", Later: "Still to come."},
		},
	}
	wrong := form
	wrong.Rows = []page.WeekFormRow{form.Rows[0], bad}
	wrong.Mistakes = []part.Mistake{{Field: "rows[1].effort", Words: "Thursday 16 April: Run and walk: Effort goes from 0 to 10, not 14."}}
	none := form
	none.Rows, none.Quiet = nil, "Nothing was planned in this week. Use the whole form for what was done."
	return map[string]templ.Component{
		"paper": page.PapersPage(page.Papers{Paper: paper, Sheets: []page.Sheet{sheet, quiet}}), "paper-none": page.PapersPage(page.Papers{Paper: paper, Empty: "There is nobody here."}),
		"week-enter": page.WeekFormPage(form), "week-enter-bad": page.WeekFormPage(wrong), "week-enter-none": page.WeekFormPage(none),
	}
}

func weekDesk(title string) part.Desk {
	d := desk(title, part.InWeeks)
	d.Loads = []string{part.WeekStyle}
	return d
}

func toCome(blocks []part.Block) *part.Strip {
	return &part.Strip{Label: "Run 2 min, walk 3 min, six times.", State: part.Planned, Size: part.Medium, Blocks: blocks}
}

func weekList() page.WeekList {
	did := done("", "in full: run 2 min, walk 3 min, six times", inFull(l3, 50, 2))
	did.Size = part.Medium
	l := page.WeekList{
		Title: "This week", Sub: "13 to 19 April, 1 of 3 done",
		Before: part.Link{Href: "/week?monday=2026-04-06", Words: "Last week"}, After: part.Link{Href: "/week?monday=2026-04-20", Words: "Next week"},
		Told: []string{"Two runs on days in a row, Saturday and Sunday, because only Thursday, Saturday and Sunday are free."},
	}
	days := []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}
	for i, d := range days {
		l.Rows = append(l.Rows, page.WeekRow{ID: d, Day: d, Date: string(rune('3'+i)) + " April", Quiet: "rest"})
	}
	move := part.Link{Href: "/week?move=run&from=2026-04-16", Words: "Thursday’s run"}
	l.Rows[0].Items = []page.WeekItem{{What: "Run", Over: true, Note: "Not done; it is on Sunday now."}}
	l.Rows[1].Items, l.Rows[1].Today = []page.WeekItem{{What: "Done", Strip: &did, Note: "In full, effort 4.", Look: part.Link{Href: "/sessions/4", Words: "the session of Tuesday"}}}, true
	l.Rows[3].Items = []page.WeekItem{
		{What: "Run 2 min, walk 3 min, six times", When: "18:30 with Early birds", Strip: toCome(l3), Move: move},
		{What: "Strength, legs too", When: "in the evening, after the run", Move: move},
	}
	l.Rows[4].Quiet = "away"
	l.Rows[5].Items = []page.WeekItem{{What: "Run 2 min, walk 3 min, six times", When: "in the morning", Strip: toCome(l3), Move: move, Note: "Fixed by your coach."}}
	l.Rows[6].Quiet = "Midsummer"
	return l
}

func weekWays(coach bool) page.WeekWays {
	w := page.WeekWays{
		Habits: "/week/habits", Key: "KJH3K4J5HK", Coach: coach, First: "Ines", Pin: "/week/pins",
		Pins:  []page.WeekPin{{Words: "A run on Thursday, 18:30", By: "with Early birds"}, {Words: "Strength on Monday evening", Lift: "/week/pins/3/lift"}},
		Kinds: []part.Option{{Value: "run", Words: "a run"}, {Value: "legs", Words: "strength, legs too"}}, Parts: []part.Option{{Words: "any time"}, {Value: "evening", Words: "in the evening"}},
	}
	for _, d := range []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"} {
		t := page.WeekTimes{Day: d}
		for i, p := range []string{"morning", "midday", "evening"} {
			t.Boxes[i] = page.WeekBox{Value: d + "-" + p, Label: d + " " + p, On: d == "Thursday" && i == 2}
		}
		w.Times, w.Days = append(w.Times, t), append(w.Days, part.Option{Value: d, Words: d})
	}
	number := []part.Option{{Value: "0", Words: "0"}, {Value: "1", Words: "1"}, {Value: "2", Words: "2"}, {Value: "3", Words: "3"}}
	if coach {
		w.Strong = part.Choices{Name: "strength", Label: "Strength sessions a week", Hint: "Three short ones of the whole body; two is fine.", Value: "2", Options: number}
		w.Legs = part.Choices{Name: "legs", Label: "Of these, hard on the legs", Hint: "They are kept away from the day before a run.", Value: "1", Options: number}
		w.Groups = part.Choices{Name: "group", Label: "Group", Value: "1", Options: []part.Option{{Value: "0", Words: "none"}, {Value: "1", Words: "Early birds"}}}
	}
	return w
}

func ownWeek() page.OwnWeek {
	p := phone("This week", part.WeekAt)
	p.Loads = []string{part.WeekStyle}
	return page.OwnWeek{Phone: p, Week: weekList(), Ways: weekWays(false), Away: part.Link{Href: "/away", Words: "I am away, or cannot on a day"}}
}

func coachWeek() page.CoachWeek {
	return page.CoachWeek{Desk: weekDesk("Ines Okafor, this week"), Name: "Ines Okafor", Href: "/athletes/1", Week: weekList(), Ways: weekWays(true),
		Links: []part.Link{{Href: "/athletes/1/leave", Words: "Times away"}, {Href: "/weeks", Words: "Everybody’s week"}}}
}

func allWeeks() page.AllWeeks {
	name := func(n, word string) page.AllName { return page.AllName{Name: n, Href: "/athletes/1/week", Word: word} }
	v := page.AllWeeks{
		Desk: weekDesk("Everybody’s week"), Title: "Everybody’s week", Sub: "13 to 19 April, 14 athletes",
		Before: part.Link{Href: "/weeks", Words: "Last week"}, After: part.Link{Href: "/weeks", Words: "Next week"},
		Groups: []page.WeekGroup{{Name: "Everybody", Href: "/weeks", Here: true}, {Name: "Early birds", Href: "/weeks?group=1"}},
		Links:  []part.Link{{Href: "/groups", Words: "Groups and holidays"}}, Closed: []page.AllName{name("Grete Holm", "stopped for now"), name("Nils Okonkwo", "away")},
	}
	for i, d := range []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"} {
		v.Days = append(v.Days, page.AllDay{Day: d, Date: string(rune('3'+i)) + " April", Quiet: "Nothing for anybody."})
	}
	v.Days[0].Lines = []page.AllLine{{What: "Done", Names: []page.AllName{name("Ines Okafor", "effort 4")}}, {What: "Not done", Names: []page.AllName{name("Bram Visser", "run is on Saturday now")}}}
	v.Days[0].Past = "One done, one not done"
	v.Days[1].Today = true
	v.Days[1].Lines = []page.AllLine{
		{What: "18:30 with Early birds", Names: []page.AllName{name("Tove Lindqvist", "L4"), name("Marek Dvořák", "L2"), name("Aoife Brennan", "L3")}},
		{What: "Strength, in the evening", Names: []page.AllName{name("Solveig Aune-Bergström", "legs too")}},
	}
	v.Days[5].Lines = []page.AllLine{{What: "Midsummer", Small: "holiday", Names: []page.AllName{name("Ines Okafor", "")}}}
	return v
}

func groupsView() page.GroupsPageView {
	days := [7]string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}
	return page.GroupsPageView{
		Desk: weekDesk("Groups and holidays"),
		Groups: []page.OneGroup{{Name: "Early birds", Words: "Tuesday 06:30, Thursday 06:30", People: "4 athletes", Weeks: "/weeks?group=1", Remove: "/groups/1/remove",
			Form: page.GroupForm{Action: "/groups/1", ID: "g1-", Key: "KJH3K4J5HK", Version: "2", Name: "Early birds", Days: days, Meets: [7]string{1: "06:30", 3: "06:30"}}}},
		New:      page.GroupForm{Action: "/groups", ID: "new-", Key: "KJH3K4J5HL", Days: days, Open: true, Errors: part.Errors{"meets": "Please give at least one day with its time."}},
		Holidays: []page.OneHoliday{{Words: "24 June, Midsummer", Remove: "/holidays/2/remove"}},
		Free:     page.HolidayForm{Action: "/holidays", Key: "KJH3K4J5HM", Name: "Spring days", From: "2026-05-01", Errors: part.Errors{"to": "This is before the first day."}},
	}
}
