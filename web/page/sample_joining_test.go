package page_test

import (
	"github.com/a-h/templ"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// joiningPages are the pages of joining, and of the review that follows.
func joiningPages() map[string]templ.Component {
	return map[string]templ.Component{
		"joining-consent":   page.JoiningPage(consenting()),
		"joining-section":   page.JoiningPage(sectionOfJoining()),
		"joining-faults":    page.JoiningPage(faultySection()),
		"joining-week":      page.JoiningPage(weekOfJoining()),
		"joining-walk":      page.JoiningPage(firstWalk()),
		"joining-result":    page.JoiningResultPage(fineResult()),
		"joining-clearance": page.JoiningResultPage(clearanceResult()),
		"joining-paper":     page.DoctorPaperPage(paper()),
		"today-joining":     page.TodayPage(beforeJoining()),
		"today-limits":      page.TodayPage(limited()),
		"review":            page.ReviewPage(review()),
		"review-clearance":  page.ReviewPage(reviewOfClearance()),
		"review-anew":       page.ReviewPage(reviewAnew()),
		"health-again":      page.HealthAgainPage(healthAgain()),
		"roster-coming":     page.RosterPage(rosterComing()),
		"person-paper":      page.PersonPage(onPaper()),
	}
}

func joiningPhone(title string) part.Phone {
	p := phone(title, "")
	p.Back, p.Loads = "/joining/health", []string{part.JoinStyle}
	return p
}

func consenting() page.Joining {
	v := page.Joining{
		Phone: joiningPhone("Before you begin"), Step: page.Step{Number: 1, Of: 9}, Title: "Before you begin, Ines",
		Intro: []string{"Riverside Beginners keeps a training diary for you here. Before anything is asked, this is what that means."},
		Consent: []page.Consent{
			{Name: "keeping", Title: "What is kept, and who sees it", Points: []string{"Kept are your name, your sessions with how they felt, and what your coaches decide.", "Your coaches see it. Other athletes do not."}, Tick: "I agree that this is kept and that my coaches see it.", On: true},
			{Name: "health", Title: "Answers about your health", Points: []string{"Only you and your coaches see the answers; deputies of a coach do not."}, Tick: "I agree that my answers about health are kept and used for this."},
			{Name: "adult", Title: "Your age", Tick: "I am 18 or older."},
			{Name: "guardian", Title: "Under 18", Tick: "I am the parent or guardian, and agree for the person named here."},
		},
		Questions: []page.Question{{Name: "guardian_name", Kind: "line", Label: "Name of the parent or guardian", Optional: true}},
		Action:    "/joining", Key: "KJH3K4J5JA", Button: "I agree, go on",
		Errors: part.Errors{"health": "without this there can be no health questions, and nobody begins without them"},
	}
	v.Mistakes = []part.Mistake{{Field: "health", Words: "Answers about health: without this there can be no health questions"}}
	return v
}

func sectionOfJoining() page.Joining {
	return page.Joining{
		Phone: joiningPhone("Your health"), Step: page.Step{Number: 3, Of: 9}, Title: "Your health",
		Intro: []string{"Running is safe for most people. For some it is wise to ask a doctor first; these questions tell who."},
		Seen:  "You and your coaches. Deputies of a coach do not.",
		Questions: []page.Question{
			{Name: "active", Kind: "one", Label: "In the last three months, did you move on purpose on three days a week or more?", Hint: "Brisk walks, cycling, swimming. It has to be all three months.",
				Options: []page.Choice{{Value: "yes", Words: "Yes"}, {Value: "no", Words: "No", On: true}, {Value: "unsure", Words: "I am not sure"}}},
			{Name: "disease", Kind: "many", Label: "Has a doctor ever told you that you have one of these?", Options: []page.Choice{
				{Value: "heart", Words: "A disease of the heart", Hint: "A heart attack, a stent or bypass, a valve.", Opens: true, On: true},
				{Value: "diabetes2", Words: "Diabetes type 2", Opens: true}, {Value: "none", Words: "None of these"},
			}, Then: []page.Question{{Name: "cleared", Kind: "one", Label: "Did a doctor who knows about this say within the last twelve months that you may exercise hard?",
				Options: []page.Choice{{Value: "yes", Words: "Yes"}, {Value: "no", Words: "No"}}}}},
		},
		Action: "/joining/health", Key: "KJH3K4J5JB", Button: "Go on",
	}
}

func faultySection() page.Joining {
	v := sectionOfJoining()
	v.Step.Number, v.Title, v.Action = 2, "About you", "/joining/you"
	v.Questions = []page.Question{
		{Name: "birth_year", Kind: "number", Label: "Which year were you born in?", Value: "20i5"},
		{Name: "height", Kind: "number", Label: "How tall are you?", Hint: "If you like.", Unit: "cm", Value: "172", Optional: true},
		{Name: "injury_text", Kind: "text", Label: "Anything your coach should know about it?", Value: "A <b>twisted</b> ankle & more", Optional: true},
		{Name: "hurts_now", Kind: "one", Label: "Does something hurt at present?", Options: []page.Choice{{Value: "yes", Words: "Yes"}, {Value: "no", Words: "No"}}},
	}
	v.Errors = part.Errors{"birth_year": "a year like 1985, please", "hurts_now": "please pick one"}
	v.Mistakes = []part.Mistake{{Field: "birth_year", Words: "Year of birth: a year like 1985, please"}, {Field: "hurts_now", Words: "Hurting now: please pick one"}}
	return v
}

func weekOfJoining() page.Joining {
	v := sectionOfJoining()
	v.Step.Number, v.Title, v.Intro, v.Action = 8, "Your week", []string{"Each session takes about three quarters of an hour with getting ready."}, "/joining/training"
	days := page.Question{Name: "times", Kind: "days", Label: "When can you train?", Hint: "Tick whatever usually works."}
	for i, day := range []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"} {
		days.Rows = append(days.Rows, page.DayRow{Day: day, Times: []page.Choice{
			{Value: day + "-morning", Words: "Morning", On: i%2 == 0}, {Value: day + "-midday", Words: "Midday"}, {Value: day + "-evening", Words: "Evening", On: i == 1},
		}})
	}
	v.Questions = []page.Question{days, {Name: "resting", Kind: "number", Label: "Your resting heart rate", Hint: "In the morning, lying awake in bed. Two fingers on the wrist below the thumb, count for a full minute.", Unit: "beats a minute", Optional: true}}
	return v
}

func firstWalk() page.Joining {
	v := sectionOfJoining()
	v.Step, v.Title, v.Seen, v.Action, v.Button = page.Step{}, "A first walk", "", "/joining/walk", "Keep the walk"
	v.Intro = []string{"Ten minutes at a pace that feels brisk but easy."}
	v.Tips = []string{"Walk for ten minutes on flat ground.", "In the last minute, say a few sentences aloud.", "Come back here and tell how it went."}
	v.Skip = part.Act{Words: "Leave it out", Choice: "skip"}
	v.Questions = []page.Question{
		{Name: "talk", Kind: "one", Label: "Could you talk?", Options: []page.Choice{{Value: "chat", Words: "I could chat"}, {Value: "sentence", Words: "A short sentence"}, {Value: "words", Words: "Only single words"}}},
		{Name: "effort", Kind: "one", Label: "How hard was it, all in all?", Options: []page.Choice{{Value: "0", Words: "0", Hint: "rest"}, {Value: "1", Words: "1", Hint: "very light"}, {Value: "2", Words: "2", Hint: "light"}}},
	}
	return v
}

func fineResult() page.JoiningResult {
	return page.JoiningResult{
		Phone: joiningPhone("Your answers are in"), Title: "Nothing speaks against beginning",
		Words:    []string{"Thank you, Ines. Your answers are with your coach."},
		Heart:    []page.HeartReason{{Why: "You take a beta blocker: it holds the heart rate down.", Instead: "We go by breath and by how hard it feels."}},
		Cautions: []string{"An old ankle injury: you begin one step easier."},
		Walk:     part.Link{Href: "/joining/walk", Words: "I would like to walk"},
		Waiting:  []string{"Mara reads your answers and says where you begin. You see your first session on Today."},
		Answers:  []part.Link{{Href: "/joining/you", Words: "About you"}, {Href: "/joining/health", Words: "Your health"}},
	}
}

func clearanceResult() page.JoiningResult {
	v := fineResult()
	v.Title, v.Words, v.Heart, v.Walk = "Please ask a doctor first", []string{"Thank you, Ines. Your answers are stored, and they say: before you begin, somebody who can judge it should."}, nil, part.Link{}
	v.Stop = &page.Stop{Kind: "referred", Title: "Nothing is prescribed yet", Words: []string{"Once a doctor has said that you may begin, tell your coach. Until then there is no session here for you."}}
	v.Why = []string{"You know pressure in the chest from yourself."}
	v.Whom = []string{"Your family doctor is the right place to begin.", "If you feel it now: stop, sit down, and call the local emergency number."}
	v.Paper = "/joining/paper"
	return v
}

func paper() page.DoctorPaper {
	return page.DoctorPaper{
		Phone: joiningPhone("For the doctor"), Name: "Ines Okafor", Born: "born in 1985", Date: "14 April 2026", Club: "Riverside Beginners",
		Why: []string{"Pressure in the chest, now or in the last months"}, Intends: []string{"Walking for 15 to 30 minutes, three times a week"},
		Heart: fineResult().Heart, Back: "/joining",
	}
}

func beforeJoining() page.Today {
	v := stopped()
	v.Stop, v.Week, v.Others, v.Day, v.Big = nil, nil, nil, "Tuesday", "Welcome, Ines"
	v.Before = &page.Before{Words: []string{"Before your first session there are a few questions about your health, and about what you can do now."}, Next: part.Link{Href: "/joining", Words: "Begin with the questions"}}
	return v
}

func limited() page.Today {
	v := today()
	v.Limits, v.LimitBy = "Effort up to 4 of 10 for the first four weeks.\nNot in heat.", "Dr Aune, on 10 April"
	return v
}

func review() page.Review {
	desk := desk("Ines Okafor answered", part.InRoster)
	desk.Loads = []string{part.JoinStyle}
	return page.Review{
		Desk: desk, Name: "Ines Okafor", Href: "/athletes/1", About: "41, answered yesterday on the phone",
		Lead: "Nothing speaks against beginning.", Sub: "Look at the answers and say where Ines begins.",
		Heart: fineResult().Heart, Injuries: []string{"Ankle"}, Bone: []string{"A bone once cracked from strain alone"}, Cautions: []string{"An old ankle injury: one step easier."},
		Facts: []page.Figure{{Name: "Age", Value: "41"}, {Name: "Body mass index", Value: "24", Caution: "172 cm, 71 kg"}, {Name: "Resting heart rate", Value: "64"}, {Name: "Can train", Value: "Monday morning, Friday evening"}},
		Walk:  "A first walk on Sunday: ten minutes, could chat, effort 2 of 10.",
		Sections: []page.Answered{
			{Title: "Your health", Rows: []page.Answer{{Asked: "In the last three months, did you move on purpose on three days a week or more?", Words: "No"}}},
			{Title: "Your bones", Private: true, Rows: []page.Answer{{Asked: "Is one of these true of you?", Words: "A bone once cracked from strain alone"}}},
		},
		Fill: part.Link{Href: "/athletes/1/joining/you", Words: "Go through the answers together"},
		Begin: &page.Begin{Action: "/athletes/1/review", Key: "KJH3K4J5JC", Name: "Ines", Proposed: "B2", Title: "Walking base, phase 2 of 4", Plan: "walk 20 min", Strip: *planned(),
			Reasons: []string{"Walks half an hour with ease", "An earlier injury of the leg: one phase lower"}, Phases: phaseOptions(), AWeek: "3", AWeekWhy: "Three was answered.", Button: "Ines begins here"},
		Consents: []string{"Agreed on 12 April 2026, on the phone."},
	}
}

func reviewOfClearance() page.Review {
	v := review()
	v.Lead, v.Sub, v.Begin = "A doctor is to be asked first.", "Nothing is prescribed until you record a clearance.", nil
	v.Advice = &page.Advice{Title: "Clearance advised", Words: []string{"Ines has read why, and has a page to show to the doctor."}, Why: []string{"Pressure in the chest, now or in the last months"}}
	v.Clearance = &page.Clearance{Action: "/athletes/1/clearance", Key: "KJH3K4J5JD", On: "2026-04-20", Most: "2026-04-14", Limits: "Effort up to 4.", Paper: "/athletes/1/joining/paper"}
	v.Errors = part.Errors{"given_on": "that day is still to come", "given_by": "please say who gave it"}
	v.Mistakes = []part.Mistake{{Field: "given_on", Words: "Given on: that day is still to come"}, {Field: "given_by", Words: "By whom: please say who gave it"}}
	return v
}

func rosterComing() page.Roster {
	v := morning()
	v.Desk.Loads = []string{part.JoinStyle}
	v.Coming = []page.Coming{
		{Name: "Tove Lindqvist", Href: "/athletes/11", Mark: "health_check", What: "Answered", Since: "yesterday", Words: "Nothing speaks against beginning.", Act: part.Link{Href: "/athletes/11/review", Words: "Review"}, First: true},
		{Name: "Marek Dvořák", Href: "/athletes/12", Mark: "refer", What: "Answered", Since: "on Friday", Words: "A doctor is to be asked first.", Act: part.Link{Href: "/athletes/12/review", Words: "Record the clearance"}},
		{Name: "Salma Haddad", Href: "/athletes/13", Mark: "learning", What: "Invited", Since: "3 days ago", Words: "The questions are not answered yet.", Act: part.Link{Href: "/athletes/13/joining", Words: "Answer together"}},
	}
	return v
}

func onPaper() page.Person {
	v := newPerson()
	v.Desk.Loads = []string{part.JoinStyle}
	v.Answers, v.AskedOn, v.AskedBy, v.Today = "paper", "2026-04-10", "Mara Lund", "2026-04-14"
	return v
}

func healthAgain() page.HealthAgain {
	return page.HealthAgain{
		Phone: part.Phone{Title: "Your health, asked again", Back: "/today", Loads: []string{part.JoinStyle}}, Title: "Your health, asked again",
		Words: []string{"You were injured on Friday. So the questions about health from the beginning come once more; they take three minutes, and your coach looks at the answers before you go on."},
		Seen:  "You and your coaches see this. Deputies of a coach do not.", Begin: part.Link{Href: "/joining/health", Words: "To the questions"},
	}
}

func reviewAnew() page.Review {
	v := review()
	v.Lead, v.Sub, v.Begin = "Answered anew: nothing speaks against going on.", "Look at what matters, then say that you have looked.", nil
	v.Look = &page.Look{Action: "/athletes/1/review/look", Check: "2", Name: "Ines", HeartOff: true, Refer: part.Link{Href: "/athletes/1?choice=refer#decision", Words: "Refer to a doctor"}}
	return v
}
