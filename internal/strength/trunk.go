package strength

import "halfhour.app/halfhour/internal/body"

func cores() Library {
	return Library{
		{
			ID: "side-breath", Name: "Belly in, lying on your side", Pattern: Core, Measure: Reps, Level: 1, Figure: "side-breath",
			Cues:   []string{"Lie on your side, knees bent, head supported.", "Breathe in and let the belly go wide.", "Breathe out slowly and draw the lower belly and pelvic floor in and up; then let go wholly."},
			Easier: "Only breathe.", Harder: "arm-leg-reach",
			Caution: "If you leak, or feel heaviness or pain below, stop and ask a midwife, doctor or pelvic floor therapist.",
		},
		{
			ID: "arm-leg-reach", Name: "Arm and leg reach on all fours", Pattern: Core, Measure: Reps, Sides: true, Level: 1, Figure: "arm-leg-reach",
			Cues:   []string{"Hands under your shoulders, knees under your hips.", "Reach one leg back and the other arm forward, back level.", "Come back slowly, then the other side."},
			Easier: "Reach with the leg alone.", Harder: "dead-bug",
			Loads: body.Wrist | body.Shoulder | body.Knee,
		},
		{
			ID: "knee-side-plank", Name: "Side plank from the knees", Pattern: Core, Measure: Hold, Sides: true, Level: 1, Figure: "knee-side-plank",
			Cues:   []string{"Lie on your side on one forearm, knees bent.", "Lift your hips until you are straight from knee to shoulder.", "Breathe on."},
			Easier: "Lift for a few seconds at a time.", Harder: "side-plank",
			Loads: body.Shoulder | body.Hip, Demands: body.Strains,
		},
		{
			ID: "dead-bug", Name: "Arm and leg reach on your back", Pattern: Core, Measure: Reps, Sides: true, Level: 2, Figure: "dead-bug",
			Cues:   []string{"Lie on your back, arms up, hips and knees bent.", "Press the lower back gently down.", "Stretch one leg and the other arm away; stop before the back lifts."},
			Easier: "Move the leg alone.", Harder: "plank",
			Loads: body.Hip | body.Back, Demands: body.OnBack | body.Strains,
		},
		{
			ID: "carry", Name: "Carry on one side", Pattern: Core, Needs: Dumbbells, Measure: Hold, Sides: true, Level: 2, Figure: "carry",
			Cues:   []string{"A dumbbell in one hand, stand tall.", "Walk slowly without leaning to either side.", "Change hands."},
			Easier: "Stand in place.", Harder: "Walk more slowly, with smaller steps.",
			Loads: body.Wrist | body.Shoulder | body.Back,
		},
		{
			ID: "band-hold", Name: "Hold against a band", Pattern: Core, Needs: Band, Measure: Hold, Sides: true, Level: 2, Figure: "band-hold",
			Cues:   []string{"Fix the band beside you at the height of your chest.", "Stretch both arms forward and do not let it turn you.", "Breathe on."},
			Easier: "Stand closer, so that the band pulls less.", Harder: "Take a stronger band.",
			Caution: "Look at the band first: one with a tear goes away.",
			Loads:   body.Shoulder,
		},
		{
			ID: "plank", Name: "Plank on the forearms", Pattern: Core, Measure: Hold, Level: 2, Figure: "plank",
			Cues:   []string{"Forearms on the floor, elbows under your shoulders.", "Body in one line, buttocks tight.", "Breathe on; end before the hips hang."},
			Easier: "Do it from the knees.", Harder: "side-plank",
			Loads: body.Shoulder | body.Elbow | body.Back, Demands: body.OnFront | body.Strains,
		},
		{
			ID: "side-plank", Name: "Side plank", Pattern: Core, Measure: Hold, Sides: true, Level: 3, Figure: "side-plank",
			Cues:   []string{"Lie on one forearm, legs long, feet one on the other.", "Lift your hips until the body is straight.", "Breathe on."},
			Easier: "knee-side-plank", Harder: "Lift the upper leg.",
			Loads: body.Shoulder | body.Hip | body.Ankle, Demands: body.Strains,
		},
	}
}
