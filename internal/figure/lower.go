package figure

func squats() []Figure {
	folded, held := [2]Limb{by(14, 128), by(20, 134)}, both(by(-8, 135))
	down := func(arms [2]Limb) Pose {
		return Pose{Hip: Point{-24, 54}, Lean: 32, Nod: -22, Legs: [2]Leg{on(5), on(-2)}, Arms: arms}
	}
	deep := down(both(by(8, 136)))
	return []Figure{
		{ID: "sit-to-stand", Words: "Sitting on the front of a chair, leaning forward, then standing tall.", Props: chair(-12), Poses: [2]Pose{
			{Hip: Point{-26, 55}, Lean: 26, Nod: -14, Legs: [2]Leg{on(4), on(-3)}, Arms: [2]Limb{by(42, 74), by(48, 80)}},
			stand([2]Limb{by(-2, 8), by(4, 14)}),
		}},
		{ID: "squat", Words: "From standing, arms folded, down into a squat with the heels on the ground.", Poses: [2]Pose{
			stand(folded), down([2]Limb{by(34, 140), by(40, 146)}),
		}},
		{ID: "chair-squat", Words: "Holding a dumbbell upright against the chest, from standing down until a chair is touched.", Props: chair(-12), Poses: [2]Pose{
			stand(held).bells(Upright, NoBell),
			Pose{Hip: Point{-26, 56}, Lean: 26, Nod: -16, Legs: [2]Leg{on(4), on(-3)}, Arms: both(by(2, 136))}.bells(Upright, NoBell),
		}},
		{ID: "goblet-squat", Words: "Holding a dumbbell upright against the chest, from standing down into a squat.", Poses: [2]Pose{
			stand(held).bells(Upright, NoBell), deep.bells(Upright, NoBell),
		}},
	}
}

func hinges() []Figure {
	lying := Pose{Hip: Point{0, 13}, Lean: -90, Legs: [2]Leg{on(42), on(36)}, Arms: both(by(84, 88))}
	lifted := Pose{Hip: Point{-6, 42}, Lean: -120, Nod: 30, Legs: [2]Leg{on(42), on(36)}, Arms: both(by(84, 88))}
	bent := func(arms [2]Limb) Pose {
		return Pose{Hip: Point{-24, 92}, Lean: 72, Nod: -8, Legs: [2]Leg{on(3), on(-3)}, Arms: arms}
	}
	behind := func(p Pose) Pose {
		p.Legs[1] = tip(-28, 22, -48)
		return p
	}
	raised := func(p Pose, thigh int) Pose {
		p.Legs[0] = off(thigh, thigh-16, 120)
		return p
	}
	return []Figure{
		{ID: "hinge", Words: "From standing, hands on the thighs, the hips go back and the trunk bows forward with a long back.", Poses: [2]Pose{
			stand([2]Limb{by(2, 18), by(4, 20)}), bent(both(at(12, 60))),
		}},
		{ID: "deadlift", Words: "From standing, a dumbbell in each hand, the hips go back and the trunk bows until the weights pass the knees.", Poses: [2]Pose{
			stand([2]Limb{by(6, 12), by(12, 18)}).bells(Level, NoBell), bent([2]Limb{by(-4, 2), by(0, 6)}).bells(Level, NoBell),
		}},
		{ID: "staggered-deadlift", Words: "One foot half a step behind on its toes, a dumbbell in each hand, the trunk bows over the front leg.", Poses: [2]Pose{
			behind(stand([2]Limb{by(6, 12), by(12, 18)})).bells(Level, NoBell), behind(bent([2]Limb{by(-4, 2), by(0, 6)})).bells(Level, NoBell),
		}},
		{ID: "one-leg-bridge", Words: "Lying on the back, one foot flat, the other leg held up, the hips lift.", Poses: [2]Pose{raised(lying, 140), raised(lifted, 122)}},
		{ID: "kneeling-hinge", Words: "From kneeling upright the hips go back towards the heels, the back long.", Poses: [2]Pose{
			{Hip: Point{0, 55}, Legs: [2]Leg{off(0, -90, -170), off(0, -90, -170)}, Arms: [2]Limb{by(2, 20), by(6, 24)}},
			{Hip: Point{-34, 40}, Lean: 56, Nod: -10, Legs: [2]Leg{off(46, -90, -170), off(46, -90, -170)}, Arms: both(at(8, 24))},
		}},
		{ID: "bridge", Words: "Lying on the back, knees bent, the hips lift until the body is straight from knees to shoulders.", Poses: [2]Pose{lying, lifted}},
	}
}

func singleLegs() []Figure {
	hanging := [2]Limb{by(-2, 4), by(2, 8)}
	split := func(hip Point, back int) Pose {
		return Pose{Hip: hip, Legs: [2]Leg{on(36), tip(-50+back, 24, -64)}, Arms: hanging}
	}
	side := func(raised int) Pose {
		return Pose{
			Front: true, Hip: Point{0, 24}, Lean: -90, Nod: -4,
			Legs: [2]Leg{off(raised, raised, raised-20), off(86, 84, 150)}, Arms: [2]Limb{by(70, 40), by(-90, -90)},
		}
	}
	return []Figure{
		{ID: "balance-reach", Words: "Standing on one leg, its knee a little bent, the other foot reaches forward, then back.", Poses: [2]Pose{
			{Hip: Point{-4, 92}, Lean: 6, Legs: [2]Leg{off(42, 34, 8), on(0)}, Arms: [2]Limb{by(-34, -20), by(40, 58)}},
			{Hip: Point{-8, 92}, Lean: 24, Nod: -12, Legs: [2]Leg{off(-28, -48, -62), on(0)}, Arms: [2]Limb{by(44, 62), by(-20, -6)}},
		}},
		{ID: "split-squat", Words: "One foot a long step in front of the other, the back knee sinks straight down towards the floor.", Poses: [2]Pose{
			split(Point{-4, 86}, 4), split(Point{-2, 54}, 0),
		}},
		{ID: "dumbbell-split-squat", Words: "One foot a long step in front of the other, a dumbbell in each hand, the back knee sinks straight down.", Poses: [2]Pose{
			split(Point{-4, 86}, 4).bells(Level, NoBell), split(Point{-2, 54}, 0).bells(Level, NoBell),
		}},
		{ID: "reverse-lunge", Words: "From standing, a dumbbell in each hand, a step back until that knee is close to the floor.", Poses: [2]Pose{
			stand(hanging).bells(Level, NoBell), split(Point{-2, 54}, 0).bells(Level, NoBell),
		}},
		{
			ID: "step-up", Words: "One foot on a step, then standing up on that leg.", Props: []Prop{{Line: []Point{{14, 0}, {14, 30}, {70, 30}, {70, 0}}}},
			Poses: [2]Pose{
				{Hip: Point{4, 93}, Lean: 14, Legs: [2]Leg{tip(32, 39, 0), tip(-14, 12, -10)}, Arms: [2]Limb{by(-20, 10), by(24, 60)}},
				{Hip: Point{34, 130}, Lean: 2, Legs: [2]Leg{tip(34, 39, 0), off(28, -30, -24)}, Arms: [2]Limb{by(20, 56), by(-22, 8)}},
			},
		},
		{ID: "side-leg-raise", Words: "Lying on one side, head on the arm, the upper leg lifts.", Poses: [2]Pose{side(90), side(126)}},
	}
}
