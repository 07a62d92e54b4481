package page_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var token = regexp.MustCompile(`--([a-z0-9-]+):(#[0-9a-f]{3,6})\b`)

// tokens reads the colours of one block of the stylesheet.
func tokens(block string) map[string]string {
	colours := map[string]string{}
	for _, m := range token.FindAllStringSubmatch(block, -1) {
		colours[m[1]] = m[2]
	}
	return colours
}

// luminance is the relative luminance of WCAG 2.2.
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	hex := colour[1:]
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		require.NoError(t, err)
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Text stands out 4.5 to 1, and what pictures and fields are made of 3 to 1, in
// both schemes (WCAG 2.2, 1.4.3 and 1.4.11).
func TestColoursStandOut(t *testing.T) {
	style := string(asset(t, "site.css"))
	light, rest, found := strings.Cut(style, "@media(prefers-color-scheme:dark)")
	require.True(t, found)
	dark, _, _ := strings.Cut(rest, "}}")
	for scheme, c := range map[string]map[string]string{"light": tokens(light), "dark": tokens(dark)} {
		for _, ground := range []string{"paper", "card", "wash-run", "wash-rust"} {
			for _, ink := range []string{"ink", "ink-2", "run", "rust", "plum"} {
				require.GreaterOrEqual(t, contrast(t, c[ink], c[ground]), 4.5, "%s: %s on %s", scheme, ink, ground)
			}
		}
		for _, filled := range []string{"run", "run-deep"} {
			require.GreaterOrEqual(t, contrast(t, c["on-run"], c[filled]), 4.5, "%s: button", scheme)
		}
		for _, shape := range []string{"edge", "walk-edge", "grey", "run"} {
			for _, ground := range []string{"paper", "card"} {
				require.GreaterOrEqual(t, contrast(t, c[shape], c[ground]), 3.0, "%s: %s on %s", scheme, shape, ground)
			}
		}
		require.GreaterOrEqual(t, contrast(t, c["rust"], c["rust-pale"]), 3.0, "%s: hatching", scheme)
	}
}
