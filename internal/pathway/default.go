package pathway

// The stages of the default pathway.
const (
	WalkingBase = "walking base"
	WalkLed     = "walk-led"
	RunLed      = "run-led"
)

// Default is the pathway every club begins with: from a quarter of an hour's
// walk to thirty minutes of running. It is our own, inside the envelope of
// published walk–run programmes; run time rises by 1:45 to 3 minutes a step, and
// walks of the run-led phases stay at 2:15 and more, because in an untrained body
// half of a shorter walk is too little time for the breath to come back.
func Default() *Pathway {
	return &Pathway{Phases: []Phase{
		{"B1", WalkingBase, walk(15, 0), nil},
		{"B2", WalkingBase, walk(20, 0), walk(17, 30)},
		{"B3", WalkingBase, walk(25, 0), walk(22, 30)},
		{"B4", WalkingBase, walk(30, 0), walk(27, 30)},
		{"L1", WalkLed, times(6, 60, 240), times(6, 30, 270)},
		{"L2", WalkLed, times(6, 90, 210), times(6, 75, 225)},
		{"L3", WalkLed, times(6, 120, 180), times(6, 105, 195)},
		{"L4", WalkLed, times(5, 165, 195), times(6, 135, 165)},
		{"R1", RunLed, times(5, 195, 165), times(5, 180, 180)},
		{"R2", RunLed, times(5, 225, 135), times(5, 210, 150)},
		{"R3", RunLed, times(4, 315, 135), times(4, 285, 165)},
		{"R4", RunLed, times(3, 465, 135), times(3, 435, 165)},
		{"R5", RunLed, times(2, 750, 150), mixed(600, 165, 600, 165, 270)},
		{"R6", RunLed, mixed(1200, 150, 450), mixed(960, 180, 660)},
		{"R7", RunLed, mixed(1800), mixed(1500, 120, 180)},
	}}
}

func walk(minutes, seconds int) []Block { return []Block{{Walk, 60*minutes + seconds}} }

func times(n, run, walk int) []Block { return intervals(n, run, n*(run+walk)) }

// mixed takes runs and walks in turn, a run first.
func mixed(seconds ...int) []Block {
	blocks := make([]Block, len(seconds))
	for i, s := range seconds {
		blocks[i] = Block{Walk, s}
		if i%2 == 0 {
			blocks[i].Kind = Run
		}
	}
	return blocks
}
