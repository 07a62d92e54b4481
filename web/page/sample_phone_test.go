package page_test

import (
	"fmt"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

func planned() *part.Strip {
	s := part.Strip{State: part.Planned, Size: part.Medium, Label: "Six times: run 2 minutes, walk 3 minutes; 30 minutes in all.", Blocks: l3}
	return &s
}

func today() page.Today {
	return page.Today{
		Phone: phone("Today", part.TodayAt), Name: "Ines", Day: "Tuesday, session 2 of 3", Big: "Run 2 minutes, walk 3, six times",
		Strip: planned(), Advice: "Run so that you could still say a short sentence. Walk until you could chat. Slow is right.",
		Start: part.Link{Href: "/go", Words: "Start"}, Done: part.Link{Href: "/log", Words: "I have done it already"}, WarmUp: "Before you go, about 9 minutes",
		WarmHow: "Easy walk, leg swings to front and back, knee over toes, step back and reach up, squat and reach forward, march on the spot, easy skips.",
		WarmAt:  []part.Link{{Href: "/warm-up", Words: "Step by step, with drawings"}, {Href: "/cool-down", Words: "Afterwards, about 5 minutes"}},
		Weather: page.Weather{Form: weatherForm()},
		Word:    "Lovely settle times on Sunday. Same again, no faster.", WordBy: "Mara, on Monday",
		Week: []page.WeekDay{
			{Day: "Sunday", What: "in full, effort 4", Strip: medium(inFull(l3, 46, 3)), Href: "/sessions/31"},
			{Day: "Today", What: "still to come", Strip: *planned()},
			{Day: "From Thursday", What: "still to come", Strip: *planned()},
		}, WeekSum: "1 of 3 done",
		Others: []part.Link{{Href: "/log?kind=extra", Words: "Log a run or walk outside the plan"}, {Href: "/log?kind=strength", Words: "Log strength training"}, {Href: "/log?kind=other", Words: "Log something else"}, {Href: "/away", Words: "I am away"}},
	}
}

func medium(blocks []part.Block) part.Strip {
	return part.Strip{Size: part.Medium, Label: "In full: run 2 min, walk 3 min, six times", Blocks: blocks}
}

func hurting() page.Today {
	v := today()
	v.Moved = "You moved up yesterday: runs are 30 seconds longer now."
	v.Follow = []page.FollowUp{{Action: "/sessions/31/morning", Key: "KJH3K4J5HE", After: "After Monday's session",
		Pains: []page.Morning{{Site: "left shin", Words: "How is your left shin this morning?"}, {Site: "back", Words: "And your back?", Value: "2"}}}}
	return v
}

func stopped() page.Today {
	v := today()
	v.Day, v.Big, v.Strip, v.Done, v.WarmUp, v.Advice, v.Word = "Tuesday", "No running for now", nil, part.Link{}, "", "", ""
	v.Start = part.Link{}
	v.Stop = &page.Stop{Kind: "paused", Title: "Paused for your left shin", Words: []string{
		"You told of pain at 6 of 10 on Sunday. Walk as far as it does not hurt, and no further.",
		"Have it looked at if it stays or grows. Your coach says when running begins again."}}
	v.Week = v.Week[:1]
	return v
}

func rest() page.Today {
	v := today()
	v.Day, v.Rest = "Monday", "Next session from Tuesday. Rest is part of it."
	v.Away = "You are away until 20 April. The session is here all the same, if you feel like it."
	v.Done.Words = "I have done one already"
	return v
}

func blocks() []page.Block {
	var all []page.Block
	for i := range 6 {
		all = append(all, page.Block{Word: fmt.Sprintf("Run %d", i+1), Kind: "run", Planned: "2 min", Seconds: "120", Min: "2", Sec: "0"},
			page.Block{Word: fmt.Sprintf("Walk %d", i+1), Kind: "walk", Planned: "3 min", Seconds: "180", Min: "3", Sec: "0", Judged: true})
	}
	return all
}

func after() page.After {
	v := page.After{
		Phone: part.Phone{Title: "How was it?", Back: "/today"}, Kind: "planned", Title: "How was it?", Action: "/sessions", Key: "KJH3K4J5HF",
		Phase: "L3", Plan: "run 2 min, walk 3 min, six times", Date: "2026-04-14", Clock: "07:10", DateMin: "2025-10-13", DateMax: "2026-04-14",
		Blocks: blocks(), AskAround: true, AskTalk: true, AskBreath: true, Signs: page.CommonSigns(),
		Other: []part.Link{{Href: "/log?kind=extra", Words: "It was outside the plan"}, {Href: "/log?kind=strength", Words: "It was strength training"}},
	}
	v.Pairs, v.Others = page.Places(nil)
	return v
}

func faulty() page.After {
	v := after()
	v.Done, v.Pain, v.Effort, v.Talk, v.Breath, v.Note = "part", "some", "8", "words", "late", "It was <b>hot</b> & humid."
	v.Blocks[3].Settle, v.Hot, v.Limp, v.WarmUp, v.CoolDown = "300", true, true, "done", "skipped"
	v.HotWhy = "Ticked because of the weather at 14:05: 31 °C, 55 %, in the sun. Pulse tells nothing about effort in such heat. Untick it if it was cooler where you were."
	v.Pairs, v.Others = page.Places(map[string]string{"left shin": "4", "right knee": "2", "jaw": "1"})
	v.Signs[1].On = true
	v.Errors = part.Errors{"date": "that is still to come; please check the day and the time", "blocks[3].settle_s": "the breath cannot be back after the end of the walk", "pain[16].site": "please say where it hurts"}
	v.Mistakes = []part.Mistake{{Field: "date", Words: "Day: that is still to come; please check the day and the time"}, {Field: "blocks", Words: "Walk 2: the breath cannot be back after the end of the walk"}, {Field: "pain[16].site", Words: "Pain: please say where it hurts"}}
	return v
}

func correcting() page.After {
	v := after()
	v.Title, v.Version, v.Done, v.Until, v.Delete, v.Other = "Correct Sunday's session", "2", "pain", "7", "/sessions/31/delete", nil
	v.Phone.For = "Ines Okafor"
	v.Pain, v.Effort, v.Talk = "some", "6", "sentence"
	v.Pairs, v.Others = page.Places(map[string]string{"left shin": "4"})
	v.Mornings = []page.PainField{{N: 0, Label: "Left shin", Value: "1"}}
	return v
}

func extra() page.After {
	v := after()
	v.Kind, v.Title, v.Blocks, v.Ran, v.AskBreath = "extra", "Outside the plan", nil, "both", false
	v.Minutes, v.Run, v.Longest = "40", "20", "8"
	return v
}

func strength() page.After {
	v := after()
	v.Kind, v.Title, v.Blocks, v.AskTalk, v.AskBreath, v.AskAround = "strength", "Strength training", nil, false, false, false
	return v
}

func guided() page.Go {
	v := page.Go{Phone: phone("Go", ""), After: after(), Log: "/log"}
	v.After.Key, v.After.Phase, v.After.Plan, v.After.Date, v.After.Clock, v.After.Blocks = "", "", "", "", "", nil
	v.After.Action = "/log"
	for _, kind := range []string{"stop", "bone", "paused"} {
		stop := alarm().Stop
		stop.Kind = kind
		v.Alarms = append(v.Alarms, page.Alarm{For: kind, Stop: stop})
	}
	return v
}

func alarm() page.Stopped {
	return page.Stopped{Phone: phone("Stop", ""), Stop: page.Stop{Kind: "stop", Title: "Stop, and get help", Words: []string{
		"You told of pressure in the chest. If it is there now, or comes again: stop, sit down, and call the local emergency number.",
		"No running until a doctor has cleared you. Your coach has been told."}}, Next: part.Link{Href: "/today", Words: "To Today"}}
}

func mine() page.Mine {
	return page.Mine{Phone: phone("My sessions", part.MineAt), Lead: "31 sessions since February.", Sessions: sessionRows(), LogHref: "/log"}
}

func deleting() page.Delete {
	return page.Delete{Phone: part.Phone{Title: "Delete", Back: "/sessions/31"}, Title: "Delete Sunday's session?", Session: sessionRows()[3], Action: "/sessions/31/delete", Version: "2", Back: "/sessions/31"}
}

func away() page.AwayPage {
	return page.AwayPage{Phone: part.Phone{Title: "Away", Back: "/today"}, Leave: page.Leave{Action: "/away", Key: "KJH3K4J5HG", Kind: "illness", From: "2026-04-14", Errors: part.Errors{"to": "the last day is before the first"}, To: "2026-04-12",
		Times: []page.Time{{Words: "from 10 April, holiday", Open: true, Over: "Back today", Back: "/away/2/back", Never: "/away/2/never", Today: "2026-04-14", Key: "KJH3K4J5HH"}}}}
}

func comingBack() page.ComingBack {
	return page.ComingBack{
		Phone: part.Phone{Title: "Coming back", At: part.TodayAt, Loads: []string{part.JoinStyle}}, Title: "Coming back after an injury", Lead: "First walking without pain, then your coach's look, then the first phase.",
		Steps: []string{"Walk: half an hour on the flat without pain, during it and the next morning, on two days.", "Begin at the first phase."},
		Way:   "After an injury the way back begins at the first phase: walk 15 minutes. Your coach confirms it.",
		Care:  []string{"A sore spot on one bone, or pain at night: no running until somebody qualified has looked at it.", "This is common practice, with no trial behind it."},
		Next:  part.Link{Href: "/today", Words: "To Today"},
	}
}
