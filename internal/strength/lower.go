package strength

import "halfhour.app/halfhour/internal/body"

func squats() Library {
	return Library{
		{
			ID: "sit-to-stand", Name: "Sit to stand", Pattern: Squat, Measure: Reps, Level: 1, Figure: "sit-to-stand",
			Cues:   []string{"Sit on the front half of a chair that cannot slide, feet under your knees.", "Lean forward until your nose is over your toes, then stand up tall.", "Sit down slowly, without dropping."},
			Easier: "Push off with your hands on the seat, or take a higher chair.", Harder: "squat",
			Caution: "Put the chair against a wall.",
			Loads:   body.Knee,
		},
		{
			ID: "squat", Name: "Squat", Pattern: Squat, Measure: Reps, Level: 2, Figure: "squat", Hard: true,
			Cues:   []string{"Feet as wide as your shoulders, toes turned out a little.", "Sit back and down as far as it is comfortable, heels on the ground.", "Knees point where the toes point.", "Breathe out on the way up."},
			Easier: "sit-to-stand", Harder: "chair-squat",
			Loads: body.Knee | body.Hip | body.Ankle,
		},
		{
			ID: "chair-squat", Name: "Squat to a chair with a dumbbell", Pattern: Squat, Needs: Dumbbells, Level: 2, Figure: "chair-squat", Hard: true,
			Cues:   []string{"Hold one dumbbell upright against your chest.", "Sit back until you just touch the chair, and stay tight.", "Stand up without swinging."},
			Easier: "sit-to-stand", Harder: "goblet-squat",
			Caution: "Put the chair against a wall.",
			Loads:   body.Knee | body.Hip | body.Wrist,
		},
		{
			ID: "goblet-squat", Name: "Goblet squat", Pattern: Squat, Needs: Dumbbells, Level: 3, Figure: "goblet-squat", Hard: true,
			Cues:   []string{"Hold one dumbbell upright against your chest, elbows in.", "Sit down between your knees, heels on the ground, chest up.", "Push the floor away and stand up tall."},
			Easier: "chair-squat", Harder: "Stay down for two seconds before you stand up.",
			Loads: body.Knee | body.Hip | body.Ankle | body.Back | body.Wrist,
		},
	}
}

func hinges() Library {
	return Library{
		{
			ID: "bridge", Name: "Bridge", Pattern: Hinge, Measure: Reps, Level: 1, Figure: "bridge",
			Cues:   []string{"Lie on your back, knees bent, feet flat and close.", "Push through your heels and lift your hips until the body is straight from knee to shoulder.", "Come down slowly, without dropping."},
			Easier: "Lift only half the way.", Harder: "one-leg-bridge",
			Loads: body.Hip | body.Thigh, Demands: body.OnBack,
		},
		{
			ID: "kneeling-hinge", Name: "Kneeling hip hinge", Pattern: Hinge, Measure: Reps, Level: 1, Figure: "kneeling-hinge",
			Cues:   []string{"Kneel on something soft, knees as wide as your hips.", "Push your hips back towards your heels, back long.", "Come up and squeeze your buttocks."},
			Easier: "Go back only half the way.", Harder: "hip-hinge",
			Loads: body.Knee,
		},
		{
			ID: "one-leg-bridge", Name: "Bridge on one leg", Pattern: Hinge, Measure: Reps, Sides: true, Level: 2, Figure: "one-leg-bridge",
			Cues:   []string{"Lie on your back, one foot flat, the other leg held up.", "Lift your hips, both sides level.", "Come down slowly."},
			Easier: "bridge", Harder: "deadlift",
			Loads: body.Hip | body.Thigh | body.Back, Demands: body.OnBack | body.Strains, Hard: true,
		},
		{
			ID: "hip-hinge", Name: "Hip hinge", Pattern: Hinge, Measure: Reps, Level: 2, Figure: "hinge",
			Cues:   []string{"Stand with soft knees, hands on your thighs.", "Push your hips back as if to close a door, hands sliding to your knees.", "Keep your back long; come up when the backs of your thighs pull."},
			Easier: "kneeling-hinge", Harder: "deadlift",
			Loads: body.Back | body.Thigh,
		},
		{
			ID: "deadlift", Name: "Romanian deadlift", Pattern: Hinge, Needs: Dumbbells, Level: 3, Figure: "deadlift", Hard: true,
			Cues:   []string{"Stand tall, a dumbbell in each hand in front of your thighs.", "Push your hips back, knees soft, the weights close to your legs.", "Go down to the middle of your shins at most, back long.", "Squeeze your buttocks to come up."},
			Easier: "hip-hinge", Harder: "staggered-deadlift",
			Caution: "When your back rounds, that is deep enough.",
			Loads:   body.Back | body.Thigh | body.Hip | body.Wrist,
		},
		{
			ID: "staggered-deadlift", Name: "Romanian deadlift, one foot behind", Pattern: Hinge, Needs: Dumbbells, Sides: true, Level: 3, Figure: "staggered-deadlift", Hard: true,
			Cues:   []string{"Stand on one leg, the other foot half a step behind on its toes, for balance only.", "Push your hips back over the front foot, weights close to your legs.", "Come up tall over the front leg."},
			Easier: "deadlift", Harder: "Lower for three seconds.",
			Loads: body.Back | body.Thigh | body.Hip | body.Wrist,
		},
	}
}

func singleLegs() Library {
	return Library{
		{
			ID: "side-leg-raise", Name: "Leg raise lying on your side", Pattern: SingleLeg, Measure: Reps, Sides: true, Level: 1, Figure: "side-leg-raise",
			Cues:   []string{"Lie on your side, head on your arm, the lower knee bent.", "Lift the upper leg, heel first, a hand's width behind the body.", "Lower it slowly."},
			Easier: "Bend both knees and lift only the upper knee.", Harder: "balance-reach",
			Loads: body.Hip,
		},
		{
			ID: "heel-raise", Name: "Heel raise", Pattern: SingleLeg, Measure: Reps, Level: 1, Figure: "heel-raise",
			Cues:   []string{"Stand tall, finger tips on a wall.", "Rise onto your toes, as high as you can.", "Lower for two seconds until the heels touch."},
			Easier: "Sit on a chair and lift your heels.", Harder: "Do it on one leg.",
			Loads: body.Calf | body.Achilles | body.Ankle | body.Foot,
		},
		{
			ID: "balance-reach", Name: "Reach on one leg", Pattern: SingleLeg, Measure: Reps, Sides: true, Level: 1, Figure: "balance-reach",
			Cues:   []string{"Stand on one leg, a wall within reach.", "Bend that knee a little and reach with the other foot: forward, to the side, back.", "Keep your hips level. One round is one repetition."},
			Easier: "Keep a hand on the wall.", Harder: "split-squat",
			Loads: body.Knee | body.Ankle | body.Foot,
		},
		{
			ID: "split-squat", Name: "Split squat", Pattern: SingleLeg, Measure: Reps, Sides: true, Level: 2, Figure: "split-squat", Hard: true,
			Cues:   []string{"Stand with one foot a long step in front of the other.", "Lower the back knee straight down towards the floor.", "Push up through the whole front foot."},
			Easier: "Hold on to a chair and go down half the way.", Harder: "dumbbell-split-squat",
			Loads: body.Knee | body.Hip | body.Thigh | body.Foot,
		},
		{
			ID: "step-up", Name: "Step up", Pattern: SingleLeg, Needs: Step, Measure: Reps, Sides: true, Level: 2, Figure: "step-up", Hard: true,
			Cues:   []string{"Put the whole foot on the step.", "Lean forward a little and stand up on that leg, without a push from the other.", "Step down slowly with the same leg that came up last."},
			Easier: "Take a lower step.", Harder: "Lower for three seconds.",
			Caution: "The step must not slide or tip.",
			Loads:   body.Knee | body.Hip,
		},
		{
			ID: "dumbbell-split-squat", Name: "Split squat with dumbbells", Pattern: SingleLeg, Needs: Dumbbells, Sides: true, Level: 3, Figure: "dumbbell-split-squat", Hard: true,
			Cues:   []string{"A long step apart, a dumbbell in each hand, arms hanging.", "Lower the back knee straight down.", "Push up through the whole front foot."},
			Easier: "split-squat", Harder: "reverse-lunge",
			Loads: body.Knee | body.Hip | body.Thigh | body.Foot | body.Wrist,
		},
		{
			ID: "reverse-lunge", Name: "Lunge backwards", Pattern: SingleLeg, Needs: Dumbbells, Sides: true, Level: 3, Figure: "reverse-lunge", Hard: true,
			Cues:   []string{"Stand tall, a dumbbell in each hand.", "Step back and lower that knee towards the floor.", "Push through the front foot and come back to standing."},
			Easier: "dumbbell-split-squat", Harder: "Lower for three seconds.",
			Loads: body.Knee | body.Hip | body.Thigh | body.Foot | body.Wrist,
		},
	}
}
