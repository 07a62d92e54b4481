package screening

// Birth says what the answers tell of a pregnancy or a birth: pregnant, or perhaps,
// and the weeks since a birth on the day of the answers; below 0: none within the
// year.
func Birth(a Answers) (pregnant bool, weeks int) {
	weeks, known := weeksAfter(a)
	if !known {
		weeks = -1
	}
	return expecting(a), weeks
}

// HeatRisk says whether heat is harder for somebody than for others: a body mass index
// over 30, a medicine, a disease, a pregnancy (American College of Sports Medicine on
// heat, from memory; pregnancy is common practice). Unsure and silence count as yes.
func HeatRisk(a Answers) bool {
	return over(a) || some(a, Medicine) || diseased(a) || expecting(a)
}
