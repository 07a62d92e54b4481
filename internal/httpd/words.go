package httpd

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/part"
)

// The words of the pages that are made from values: one place, so that the same
// thing is called the same everywhere.

// number writes numbers up to ninety-nine as words, larger ones in figures.
func number(n int) string {
	tens := [...]string{"", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"}
	teens := [...]string{"thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"}
	switch {
	case n < 0 || n > 99:
		return strconv.Itoa(n)
	case n <= 12:
		return pathway.Number(n)
	case n < 20:
		return teens[n-13]
	case n%10 == 0:
		return tens[n/10]
	}
	return tens[n/10] + "-" + pathway.Number(n%10)
}

// capital begins a sentence.
func capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// count writes "one session", "three sessions".
func count(n int, one, many string) string {
	if n == 1 {
		return "one " + one
	}
	return number(n) + " " + many
}

// leadWords say how many decide today and how many go steadily.
func leadWords(m *morning.Morning) string {
	if len(m.Decide)+len(m.Steady)+len(m.Quiet)+len(m.Away) == 0 {
		switch n := len(m.Coming); {
		case n == 1:
			return "One person is coming in."
		case n > 1:
			return capital(number(n)) + " people are coming in."
		}
		return "Nobody is here yet. Add the first athlete."
	}
	lead := "Nobody needs a decision from you today."
	switch n := len(m.Decide); {
	case n == 1:
		lead = "One person needs a decision from you."
	case n > 1:
		lead = capital(number(n)) + " people need a decision from you."
	}
	switch n := len(m.Steady); {
	case n == 1:
		lead += " One is going steadily."
	case n > 1:
		lead += " " + capital(number(n)) + " are going steadily."
	}
	return lead
}

// subWords say which newcomers wait, who is silent and who is away; empty where nobody is.
func subWords(m *morning.Morning) string {
	var parts []string
	waiting := 0
	for _, row := range m.Coming {
		if row.Coming.Kind == morning.Waiting {
			waiting++
		}
	}
	switch {
	case waiting == 1:
		parts = append(parts, "One newcomer waits for a word from you.")
	case waiting > 1:
		parts = append(parts, capital(number(waiting))+" newcomers wait for a word from you.")
	}
	switch n := len(m.Quiet); {
	case n == 1:
		parts = append(parts, "One has not logged anything for a week.")
	case n > 1:
		parts = append(parts, capital(number(n))+" have not logged anything for a week.")
	}
	switch n := len(m.Away); {
	case n == 1:
		parts = append(parts, "One is away.")
	case n > 1:
		parts = append(parts, capital(number(n))+" are away.")
	}
	return strings.Join(parts, " ")
}

// phaseWords name the place on the pathway: "Walk-led, phase 3 of 4".
func phaseWords(p *pathway.Pathway, r pathway.Rung) string {
	if r == pathway.NoRung {
		return "Not on the pathway"
	}
	n, of := p.InStage(r)
	line := "phase " + strconv.Itoa(n) + " of " + strconv.Itoa(of)
	if r.Half() {
		line = "half step before " + line
	}
	return capital(p.Phases[r.Phase()].Stage) + ", " + line
}

// phaseNamed is the phase inside a sentence, "walk-led, phase 3 of 4", or its name
// where the pathway does not have it.
func phaseNamed(shelf *roster.Shelf, id string) string {
	if shelf == nil {
		return id
	}
	r := shelf.Find(id)
	if r == pathway.NoRung {
		return id
	}
	words := phaseWords(&shelf.Pathway, r)
	return strings.ToLower(words[:1]) + words[1:]
}

// whyTitle heads a row of those to decide on.
func whyTitle(r *morning.Row) string {
	switch r.Why {
	case morning.WhyRefer:
		return "Warning sign"
	case morning.WhyPause:
		return "Pain that stops running"
	case morning.WhyEaseBack:
		return "Ease back"
	case morning.WhyLoadJump:
		return "Load jumped"
	case morning.WhyStalling:
		return "Stalling"
	case morning.WhyPain:
		return "Pain reported"
	case morning.WhyHealthCheck:
		return "Health check"
	case morning.WhyAnswered:
		return answeredAnew
	case morning.WhyMoveUp:
		return "Ready to move up"
	case morning.WhyArrived:
		return "Thirty minutes"
	case morning.WhyIrregular:
		return "Irregular"
	}
	return "Steady"
}

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

// decidedWords say a decision that was made.
func decidedWords(d *roster.Decision, shelf *roster.Shelf) string {
	switch d.Choice {
	case roster.MoveUp:
		return "moved up to " + phaseNamed(shelf, d.To)
	case roster.Hold:
		return "held"
	case roster.HalfStep:
		return "given a half step"
	case roster.EaseBack:
		return "eased back to " + phaseNamed(shelf, d.To)
	case roster.Pause:
		return "paused"
	case roster.Resume:
		return "running again"
	case roster.Refer:
		return "referred"
	case roster.Cleared:
		return "cleared"
	}
	return "seen"
}

// nextWords say what comes next for somebody who is going steadily.
func nextWords(r *morning.Row) string {
	switch n := r.Next; n.Kind {
	case morning.NextLost:
		return "The phase is not on the pathway any more"
	case morning.NextDecided:
		return "Decided: " + decidedWords(r.Newest, r.Shelf)
	case morning.NextFirst:
		return "First week on this phase"
	case morning.NextUnproven:
		return "An answer is missing for the gate"
	case morning.NextGate:
		if n.Count == 1 {
			return "Gate opens with one more full session"
		}
		return capital(number(n.Count)) + " full sessions short of the gate"
	case morning.NextSooner:
		return "Walks settling sooner each session"
	case morning.NextSettle:
		return "Walks not settled by half yet"
	case morning.NextEasier:
		return "Runs still a little hard"
	case morning.NextFull:
		return "Sessions a little short"
	case morning.NextPain:
		return "Pain to clear first"
	case morning.NextLeft:
		return capital(count(n.Count, "session", "sessions")) + " left this week"
	case morning.NextDone:
		return "This week is done"
	}
	return ""
}

// flagWords name what the engine noticed, by the flags' names in documents.
var flagWords = map[string]string{
	"ready":        "Ready to move up",
	"arrived":      "Thirty minutes",
	"pain":         "Pain reported",
	"warning":      "Warning sign",
	"load_jump":    "Load jumped",
	"stalling":     "Stalling",
	"irregular":    "Irregular",
	"quiet":        "No word",
	"unproven":     "Not proven",
	"mixed":        "Answers disagree",
	"learning":     "Still learning the usual load",
	"back_to_back": "Ran two days in a row",
	"health_check": "Fresh health check",
}

// flagged are the flags that are set, in words with their signs.
func flagged(f readiness.Flag) []part.Flagged {
	var list []part.Flagged
	for _, name := range f.Names() {
		list = append(list, part.Flagged{Mark: part.Mark(name), Word: flagWords[name]})
	}
	return list
}

// kindWords name a kind of session.
func kindWords(k readiness.SessionKind) string {
	return [...]string{"Session", "Outside the plan", "Strength", "Other"}[k]
}

// outcomeWords say what became of a planned session.
func outcomeWords(o readiness.Outcome) string {
	return [...]string{"not told", "in full", "shortened", "stopped for pain", "missed", "called off"}[o]
}

// talkWords say how talking went.
func talkWords(t readiness.Talk) string {
	return [...]string{"", "could chat", "a short sentence", "only single words"}[t]
}

// breathWords say when the breath was back.
func breathWords(b readiness.Breath) string {
	return [...]string{"", "breath back before half of the walk", "breath back at about half", "breath back late"}[b]
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
		return "Your answers are in. Your coach reads them and says where you begin; nothing is planned until then. If you like, walk for ten minutes at your ease, and tell how talking went."
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
