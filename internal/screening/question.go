package screening

import "slices"

// The questions, as they stand in Answers.
const (
	BirthYear  = "birth_year"
	Height     = "height"
	Weight     = "weight"
	Guardian   = "guardian"
	Active     = "active"
	Disease    = "disease"
	Cleared    = "cleared"
	Signs      = "signs"
	Medicine   = "medicine"
	Rhythm     = "rhythm"
	Expecting  = "expecting"
	BornWeeks  = "born_weeks"
	Injuries   = "injuries"
	HurtsNow   = "hurts_now"
	Operation  = "operation"
	InjuryText = "injury_text"
	Bone       = "bone"
	Sessions   = "sessions"
	Times      = "times"
	Resting    = "resting"
	Daily      = "daily"
	Breathless = "breathless"
	Endurance  = "endurance"
	WalksHalf  = "walks_half"
	RunsFew    = "runs_few"
	Alternates = "alternates"
)

// Answers to Expecting.
const (
	Pregnant = "pregnant"
	Born     = "born"
)

// Bounds of what is taken in.
const (
	earliestBirth  = 1900
	adult          = 18 // years
	fewestSessions = 2  // sessions a week (rule 7)
	mostSessions   = 6
)

var sessionsInWords = [...]string{"Two", "Three", "Four", "Five", "Six"}

func yesNo() []Option {
	return []Option{{Value: Yes, Words: "Yes"}, {Value: No, Words: "No"}, {Value: Unsure, Words: "I am not sure"}}
}

// ends close a list of which several may be chosen.
func ends(options ...Option) []Option {
	return append(options, Option{Value: None, Words: "None of these"}, Option{Value: Unsure, Words: "I am not sure"})
}

// named are the words of the options that were chosen, in their order.
func named(options []Option, chosen []string) []string {
	var words []string
	for _, o := range options {
		if slices.Contains(chosen, o.Value) {
			words = append(words, o.Words)
		}
	}
	return words
}

// diseases are those that count: of heart and vessels (legs and brain included),
// metabolic, of the kidneys. Lungs alone do not (found).
func diseases() []Option {
	return ends(
		Option{Value: "heart", Words: "A disease of the heart", Hint: "A heart attack, narrowed heart vessels, a stent or bypass, heart failure, a valve, a heart defect from birth, an inflamed heart muscle, a rhythm that is treated."},
		Option{Value: "vessels", Words: "A disease of the vessels", Hint: "Narrowed arteries in the legs or the neck, a widened main artery."},
		Option{Value: "stroke", Words: "A stroke, or one that passed within a day"},
		Option{Value: "diabetes1", Words: "Diabetes type 1"},
		Option{Value: "diabetes2", Words: "Diabetes type 2"},
		Option{Value: "kidneys", Words: "A disease of the kidneys"},
	)
}

// signs are the nine signs and symptoms of the algorithm (found), in plain words.
func signs() []Option {
	return ends(
		Option{Value: "chest", Words: "Pressure, tightness or pain in the chest, neck, jaw or an arm", Hint: "Above all when you move, are upset or go out into the cold."},
		Option{Value: "breath", Words: "Short of breath at rest, or with very little effort", Hint: "Dressing, walking slowly on the flat, talking."},
		Option{Value: "faint", Words: "Dizzy spells, fainting or nearly fainting"},
		Option{Value: "lying", Words: "Short of breath lying flat, or waking at night for lack of air"},
		Option{Value: "ankles", Words: "Swollen ankles"},
		Option{Value: "palpitations", Words: "A heart that pounds, races or stumbles without a reason"},
		Option{Value: "calves", Words: "Cramp or pain in the calves when walking that goes away when you stand still"},
		Option{Value: "murmur", Words: "A heart murmur that a doctor has heard"},
		Option{Value: "tired", Words: "Unusually tired or out of breath with everyday things that used to be easy"},
	)
}

// medicines are those that change heart rate (9.3 of the evidence notes).
func medicines() []Option {
	return ends(
		Option{Value: "beta", Words: "A beta blocker", Hint: "For blood pressure, heart, migraine, tremor, sometimes as eye drops. The names end in -olol: bisoprolol, metoprolol, propranolol, timolol."},
		Option{Value: "calcium", Words: "Diltiazem or verapamil"},
		Option{Value: "ivabradine", Words: "Ivabradine"},
		Option{Value: "digoxin", Words: "Digoxin or digitoxin"},
		Option{Value: "amiodarone", Words: "Amiodarone"},
		Option{Value: "stimulant", Words: "A stimulant", Hint: "For attention (methylphenidate, amphetamine), for weight, or to stay awake."},
		Option{Value: "decongestant", Words: "Something against a blocked nose, often", Hint: "Tablets or sprays with pseudoephedrine, phenylephrine or xylometazoline."},
	)
}

// rhythms are the conditions and devices that change heart rate (9.3 of the
// evidence notes).
func rhythms() []Option {
	return ends(
		Option{Value: "fibrillation", Words: "Atrial fibrillation or flutter", Hint: "An irregular pulse that a doctor has given this name, also if it comes and goes."},
		Option{Value: "extra", Words: "Many extra beats"},
		Option{Value: "pacemaker", Words: "A pacemaker"},
		Option{Value: "defibrillator", Words: "An implanted defibrillator (ICD)"},
		Option{Value: "transplant", Words: "A transplanted heart"},
		Option{Value: "slow", Words: "A heart that does not speed up as it should", Hint: "A doctor has said so, often after a test on a bicycle."},
		Option{Value: "nerves", Words: "Damaged nerves that steer the heart", Hint: "Autonomic neuropathy, mostly after many years of diabetes."},
		Option{Value: "thyroid", Words: "An overactive thyroid, or a high dose of thyroid hormone"},
		Option{Value: "anxiety", Words: "Fear or panic that often makes the heart race"},
	)
}

// injurySites are where an injury was; all but the back are the legs.
func injurySites() []Option {
	return ends(
		Option{Value: "foot", Words: "Foot or toes"},
		Option{Value: "ankle", Words: "Ankle"},
		Option{Value: "achilles", Words: "Achilles tendon or calf"},
		Option{Value: "shin", Words: "Shin"},
		Option{Value: "knee", Words: "Knee"},
		Option{Value: "thigh", Words: "Thigh"},
		Option{Value: "hip", Words: "Hip or groin"},
		Option{Value: back, Words: "Back"},
	)
}

// back is the one site that is not a leg.
const back = "back"

// operations are those that matter to running.
func operations() []Option {
	return ends(
		Option{Value: "leg", Words: "Of a foot, leg, knee or hip"},
		Option{Value: back, Words: "Of the back"},
		Option{Value: recent, Words: "Any operation in the last three months"},
	)
}

const recent = "recent"

// boneRisks are what makes a stress fracture likelier (common practice).
func boneRisks() []Option {
	return ends(
		Option{Value: "stress", Words: "A bone once cracked from strain alone", Hint: "A stress fracture: no fall, no blow."},
		Option{Value: "thin", Words: "I am underweight, have lost much weight, or eat little"},
		Option{Value: "periods", Words: "My periods have stayed away for three months or more", Hint: "Without pregnancy, nursing, menopause or a method that stops them."},
		Option{Value: "osteoporosis", Words: "Thinning bones", Hint: "Osteoporosis, or a bone broken by a small fall after the age of 40."},
		Option{Value: "cortisone", Words: "Cortisone tablets for three months or longer", Hint: "Now or in earlier years. Creams and sprays do not count."},
	)
}
