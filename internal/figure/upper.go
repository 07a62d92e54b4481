package figure

func pulls() []Figure {
	row := func(near, far Limb) Pose {
		return Pose{Hip: Point{-22, 92}, Lean: 68, Nod: -14, Legs: [2]Leg{on(2), on(-8)}, Arms: [2]Limb{near, far}}
	}
	hang, pulled := by(-2, 2), by(-98, 4)
	benched := func(arm Limb) Pose {
		return Pose{Hip: Point{-36, 58}, Lean: 60, Nod: -10, Legs: [2]Leg{tip(-84, 24, -56), tip(-90, 24, -56)}, Arms: both(arm)}
	}
	return []Figure{
		{ID: "wall-pull", Words: "Back to a wall, elbows bent; the elbows press into the wall until the chest comes forward.", Props: wall(-56), Poses: [2]Pose{
			{Hip: Point{-22, 96}, Lean: -10, Nod: 14, Legs: [2]Leg{on(0), on(-6)}, Arms: both(by(-34, 64))},
			{Hip: Point{-18, 98}, Lean: -2, Legs: [2]Leg{on(0), on(-6)}, Arms: both(by(-68, 40))},
		}},
		{
			ID: "one-arm-row", Words: "One hand on a chair, back long, the other arm hangs with a dumbbell and pulls it towards the hip.",
			Props: []Prop{{Line: []Point{{34, 44}, {34, 0}}}, {Line: []Point{{34, 44}, {72, 44}, {72, 0}}}, {Line: []Point{{72, 44}, {75, 96}}}},
			Poses: [2]Pose{row(hang, at(46, 50)).bells(Level, NoBell), row(pulled, at(46, 50)).bells(Level, NoBell)},
		},
		{
			ID: "bench-row", Words: "Lying face down on a raised bench, the arms hang with dumbbells, which are pulled towards the hips.",
			Props: []Prop{{Line: []Point{{-34, 40}, {28, 76}}}, {Line: []Point{{-20, 48}, {-20, 0}}}, {Line: []Point{{20, 71}, {20, 0}}}},
			Poses: [2]Pose{benched(by(0, 2)).bells(Level, NoBell), benched(by(-96, 2)).bells(Level, NoBell)},
		},
		{ID: "band-row", Words: "Standing, a band fixed in front at the height of the belly, the elbows pull back along the ribs.", Props: wall(106), Poses: [2]Pose{
			stand(both(by(52, 74))).tied(104, 116), stand(both(by(-46, 78))).tied(104, 116),
		}},
		{ID: "bent-row", Words: "Bowed forward with a long back, a dumbbell in each hand, both are pulled towards the hips.", Poses: [2]Pose{
			row(hang, by(4, 8)).bells(Level, NoBell), row(pulled, by(-90, 10)).bells(Level, NoBell),
		}},
	}
}

func presses() []Figure {
	ready, up := both(by(24, 168)), [2]Limb{by(162, 172), by(158, 168)}
	sit := func(arms [2]Limb) Pose {
		return Pose{Hip: Point{-26, 55}, Legs: [2]Leg{on(10), on(4)}, Arms: arms}
	}
	lie := func(arms [2]Limb) Pose {
		return Pose{Hip: Point{0, 13}, Lean: -90, Legs: [2]Leg{on(42), on(36)}, Arms: arms}
	}
	couch := func(arms [2]Limb) Pose {
		return Pose{Hip: Point{0, 53}, Lean: -90, Legs: [2]Leg{on(40), on(32)}, Arms: arms}
	}
	pike := func(hip Point, lean, nod int) Pose {
		return Pose{Hip: hip, Lean: lean, Nod: nod, Legs: [2]Leg{tip(-36, 24, -62), tip(-36, 24, -62)}, Arms: both(at(70, 7))}
	}
	slide := func(arms [2]Limb) Pose {
		p := stand(arms)
		p.Lean = 3
		return p
	}
	return []Figure{
		{ID: "wall-slide", Words: "Facing a wall, forearms on it; the arms slide up and down again.", Props: wall(46), Poses: [2]Pose{
			slide(both(by(78, 176))), slide(both(by(134, 168))),
		}},
		{ID: "seated-press", Words: "Sitting tall on a chair, dumbbells at the shoulders, pressed up until the arms are long.", Props: chair(-12), Poses: [2]Pose{
			sit(ready).bells(Level, NoBell), sit(up).bells(Level, NoBell),
		}},
		{ID: "standing-press", Words: "Standing tall, dumbbells at the shoulders, pressed up until the arms are long.", Poses: [2]Pose{
			stand(ready).bells(Level, NoBell), stand(up).bells(Level, NoBell),
		}},
		{ID: "band-press", Words: "Standing on a band, its ends at the shoulders, pressed up until the arms are long.", Poses: [2]Pose{
			stand(ready).tied(3, 5), stand(up).tied(3, 5),
		}},
		{ID: "pike-press", Words: "Hands and feet on the floor, hips high; the elbows bend and the head comes down between the hands.", Poses: [2]Pose{
			pike(Point{6, 104}, 142, 28), pike(Point{12, 96}, 152, 8),
		}},
		{
			ID: "bench-press", Words: "Lying on a bench, feet on the floor, dumbbells over bent elbows, pressed up until the arms are long.",
			Props: []Prop{{Line: []Point{{-94, 38}, {2, 38}}}, {Line: []Point{{-84, 38}, {-84, 0}}}, {Line: []Point{{-8, 38}, {-8, 0}}}},
			Poses: [2]Pose{couch(both(by(74, 176))).bells(Level, NoBell), couch(both(by(178, 180))).bells(Level, NoBell)},
		},
		{ID: "floor-press", Words: "Lying on the back, knees bent, dumbbells over bent elbows, pressed up until the arms are long.", Poses: [2]Pose{
			lie(both(by(76, 176))).bells(Level, NoBell), lie(both(by(178, 180))).bells(Level, NoBell),
		}},
	}
}

func pressUps() []Figure {
	leaning := func(hip Point, lean, foot, x, y int) Pose {
		return Pose{Hip: hip, Lean: lean, Nod: -6, Legs: [2]Leg{tip(foot, 12, -8), tip(foot-3, 12, -8)}, Arms: both(at(x, y))}
	}
	strode := func(arms [2]Limb) Pose {
		return Pose{Hip: Point{0, 95}, Lean: 6, Legs: [2]Leg{on(20), tip(-22, 14, -26)}, Arms: arms}
	}
	prone := func(hip Point, lean int) Pose {
		return Pose{Hip: hip, Lean: lean, Nod: -10, Legs: [2]Leg{tip(-84, 24, -82), tip(-84, 24, -82)}, Arms: both(at(60, 6))}
	}
	return []Figure{
		{ID: "wall-press-up", Words: "Hands on a wall, body in one line, the chest comes to the wall and is pushed away.", Props: wall(76), Poses: [2]Pose{
			leaning(Point{-4, 101}, 15, -28, 70, 146), leaning(Point{14, 94}, 27, -28, 70, 146),
		}},
		{
			ID: "table-press-up", Words: "Hands on the edge of a table, body in one line, the chest comes to the edge and is pushed away.",
			Props: []Prop{{Line: []Point{{40, 76}, {106, 76}}}, {Line: []Point{{48, 76}, {48, 0}}}, {Line: []Point{{98, 76}, {98, 0}}}},
			Poses: [2]Pose{leaning(Point{-12, 88}, 34, -64, 48, 82), leaning(Point{4, 74}, 48, -64, 48, 82)},
		},
		{ID: "band-chest-press", Words: "Standing with one foot in front, a band fixed behind at the height of the chest, both hands press forward.", Props: wall(-82), Poses: [2]Pose{
			strode(both(by(-40, 82))).tied(-80, 140), strode(both(by(80, 86))).tied(-80, 140),
		}},
		{ID: "press-up", Words: "On hands and toes, body in one line, the chest goes down towards the floor and is pushed up.", Poses: [2]Pose{
			prone(Point{5, 50}, 73), prone(Point{8, 26}, 88),
		}},
	}
}
