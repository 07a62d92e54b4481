package screening

// What is used instead of heart rate: effort on CR10 and the talk test (9.3 of the
// evidence notes; common practice).
const (
	byFeeling = "Effort from 0 to 10 (2 to 4 for walks and easy runs), the talk test, and the pace of walking."
	byTalk    = "Effort from 0 to 10 and the talk test."
	byClinic  = "Effort from 0 to 10, within the limits that the heart clinic gives."
	byPace    = "The pace of walking that the heart clinic agrees to. Effort from 0 to 10 is only for fine tuning: feeling alone is not safe here."
)

const flat = "It keeps the pulse low and flat, so that the numbers look easier than the effort is."
const fast = "It makes the pulse faster, so that the numbers look harder than the effort is."

// obstacles are the answers that take heart rate away, each with its reason (9.3 of
// the evidence notes).
func obstacles() map[string]Reason {
	return map[string]Reason{
		"beta":         {"A beta blocker. " + flat, byFeeling},
		"calcium":      {"Diltiazem or verapamil. " + flat, byFeeling},
		"ivabradine":   {"Ivabradine. " + flat, byFeeling},
		"digoxin":      {"Digoxin. " + flat, byFeeling},
		"amiodarone":   {"Amiodarone. " + flat, byFeeling},
		"stimulant":    {"A stimulant. " + fast, byTalk},
		"decongestant": {"Something against a blocked nose. " + fast, byTalk + " With a fever nobody trains."},
		"fibrillation": {"Atrial fibrillation. The pulse is irregular and devices misread it.", byClinic + " The talk test too."},
		"extra":        {"Many extra beats. The pulse is irregular and devices misread it.", byClinic + " The talk test too."},
		"pacemaker":    {"A pacemaker. The device decides how fast the heart beats.", byClinic},
		"defibrillator": {
			"An implanted defibrillator. It has a rate from which it acts, and effort has to stay well below it.",
			byClinic + " Ask there for the rate to stay under.",
		},
		"transplant": {"A transplanted heart. It speeds up late and slows down late.", byPace},
		"slow":       {"A heart that does not speed up as it should. Low numbers do not mean little effort.", byPace},
		"nerves":     {"Nerves that steer the heart are damaged. The pulse answers late or hardly.", byPace},
		"thyroid":    {"Too much thyroid hormone. " + fast, byTalk},
		"anxiety":    {"Fear that makes the heart race. " + fast, byTalk},
	}
}

// heartOf says whether heart rate can be read, and if not why and what is used
// instead, in the order of the questions.
func heartOf(a Answers) Heart {
	var reasons []Reason
	for _, list := range []struct {
		question, silent string
		options          []Option
	}{
		{Medicine, "It is not known which medicines are taken.", medicines()},
		{Rhythm, "It is not known whether something changes the pulse.", rhythms()},
	} {
		reasons = append(reasons, standing(a, list.question, list.silent, list.options)...)
	}
	switch weeks, born := weeksAfter(a); {
	case expecting(a):
		reasons = append(reasons, Reason{"Pregnancy. The pulse is faster from its first weeks on, and limits in beats do not help.", byTalk + " Light to somewhat hard, never more."})
	case born && weeks < earlyWeeks:
		reasons = append(reasons, Reason{"The first weeks after a birth. The pulse has not come back to what it was.", byTalk + " Light to somewhat hard, never more."})
	}
	return Heart{Usable: len(reasons) == 0, Reasons: reasons}
}

// standing are the obstacles of one list. Silence, and an answer that cannot be
// read, is one.
func standing(a Answers, question, silent string, options []Option) []Reason {
	if !some(a, question) {
		return nil
	}
	var reasons []Reason
	all := obstacles()
	for _, o := range options {
		if reason, there := all[o.Value]; there && a.Has(question, o.Value) {
			reasons = append(reasons, reason)
		}
	}
	if a.Has(question, Unsure) || len(reasons) == 0 {
		reasons = append(reasons, Reason{silent + " Until it is, heart rate is left aside.", byTalk})
	}
	return reasons
}
