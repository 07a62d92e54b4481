package figure_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/figure"
	"halfhour.app/halfhour/internal/strength"
	"halfhour.app/halfhour/internal/warmup"
)

func length(a, b figure.Spot) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// direction is the angle of a limb from a to b: 0 down, 90 forward.
func direction(a, b figure.Spot) float64 { return math.Atan2(b.X-a.X, a.Y-b.Y) * 180 / math.Pi }

// turned brings an angle between −180 and 180.
func turned(degrees float64) float64 { return math.Remainder(degrees, 360) }

func TestEveryExerciseAndMovementFindsItsFigure(t *testing.T) {
	wanted := map[string]bool{}
	for _, e := range strength.Standard() {
		wanted[e.Figure] = true
	}
	for _, m := range warmup.Standard() {
		wanted[m.Figure] = true
	}
	delete(wanted, "")
	for id := range wanted {
		_, found := figure.Find(id)
		require.True(t, found, id)
	}
	seen := map[string]bool{}
	for _, f := range figure.All() {
		require.True(t, wanted[f.ID], "%s is used nowhere", f.ID)
		require.False(t, seen[f.ID], "%s is there twice", f.ID)
		seen[f.ID] = true
		require.NotEmpty(t, f.Words)
		require.NotEqual(t, f.Poses[0], f.Poses[1], "%s does not move", f.ID)
	}
	_, found := figure.Find("handstand")
	require.False(t, found)
	for _, p := range strength.Patterns() {
		drawn := 0
		for _, e := range strength.Standard().Of(p) {
			if e.Figure != "" {
				drawn++
			}
		}
		require.GreaterOrEqual(t, drawn, 3, "%s: enough drawings to tell it by", p)
	}
}

// spots are all joints of a body.
func spots(j figure.Joints) []figure.Spot {
	all := []figure.Spot{j.Hip, j.Shoulder, j.Head}
	for i := range 2 {
		all = append(append(all, j.Legs[i][:]...), j.Arms[i][:]...)
	}
	return all
}

// Nobody sinks into the floor, and but for a skip everybody touches it, or what
// stands on it.
func TestFiguresStandOnTheFloor(t *testing.T) {
	for _, f := range figure.All() {
		for i := range f.Poses {
			j := f.Poses[i].Joints()
			lowest := math.Inf(1)
			for _, s := range spots(j) {
				lowest = min(lowest, s.Y)
			}
			require.GreaterOrEqual(t, lowest, 0.0, "%s %d sinks", f.ID, i)
			require.GreaterOrEqual(t, j.Head.Y, float64(figure.Head)-5, "%s %d: the head sinks", f.ID, i)
			switch {
			case f.ID == "skip" && i == 1:
				require.Greater(t, lowest, 10.0, "in the air")
			case f.ID == "step-up" && i == 1:
				require.InDelta(t, 34, lowest, 6, "on the step")
			default:
				require.Less(t, lowest, 14.0, "%s %d floats", f.ID, i) // half of a lying trunk is 12.5
			}
		}
	}
}

// Hands and feet are where they are said to be: nothing is out of reach.
func TestNothingIsOutOfReach(t *testing.T) {
	for _, f := range figure.All() {
		for i := range f.Poses {
			p := &f.Poses[i]
			j := p.Joints()
			for k := range 2 {
				if leg := p.Legs[k]; leg.Reaches {
					require.Less(t, length(j.Legs[k][2], figure.Spot{X: float64(leg.End.X), Y: float64(leg.End.Y)}), 3.0, "%s %d: foot %d", f.ID, i, k)
				}
				if arm := p.Arms[k]; arm.Reaches {
					require.Less(t, length(j.Arms[k][2], figure.Spot{X: float64(arm.End.X), Y: float64(arm.End.Y)}), 3.0, "%s %d: hand %d", f.ID, i, k)
				}
			}
		}
	}
}

// Seen from the side knees bend to the back of the shank and elbows to the front,
// no further than joints do.
func TestJointsBendAsTheyDo(t *testing.T) {
	for _, f := range figure.All() {
		for i := range f.Poses {
			if f.Poses[i].Front {
				continue
			}
			j := f.Poses[i].Joints()
			for k := range 2 {
				l, a := j.Legs[k], j.Arms[k]
				knee := turned(direction(l[0], l[1]) - direction(l[1], l[2]))
				require.GreaterOrEqual(t, knee, -1.0, "%s %d: knee %d", f.ID, i, k)
				require.LessOrEqual(t, knee, 150.0, "%s %d: knee %d", f.ID, i, k)
				elbow := turned(direction(a[1], a[2]) - direction(a[0], a[1]))
				require.GreaterOrEqual(t, elbow, -1.0, "%s %d: elbow %d", f.ID, i, k)
				require.LessOrEqual(t, elbow, 155.0, "%s %d: elbow %d", f.ID, i, k)
			}
		}
	}
}

// Nobody walks through a wall: what is drawn upright and long is one.
func TestNobodyGoesThroughAWall(t *testing.T) {
	for _, f := range figure.All() {
		for _, prop := range f.Props {
			if len(prop.Line) != 2 || prop.Line[0].X != prop.Line[1].X || prop.Line[1].Y < 150 {
				continue
			}
			at := float64(prop.Line[0].X)
			for i := range f.Poses {
				for _, s := range spots(f.Poses[i].Joints()) {
					require.True(t, at > 0 && s.X < at || at < 0 && s.X > at, "%s %d", f.ID, i)
				}
			}
		}
	}
}

// Limbs keep their length, whatever the pose.
func TestLimbsKeepTheirLength(t *testing.T) {
	angle := rapid.IntRange(-180, 360)
	limb := rapid.Custom(func(t *rapid.T) figure.Limb {
		return figure.Limb{
			Upper: angle.Draw(t, "upper"), Lower: angle.Draw(t, "lower"), Reaches: rapid.Bool().Draw(t, "reaches"),
			End: figure.Point{X: rapid.IntRange(-300, 300).Draw(t, "x"), Y: rapid.IntRange(-100, 300).Draw(t, "y")},
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		p := figure.Pose{
			Front: rapid.Bool().Draw(t, "front"), Lean: angle.Draw(t, "lean"), Nod: angle.Draw(t, "nod"),
			Hip: figure.Point{X: rapid.IntRange(-50, 50).Draw(t, "hip x"), Y: rapid.IntRange(0, 120).Draw(t, "hip y")},
		}
		for k := range 2 {
			p.Legs[k] = figure.Leg{Limb: limb.Draw(t, "leg"), Foot: angle.Draw(t, "foot")}
			p.Arms[k] = limb.Draw(t, "arm")
		}
		j := p.Joints()
		require.InDelta(t, figure.Trunk, length(j.Hip, j.Shoulder), 0.001)
		require.InDelta(t, figure.Neck, length(j.Shoulder, j.Head), 0.001)
		for k := range 2 {
			require.InDelta(t, figure.Thigh, length(j.Legs[k][0], j.Legs[k][1]), 0.001)
			require.InDelta(t, figure.Shank, length(j.Legs[k][1], j.Legs[k][2]), 0.001)
			require.InDelta(t, figure.UpperArm, length(j.Arms[k][0], j.Arms[k][1]), 0.001)
			require.InDelta(t, figure.Forearm, length(j.Arms[k][1], j.Arms[k][2]), 0.001)
		}
	})
}

func TestAHandOnItsOwnShoulder(t *testing.T) {
	p := figure.Pose{Hip: figure.Point{Y: 100}}
	p.Arms[0] = figure.Limb{Reaches: true, End: figure.Point{Y: 156}}
	j := p.Joints()
	require.InDelta(t, figure.UpperArm, length(j.Arms[0][0], j.Arms[0][1]), 0.001, "as near as the arm folds")
	require.InDelta(t, figure.UpperArm-figure.Forearm, length(j.Arms[0][0], j.Arms[0][2]), 0.001)
}
