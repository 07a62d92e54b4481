package screening

// Facts are the inputs of the algorithm.
type Facts struct {
	Active   bool // planned exercise of 30 min, moderate, on three days a week for three months (from memory)
	Disease  bool // of heart or vessels, metabolic (diabetes 1 or 2) or of the kidneys (found)
	Signs    bool // any of the nine
	Vigorous bool // what is intended
	Cleared  bool // by a doctor, within the last twelve months (from memory)
}

// Advice is the decision table of the algorithm (Riebe 2015; the cells from
// memory). For whoever is not active what is intended changes nothing.
func (f Facts) Advice() Advice {
	switch {
	case f.Signs && f.Active:
		return StopAndClearance
	case f.Signs:
		return Clearance
	case f.Disease && !f.Active:
		return Clearance
	case f.Disease && f.Vigorous && !f.Cleared:
		return Clearance
	}
	return NotNeeded
}

// advise is the advice of the table for the answers. Running is the aim, and even
// slow running is vigorous for most who begin (6.5 MET at 6.4 km/h, Herrmann 2024,
// found from a second hand), so vigorous is what is intended, always (ours). Who is
// not sure of being active gets the stricter of the two rows.
func advise(a Answers) Advice {
	facts := Facts{
		Disease: diseased(a), Signs: some(a, Signs), Vigorous: true,
		Cleared: a.Has(Cleared, Yes) && len(a.Given(Cleared)) == 1,
	}
	still := facts.Advice()
	facts.Active = true
	moving := facts.Advice()
	given := a.Given(Active)
	switch {
	case len(given) == 1 && given[0] == Yes:
		return moving
	case len(given) == 1 && given[0] == No:
		return still
	}
	return max(still, moving)
}

// some says whether anything of a list is so. Unsure counts, and so does silence:
// only "none of these" alone does not.
func some(a Answers, question string) bool {
	given := a.Given(question)
	return len(given) != 1 || given[0] != None
}

// yes says whether the answer is yes, or may be.
func yes(a Answers, question string) bool {
	given := a.Given(question)
	return len(given) != 1 || given[0] != No
}

// diseased says whether a disease that counts is known. A condition of the heart's
// rhythm counts, and so do medicines that are hardly given for anything but the
// heart, whatever was answered to the question itself (ours).
func diseased(a Answers) bool {
	return some(a, Disease) || len(heartConditions(a)) > 0 || len(heartMedicines(a)) > 0
}

// notHeart are the answers to Rhythm that change the pulse without being of the
// heart.
func notHeart(value string) bool { return value == "thyroid" || value == "anxiety" || value == None }

// heartConditions are the words of the answers to Rhythm that are of the heart;
// silence is one.
func heartConditions(a Answers) []string {
	given := a.Given(Rhythm)
	if len(given) == 0 {
		return []string{"not answered"}
	}
	var of []string
	for _, v := range given {
		if !notHeart(v) {
			of = append(of, v)
		}
	}
	if of == nil {
		return nil
	}
	if words := named(rhythms(), of); words != nil {
		return words
	}
	return []string{"something else"}
}

// heartMedicines are the words of the medicines given for the heart alone.
func heartMedicines(a Answers) []string {
	var of []string
	for _, v := range []string{"ivabradine", "digoxin", "amiodarone"} {
		if a.Has(Medicine, v) {
			of = append(of, v)
		}
	}
	return named(medicines(), of)
}

// String names the advice in a few words.
func (a Advice) String() string {
	switch a {
	case NotNeeded:
		return "may begin"
	case Clearance:
		return "ask a doctor first"
	default:
		return "stop, and ask a doctor"
	}
}

// Words is what the advice means, for the athlete.
func (a Advice) Words() string {
	switch a {
	case NotNeeded:
		return "Nothing you told us asks for a doctor's word first. You begin easily and go on step by step. If something changes, tell your coach."
	case Clearance:
		return "Please see a doctor before you begin, and show them what you answered and what is planned: walking first, later walking and slow running in turn. " +
			"Nothing is planned for you until your coach has noted that the doctor agrees. This is care, and no verdict on you."
	default:
		return "Please stop training for now, the one you do on your own too, and see a doctor soon. Show them what you answered. " +
			"If it comes at rest, gets worse, or does not pass within minutes, call your local emergency number. " +
			"Nothing is planned for you until your coach has noted that the doctor agrees."
	}
}

// NoAdvice stands wherever a result is shown.
const NoAdvice = "These questions are no examination, and Halfhour gives no medical advice. What a doctor says comes first."
