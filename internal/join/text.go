package join

import "halfhour.app/halfhour/internal/roster"

// TextVersion is the version of the texts that are agreed to, stored with each
// consent. It is counted up whenever what they say changes, not only its words:
// whoever agreed to an older one is asked again.
const TextVersion = 2

// Text is what somebody agrees to.
type Text struct {
	Kind   roster.ConsentKind
	Title  string
	Points []string // what there is to know first, a sentence or two each
	Tick   string   // what is agreed to, in the first person
}

// Texts are what there is to agree to, in the order of the page. Of the last two
// one is needed: being of age, or, in a club that takes minors, a guardian.
func Texts(minors bool) []Text {
	texts := []Text{
		{
			Kind: roster.ToKeeping, Title: "What is kept, and who sees it",
			Points: []string{
				"Kept are your name, how to reach you, the sessions you tell of with effort, talk, breath and pain, heart-rate recordings if you add some, and what your coaches decide and write.",
				"Your coaches and the owner of the club see it. Other athletes do not, and nothing is passed on or sold.",
				"It is kept while you are in the club, and afterwards for as long as the club has set: two years unless it chose otherwise.",
				"You can see and take away everything that is kept, and ask to have it erased, at any time and without a reason.",
			},
			Tick: "I agree that this is kept and that my coaches see it.",
		},
		{
			Kind: roster.ToHealth, Title: "Answers about your health",
			Points: []string{
				"Some questions are about illness, medicine, pregnancy, injuries and bones. They tell whether a doctor should be asked first, where to begin, and whether your heart rate says anything.",
				"Only you and your coaches see the answers; deputies of a coach do not. If a doctor sets limits, whoever leads a session reads those, and not the reason.",
				"You can take this consent back at any time. Nothing is prescribed to you from then on, and your coach is told that, and nothing else.",
				"Halfhour is a training diary and gives no medical advice. It cannot replace a doctor who knows you.",
			},
			Tick: "I agree that my answers about health are kept and used for this.",
		},
		{Kind: roster.IsAdult, Title: "Your age", Points: []string{"What is known of runs, walks and heart rate here is known of adults."}, Tick: "I am 18 or older."},
	}
	if minors {
		texts = append(texts, Text{
			Kind: roster.Guardian, Title: "Under 18",
			Points: []string{"This club also takes people under 18. A parent or guardian reads this page with them, answers the questions with them, and gives their name."},
			Tick:   "I am the parent or guardian, and agree to all of this for the person named here.",
		})
	}
	return texts
}
