package httpd

import (
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/part"
)

// The words of the pages that are made from values: one place, so that the same
// thing is called the same everywhere.

// choiceWords are what the button of a choice says, on the row it belongs to.
func choiceWords(c roster.Choice, why morning.Why) string {
	switch c {
	case roster.MoveUp:
		return "Move up"
	case roster.HalfStep:
		return "Add a half step"
	case roster.EaseBack:
		return "Ease back"
	case roster.Pause:
		return "Pause running"
	case roster.Resume:
		return "Resume running"
	case roster.Refer:
		return "Refer"
	case roster.Cleared:
		return "Record clearance"
	case roster.Seen:
		return "Seen"
	}
	switch why {
	case morning.WhyLoadJump:
		return "Ease this week"
	case morning.WhyStalling:
		return "Repeat"
	case morning.WhyArrived:
		return "Keep going"
	}
	return "Hold"
}

// easeWord goes to the athlete with "Ease this week": the phase stays, the week
// gets easier.
const easeWord = "An easier week, please: the planned sessions only, nothing on top."

// flagged are the flags that are set, in words with their signs.
func flagged(f readiness.Flag) []part.Flagged {
	var list []part.Flagged
	for _, name := range f.Names() {
		list = append(list, part.Flagged{Mark: part.Mark(name), Word: wording.Flag(name)})
	}
	return list
}

// talkWords say how talking went.
func talkWords(t readiness.Talk) string {
	return [...]string{"", "could chat", "a short sentence", "only single words"}[t]
}

// wayWords say to an athlete why nothing is prescribed; empty where something is.
func wayWords(w entry.Way) string {
	switch w {
	case entry.Ill:
		return "You are noted as ill. No training with a fever, or with signs below the neck such as aching limbs or a cough from the chest. When you are well again, say so under “I am away”; there you read how to begin."
	case entry.Hurt:
		return "You are noted as injured, so no running is planned. Walk as long as it does not hurt, during it and the next morning. When it has healed, say so under “I am away”; there you read how to begin."
	case entry.FromTomorrow:
		return "Today is the last day you are noted as ill or injured. Rest today; from tomorrow your sessions are here again. If you are not well by then, note it once more under “I am away” and rest on: no training with a fever, or while something hurts."
	case entry.CheckFirst:
		return "You were injured, or have not run for eight weeks or more. The way back begins at the first phase, and your coach looks first. Until then, walk as long as nothing hurts."
	case entry.Paused:
		return "Running is paused until your coach says so. Walk as long as it does not hurt, and tell how it feels."
	case entry.ReferBone:
		return "Please do not run. Pain like this can come from a bone, so somebody qualified should look at it first. Your coach will hear of it."
	case entry.Referred:
		return "Your coach has asked you to see a doctor before you run again. Nothing is planned until then."
	case entry.StopSigned:
		return "Please do not train. What you reported has to be looked at by a doctor first. If it comes again, stop at once and call the local emergency number."
	case entry.Invited:
		return "Before the first step come some questions about your health and about what you can do now. Nothing is planned until then."
	case entry.Answered:
		return "Your answers are in. Your coach reads them and says where you begin; nothing is planned until then."
	case entry.Clearance:
		return "Your answers say that a doctor should be asked before you begin. Nothing is planned until your coach has recorded what was said."
	case entry.Withdrawn:
		return "You have taken your consent back, so nothing is planned and nothing new is kept. You can give it again at any time."
	}
	return ""
}

// signQuestions ask for the warning signs, in their order.
var signQuestions = [...]string{
	readiness.ChestPressure:    "Pressure or pain in the chest",
	readiness.Faint:            "I fainted, or nearly did",
	readiness.Breathless:       "Short of breath far beyond the effort",
	readiness.Palpitations:     "A racing or stumbling heart, and I felt unwell",
	readiness.HeatConfusion:    "Confused or dizzy in the heat",
	readiness.OneSidedWeakness: "Weak or numb on one side",
	readiness.CalfSwelling:     "A calf that is hot and swollen",
	readiness.NightPain:        "Pain at night or at rest",
	readiness.BoneTender:       "One spot on a bone that is sore to touch",
	readiness.HopPain:          "Pain when I hop on one leg",
	readiness.GroinDeep:        "Pain deep in the groin",
}

// afterLabels name the fields of the form for a session, for the list of what is
// wrong.
var afterLabels = map[string]string{
	"date": "Day", "clock": "Time", "done": "What became of it", "until": "How far it went", "blocks": "How far it went",
	"ran": "Run or walk", "minutes": "Minutes", "run_minutes": "Minutes of running", "longest_minutes": "Longest run",
	"effort": "Effort", "talk": "Talking", "breath": "Breath", "pain": "Pain", "signs": "Warning signs", "note": "Note",
}

// choiceHint says what a choice does.
func choiceHint(c roster.Choice) string {
	switch c {
	case roster.MoveUp:
		return "The next phase begins today."
	case roster.Hold:
		return "Same phase, same sessions."
	case roster.HalfStep:
		return "A session between the phase below and this one."
	case roster.EaseBack:
		return "One phase down, unless you pick another."
	case roster.Pause:
		return "Nothing is prescribed until you resume it."
	case roster.Resume:
		return "Running begins again where the days without it ask for, unless you pick another phase."
	case roster.Refer:
		return "To a doctor; nothing is prescribed until somebody clears it."
	case roster.Cleared:
		return "Say who cleared it. Running begins again where the days without it ask for, unless you pick another phase."
	case roster.Seen:
		return "Nothing changes; it stays off the list until something new comes in."
	}
	return ""
}
