package page_test

import (
	"github.com/a-h/templ"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

func strengthPages() map[string]templ.Component {
	none := lifting()
	none.Lines, none.About, none.Swaps, none.Notes, none.Caution = nil, "", nil, nil, ""
	none.Stop = &page.Stop{Kind: "referred", Title: "No strength for now", Words: []string{"Nothing is prescribed until a doctor and your coach have looked at it."}}
	bare := strengthView()
	bare.Given, bare.Sessions, bare.Courses, bare.LogHref, bare.Swaps = "", nil, nil, "", nil
	return map[string]templ.Component{
		"strength":         page.LiftingPage(lifting()),
		"strength-faults":  page.LiftingPage(liftingFaulty()),
		"strength-sets":    page.LiftingPage(liftingCorrect()),
		"strength-stop":    page.LiftingPage(none),
		"strength-desk":    page.StrengthPage(strengthView()),
		"strength-begin":   page.StrengthPage(bare),
		"programme":        page.ProgrammePage(programme()),
		"gear":             page.KitPage(gear()),
		"exercises":        page.ExercisesPage(exercises()),
		"exercise-change":  page.ExercisePage(exerciseForm()),
		"today-strength":   page.TodayPage(liftToday()),
		"athlete-strength": page.AthletePage(liftAthlete()),
	}
}

func liftToday() page.Today {
	v := today()
	v.Lift = page.LiftCard{Has: true, Words: "Next is session B, 6 exercises. The last one was on Sunday.", Link: "To the session", Href: "/strength"}
	return v
}

func liftAthlete() page.Athlete {
	v := portrait()
	v.Lift = page.LiftCard{Words: "No programme yet.", Link: "Programme and exercises", Href: "/athletes/1/strength"}
	return v
}

func lifting() page.Lifting {
	squat := page.LiftLine{
		N: 0, ID: "chair-squat", For: "chair-squat", Name: "Squat to a chair with a dumbbell", Figure: "chair-squat",
		Cues:  []string{"Hold one dumbbell upright against your chest.", "Sit back until you just touch the chair, and stay tight.", "Stand up without swinging."},
		Forms: []string{"Easier: Sit to stand.", "Harder: Goblet squat."}, Caution: "Put the chair against a wall.",
		Goal: "3 × 10 at 8 kg, with 2 left over", Last: "Last time, on Sunday: 10, 10, 9 at 8 kg", Why: "The same again, until every set goes past 12 repetitions.",
		Weighted: true, KG: "8", Weights: "2 4 6 8 10", Unit: "", By: "1", Count: "10", Sets: []string{"10", "10", "10"},
	}
	plank := page.LiftLine{
		N: 1, ID: "side-plank", For: "side-plank", Name: "Side plank", Figure: "side-plank", Cues: []string{"Elbow under the shoulder."},
		Goal: "2 × 15 s each side", Why: "Begin with 15 seconds, and stop while you could go on.", Unit: "seconds each side", By: "5", Count: "15", Sets: []string{"15", "15"},
	}
	v := page.Lifting{
		Phone: part.Phone{Title: "Strength", Back: "/today", Loads: []string{part.FigureStyle, part.LiftStyle, part.LiftScript}}, Title: "Strength, session A",
		About: "6 exercises, about 26 minutes", Action: "/strength", Key: "KJH3K4J5HS", Turn: "A", Planned: "26",
		Purpose: "Two or three short sessions a week make stairs, hills and the last minutes of a run easier.",
		Caution: "End each set while you could do a few more, and breathe on.",
		Notes:   []string{"The last strength session was yesterday. A day between two does the muscles good; this is the next one."},
		Swaps:   []string{"Goblet squat: it loads the knee, which hurts. Instead: Bridge."},
		Lines:   []page.LiftLine{squat, plank}, After: strength(),
		Others: []part.Link{{Href: "/strength/gear", Words: "What there is to lift with"}, {Href: "/sessions", Words: "My sessions"}},
	}
	return v
}

func liftingFaulty() page.Lifting {
	v := lifting()
	v.Warn = "Something hurts at 6 or more out of 10. Please talk to your coach before the next strength session."
	v.Cautions = []string{"Hold on to a wall or a chair whenever you stand on one leg: balance changes in pregnancy."}
	v.Lines[0].KG, v.Lines[0].Sets[1], v.Lines[0].Left = "heavy", "ten", "99"
	v.Errors = part.Errors{"lift[0].kg": "A weight in kilograms like 7.5, please.", "lift[0].set[1]": "A whole number, please.", "lift[0].left": "Please give 0 to 20."}
	v.Mistakes = []part.Mistake{{Field: "lift[0].kg", Words: "Squat to a chair with a dumbbell: A weight in kilograms like 7.5, please."}, {Field: "lift[0].set[1]", Words: "Squat to a chair with a dumbbell, set 2: A whole number, please."}}
	return v
}

func liftingCorrect() page.Lifting {
	v := lifting()
	v.Title, v.Version, v.After, v.Notes, v.Swaps, v.Purpose, v.Caution, v.About = "The sets of Sunday’s session", "2", page.After{}, nil, nil, "", "", ""
	v.Key = ""
	v.Phone.For = "Ines Okafor"
	for i := range v.Lines {
		v.Lines[i].Goal, v.Lines[i].Last, v.Lines[i].Why, v.Lines[i].Count = "", "", "", ""
		v.Lines[i].Sets = append(v.Lines[i].Sets, "")
	}
	return v
}

func strengthView() page.Strength {
	lines := []page.StrengthLine{
		{Name: "Squat to a chair with a dumbbell", Target: "3 × 8 to 12", Next: "3 × 10 at 8 kg, leave 2 in reserve; last 10, 10, 9 at 8 kg"},
		{Name: "Hip hinge with a dumbbell", Target: "2 × 8 to 12"}, {Name: "Side plank", Target: "2 × 15 to 30 s each side"},
	}
	course := func(name, unit, top string, heights ...int) part.Lifts {
		l := part.Lifts{Name: name, Unit: unit, Top: top, Label: name + " in 5 sessions.", Last: "10, 10, 9 at 8 kg"}
		for i, h := range heights {
			l.Points = append(l.Points, part.Lifted{Date: []string{"2 April", "4 April", "7 April", "9 April", "12 April"}[i], Height: h, Text: "10, 10, 9 at 8 kg"})
		}
		return l
	}
	d := desk("Strength of Ines Okafor", part.InRoster)
	d.Loads = []string{part.LiftStyle}
	return page.Strength{
		Desk: d, Name: "Ines Okafor", Back: "/athletes/1", Purpose: "Two or three short sessions a week make stairs, hills and the last minutes of a run easier.",
		Given: "2 sessions a week, given by Mara Lund on 3 March",
		Sessions: []page.StrengthSession{
			{Name: "Session A", Next: true, About: "6 exercises, about 26 minutes", Lines: lines}, {Name: "Session B", About: "6 exercises, about 27 minutes", Lines: lines[1:]},
		},
		Swaps:   []string{"Goblet squat: it loads the knee, which hurts. Instead: Bridge."},
		Courses: []part.Lifts{course("Squat to a chair with a dumbbell", "Weight of one dumbbell", "8 kg", 4000, 6000, 6000, 8000, 8000), course("Side plank", "Weakest set, seconds", "25", 15, 20, 20, 25)},
		Kit:     "Dumbbells of 2, 4, 6, 8, 10 kg.", KitHref: "/athletes/1/strength/gear", EditHref: "/athletes/1/strength/programme", LogHref: "/athletes/1/strength/log",
		Templates: []part.Link{{Href: "/athletes/1/strength/programme?from=two", Words: "Two short sessions a week"}}, Library: "/exercises",
	}
}

func programme() page.Programme {
	d := desk("Strength of Ines Okafor", part.InRoster)
	d.Loads = []string{part.LiftStyle}
	slot := func(n int, exercise, sets string) page.ProgrammeSlot {
		return page.ProgrammeSlot{N: n, Exercise: exercise, Patterns: "squat", Sets: sets, Low: "8", High: "12", Reserve: "2", Words: exercise}
	}
	return page.Programme{
		Desk: d, Name: "Ines Okafor", Back: "/athletes/1/strength", Action: "/athletes/1/strength/programme", Key: "KJH3K4J5HP", Of: "3", AWeek: "2", Ends: true, More: true,
		Sessions: []page.ProgrammeSession{{N: 0, Name: "A", Slots: []page.ProgrammeSlot{slot(0, "squat", "9"), slot(1, "bridge", "2"), {N: 2}}}},
		Groups: []page.ExerciseGroup{
			{Name: "Squat", Items: []part.Option{{Value: "squat", Words: "Squat"}, {Value: "goblet-squat", Words: "Goblet squat (dumbbells)"}}},
			{Name: "Hinge", Items: []part.Option{{Value: "bridge", Words: "Bridge"}}},
		},
		Errors:   part.Errors{"session[0].slot[0].sets": "Must be 1 to 5, not 9."},
		Mistakes: []part.Mistake{{Field: "session[0].slot[0].sets", Words: "Session A, place 1, sets: Must be 1 to 5, not 9."}},
	}
}

func gear() page.KitForm {
	return page.KitForm{
		Phone: part.Phone{Title: "To lift with", Back: "/strength"}, Action: "/strength/gear",
		Has: []page.Picked{{Value: "dumbbells", Words: "Dumbbells", On: true}, {Value: "band", Words: "A band"}}, Weights: "2 four",
		Errors:   part.Errors{"weights": "Weights in kilograms with blanks between, like 2 4 7.5, please."},
		Mistakes: []part.Mistake{{Field: "weights", Words: "Weights in kilograms with blanks between, like 2 4 7.5, please."}},
	}
}

func exercises() page.Exercises {
	d := desk("Exercises for strength", part.InPathway)
	d.Loads = []string{part.FigureStyle, part.LiftStyle}
	card := page.ExerciseCard{Name: "Squat", About: "In between, hard on the legs", Loads: "Loads ankle, knee and hip.", Figure: "squat", Cues: []string{"Feet as wide as your shoulders."}, Forms: []string{"Easier: Sit to stand."}}
	own := page.ExerciseCard{Name: "Wall sit", About: "Easy", Loads: "Loads knee.", Cues: []string{"Back flat on the wall."}, Caution: "Shoes that do not slip.", Own: true, Away: true, Href: "/exercises/4"}
	return page.Exercises{Desk: d, NewHref: "/exercises/new", Groups: []page.ExercisesOf{{ID: "squat", Name: "Squat", Items: []page.ExerciseCard{card, own}}}}
}

func exerciseForm() page.ExerciseForm {
	d := desk("Exercise", part.InPathway)
	d.Loads = []string{part.LiftStyle}
	return page.ExerciseForm{
		Desk: d, Title: "Change Wall sit", Action: "/exercises/4", Version: "2", Name: "Wall sit", Pattern: "squat",
		Patterns: []part.Option{{Value: "squat", Words: "Squat"}, {Value: "hinge", Words: "Hinge"}}, Measure: "hold", Level: "1", Cues: "Back flat on the wall.",
		Needs: []page.Picked{{Value: "band", Words: "A band"}}, Loads: []page.Picked{{Value: "knee", Words: "Knee"}, {Value: "hip", Words: "Hip"}},
		Demands: []page.Picked{{Value: "strains", Words: "Strains the belly", On: true}}, Away: true,
		Errors: part.Errors{"loads": "Say what it loads, so that it can be left out when that hurts."}, Mistakes: []part.Mistake{{Field: "loads", Words: "What it loads: Say what it loads."}},
	}
}
