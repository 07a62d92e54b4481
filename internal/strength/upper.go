package strength

import "halfhour.app/halfhour/internal/body"

func pulls() Library {
	return Library{
		{
			ID: "wall-pull", Name: "Elbows into the wall", Pattern: Pull, Measure: Reps, Level: 1, Figure: "wall-pull",
			Cues:   []string{"Stand with your back to a wall, feet a step away, elbows bent beside you.", "Press both elbows back into the wall until your chest comes forward.", "Hold for two seconds, then lean back slowly."},
			Easier: "Stand closer to the wall.", Harder: "one-arm-row",
			Loads: body.Shoulder,
		},
		{
			ID: "band-row", Name: "Row with a band", Pattern: Pull, Needs: Band, Measure: Reps, Level: 2, Figure: "band-row",
			Cues:   []string{"Fix the band at the height of your belly and step back until it is taut.", "Pull your elbows back along your ribs.", "Let go slowly, shoulders low."},
			Easier: "Stand closer, so that the band pulls less.", Harder: "Take a stronger band.",
			Caution: "Look at the band first: one with a tear goes away.",
			Loads:   body.Shoulder | body.Elbow,
		},
		{
			ID: "one-arm-row", Name: "Row with one arm", Pattern: Pull, Needs: Dumbbells, Sides: true, Level: 2, Figure: "one-arm-row",
			Cues:   []string{"One hand on a chair, back long and level.", "Pull the dumbbell towards your hip, elbow close.", "Lower it until the arm is long."},
			Easier: "wall-pull", Harder: "bent-row",
			Loads: body.Shoulder | body.Elbow | body.Wrist,
		},
		{
			ID: "bench-row", Name: "Row lying on a bench", Pattern: Pull, Needs: Dumbbells | Bench, Level: 2, Figure: "bench-row",
			Cues:   []string{"Lie on your front on a raised bench, arms hanging.", "Pull both dumbbells towards your hips.", "Squeeze the shoulder blades, lower slowly."},
			Easier: "one-arm-row", Harder: "Hold for two seconds at the top.",
			Loads: body.Shoulder | body.Elbow | body.Wrist, Demands: body.OnFront,
		},
		{
			ID: "bent-row", Name: "Row bent forward", Pattern: Pull, Needs: Dumbbells, Level: 3, Figure: "bent-row",
			Cues:   []string{"Hips back, back long, a dumbbell in each hand under your shoulders.", "Pull both towards your hips.", "Lower slowly; the back does not move."},
			Easier: "one-arm-row", Harder: "Hold for two seconds at the top.",
			Caution: "When your back tires first, row with one arm and lean on a chair.",
			Loads:   body.Back | body.Shoulder | body.Elbow | body.Wrist,
		},
	}
}

func verticalPresses() Library {
	return Library{
		{
			ID: "wall-slide", Name: "Wall slide", Pattern: VerticalPress, Measure: Reps, Level: 1, Figure: "wall-slide",
			Cues:   []string{"Stand facing a wall, forearms on it, elbows under your shoulders.", "Slide your arms up as far as it is comfortable.", "Slide down slowly, ribs in."},
			Easier: "Slide one arm at a time.", Harder: "seated-press",
			Loads: body.Shoulder,
		},
		{
			ID: "band-press", Name: "Overhead press with a band", Pattern: VerticalPress, Needs: Band, Measure: Reps, Level: 2, Figure: "band-press",
			Cues:   []string{"Stand on the band, its ends at your shoulders.", "Press up beside your ears.", "Lower slowly to the shoulders."},
			Easier: "Press one arm at a time.", Harder: "Take a stronger band.",
			Caution: "Look at the band first: one with a tear goes away.",
			Loads:   body.Shoulder | body.Elbow | body.Wrist,
		},
		{
			ID: "seated-press", Name: "Overhead press on a chair", Pattern: VerticalPress, Needs: Dumbbells, Level: 2, Figure: "seated-press",
			Cues:   []string{"Sit tall, feet flat, dumbbells at your shoulders.", "Press up and a little together.", "Lower until they are level with your ears.", "Breathe out as you press."},
			Easier: "wall-slide", Harder: "standing-press",
			Loads: body.Shoulder | body.Elbow | body.Wrist,
		},
		{
			ID: "standing-press", Name: "Overhead press", Pattern: VerticalPress, Needs: Dumbbells, Level: 3, Figure: "standing-press",
			Cues:   []string{"Stand tall, buttocks tight, dumbbells at your shoulders.", "Press up without leaning back.", "Lower slowly."},
			Easier: "seated-press", Harder: "Press one arm at a time.",
			Caution: "Breathe on: never hold your breath against the weight.",
			Loads:   body.Shoulder | body.Elbow | body.Wrist | body.Back | body.Neck,
		},
		{
			ID: "pike-press", Name: "Pike press-up", Pattern: VerticalPress, Measure: Reps, Level: 3, Figure: "pike-press",
			Cues:   []string{"Hands and feet on the floor, hips high, arms straight.", "Bend your elbows and bring your head towards the floor between your hands.", "Push back up."},
			Easier: "wall-slide", Harder: "Lower for three seconds.",
			Caution: "Your head is low: leave it when you get dizzy, or with high blood pressure or eye pressure.",
			Loads:   body.Shoulder | body.Elbow | body.Wrist | body.Neck, Demands: body.OnFront | body.Strains,
		},
	}
}

func horizontalPresses() Library {
	return Library{
		{
			ID: "wall-press-up", Name: "Press-up against a wall", Pattern: HorizontalPress, Measure: Reps, Level: 1, Figure: "wall-press-up",
			Cues:   []string{"Hands on a wall at the height of your chest, feet a step back.", "Bring your chest to the wall, body in one line.", "Push away."},
			Easier: "Stand closer to the wall.", Harder: "table-press-up",
			Loads: body.Shoulder | body.Elbow | body.Wrist,
		},
		{
			ID: "table-press-up", Name: "Press-up on a worktop", Pattern: HorizontalPress, Measure: Reps, Level: 2, Figure: "table-press-up",
			Cues:   []string{"Hands on the edge of a worktop or a table that cannot slide.", "Walk your feet back until your body is one line.", "Bring your chest to the edge and push away."},
			Easier: "wall-press-up", Harder: "press-up",
			Caution: "Try first whether the table stays where it is.",
			Loads:   body.Shoulder | body.Elbow | body.Wrist,
		},
		{
			ID: "floor-press", Name: "Press lying on the floor", Pattern: HorizontalPress, Needs: Dumbbells, Level: 2, Figure: "floor-press",
			Cues:   []string{"Lie on your back, knees bent, a dumbbell in each hand over your chest.", "Lower until the upper arms touch the floor.", "Press up again, wrists straight."},
			Easier: "wall-press-up", Harder: "bench-press",
			Loads: body.Shoulder | body.Elbow | body.Wrist, Demands: body.OnBack,
		},
		{
			ID: "band-chest-press", Name: "Press forward with a band", Pattern: HorizontalPress, Needs: Band, Measure: Reps, Level: 2, Figure: "band-chest-press",
			Cues:   []string{"Fix the band behind you at the height of your chest, one foot in front.", "Press both hands forward until the arms are long.", "Let go slowly."},
			Easier: "Stand closer, so that the band pulls less.", Harder: "Take a stronger band.",
			Caution: "Look at the band first: one with a tear goes away.",
			Loads:   body.Shoulder | body.Elbow | body.Wrist,
		},
		{
			ID: "bench-press", Name: "Press lying on a bench", Pattern: HorizontalPress, Needs: Dumbbells | Bench, Level: 3, Figure: "bench-press",
			Cues:   []string{"Lie on the bench, feet on the floor, dumbbells over your chest.", "Lower until the upper arms are level with the bench.", "Press up again, wrists straight."},
			Easier: "floor-press", Harder: "Lower for three seconds.",
			Loads: body.Shoulder | body.Elbow | body.Wrist, Demands: body.OnBack,
		},
		{
			ID: "press-up", Name: "Press-up", Pattern: HorizontalPress, Measure: Reps, Level: 3, Figure: "press-up",
			Cues:   []string{"Hands under your shoulders, body in one line from head to heels.", "Lower your chest towards the floor, elbows at an angle to the body.", "Push up without letting the hips hang."},
			Easier: "table-press-up", Harder: "Lower for three seconds.",
			Loads: body.Shoulder | body.Elbow | body.Wrist, Demands: body.OnFront | body.Strains,
		},
	}
}
