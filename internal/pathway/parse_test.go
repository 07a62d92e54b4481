package pathway_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/pathway"
)

func run(seconds int) pathway.Block  { return pathway.Block{Kind: pathway.Run, Planned: seconds} }
func walk(seconds int) pathway.Block { return pathway.Block{Kind: pathway.Walk, Planned: seconds} }

func TestSessionsAsPeopleWriteThem(t *testing.T) {
	for _, c := range []struct {
		text string
		want []pathway.Block
		why  string
	}{
		{"run 30:00", []pathway.Block{run(1800)}, "one block"},
		{"walk 5:00, 2x(run 1:30, walk 3:30), walk 4:00", []pathway.Block{walk(300), run(90), walk(210), run(90), walk(210), walk(240)}, "a repeat between blocks"},
		{"2 × (run 0:30, walk 4:30)", []pathway.Block{run(30), walk(270), run(30), walk(270)}, "the sign of the trade, with spaces"},
		{" RUN 90 ,walk 45", []pathway.Block{run(90), walk(45)}, "seconds alone, capitals, loose spaces"},
		{"1x(run 120:00)", []pathway.Block{run(7200)}, "the longest block"},
		{"run 0:01", []pathway.Block{run(1)}, "the shortest"},
	} {
		got, err := pathway.Parse(c.text)
		require.NoError(t, err, c.why)
		require.Equal(t, c.want, got, c.why)
	}
}

func TestSessionsThatCannotBeRead(t *testing.T) {
	for text, says := range map[string]string{
		"":                          "missing",
		"run 1:00,":                 "missing",
		"jog 5:00":                  "run or a walk",
		"run":                       "time is missing",
		"run fast":                  "time is missing",
		"run 1:5":                   "time is missing",
		"run 1:60":                  "time is missing",
		"run -1:00":                 "time is missing",
		"run 0:00":                  "between",
		"run 120:01":                "between",
		"run 1:00 walk 2:00":        "between",
		"6x(run 1:00, walk 4:00":    "brackets",
		"6x((run 1:00))":            "brackets",
		"6x(run 1:00) walk 4:00":    "brackets",
		"(run 1:00)":                "how often",
		"0x(run 1:00)":              "how often",
		"-2x(run 1:00)":             "how often",
		"sixx(run 1:00)":            "how often",
		"9999999999999x(run 1:00)":  "how often",
		"6x()":                      "missing",
		"100x(run 1:00, walk 1:00)": "more than 120",
	} {
		got, err := pathway.Parse(text)
		require.ErrorContains(t, err, says, text)
		require.Nil(t, got, text)
	}
}

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blocks := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) pathway.Block {
			return pathway.Block{Kind: pathway.Kind(rapid.IntRange(0, 1).Draw(t, "kind")), Planned: rapid.IntRange(1, 7200).Draw(t, "seconds")}
		}), 1, 60).Draw(t, "blocks")
		words := make([]string, len(blocks))
		for i, b := range blocks {
			words[i] = fmt.Sprintf("%s %d:%02d", b.Kind, b.Planned/60, b.Planned%60)
		}
		once := strings.Join(words, ", ")
		got, err := pathway.Parse(once)
		require.NoError(t, err)
		require.Equal(t, blocks, got)
		twice, err := pathway.Parse("2x(" + once + ")")
		require.NoError(t, err)
		require.Equal(t, append(append([]pathway.Block{}, blocks...), blocks...), twice)
	})
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{"run 30:00", "walk 5:00, 6x(run 1:30, walk 3:30), walk 4:00", "6×(", "x", "1x(run 1:00))"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		blocks, err := pathway.Parse(text)
		if err != nil {
			require.Empty(t, blocks)
			return
		}
		for _, b := range blocks {
			require.Positive(t, b.Planned)
			require.LessOrEqual(t, b.Planned, 7200)
		}
	})
}
