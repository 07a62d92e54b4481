package part

import (
	"math"
	"strconv"

	"halfhour.app/halfhour/internal/figure"
)

// Margins round what is drawn, the room between the two positions, and the least
// width of one, in units of the figures.
const (
	figureMargin = 10
	figureGap    = 34
	figureLeast  = 104
	figureFloor  = 7  // below the floor
	figureScale  = 56 // pixels for a hundred units
)

// person is one position as paths.
type person struct {
	Props, FarLegs, FarArms, Legs, Trunk, Head, Arms, Bells, Band string
	Front                                                         bool
}

// sketch is a figure as paths: both positions side by side, on one floor.
type sketch struct {
	Box, Floor, Arrow string
	Width, Height     string // as shown where there is room: all figures on one scale
	People            [2]person
}

// frame is what of the plane is drawn.
type frame struct{ left, right, top float64 }

// draw turns a figure into paths. Both positions have the same frame, so that the
// eye sees what moved.
func draw(f figure.Figure) sketch {
	var joints [2]figure.Joints
	in := frame{left: math.Inf(1), right: math.Inf(-1)}
	for i := range f.Poses {
		joints[i] = f.Poses[i].Joints()
		in.hold(&joints[i], &f.Poses[i])
	}
	for _, p := range f.Props {
		for _, at := range p.Line {
			in.see(figure.Spot{X: float64(at.X), Y: float64(at.Y)}, float64(p.Radius))
		}
	}
	if slack := figureLeast - (in.right - in.left); slack > 0 {
		in.left, in.right = in.left-slack/2, in.right+slack/2
	}
	width, height := round(in.right-in.left)+2*figureMargin, round(in.top)+figureMargin+figureFloor
	whole := 2*width + figureGap
	s := sketch{
		Box:   "0 0 " + strconv.Itoa(whole) + " " + strconv.Itoa(height),
		Width: strconv.Itoa(whole * figureScale / 100), Height: strconv.Itoa(height * figureScale / 100),
	}
	var floor, arrow pen
	for i := range f.Poses {
		x := i * (width + figureGap)
		at := sheet{x: float64(x+figureMargin) - in.left, y: float64(height - figureFloor)}
		s.People[i] = at.person(&f.Poses[i], &joints[i], f.Props)
		floor.line(x+3, height-figureFloor+5, width-6)
	}
	middle := height * 3 / 5
	arrow.to('M', width+3, middle)
	arrow.to('h', figureGap-8)
	arrow.to('m', -9, -8)
	arrow.to('l', 9, 8)
	arrow.to('l', -9, 8)
	s.Floor, s.Arrow = floor.String(), arrow.String()
	return s
}

func round(x float64) int { return int(math.Round(x)) }

// see makes the frame hold a spot with so much room round it.
func (in *frame) see(s figure.Spot, room float64) {
	in.left, in.right, in.top = min(in.left, s.X-room), max(in.right, s.X+room), max(in.top, s.Y+room)
}

// hold makes the frame hold a body.
func (in *frame) hold(j *figure.Joints, p *figure.Pose) {
	in.see(j.Head, figure.Head)
	for i := range 2 {
		for _, s := range j.Legs[i] {
			in.see(s, 6)
		}
		for _, s := range j.Arms[i] {
			in.see(s, 5)
		}
		if p.Bells[i] != figure.NoBell {
			in.see(j.Arms[i][2], bellHalf+3)
		}
	}
}

// sheet is where the plane of the figures lies on the picture.
type sheet struct{ x, y float64 }

// place is a spot on the picture.
func (s sheet) place(at figure.Spot) (x, y int) { return round(s.x + at.X), round(s.y - at.Y) }

// through draws a line through the spots.
func (s sheet) through(p *pen, spots ...figure.Spot) {
	command := byte('M')
	for _, at := range spots {
		x, y := s.place(at)
		p.to(command, x, y)
		command = 'L'
	}
}

// disc draws a disc round the spot.
func (s sheet) disc(p *pen, at figure.Spot, radius int) {
	x, y := s.place(at)
	p.to('M', x-radius, y)
	for _, across := range [...]int{2 * radius, -2 * radius} {
		p.to('a', radius, radius, 0, 1, 0, across, 0)
	}
	p.WriteByte('z')
}

// person draws one position.
func (s sheet) person(p *figure.Pose, j *figure.Joints, props []figure.Prop) person {
	var things, legs, farLegs, trunk, head, arms, farArms, bells, band pen
	for _, prop := range props {
		s.prop(&things, prop)
	}
	s.through(&legs, j.Legs[0][:]...)
	s.through(&farLegs, j.Legs[1][:]...)
	s.through(&arms, j.Arms[0][:]...)
	s.through(&farArms, j.Arms[1][:]...)
	if p.Front {
		s.through(&trunk, j.Arms[0][0], j.Arms[1][0], j.Legs[1][0], j.Legs[0][0])
		trunk.WriteByte('z')
	} else {
		s.through(&trunk, j.Shoulder, j.Hip)
	}
	s.disc(&head, j.Head, figure.Head)
	for i, bell := range p.Bells {
		s.bell(&bells, bell, j.Arms[i][2])
	}
	if p.Tied {
		s.through(&band, j.Arms[0][2], figure.Spot{X: float64(p.Tie.X), Y: float64(p.Tie.Y)})
	}
	return person{
		Props: things.String(), FarLegs: farLegs.String(), FarArms: farArms.String(), Legs: legs.String(),
		Trunk: trunk.String(), Head: head.String(), Arms: arms.String(), Bells: bells.String(), Band: band.String(), Front: p.Front,
	}
}

func (s sheet) prop(p *pen, prop figure.Prop) {
	var spots []figure.Spot
	for _, at := range prop.Line {
		spots = append(spots, figure.Spot{X: float64(at.X), Y: float64(at.Y)})
	}
	if prop.Radius > 0 {
		s.disc(p, spots[0], prop.Radius)
		return
	}
	s.through(p, spots...)
}

// A dumbbell: half the length of its bar, and of the plates at its ends.
const (
	bellHalf  = 15
	plateHalf = 8
)

// bell draws a dumbbell in a hand.
func (s sheet) bell(p *pen, b figure.Bell, hand figure.Spot) {
	along, across := figure.Spot{X: bellHalf}, figure.Spot{Y: plateHalf}
	switch b {
	case figure.NoBell:
		return
	case figure.Upright:
		along, across = figure.Spot{Y: bellHalf}, figure.Spot{X: plateHalf}
	}
	plus := func(a, b float64) figure.Spot {
		return figure.Spot{X: hand.X + a*along.X + b*across.X, Y: hand.Y + a*along.Y + b*across.Y}
	}
	s.through(p, plus(-1, 0), plus(1, 0))
	for _, end := range [...]float64{-1, -0.62, 0.62, 1} {
		s.through(p, plus(end, -1), plus(end, 1))
	}
}
