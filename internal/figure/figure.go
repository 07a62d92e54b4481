// Package figure describes people in two positions of a movement, by their joints:
// a few angles and the places of hands and feet, from which all joints follow with
// limbs that keep their length. Our own drawings; web/part turns them into pictures.
package figure

// Point is a place in units of which a person who stands tall is 200: x to the right,
// the way a person seen from the side looks, y up from the floor.
type Point struct{ X, Y int }

// Figure is a movement in two positions.
type Figure struct {
	ID    string
	Words string  // what both positions show, for whoever does not see them
	Poses [2]Pose // the start and the end
	Props []Prop  // what stands there in both
}

// Prop is a thing: a line through points, or, with a radius, a disc round the first.
type Prop struct {
	Line   []Point
	Radius int
}

// Pose is one position. Angles are in degrees. Those of limbs are 0 hanging down, 90
// forward, 180 up; that of the trunk is 0 upright, 90 forward, −90 lying on the back.
// Of legs and arms the first is the near one, or seen from the front the right one
// of the picture.
type Pose struct {
	Front bool // seen from the front; else from the side
	Hip   Point
	Lean  int
	Nod   int // of the head, beyond the trunk
	Legs  [2]Leg
	Arms  [2]Limb
	Bells [2]Bell // a dumbbell in that hand
	Tied  bool    // a band runs from the near hand to Tie
	Tie   Point
}

// Limb is an arm or a leg: by its two angles, or by where its end is.
type Limb struct {
	Upper, Lower int
	End          Point
	Reaches      bool // End counts, not the angles
}

// Leg is a limb that ends at the ankle, and a foot: 0 level, 90 toes up, −90 toes down.
type Leg struct {
	Limb
	Foot   int
	Behind bool // seen from the front: the shank points away, and is drawn as short as that looks
}

// Bell is how a dumbbell is held.
type Bell uint8

// The ways; the first is that there is none.
const (
	NoBell Bell = iota
	Level
	Upright
)

// Lengths of a body: from the hips to the shoulders, on to the middle of the head, and
// of the limbs. Seen from the front shoulders and hips are apart.
const (
	Trunk, Neck, Head      = 56, 27, 14
	Thigh, Shank, Foot     = 47, 45, 20
	ShankBehind            = 16
	UpperArm, Forearm      = 32, 30
	ShoulderHalf, HipsHalf = 17, 9
)

// All are the figures, those of the warm-up first.
func All() []Figure {
	var all []Figure
	for _, some := range [][]Figure{warmups(), rollers(), squats(), hinges(), singleLegs(), pulls(), presses(), pressUps(), cores()} {
		all = append(all, some...)
	}
	return all
}

// Find is the figure of the ID; false where there is none.
func Find(id string) (Figure, bool) {
	for _, f := range All() {
		if f.ID == id {
			return f, true
		}
	}
	return Figure{}, false
}

// by is a limb by its angles, at by where its end is.
func by(upper, lower int) Limb { return Limb{Upper: upper, Lower: lower} }
func at(x, y int) Limb         { return Limb{End: Point{x, y}, Reaches: true} }

// on is a leg whose foot stands level, off one by its angles.
func on(x int) Leg                   { return Leg{Limb: at(x, ankle)} }
func tip(x, y, foot int) Leg         { return Leg{Limb: at(x, y), Foot: foot} }
func off(upper, lower, foot int) Leg { return Leg{Limb: by(upper, lower), Foot: foot} }
func behind(upper, lower int) Leg    { return Leg{Limb: by(upper, lower), Foot: lower - 60, Behind: true} }

// ankle is how high an ankle is over a foot that stands.
const ankle = 9

func both(l Limb) [2]Limb { return [2]Limb{l, l} }

// stand is somebody upright, arms as given.
func stand(arms [2]Limb) Pose {
	return Pose{Hip: Point{0, 100}, Legs: [2]Leg{on(3), on(-3)}, Arms: arms}
}

func (p Pose) bells(near, far Bell) Pose {
	p.Bells = [2]Bell{near, far}
	return p
}

// tied is the pose with a band from the hand to the place.
func (p Pose) tied(x, y int) Pose {
	p.Tied, p.Tie = true, Point{x, y}
	return p
}

// chair is a chair whose seat begins behind the place given; wall is a wall.
func chair(x int) []Prop {
	return []Prop{
		{Line: []Point{{x - 40, 96}, {x - 38, 44}, {x, 44}, {x + 1, 0}}},
		{Line: []Point{{x - 38, 44}, {x - 39, 0}}},
	}
}

func wall(x int) []Prop { return []Prop{{Line: []Point{{x, 0}, {x, 205}}}} }
