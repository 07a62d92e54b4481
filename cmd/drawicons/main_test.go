package main

import (
	"bytes"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// The pictures in the project are those that are drawn here.
func TestThePicturesAreTheDrawing(t *testing.T) {
	names := map[string]bool{}
	for _, i := range icons() {
		names[i.name] = true
		file, err := os.ReadFile(filepath.Join("../..", folder, i.name))
		require.NoError(t, err)
		kept, err := png.Decode(bytes.NewReader(file))
		require.NoError(t, err)
		drawn := i.draw()
		require.Equal(t, drawn.Bounds(), kept.Bounds(), i.name)
		for y := range i.side {
			for x := range i.side {
				if color.NRGBAModel.Convert(kept.At(x, y)) != color.Color(drawn.NRGBAAt(x, y)) {
					t.Fatalf("%s differs at %d, %d: run cmd/drawicons", i.name, x, y)
				}
			}
		}
	}
	there, err := os.ReadDir(filepath.Join("../..", folder))
	require.NoError(t, err)
	require.Len(t, there, len(names))
}

func TestTheDial(t *testing.T) {
	for _, i := range icons() {
		picture := i.draw()
		middle := i.side / 2
		require.Equal(t, teal, picture.NRGBAAt(middle+i.side/10, middle), "the right half is full: %s", i.name)
		require.Equal(t, paper, picture.NRGBAAt(middle-i.side/10, middle), "the left half is empty: %s", i.name)
		require.Equal(t, teal, picture.NRGBAAt(middle-int(i.dial*float64(i.side)), middle), "the ring: %s", i.name)
		want := uint8(0xff)
		if i.corner > 0 {
			want = 0
		}
		require.Equal(t, want, picture.NRGBAAt(0, 0).A, "the corner: %s", i.name)
	}
}

// What a launcher leaves of a maskable picture holds the whole dial.
func TestTheMaskLeavesTheDial(t *testing.T) {
	for _, i := range icons() {
		if i.name == "maskable-512.png" {
			require.Less(t, i.dial*1.1, 0.4)
		}
	}
}
