package document_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/document"
	"halfhour.app/halfhour/internal/readiness"
)

// Every file in testdata/refused is a document that must be refused; beside it
// stand the places of its faults, one a line, in the document's order.
func TestRefused(t *testing.T) {
	files, err := filepath.Glob("../../testdata/refused/*.want")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".want")
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile(strings.TrimSuffix(file, ".want") + ".json")
			require.NoError(t, err)
			_, faults := document.Read(bytes.NewReader(text))
			var got, want []string
			for _, f := range faults {
				require.NotEmpty(t, f.Message)
				got = append(got, f.Place)
			}
			wanted, err := os.ReadFile(file)
			require.NoError(t, err)
			for _, line := range strings.Split(strings.TrimSpace(string(wanted)), "\n") {
				place, _, _ := strings.Cut(line, ": ")
				want = append(want, strings.TrimSuffix(strings.TrimSpace(place), ":"))
			}
			require.Equal(t, want, got)
		})
	}
}

// Whatever is read without a fault must be assessed without one, and told.
func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"../../testdata/verdicts/*.json", "../../testdata/refused/*.json"} {
		files, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, file := range files {
			text, err := os.ReadFile(file)
			require.NoError(f, err)
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		h, faults := document.Read(bytes.NewReader(text))
		for _, fault := range faults {
			require.NotEmpty(t, fault.Place)
			require.NotEmpty(t, fault.Message)
		}
		if len(faults) > 0 {
			return
		}
		v := readiness.Assess(&h)
		var out bytes.Buffer
		require.NoError(t, document.Write(&out, &v, readiness.Arrival(&h, &v)))
		require.NotEmpty(t, v.Sentence())
	})
}
