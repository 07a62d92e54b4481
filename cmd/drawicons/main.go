// Command drawicons draws the pictures by which a phone shows the installed app: the
// half-filled dial of icon.svg in pixels. It is run from the top folder when the dial
// changes; a test holds the files and the drawing together.
package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
)

// folder is where the pictures lie, seen from the top folder.
const folder = "web/static/icons"

// The colours are those of site.css: paper and run.
var (
	paper = color.NRGBA{0xf7, 0xf4, 0xec, 0xff}
	teal  = color.NRGBA{0x1f, 0x5b, 0x63, 0xff}
)

// icon is one picture.
type icon struct {
	name   string
	side   int     // pixels
	corner float64 // radius of the paper's corners, as a share of the side
	dial   float64 // radius of the dial to the middle of its ring, as a share of the side
}

// icons are all pictures. Of a maskable one the launcher may cut away all but a
// circle of 0.4 of the side (Web Application Manifest, W3C); an Apple one it rounds by
// itself, and sees black where nothing is drawn (common practice).
func icons() []icon {
	return []icon{
		{"192.png", 192, 0.22, 0.34},
		{"512.png", 512, 0.22, 0.34},
		{"maskable-512.png", 512, 0, 0.29},
		{"apple-180.png", 180, 0, 0.32},
	}
}

func main() {
	for _, i := range icons() {
		picture, err := i.encoded()
		if err == nil {
			err = os.WriteFile(filepath.Join(folder, i.name), picture, 0o644)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, "drawicons:", err)
			os.Exit(1)
		}
	}
}

// encoded is the picture as a PNG file.
func (i icon) encoded() ([]byte, error) {
	var file bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&file, i.draw())
	return file.Bytes(), err
}

// fine is how many points across a pixel are looked at, so that edges are smooth.
const fine = 4

// draw makes the picture, each pixel the mean of its points.
func (i icon) draw() *image.NRGBA {
	picture := image.NewNRGBA(image.Rect(0, 0, i.side, i.side))
	for y := range i.side {
		for x := range i.side {
			picture.SetNRGBA(x, y, i.pixel(x, y))
		}
	}
	return picture
}

func (i icon) pixel(x, y int) color.NRGBA {
	var r, g, b, opaque int
	for sub := range fine * fine {
		at := func(n, part int) float64 { return (float64(n) + (float64(part)+0.5)/fine) / float64(i.side) }
		if c, there := i.point(at(x, sub%fine)-0.5, at(y, sub/fine)-0.5); there {
			r, g, b, opaque = r+int(c.R), g+int(c.G), b+int(c.B), opaque+1
		}
	}
	if opaque == 0 {
		return color.NRGBA{}
	}
	return color.NRGBA{uint8(r / opaque), uint8(g / opaque), uint8(b / opaque), uint8(255 * opaque / (fine * fine))}
}

// point is the colour at a place, in shares of the side from the middle; false: there
// is nothing.
func (i icon) point(x, y float64) (color.NRGBA, bool) {
	straight := 0.5 - i.corner
	beyond := math.Hypot(max(math.Abs(x)-straight, 0), max(math.Abs(y)-straight, 0))
	if i.corner > 0 && beyond > i.corner {
		return color.NRGBA{}, false
	}
	far, ring := math.Hypot(x, y), i.dial/10 // half the width of the ring
	if math.Abs(far-i.dial) <= ring || x >= 0 && far <= i.dial {
		return teal, true
	}
	return paper, true
}
