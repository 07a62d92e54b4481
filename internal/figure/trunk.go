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
	return []Figure{
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
		{ID: "side-plank", Words: "On one side, on the forearm; the hips lift until the body is straight.", Poses: [2]Pose{
			sideways(17, -50, 84, 87), sideways(37, -72, 74, 77),
		}},
	}
}
