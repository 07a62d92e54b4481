package page_test

import (
	"math"

	"github.com/a-h/templ"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// beats is an invented heart that follows runs and walks with a lag: a kinetics of
// the first order, 40 s up and 55 s down, with a little unrest.
func beats(blocks []part.Block) []int16 {
	var rates []int16
	rate, n := 92.0, 0
	for _, b := range blocks {
		for range b.Planned {
			goal, lag := 104.0, 55.0
			if b.Kind == part.Run {
				goal, lag = 158.0+float64(n)/160, 40.0
			}
			rate += (goal - rate) / lag
			rates = append(rates, int16(math.Round(rate+2*math.Sin(float64(n)/3)+math.Sin(float64(n)*1.7))))
			n++
		}
	}
	return rates
}

// beaten lays the blocks out from a second of the recording on.
func beaten(blocks []part.Block, from int, states ...part.Mark) []part.Beaten {
	var all []part.Beaten
	walks := 0
	for i, b := range blocks {
		k := part.Beaten{Kind: b.Kind, From: from, To: from + b.Planned}
		if b.Kind == part.Walk && i > 0 {
			k.Number, k.Sign = string(rune('1'+walks)), states[walks%len(states)]
			if k.Sign != "unknown" {
				k.Unsettled, k.Tap = 52+5*walks, 45+3*walks
			}
			if k.Sign == "unmet" {
				k.Unsettled = b.Planned
			}
			walks++
		}
		all = append(all, k)
		from += b.Planned
	}
	return all
}

func trace() *part.Trace {
	rates := beats(l3)
	for i := 735; i < 790; i++ {
		rates[i] = 0
	}
	for i := 1410; i < 1418; i++ {
		rates[i] = 0
	}
	return &part.Trace{
		Label: "Heart rate over 30 min, from 90 to 165 beats a minute. It falls to the easy ceiling of 132 in five of six walks; in walk 3 that cannot be told.",
		Rates: rates, Easy: 132, Low: 127, High: 137,
		Blocks: beaten(l3, 0, "met", "met", "unknown", "met", "mixed", "met"),
		Lost:   []part.Lost{{From: 735, To: 790, Sign: "a"}, {From: 1410, To: 1418, Sign: "b"}},
	}
}

func settledTold() page.Told { return page.Told{State: part.Met, Words: "settled"} }

func recorded() page.Recording {
	yes, no, open := settledTold(), page.Told{State: part.Unmet, Words: "not settled"}, page.Told{State: part.Unknown, Words: "cannot tell"}
	return page.Recording{
		Phone: phoneFor("Sunday’s session", "/sessions"), Title: "Sunday’s session", About: "In full, 30 min, effort 4 of 10",
		Trace: trace(), Lead: "Four of six walks settled; one did not, and of one it cannot be told.",
		Mixed: "Heart and breath disagree in walk 5: both are shown, and the session is mixed. A strap that sits loose can do that, and so can a ceiling that is not measured yet.",
		Walks: []page.Walk{
			{Name: "Walk 1", Share: "71%", Range: "66% to 75%", Settle: "52 s", Drop: "34 beats", Heart: yes, Breath: yes, Both: yes},
			{Name: "Walk 2", Share: "68%", Range: "62% to 73%", Settle: "57 s", Drop: "33 beats", Heart: yes, Breath: yes, Both: yes},
			{Name: "Walk 3", Why: "A usable heart rate for less than 80% of it.", Heart: open, Breath: open, Both: open},
			{Name: "Walk 4", Share: "63%", Range: "57% to 69%", Settle: "1 min 07", Drop: "31 beats", Heart: yes, Breath: yes, Both: yes},
			{Name: "Walk 5", Share: "31%", Range: "12% to 40%", Settle: "never", Drop: "20 beats", Heart: no, Breath: yes, Both: no, Mixed: true},
			{Name: "Walk 6", Share: "60%", Range: "52% to 66%", Settle: "1 min 17", Drop: "30 beats", Heart: open, Doubt: "a ceiling a little lower would say otherwise", Breath: yes, Both: yes},
		},
		Facts: []page.Fact{
			{Name: "Coverage", Words: "Usable for 96% of the session."}, {Name: "Blocks found", Words: "By the heart rate itself; the session begins 4 s into the recording."},
			{Name: "Judged with", Words: "An easy ceiling of 132, from a talk test, likely right to within 5 beats."}, {Name: "File", Words: "FIT, 30 min 3 long, added by Ines Okafor on 12 April."},
		},
		Lost:     []page.LostWords{{Sign: "a", Words: "Steps taken for beats: 55 s, at 12 min 15."}, {Sign: "b", Words: "No contact: 8 s, at 23 min 30."}},
		Warnings: []string{"The second run seems to have begun 20 s late."},
		Stale:    "It was read with an older ceiling or older rules. Reading it anew may say something else.", Anew: "/sessions/31/recording/anew",
		Remove:  page.Confirm{Action: "/sessions/31/recording/remove", Button: "Remove the recording", Words: "The file and what it showed go for good. The session itself stays."},
		Upload:  page.Upload{Action: "/sessions/31/recording"},
		Correct: part.Link{Href: "/sessions/31", Words: "Correct this session"},
	}
}

func phoneFor(title, back string) part.Phone {
	return part.Phone{Title: title, Back: back, Loads: []string{part.HeartStyle}}
}

// unrecorded is the way to add a recording; refused: with a file that was not
// taken.
func unrecorded(refused bool) page.Recording {
	strip := medium(inFull(l3, 46, 3))
	v := page.Recording{Phone: phoneFor("Sunday’s session", "/sessions"), Title: "Sunday’s session", About: "In full, 30 min, effort 4 of 10",
		Strip: &strip, Upload: page.Upload{Action: "/sessions/31/recording", Open: true}, Correct: part.Link{Href: "/sessions/31", Words: "Correct this session"}}
	if refused {
		v.Off = "Heart rate does not count in this session, because it was hot. A recording can be kept all the same."
		v.Upload.Refused, v.Upload.Anyway = "This recording began on 3 April, more than a day from the session.", "Attach it anyway"
		v.Upload.Errors = part.Errors{"file": "Please choose a file."}
	}
	return v
}

func deskRecording() page.Recording {
	v := recorded()
	v.Desk, v.About = desk("Sunday’s session", part.InRoster), "Ines Okafor, in full, 30 min, effort 4 of 10"
	v.Desk.Loads = []string{part.HeartStyle}
	v.Trace.Blocks, v.NoRate = beaten(l3, -75, "unknown"), &part.Link{Href: "/athletes/1/heart", Words: "To heart rate"}
	v.Upload.Open, v.Upload.Replace, v.Upload.Refused = true, "Replace the recording that is there", "The session has another recording already."
	return v
}

func hearts() page.Heart {
	return page.Heart{
		Back:     "/athletes/7",
		Phone:    phoneFor("Heart rate", "/today"),
		Ceiling:  page.Ceiling{BPM: "132", From: "From a talk test, since 12 April.", Sure: "Likely right to within 5 beats either way.", Hard: "Zone 2 ends at 155: above it a run counts as hard."},
		TalkHref: "/talk-test",
		Offers:   []page.Offer{{Words: "A recording of 12 April holds 189 beats a minute for ten seconds; a maximum of 184 was predicted. Your coach is asked whether to take it.", Href: "/sessions/31/recording"}},
		History:  []page.Held{{BPM: "132", Since: "since 12 April", From: "from a talk test"}, {BPM: "139", Since: "since 3 March", From: "from a predicted maximum"}},
		Measured: []page.Measured{
			{Value: "132", What: "Talk test", When: "12 April", By: "by you", Back: "/heart/measurements/3/back"},
			{Value: "61", What: "At rest", When: "14 March", By: "by Mara Lund"},
		},
		Resting: page.Measuring{Action: "/heart/measurements", Key: "KJH3K4J5HL", Kind: "resting", On: "2026-04-14", Max: "2026-04-14"},
	}
}

func deskHearts() page.Heart {
	v := hearts()
	v.Name, v.Desk, v.TalkHref = "Ines Okafor", desk("Heart rate of Ines Okafor", part.InRoster), "/athletes/1/talk-test"
	v.Desk.Loads = []string{part.HeartStyle}
	v.Offers[0] = page.Offer{Words: "A recording of 12 April holds 189 beats a minute for ten seconds; a maximum of 184 was predicted. Single recordings can be wrong: look at it first.", Href: "/athletes/1/sessions/31/recording", Action: "/athletes/1/heart/offers", Key: "KJH3K4J5HM", Fields: []part.Hidden{{Name: "recording", Value: "4"}}}
	v.Max = &page.Measuring{Action: "/athletes/1/heart/measurements", Key: "KJH3K4J5HN", Kind: "max", BPM: "400", On: "2026-04-14", Max: "2026-04-14", Open: true, Errors: part.Errors{"bpm": "A maximum lies between 100 and 230."}}
	v.Formulas = &page.Formulas{Action: "/athletes/1/heart/formula", Value: "nes", Options: []part.Option{{Value: "nes", Words: "211 − 0.64 × age (Nes 2013)"}, {Value: "tanaka", Words: "208 − 0.7 × age (Tanaka 2001)"}}}
	return v
}

func heartsOff() page.Heart {
	v := hearts()
	v.Off, v.Ceiling, v.TalkHref, v.Offers, v.History, v.Measured = "Heart rate cannot be used here, for a reason your coach noted. Everything works without it: breath, talk and effort count.", page.Ceiling{Words: "None."}, "", nil, nil, nil
	return v
}

func talking() page.TalkTest {
	v := page.TalkTest{Phone: phoneFor("Guided talk test", "/heart"), Action: "/talk-test", Key: "KJH3K4J5HO", Back: "/heart"}
	v.Phone.Loads = append(v.Phone.Loads, part.TalkScript)
	return v
}

func stageOfTest() page.TalkTest {
	v := talking()
	v.Behind = []page.StageBehind{{Name: "Easy walk", Rate: "96", Talk: "chat", Answer: "comfortably"}, {Name: "Brisk walk", Rate: "108", Talk: "chat", Answer: "comfortably"}}
	v.Stage = &page.TalkStage{Number: 3, Of: 6, Name: "As fast as you can walk", How: "Walk as fast as you can for two minutes, without running."}
	return v
}

func resultOfTest(found bool) page.TalkTest {
	v := stageOfTest()
	v.Stage = nil
	v.Behind = append(v.Behind, page.StageBehind{Name: "As fast as you can walk", Rate: "132", Talk: "chat", Answer: "comfortably"})
	if !found {
		v.Result = &page.TalkResult{Title: "Comfortable to the end", Words: []string{"Reading stayed comfortable in every stage, so the test cannot tell where your ceiling lies: somewhere above what you did today. That is a good sign, and nothing is stored."}}
		return v
	}
	v.Behind = append(v.Behind, page.StageBehind{Name: "Slow jog", Rate: "147", Talk: "sentence", Answer: "with a catch of breath"})
	v.Result = &page.TalkResult{BPM: "132", Title: "Your easy ceiling: 132", Words: []string{"It is the heart rate of the last stage at which you could read comfortably. From today on your walks are judged with it; older sessions keep the ceiling they had."}}
	return v
}

// heartPages are the pages about heart rate.
func heartPages() map[string]templ.Component {
	withFault := stageOfTest()
	withFault.Errors, withFault.Mistakes = part.Errors{"rate": "A heart rate between 40 and 220, please.", "talk": "Please pick one."}, []part.Mistake{{Field: "rate", Words: "Heart rate: between 40 and 220, please."}, {Field: "talk", Words: "Reading: please pick one."}}
	off := talking()
	off.OffTitle = "Not by heart rate"
	off.Off = []string{"Heart rate cannot be used here, for a reason your coach noted: medicine that holds it down, an irregular heartbeat, a pacemaker, a transplant, or pregnancy.", "Everything works without it. Run so that you could say a short sentence, walk until you could chat."}
	withTrace := portrait()
	withTrace.Desk.Loads = []string{part.HeartStyle}
	withTrace.Newest.Trace, withTrace.Newest.Heart = trace(), "Four of six walks settled by heart rate."
	withTrace.Newest.Heard = part.Link{Href: "/athletes/1/sessions/31/recording", Words: "Walk by walk"}
	withTrace.Heart = page.Ceiling{BPM: "132", From: "From a talk test, since 12 April.", Sure: "Likely right to within 5 beats either way.", Href: "/athletes/1/heart"}
	for i := range withTrace.Sessions {
		withTrace.Sessions[i].Heard = part.Link{Href: "/athletes/1/sessions/31/recording", Words: "Add"}
	}
	return map[string]templ.Component{
		"athlete-trace":     page.AthletePage(withTrace),
		"recording":         page.RecordingPage(recorded()),
		"recording-desk":    page.RecordingPage(deskRecording()),
		"recording-add":     page.RecordingPage(unrecorded(false)),
		"recording-refused": page.RecordingPage(unrecorded(true)),
		"heart":             page.HeartPage(hearts()),
		"heart-desk":        page.HeartPage(deskHearts()),
		"heart-off":         page.HeartPage(heartsOff()),
		"talk":              page.TalkTestPage(talking()),
		"talk-stage":        page.TalkTestPage(stageOfTest()),
		"talk-faults":       page.TalkTestPage(withFault),
		"talk-result":       page.TalkTestPage(resultOfTest(true)),
		"talk-comfortable":  page.TalkTestPage(resultOfTest(false)),
		"talk-off":          page.TalkTestPage(off),
	}
}
