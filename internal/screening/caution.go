package screening

import "halfhour.app/halfhour/internal/pathway"

// firstWeekMetres is what somebody with a body mass index over 30 stays under in
// the first week of running (Nielsen RØ and others, Int J Sports Phys Ther
// 2014;9:338–345, found: from 3 km on 14.3 percentage points more were hurt).
const firstWeekMetres = 3000

// fastBeginner is a fast pace for somebody who begins, in metres an hour (ours).
const fastBeginner = 8000

// firstWeek says to keep the first week short, and whether the plan does so by
// itself: the sessions chosen, at the phase proposed, three where none were chosen.
func firstWeek(a Answers, r *Result) string {
	sessions, ok := number(a, Sessions)
	if !ok || sessions < fewestSessions || sessions > mostSessions {
		sessions = 3
	}
	road := pathway.Default()
	run := 0
	if at := road.Find(begin(a, r).Phase); at != pathway.NoRung {
		run = pathway.SecondsOf(pathway.Run, road.Blocks(at))
	}
	if sessions*run*fastBeginner < firstWeekMetres*3600 {
		return "Keep the first week under three kilometres of running. The plan does, as long as nothing is added to it."
	}
	return "Keep the first week under three kilometres of running. With so many sessions, or so much running in each, the plan may come to more: your coach may choose fewer or an easier phase."
}

// cautions are what to be careful with, in the order of the questions. Where no
// source is named they are common practice.
func cautions(a Answers, r *Result) []string {
	var all []string
	add := func(when bool, text string) {
		if when {
			all = append(all, text)
		}
	}
	add(r.Age > 0 && r.Age < adult, "The rules of Halfhour rest on what is known of adults. Under 18 your coach and your guardian go by how you are, and more slowly.")
	add(over(a), firstWeek(a, r))
	add(a.Has(Disease, "diabetes1") || a.Has(Disease, "diabetes2"),
		"Diabetes: measure before and after a session, carry something sweet, and look at your feet afterwards. Ask your doctor about insulin and tablets on training days.")
	// American College of Sports Medicine on heat, from memory: beginners, heavier
	// people and those with medicines go by one class of heat lower.
	add(over(a) || some(a, Medicine), "Take heat more seriously than others do: go out early, go slower, or leave it.")
	add(some(a, Medicine), "Never change or leave out a medicine for training. That is for your doctor.")
	add(expecting(a), "In pregnancy stop and call your midwife or doctor at bleeding, leaking fluid, regular contractions, dizziness, headache, chest pain, or a swollen or painful calf.")
	add(a.Has(Expecting, Born), "After a birth: if you leak, or feel heaviness or pain below, go back to walking and ask a midwife, doctor or pelvic floor therapist. Running before twelve weeks is usually too early.")
	add(yes(a, HurtsNow), "Something hurts now: show it to your coach before the first session. Nobody runs with a limp or with pain of 3 or more out of 10.")
	add(a.Has(Injuries, back) || a.Has(Operation, back), "Your back has been through something: if a leg goes numb or weak, or you lose control of bladder or bowel, stop and get help at once.")
	add(len(r.Bone) > 0, "A sore spot on one bone, pain at night, deep pain in the groin or pain when hopping on one leg: stop running and tell your coach the same day. Please talk to a doctor about your bones before the runs grow long.")
	return all
}
