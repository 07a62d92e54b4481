package part

import (
	"bytes"
	"context"
	"flag"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/figure"
)

// sheetFile is where all figures are written for looking at them in a browser:
//
//	go test ./web/part -run Figure -sheet some.html
var sheetFile = flag.String("sheet", "", "write all figures into this file")

func figured(t *testing.T, id string) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Figure(id).Render(context.Background(), &out))
	return out.String()
}

func TestEveryFigureIsDrawn(t *testing.T) {
	var page strings.Builder
	for _, f := range figure.All() {
		svg := figured(t, f.ID)
		require.Contains(t, svg, `role="img" aria-label="`)
		require.Equal(t, 2, strings.Count(svg, `class="fg-head"`), "%s: two positions", f.ID)
		require.Less(t, len(svg), 3_000, "%s stays light", f.ID)
		inside(t, f.ID, svg)
		page.WriteString("<div><p>" + f.ID + "</p>" + svg + "</div>")
	}
	if *sheetFile != "" {
		style := "<style>"
		for _, name := range []string{"site.css", FigureStyle} {
			css, err := os.ReadFile("../static/" + name)
			require.NoError(t, err)
			style += string(css)
		}
		style += "body{display:flex;flex-wrap:wrap;gap:12px;padding:12px}</style>"
		require.NoError(t, os.WriteFile(*sheetFile, []byte("<!doctype html><meta charset=utf-8>"+style+page.String()), 0o644))
	}
}

// inside checks that every place a line goes to lies in the box of the picture.
func inside(t *testing.T, id, svg string) {
	t.Helper()
	box := regexp.MustCompile(`viewBox="0 0 (\d+) (\d+)"`).FindStringSubmatch(svg)
	require.NotNil(t, box, id)
	width, _ := strconv.Atoi(box[1])
	height, _ := strconv.Atoi(box[2])
	places := regexp.MustCompile(`[ML](-?\d+) ?(-?\d+)`).FindAllStringSubmatch(svg, -1)
	require.Greater(t, len(places), 20, id)
	for _, p := range places {
		x, _ := strconv.Atoi(p[1])
		y, _ := strconv.Atoi(p[2])
		require.True(t, 0 <= x && x <= width && 0 <= y && y <= height, "%s: %s lies outside of %d × %d", id, p[0], width, height)
	}
}

func TestAnUnknownFigureDrawsNothing(t *testing.T) {
	require.Empty(t, figured(t, "handstand"))
	require.Empty(t, figured(t, ""))
}

// Both positions have the same frame and the same floor, so that what moves is seen.
func TestThePositionsOfAFigureShareAFrame(t *testing.T) {
	stand := figure.Pose{Hip: figure.Point{Y: 100}}
	f := figure.Figure{ID: "x", Poses: [2]figure.Pose{stand, stand}}
	s := draw(f)
	require.Equal(t, "0 0 282 214", s.Box, "twice the least width with its margins, and the gap")
	require.Equal(t, "157", s.Width)
	require.Equal(t, "M3 212h118M161 212h118", s.Floor)
	require.Equal(t, "M56 51L56 107", s.People[0].Trunk)
	require.Equal(t, "M214 51L214 107", s.People[1].Trunk)
}

func BenchmarkFigure(b *testing.B) {
	for b.Loop() {
		var out bytes.Buffer
		if err := Figure("side-plank").Render(context.Background(), &out); err != nil {
			b.Fatal(err)
		}
	}
}
