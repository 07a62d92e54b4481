package figure

func cores() []Figure {
	four := Pose{Hip: Point{0, 55}, Lean: 78, Nod: -6, Legs: [2]Leg{off(0, -90, -170), off(0, -90, -170)}, Arms: both(at(57, 6))}
	reach := four
	reach.Legs[0] = off(-88, -90, -110)
	reach.Arms[1] = by(92, 94)
	bug := func(near Leg, far Limb) Pose {
		return Pose{Hip: Point{0, 13}, Lean: -90, Legs: [2]Leg{near, off(176, 92, 170)}, Arms: [2]Limb{by(178, 180), far}}
	}
	carry := func(near, far Leg, swing Limb) Pose {
		p := Pose{Hip: Point{0, 96}, Legs: [2]Leg{near, far}, Arms: [2]Limb{by(0, 2), swing}}
		return p.bells(Level, NoBell)
	}
	front, back := tip(22, 10, 12), tip(-24, 18, -38)
	sideways := func(hip, lean, upper, lower int) Pose {
		return Pose{
			Front: true, Hip: Point{0, hip}, Lean: lean, Legs: [2]Leg{off(upper, upper, 60), off(lower, lower, 150)},
			Arms: [2]Limb{by(60, 100), by(4, -90)},
		}
	}
	aside := func(hand Limb) Pose { // on one side, the shanks behind, the head on the arm
		return Pose{
			Front: true, Hip: Point{0, 24}, Lean: -90, Nod: -4, Legs: [2]Leg{behind(88, 112), behind(86, 104)},
			Arms: [2]Limb{hand, by(-90, -90)},
		}
	}
	kneeling := func(hip, lean, upper, lower int) Pose {
		return Pose{
			Front: true, Hip: Point{0, hip}, Lean: lean, Legs: [2]Leg{behind(upper, 108), behind(lower, 100)},
			Arms: [2]Limb{by(60, 100), by(4, -90)},
		}
	}
	pulled := func(hands Limb) Pose {
		return Pose{Front: true, Hip: Point{0, 99}, Legs: [2]Leg{tip(14, 8, 0), tip(-14, 8, 0)}, Arms: both(hands)}.tied(88, 126)
	}
	return []Figure{
		{ID: "side-breath", Words: "Lying on one side, knees bent, head on the arm, a hand on the belly, which goes wide and is then drawn in.", Poses: [2]Pose{
			aside(at(-16, 52)), aside(at(-20, 34)),
		}},
		{ID: "arm-leg-reach", Words: "On hands and knees, one leg reaches back and the other arm forward, the back level.", Poses: [2]Pose{four, reach}},
		{ID: "dead-bug", Words: "Lying on the back, arms and knees up; one leg and the other arm stretch away.", Poses: [2]Pose{
			bug(off(176, 92, 170), by(178, 180)), bug(off(102, 98, 160), by(256, 262)),
		}},
		{ID: "carry", Words: "Walking slowly and upright with a dumbbell in one hand.", Poses: [2]Pose{
			carry(front, back, by(18, 36)), carry(back, front, by(-22, -6)),
		}},
		{ID: "plank", Words: "On the forearms, first with the knees on the floor, then the body in one line from head to heels.", Poses: [2]Pose{
			{Hip: Point{4, 30}, Lean: 83, Nod: -14, Legs: [2]Leg{off(-60, -92, -150), off(-60, -92, -150)}, Arms: both(by(2, 89))},
			{Hip: Point{4, 32}, Lean: 85, Nod: -14, Legs: [2]Leg{tip(-88, 24, -84), tip(-88, 24, -84)}, Arms: both(by(2, 89))},
		}},
		{ID: "knee-side-plank", Words: "On one side, on the forearm, knees bent; the hips lift until the body is straight from knees to shoulders.", Poses: [2]Pose{
			kneeling(17, -50, 84, 87), kneeling(38, -72, 62, 64),
		}},
		{ID: "band-hold", Words: "Seen from the front, a band fixed beside at the height of the chest; both hands stretch forward and hold against it.", Props: wall(90), Poses: [2]Pose{
			pulled(at(0, 140)), pulled(at(0, 106)),
		}},
		{ID: "side-plank", Words: "On one side, on the forearm; the hips lift until the body is straight.", Poses: [2]Pose{
			sideways(17, -50, 84, 87), sideways(37, -72, 74, 77),
		}},
	}
}
