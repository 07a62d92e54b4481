package httpd

import (
	"fmt"
	"strings"
	"testing"

	"github.com/skip2/go-qrcode"
	"github.com/stretchr/testify/require"
)

// The path drawn onto a grid must be the code again, module for module.
func TestQRPathIsTheCode(t *testing.T) {
	address := "https://run.example.org/in/" + strings.Repeat("k", 43)
	side, path, err := qrCode(address)
	require.NoError(t, err)
	code, err := qrcode.New(address, qrcode.Medium)
	require.NoError(t, err)
	drawn := make([][]bool, side)
	for i := range drawn {
		drawn[i] = make([]bool, side)
	}
	for _, piece := range strings.Split(strings.TrimPrefix(path, "M"), "M") {
		var x, y, wide, back int
		_, err := fmt.Sscanf(piece, "%d %dh%dv1h-%dz", &x, &y, &wide, &back)
		require.NoError(t, err, piece)
		require.Equal(t, wide, back)
		for i := range wide {
			drawn[y][x+i] = true
		}
	}
	require.Equal(t, code.Bitmap(), drawn)
	require.Less(t, len(path), 20_000, "small enough for a page")
}

func TestQRCodeOfSomethingTooLong(t *testing.T) {
	_, _, err := qrCode(strings.Repeat("x", 4000))
	require.Error(t, err)
}
