package figure

import "math"

// Joints are all places of a body, in fractions of units. Legs are hip, knee, ankle
// and toes, arms shoulder, elbow and hand.
type Joints struct {
	Hip, Shoulder, Head Spot
	Legs                [2][4]Spot
	Arms                [2][3]Spot
}

// Spot is a point in fractions of units.
type Spot struct{ X, Y float64 }

// Joints works out where the joints are. A place out of reach is reached for as far as
// the limb is long.
func (p *Pose) Joints() Joints {
	j := Joints{Hip: spot(p.Hip)}
	j.Shoulder = j.Hip.along(180-p.Lean, Trunk)
	j.Head = j.Shoulder.along(180-p.Lean-p.Nod, Neck)
	for i := range 2 {
		hip, shoulder, side := j.Hip, j.Shoulder, 0
		if p.Front {
			side = 1 - 2*i
			hip = hip.along(90-p.Lean, float64(side*HipsHalf))
			shoulder = shoulder.along(90-p.Lean, float64(side*ShoulderHalf))
		}
		shank := Shank
		if p.Legs[i].Behind {
			shank = ShankBehind
		}
		knee, foot := p.Legs[i].joints(hip, Thigh, float64(shank), kneeSide(side))
		j.Legs[i] = [4]Spot{hip, knee, foot, foot.along(p.Legs[i].Foot+80, Foot)}
		if p.Front {
			j.Legs[i][3] = foot.along(p.Legs[i].Foot+50*side, Foot/2)
		}
		elbow, hand := p.Arms[i].joints(shoulder, UpperArm, Forearm, elbowSide(side))
		j.Arms[i] = [3]Spot{shoulder, elbow, hand}
	}
	return j
}

// Knees bend to the front, elbows to the back; seen from the front both outwards.
func kneeSide(side int) float64 {
	if side == 0 {
		return 1
	}
	return float64(side)
}

func elbowSide(side int) float64 {
	if side == 0 {
		return -1
	}
	return float64(side)
}

// joints are the middle and the end of the limb that begins at the root.
func (l Limb) joints(root Spot, upper, lower float64, side float64) (middle, end Spot) {
	if !l.Reaches {
		middle = root.along(l.Upper, upper)
		return middle, middle.along(l.Lower, lower)
	}
	dx, dy := float64(l.End.X)-root.X, float64(l.End.Y)-root.Y
	long := math.Hypot(dx, dy)
	if long == 0 {
		dy, long = -1, 1
	}
	dx, dy = dx/long, dy/long
	long = min(max(long, math.Abs(upper-lower)), upper+lower)
	near := (upper*upper - lower*lower + long*long) / (2 * long)
	out := side * math.Sqrt(max(upper*upper-near*near, 0))
	middle = Spot{root.X + dx*near - dy*out, root.Y + dy*near + dx*out}
	return middle, Spot{root.X + dx*long, root.Y + dy*long}
}

func spot(p Point) Spot { return Spot{float64(p.X), float64(p.Y)} }

// along is the spot so far away at an angle of limbs: 0 down, 90 forward.
func (s Spot) along(degrees int, length float64) Spot {
	sin, cos := math.Sincos(float64(degrees) * math.Pi / 180)
	return Spot{s.X + length*sin, s.Y - length*cos}
}
