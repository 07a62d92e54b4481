package figure

// warmups are the movements before a session, and walking.
func warmups() []Figure {
	leaning := at(64, 138)
	rock := func(hip Point, lean int) Pose {
		return Pose{Hip: hip, Lean: lean, Legs: [2]Leg{on(34), tip(-34, 12, -12)}, Arms: both(at(72, 140))}
	}
	heels := func(hip, ankle, foot int) Pose {
		return Pose{Hip: Point{0, hip}, Legs: [2]Leg{tip(3, ankle, foot), tip(-3, ankle, foot)}, Arms: both(at(50, 130))}
	}
	return []Figure{
		{ID: "walk", Words: "Somebody walks, upright, arms swinging loosely against the legs.", Poses: [2]Pose{
			{Hip: Point{0, 96}, Lean: 3, Legs: [2]Leg{tip(25, 10, 14), tip(-26, 18, -38)}, Arms: [2]Limb{by(-28, -8), by(24, 46)}},
			{Hip: Point{0, 96}, Lean: 3, Legs: [2]Leg{tip(-26, 18, -38), tip(25, 10, 14)}, Arms: [2]Limb{by(24, 46), by(-28, -8)}},
		}},
		{ID: "leg-swing", Words: "Standing on one leg, a hand on a wall, the other leg swings back, then forward.", Props: wall(70), Poses: [2]Pose{
			{Hip: Point{0, 99}, Lean: 4, Legs: [2]Leg{off(-34, -48, -55), on(0)}, Arms: [2]Limb{by(10, 22), leaning}},
			{Hip: Point{2, 99}, Lean: 2, Legs: [2]Leg{off(33, 18, -8), on(0)}, Arms: [2]Limb{by(-12, 4), leaning}},
		}},
		{ID: "ankle-rock", Words: "Hands on a wall, one foot in front; the front knee moves forward over the toes while the heel stays down.", Props: wall(80), Poses: [2]Pose{
			rock(Point{5, 93}, 8), rock(Point{21, 87}, 5),
		}},
		{ID: "lunge-reach", Words: "From standing, a step back with both knees bent, both arms reaching up.", Poses: [2]Pose{
			stand(both(by(-4, 6))),
			{Hip: Point{-2, 74}, Lean: -4, Legs: [2]Leg{on(32), tip(-48, 24, -66)}, Arms: [2]Limb{by(152, 158), by(146, 152)}},
		}},
		{ID: "squat-reach", Words: "From standing, a squat with both arms reaching forward.", Poses: [2]Pose{
			stand([2]Limb{by(4, 14), by(8, 18)}),
			{Hip: Point{-24, 56}, Lean: 34, Nod: -24, Legs: [2]Leg{on(4), on(-2)}, Arms: [2]Limb{by(92, 92), by(96, 96)}},
		}},
		{ID: "side-swing", Words: "Seen from the front, standing on one leg, the other swings out to the side, then across in front.", Poses: [2]Pose{
			{Front: true, Hip: Point{0, 99}, Legs: [2]Leg{off(42, 42, 12), tip(-7, 8, 0)}, Arms: [2]Limb{by(40, 75), by(-40, -75)}},
			{Front: true, Hip: Point{0, 99}, Legs: [2]Leg{off(-24, -28, -20), tip(-7, 8, 0)}, Arms: [2]Limb{by(40, 75), by(-40, -75)}},
		}},
		{ID: "knee-lift", Words: "One knee is lifted in front, then turned out to the side.", Poses: [2]Pose{
			{Hip: Point{0, 99}, Legs: [2]Leg{off(88, -2, -4), on(-2)}, Arms: [2]Limb{by(-6, 14), by(14, 34)}},
			{Front: true, Hip: Point{0, 99}, Legs: [2]Leg{off(80, 4, 0), tip(-7, 8, 0)}, Arms: [2]Limb{by(40, -45), by(-40, 45)}},
		}},
		{ID: "arm-circle", Words: "Standing tall, straight arms circle from the front up over the head.", Poses: [2]Pose{
			stand([2]Limb{by(62, 64), by(50, 52)}), stand([2]Limb{by(152, 154), by(140, 142)}),
		}},
		{ID: "heel-raise", Words: "Standing, finger tips on a wall, the heels rise until only the front of the feet touches the ground.", Props: wall(56), Poses: [2]Pose{
			heels(100, ankle, 0), heels(113, 23, -48),
		}},
		{ID: "march", Words: "Marching on the spot, one knee up, then the other, arms along.", Poses: [2]Pose{
			marching(99, off(82, -6, -6), on(-2)), marching(99, on(2), off(82, -6, -6)),
		}},
		{ID: "skip", Words: "An easy skip: push off from the toes with one knee up, then a moment in the air.", Poses: [2]Pose{
			marching(104, off(62, -24, -20), tip(-14, 20, -46)), marching(122, off(80, -4, -10), off(-6, -30, -62)),
		}},
		{ID: "quick-feet", Words: "Tiny quick steps on the spot, one heel up, then the other.", Poses: [2]Pose{
			{Hip: Point{0, 95}, Lean: 6, Legs: [2]Leg{tip(4, 26, -38), on(-6)}, Arms: [2]Limb{by(-30, 62), by(18, 104)}},
			{Hip: Point{0, 95}, Lean: 6, Legs: [2]Leg{on(4), tip(-4, 26, -38)}, Arms: [2]Limb{by(18, 104), by(-30, 62)}},
		}},
	}
}

// marching is somebody with one knee up, the arms against the legs.
func marching(hip int, near, far Leg) Pose {
	p := Pose{Hip: Point{0, hip}, Lean: 2, Legs: [2]Leg{near, far}, Arms: [2]Limb{by(-36, 50), by(34, 118)}}
	if near.Reaches {
		p.Arms[0], p.Arms[1] = p.Arms[1], p.Arms[0]
	}
	return p
}

// rollers are the movements on a roller.
func rollers() []Figure {
	calf := func(x int) Pose {
		return Pose{
			Hip: Point{-34 + x, 15}, Lean: -22, Nod: 20, Legs: [2]Leg{tip(54+x, 30, 70), tip(0+x, ankle, 0)}, Arms: both(at(-74+x, 6)),
		}
	}
	thigh := func(x int) Pose {
		return Pose{
			Hip: Point{x, 33}, Lean: 88, Nod: -28, Legs: [2]Leg{off(-90, -96, -96), off(-94, -96, -96)}, Arms: both(by(4, 88)),
		}
	}
	buttocks := func(x int) Pose {
		return Pose{Hip: Point{x, 38}, Lean: -58, Nod: 50, Legs: [2]Leg{on(58), on(50)}, Arms: both(at(-56, 8))}
	}
	return []Figure{
		{
			ID: "roll-buttocks", Words: "Sitting on a roller, hands on the floor behind, feet flat; the roller moves along the buttock.",
			Props: []Prop{{Line: []Point{{0, 13}}, Radius: 12}}, Poses: [2]Pose{buttocks(5), buttocks(-8)},
		},
		{
			ID: "roll-calf", Words: "Sitting on the floor, hands behind, one calf on a roller, which moves along the lower leg.",
			Props: []Prop{{Line: []Point{{34, 13}}, Radius: 12}}, Poses: [2]Pose{calf(0), calf(-14)},
		},
		{
			ID: "roll-thigh", Words: "Lying face down on the forearms, a thigh on a roller, which moves along the thigh.",
			Props: []Prop{{Line: []Point{{-26, 13}}, Radius: 12}}, Poses: [2]Pose{thigh(8), thigh(-8)},
		},
	}
}
