package roster_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/roster"
)

func TestCheckName(t *testing.T) {
	for name, good := range map[string]bool{
		"Ana":                         true,
		"<b>Ana</b> & \"co\"":         true, // the page shows it as typed
		"Łucja Ďurišová-Ó Briain":     true,
		strings.Repeat("é", 80):       true, // characters, not bytes
		strings.Repeat("é", 81):       false,
		"":                            false,
		"  \u00a0":                    false,
		"Ana\x00":                     false,
		"Ana\nBrandt":                 false,
		"Ana\x1b[31m":                 false,
		"\xff\xfe":                    false,
		"Ana\u0085":                   false, // a control character beyond ASCII
		"🏃 runner":                    true,
		"O'Neil, Jr.":                 true,
		"Robert'); drop table club--": true,
	} {
		require.Equal(t, good, roster.CheckName(name) == "", "%q: %s", name, roster.CheckName(name))
	}
}

func TestCheckEmail(t *testing.T) {
	for email, good := range map[string]bool{
		"ana@example.org":         true,
		"ana+half@mail.example":   true,
		"":                        false,
		"ana":                     false,
		"@example.org":            false,
		"ana@":                    false,
		"ana brandt@example.org":  false,
		"ana@example.org\nbcc: x": false,
		strings.Repeat("a", 250) + "@example.org": false,
	} {
		require.Equal(t, good, roster.CheckEmail(email) == "", "%q", email)
	}
	require.Equal(t, "ana@example.org", roster.LowerEmail(" Ana@Example.ORG "))
}

func TestCheckZone(t *testing.T) {
	for zone, good := range map[string]bool{
		"Europe/Lisbon": true, "UTC": true, "America/Argentina/Ushuaia": true,
		"": false, "Local": false, "Europe/Nowhere": false, "../etc/passwd": false, "/etc/localtime": false,
	} {
		require.Equal(t, good, roster.CheckZone(zone) == "", "%q", zone)
	}
}

func TestCheckText(t *testing.T) {
	require.Empty(t, roster.CheckText("two\r\nlines\tand a tab", 40))
	require.Empty(t, roster.CheckText("", 40), "a text may be empty")
	require.NotEmpty(t, roster.CheckText("bell\a", 40))
	require.NotEmpty(t, roster.CheckText(strings.Repeat("ü", 41), 40))
	require.Empty(t, roster.CheckText(strings.Repeat("ü", 40), 40))
}
