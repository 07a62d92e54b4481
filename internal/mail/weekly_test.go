package mail

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the letters in testdata anew")

// Letters are compared byte for byte with those in testdata/letters, which somebody has
// looked at; -update writes them anew.
func TestLettersOfSituations(t *testing.T) {
	for _, k := range situations {
		t.Run(k.name, func(t *testing.T) {
			s := newSituation()
			k.put(s)
			c, err := made(s)
			require.NoError(t, err)
			for kind, text := range map[string]string{".txt": "Subject: " + c.Subject + "\n\n" + c.Plain(), ".html": c.HTML()} {
				file := filepath.Join("../../testdata/letters", k.name+kind)
				if *update {
					require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
					require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
				}
				kept, err := os.ReadFile(file)
				require.NoError(t, err)
				require.Equal(t, string(kept), text, "%s; with -update it is written anew", k.why)
			}
		})
	}
}
