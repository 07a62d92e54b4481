package readiness_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/document"
	"halfhour.app/halfhour/internal/readiness"
)

// Every case in testdata/verdicts is a document and, beside it, the part of the
// verdict that the rule it is named after decides.
func TestCases(t *testing.T) {
	files, err := filepath.Glob("../../testdata/verdicts/*.want.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".want.json")
		t.Run(name, func(t *testing.T) {
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			var partial map[string]any
			require.NoError(t, json.Unmarshal(want, &partial))
			requirePartial(t, partial, verdictOf(t, strings.TrimSuffix(file, ".want.json")+".json"), "")
		})
	}
}

func verdictOf(t *testing.T, file string) any {
	t.Helper()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	h, faults := document.Read(bytes.NewReader(text))
	require.Empty(t, faults)
	v := readiness.Assess(&h)
	var out bytes.Buffer
	require.NoError(t, document.Write(&out, &v, readiness.Arrival(&h, &v)))
	var got any
	require.NoError(t, json.Unmarshal(out.Bytes(), &got))
	return got
}

// requirePartial asks that everything in want stands in got. Conditions are found
// by their name; every other list must be the same.
func requirePartial(t *testing.T, want, got any, place string) {
	t.Helper()
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		require.True(t, ok, "%s: %v", place, got)
		for key, value := range w {
			require.Contains(t, g, key, place)
			requirePartial(t, value, g[key], place+"."+key)
		}
	case []any:
		if strings.HasSuffix(place, ".conditions") {
			for _, c := range w {
				name := c.(map[string]any)["name"].(string)
				requirePartial(t, c, named(t, got, name), place+"."+name)
			}
			return
		}
		require.Equal(t, want, got, place)
	default:
		require.Equal(t, want, got, place)
	}
}

func named(t *testing.T, conditions any, name string) any {
	t.Helper()
	for _, c := range conditions.([]any) {
		if c.(map[string]any)["name"] == name {
			return c
		}
	}
	require.Fail(t, "no condition is called "+name)
	return nil
}
