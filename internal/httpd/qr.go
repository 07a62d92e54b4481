package httpd

import (
	"fmt"
	"strings"

	"github.com/skip2/go-qrcode"
)

// qrCode draws the address as a QR code: the side in modules, with the quiet
// margin around it, and the dark modules as a path of an SVG picture in units of
// one module.
func qrCode(address string) (side int, path string, err error) {
	code, err := qrcode.New(address, qrcode.Medium)
	if err != nil {
		return 0, "", fmt.Errorf("draw a QR code: %w", err)
	}
	rows := code.Bitmap()
	var b strings.Builder
	for y, row := range rows {
		for x := 0; x < len(row); x++ {
			start := x
			for x < len(row) && row[x] {
				x++
			}
			if x > start {
				fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", start, y, x-start, x-start)
			}
		}
	}
	return len(rows), b.String(), nil
}
