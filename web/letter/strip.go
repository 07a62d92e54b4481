package letter

// BlockKind says how a block of a strip is drawn.
type BlockKind uint8

// The kinds of block.
const (
	Rest BlockKind = iota // planned and not done: nothing
	Run                   // tall and full
	Walk                  // low
	Some                  // minutes of which nobody told what they were: low
)

// Block is a stretch of a strip, in seconds.
type Block struct {
	Kind    BlockKind
	Seconds int
}

// Strip is a session as a bar half an hour wide: a table of coloured cells, which mail
// programs show that show nothing else. One of no blocks is a session of which nothing
// was done.
type Strip struct {
	Day    string // "Mon"
	Blocks []Block
}

// halfHour is the width of a strip, in seconds.
const halfHour = 1800

// stripsInRow is how many strips stand beside each other.
const stripsInRow = 3

// cell is a block with its width in hundredths of the strip.
type cell struct {
	Kind  BlockKind
	Width int
}

// cells are the blocks as parts of the whole, which they fill: what is short of half an
// hour is empty at the end.
func (s Strip) cells() []cell {
	total, at, drawn := 0, 0, 0
	for _, b := range s.Blocks {
		total += b.Seconds
	}
	blocks := s.Blocks
	if total < halfHour {
		blocks = append(blocks[:len(blocks):len(blocks)], Block{Kind: Rest, Seconds: halfHour - total})
		total = halfHour
	}
	var list []cell
	for _, b := range blocks {
		at += b.Seconds
		width := at*100/total - drawn
		if n := len(list); n > 0 && list[n-1].Kind == b.Kind {
			list[n-1].Width += width
		} else if width > 0 {
			list = append(list, cell{b.Kind, width})
		}
		drawn += width
	}
	return list
}

// rows are the strips, so many beside each other.
func (p *Person) rows() [][]Strip {
	var rows [][]Strip
	for at := 0; at < len(p.Strips); at += stripsInRow {
		rows = append(rows, p.Strips[at:min(at+stripsInRow, len(p.Strips))])
	}
	return rows
}

// colour of a cell in the upper and in the lower half of a strip; empty: none.
func (k BlockKind) colour(lower bool) string {
	switch {
	case k == Run:
		return "#1f5b63"
	case k == Walk && lower:
		return "#cdbf98"
	case k == Some && lower:
		return "#8f999e"
	}
	return ""
}

// Bar is one week's load.
type Bar struct {
	Load int  // AU
	Jump bool // it is what jumped
}

// tallest is the height of the highest bar, in pixels.
const tallest = 28

// height of a bar in pixels, where the highest load of all is the whole height. A week
// with any load has two at least.
func height(load int, bars []Bar) int {
	most := 1
	for _, b := range bars {
		most = max(most, b.Load)
	}
	if load <= 0 {
		return 1
	}
	return max(2, (load*tallest+most/2)/most)
}

// colour of the bar; a week without load is a line.
func (b Bar) colour() string {
	switch {
	case b.Jump:
		return "#b4532a"
	case b.Load <= 0:
		return "#8f999e"
	}
	return "#1f5b63"
}

// under is what stands below a strip, half an hour long: whole below what was done,
// dashed where nothing was.
func under(row []Strip, i int) string {
	switch {
	case i >= len(row):
		return ""
	case len(row[i].Blocks) == 0:
		return "height:18px;border-bottom:2px dashed #8f999e"
	}
	return "border-bottom:1px solid #8f999e"
}
