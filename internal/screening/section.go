package screening

// The sections, as they stand in addresses and in what Check is asked for.
const (
	You       = "you"
	Health    = "health"
	HeartRate = "heart"
	Pregnancy = "pregnancy"
	Injury    = "injury"
	Bones     = "bones"
	Training  = "training"
	Beginning = "beginning"
)

// Who sees what, said above each section.
const (
	seenByCoaches = "You and your coaches see this. Deputies of a coach do not."
	seenByAll     = "You and everybody who coaches you see this."
	seenByFew     = "This stays between you and your coach. Deputies do not see it, and it is in no list."
)

// Sections are the pages of questions in the order in which they are asked.
func Sections(c Circumstances) []Section {
	health := []Section{healthSection(), heartSection(), pregnancySection(), injurySection(), boneSection()}
	if c.Fresh {
		return health
	}
	all := append([]Section{youSection(c)}, health...)
	return append(all, trainingSection(), beginningSection())
}

// youSection is about age and size.
func youSection(c Circumstances) Section {
	s := Section{
		ID: You, Title: "About you", Seen: seenByCoaches,
		Intro: "Your age and size decide where a careful start lies. Height and weight can be left empty.",
		Questions: []Question{
			{ID: BirthYear, Label: "Which year were you born in?", Kind: Number, Min: earliestBirth},
			{
				ID: Height, Label: "How tall are you?", Kind: Number, Unit: "cm", Min: 120, Max: 230, Optional: true,
				Hint: "If you like. With your weight it says whether to begin one step easier: more weight asks more of shins and knees.",
			},
			{ID: Weight, Label: "What do you weigh?", Kind: Number, Unit: "kg", Min: 30, Max: 300, Optional: true, Hint: "If you like."},
		},
	}
	if c.Minors {
		s.Questions = append(s.Questions, Question{
			ID: Guardian, Label: "Under 18: which parent or guardian is answering with you?", Kind: Text, Optional: true,
			Hint: "Their name. Please answer all the questions together. From 18 on, leave it empty.",
		})
	}
	return s
}

// healthSection asks for the three inputs of the algorithm: active, known
// disease, signs; and for what its row on vigorous effort needs.
func healthSection() Section {
	return Section{
		ID: Health, Title: "Your health", Seen: seenByCoaches,
		Intro: "Running is safe for most people. For some it is wise to ask a doctor first; these questions tell who. If you are not sure, say so: we then treat it as a yes, to be on the safe side.",
		Questions: []Question{
			{
				ID: Active, Kind: One, Options: yesNo(),
				Label: "In the last three months, did you move on purpose on three days a week or more, for half an hour each time, so that you breathed harder?",
				Hint:  "Brisk walks, cycling, swimming, heavy gardening. It has to be all three months.",
			},
			{ID: Disease, Label: "Has a doctor ever told you that you have one of these?", Kind: Many, Options: diseases()},
			{
				ID: Cleared, Kind: One, Options: yesNo(),
				Label: "Did a doctor who knows your health say within the last twelve months that you may exercise hard, running included?",
				Hint:  "If you have not asked anybody, choose no. That is usual.",
			},
			{
				ID: Signs, Label: "Do you know any of these from yourself, now or in the last months?", Kind: Many, Options: signs(),
				Hint: "Also if it was only sometimes, or if you think it is nothing.",
			},
		},
	}
}

// heartSection asks for what makes heart rate unusable.
func heartSection() Section {
	return Section{
		ID: HeartRate, Title: "What your heart rate can tell", Seen: seenByCoaches,
		Intro: "Some medicines and conditions change the pulse, so that its numbers say nothing about effort. Then we go by breath and feeling, which works just as well. Never change or leave out a medicine because of this.",
		Questions: []Question{
			{
				ID: Medicine, Label: "Do you take one of these?", Kind: Many, Options: medicines(),
				Hint: "The name is on the packet, often in small print below the brand.",
			},
			{ID: Rhythm, Label: "Is one of these true of you?", Kind: Many, Options: rhythms()},
		},
	}
}

// pregnancySection is asked of everybody; whom it does not concern says no.
func pregnancySection() Section {
	return Section{
		ID: Pregnancy, Title: "Pregnancy and birth", Seen: seenByCoaches,
		Intro: "We ask everybody. If it does not concern you, choose no.",
		Questions: []Question{
			{ID: Expecting, Label: "Are you pregnant, or have you given birth within the last year?", Kind: One, Options: []Option{
				{Value: No, Words: "No, or it does not concern me"},
				{Value: Pregnant, Words: "I am pregnant"},
				{Value: Born, Words: "I have given birth within the last year"},
				{Value: Unsure, Words: "I may be pregnant"},
			}},
			{
				ID: BornWeeks, Label: "How many weeks ago was the birth?", Kind: Number, Unit: "weeks", Min: 0, Max: 53,
				OnlyIf: Condition{Question: Expecting, Values: []string{Born}},
			},
		},
	}
}

// injurySection asks what legs and back have been through.
func injurySection() Section {
	return Section{
		ID: Injury, Title: "Injuries and operations", Seen: seenByCoaches,
		Intro: "An old injury is no reason not to run. It is the best known sign that a body needs a gentler start.",
		Questions: []Question{
			{
				ID: Injuries, Label: "Have you ever hurt one of these so that you could not walk or move as usual for a week or more?",
				Hint: "Choose all that are true, however long ago.", Kind: Many, Options: injurySites(),
			},
			{ID: HurtsNow, Label: "Does something in your legs, feet, hips or back hurt at present?", Kind: One, Options: yesNo()},
			{ID: Operation, Label: "Have you had an operation?", Kind: Many, Options: operations()},
			{
				ID: InjuryText, Label: "Anything your coach should know about it?", Kind: Text, Optional: true,
				Hint: "What it was, when, and what still bothers you.",
			},
		},
	}
}

// boneSection asks for what makes bones give way under running.
func boneSection() Section {
	return Section{
		ID: Bones, Title: "Your bones", Seen: seenByFew,
		Intro: "Bones need food, hormones and time to grow stronger. If one of these is missing they can crack under running, slowly and without a fall. Knowing it early prevents it.",
		Questions: []Question{
			{ID: Bone, Label: "Is one of these true of you?", Kind: Many, Options: boneRisks()},
		},
	}
}

// trainingSection asks for resting heart rate and time.
func trainingSection() Section {
	week := make([]Option, 0, mostSessions)
	for n := fewestSessions; n <= mostSessions; n++ {
		week = append(week, Option{Value: string(rune('0' + n)), Words: sessionsInWords[n-fewestSessions]})
	}
	return Section{
		ID: Training, Title: "Your week", Seen: seenByAll,
		Intro: "Each session takes about three quarters of an hour with getting ready. A day between two sessions lets the legs recover.",
		Questions: []Question{
			{ID: Sessions, Label: "How many sessions a week suit you?", Kind: One, Options: week, Hint: "Three is usual. Fewer that really happen are better than many that do not."},
			{ID: Times, Label: "When can you train?", Kind: Days, Options: times(), Optional: true},
			{
				ID: Resting, Label: "Your resting heart rate", Kind: Number, Unit: "beats a minute", Min: 30, Max: 120, Optional: true,
				Hint: "If you know it or like to take it: in the morning, lying awake in bed for some minutes, before coffee. Two fingers on the wrist below the thumb, count the beats for a full minute, not while you are ill. Take the middle one of three mornings.",
			},
		},
	}
}

// beginningSection asks what somebody can do now.
func beginningSection() Section {
	return Section{
		ID: Beginning, Title: "Where you begin", Seen: seenByAll,
		Intro: "There is no wrong answer. Too easy a start costs a week; too hard a start costs much more.",
		Questions: []Question{
			{ID: Daily, Label: "What does an ordinary day look like?", Kind: One, Options: []Option{
				{Value: "sitting", Words: "I sit most of the day"},
				{Value: "mixed", Words: "I sit and stand and walk about"},
				{Value: "moving", Words: "I am on my feet most of the day, or carry and lift"},
			}},
			{
				ID: Breathless, Kind: One, Options: yesNo(), Label: "Does something light leave you short of breath?",
				Hint: "One floor of stairs, or walking a little faster on the flat.",
			},
			{
				ID: Endurance, Kind: One, Options: yesNo(), Label: "In the last months, did you do something at least every week that kept you breathing harder for twenty minutes or more?",
				Hint: "Long walks at a good pace count, cycling, swimming, dancing.",
			},
			{ID: WalksHalf, Kind: One, Options: yesNo(), Label: "Can you walk for half an hour with ease?", Hint: "At a good pace, and afterwards you could go on."},
			{ID: RunsFew, Kind: One, Options: yesNo(), Label: "Can you run slowly for a few minutes before you have to slow down?", Hint: "Three minutes or more. Do not try it out for this answer."},
			{
				ID: Alternates, Kind: One, Options: yesNo(), Label: "Do you already run and walk in turn, and run for the larger part?",
				Hint: "Half an hour altogether, in the last weeks, without pain.",
			},
		},
	}
}
