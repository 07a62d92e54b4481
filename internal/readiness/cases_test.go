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
			requireVerdict(t, partial, verdictOf(t, strings.TrimSuffix(file, ".want.json")+".json"))
		})
	}
}

func verdictOf(t *testing.T, file string) map[string]any {
	t.Helper()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	h, faults := document.Read(bytes.NewReader(text))
	require.Empty(t, faults)
	v := readiness.Assess(&h)
	var out bytes.Buffer
	require.NoError(t, document.Write(&out, &v, readiness.Arrival(&h, &v)))
	var got map[string]any
	require.NoError(t, json.Unmarshal(out.Bytes(), &got))
	return got
}

// requireVerdict asks that the verdict says what the case wants of it, as
// testdata/README.md describes.
func requireVerdict(t *testing.T, want, got map[string]any) {
	t.Helper()
	for key, value := range want {
		switch key {
		case "case":
			require.NotEmpty(t, value)
		case "flags":
			require.ElementsMatch(t, value, got["flags"], key)
		case "with_flags":
			require.Subset(t, got["flags"], value, key)
		case "without_flags":
			for _, flag := range value.([]any) {
				require.NotContains(t, got["flags"], flag, key)
			}
		case "conditions":
			for _, c := range value.([]any) {
				name := c.(map[string]any)["name"].(string)
				requirePart(t, c, named(t, got["conditions"], name), name)
			}
		default:
			require.Contains(t, got, key)
			requirePart(t, value, got[key], key)
		}
	}
}

// requirePart asks that an object holds what is wanted of it, and that any other
// value is the same.
func requirePart(t *testing.T, want, got any, place string) {
	t.Helper()
	part, object := want.(map[string]any)
	if !object {
		require.Equal(t, want, got, place)
		return
	}
	whole, object := got.(map[string]any)
	require.True(t, object, "%s: %v", place, got)
	for key, value := range part {
		require.Contains(t, whole, key, place)
		require.Equal(t, value, whole[key], place+"."+key)
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
