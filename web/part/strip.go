package part

// BlockKind says how a block is drawn.
type BlockKind uint8

// The kinds of block.
const (
	Run  BlockKind = iota // tall and full
	Walk                  // low
	Some                  // minutes of which nobody told what they were: half as tall as a run
)

// Block is one run or walk of a strip. Times are seconds.
type Block struct {
	Kind      BlockKind
	Planned   int // 0: outside a plan
	Done      int // ignored in a plan that is not done yet
	Unsettled int // of a walk: before the breath was back; up to Done
}

// StripState says how a strip is drawn.
type StripState uint8

// The states of a strip.
const (
	Done      StripState = iota // what was done filled, the rest of the plan a thin line
	Planned                     // not done yet: outlined
	Missed                      // a dashed line; the blocks are not drawn
	CalledOff                   // a dotted line; the blocks are not drawn
	Outside                     // an extra outside the plan: dashed outline
)

// StripSize says how large a strip is drawn.
type StripSize uint8

// The sizes. All are half an hour wide; a longer session is drawn smaller, with a
// mark where half an hour ends.
const (
	Small  StripSize = iota // in rows
	Medium                  // on a phone
	Large                   // across a page, with a scale of minutes
)

// Strip is a session drawn as a bar half an hour wide.
type Strip struct {
	Day    string // "Sun"; beside a strip in a row; empty: not said
	Label  string // the session in words, for whoever cannot see it; never empty
	State  StripState
	Size   StripSize
	Blocks []Block
}

// class is how the strip is drawn.
func (s Strip) class() string {
	return "s" + [...]string{"", " plan", " miss", " off", " out"}[s.State] + [...]string{"", " md", " lg"}[s.Size]
}
