package letter

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// However long a session was, its cells fill the strip, in the order of its blocks.
func TestCellsFillTheStrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Strip{}
		for range rapid.IntRange(1, 60).Draw(t, "blocks") {
			s.Blocks = append(s.Blocks, Block{Kind: BlockKind(rapid.IntRange(0, 3).Draw(t, "kind")), Seconds: rapid.IntRange(0, 14400).Draw(t, "seconds")})
		}
		whole := 0
		var before BlockKind = 99
		for _, c := range s.cells() {
			require.Positive(t, c.Width)
			require.NotEqual(t, before, c.Kind, "blocks of a kind are one cell")
			before = c.Kind
			whole += c.Width
		}
		require.Equal(t, 100, whole)
	})
}

func TestStripsAreHalfAnHourWide(t *testing.T) {
	for _, k := range []struct {
		blocks []Block
		cells  []cell
		why    string
	}{
		{[]Block{{Run, 1800}}, []cell{{Run, 100}}, "half an hour"},
		{[]Block{{Walk, 900}}, []cell{{Walk, 50}, {Rest, 50}}, "a quarter, and nothing after it"},
		{[]Block{{Run, 450}, {Rest, 450}, {Walk, 450}}, []cell{{Run, 25}, {Rest, 25}, {Walk, 25}, {Rest, 25}}, "what was left out"},
		{[]Block{{Run, 2700}, {Walk, 900}}, []cell{{Run, 75}, {Walk, 25}}, "an hour is drawn smaller"},
		{[]Block{{Run, 600}, {Run, 1200}}, []cell{{Run, 100}}, "two runs in one"},
	} {
		require.Equal(t, k.cells, Strip{Blocks: k.blocks}.cells(), k.why)
	}
}

func TestBarsHaveTheirShare(t *testing.T) {
	bars := []Bar{{Load: 0}, {Load: 1}, {Load: 200}, {Load: 400, Jump: true}}
	var heights []int
	for _, b := range bars {
		heights = append(heights, height(b.Load, bars))
	}
	require.Equal(t, []int{1, 2, 14, 28}, heights)
	require.Equal(t, 1, height(0, nil))
	require.Equal(t, []string{"#8f999e", "#1f5b63", "#b4532a"}, []string{bars[0].colour(), bars[1].colour(), bars[3].colour()})
}

// Lines are wrapped at words, and none is lost.
func TestLinesAreWrapped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(rapid.StringMatching(`[a-zäö,.]{1,90}`), 1, 40).Draw(t, "words"), " ")
		lines := wrapped("  ", text)
		require.Equal(t, strings.Fields(text), strings.Fields(lines))
		require.True(t, strings.HasSuffix(lines, "\n"))
		for line := range strings.Lines(lines) {
			require.True(t, strings.HasPrefix(line, "  "))
			if strings.Contains(strings.TrimSpace(line), " ") {
				require.LessOrEqual(t, utf8.RuneCountInString(line), 79)
			}
		}
	})
	require.Equal(t, "\n", wrapped("  ", ""))
}
