package mail

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/smtpd"
)

// allKinds are every kind of letter there is.
func allKinds() []post.Kind {
	return append(kinds(), post.Weekly, post.WeeklyNow, post.AtOnce, post.Decided, post.Monday, post.Gentle)
}

// words_ are names and words that are hard to send.
func hardWords() map[string]string {
	return map[string]string{
		"plain":       "Harbour",
		"latin":       "Inês d’Ávila-Łukasz Ørsted",
		"greek":       "Αθηνά Παπαδοπούλου",
		"cyrillic":    "Светлана Ковальчук",
		"hebrew":      "שָׁלוֹם אברהם",
		"arabic":      "ليلى بنت أحمد",
		"devanagari":  "अनिता शर्मा",
		"thai":        "สมชาย ใจดี",
		"chinese":     "李小龍與張偉",
		"japanese":    "さくら 山本・ケンジ",
		"korean":      "김민준",
		"emoji":       "Ana 🏃🏽‍♀️👨‍👩‍👧‍👦",
		"combining":   "Z̴̢͝a̶l̷g̸o̵",
		"long":        strings.Repeat("Maximiliana ", 16),
		"one word":    strings.Repeat("x", 190),
		"long greek":  strings.Repeat("αβγ", 60),
		"break":       "x\r\nBcc: thief@example.org",
		"body":        "x\r\n\r\nhello",
		"lf":          "x\nSubject: y",
		"cr":          "x\rTo: y",
		"separators":  "a\u2028Bcc: t\u2029Cc: u\u0085Dd: v",
		"direction":   "\u202eevil\u202c",
		"encoded":     "=?utf-8?q?x=0d=0aBcc:_t?=",
		"quotes":      `quo\"ted" <a@b.c>, "d`,
		"comment":     "a (b) c; d: e, f",
		"dots":        ".\r\n.\r\nQUIT",
		"equals":      "a=0D=0A=b == ",
		"nothing":     "",
		"spaces":      "  a   b\t c  ",
		"nul":         "a\x00b\x1bc\x7f",
		"not unicode": "a\xffb\xc0",
	}
}

// trying is a letter of the kind in which everything that somebody types is hard to send.
func trying(kind post.Kind, text, here string) *post.Mail {
	m := one(kind)
	m.Club.Name, m.Name, m.By, m.Device, m.Here, m.Stop = text, text, text, text, here, strings.Repeat("0a", 16)
	m.Link = here + "/in/abc"
	if kind.Kept() {
		m.ComposedAt = noon.Add(-time.Hour)
		m.Content = post.Content{Subject: "A word from " + text, Parts: []post.Part{
			{Plain: "Hello " + text + ",\n\n.\n..dots\nFrom here\n" + strings.Repeat(text, 20) + " \n", HTML: "<!doctype html><table>"},
			{Athlete: 5, Plain: text + "\t\n", HTML: "<tr><td>" + text + "</td></tr>"},
			{Plain: "Bye.\n", HTML: "</table>\n"},
		}}
	}
	return m
}

// readable is a text as it can be sent at all: valid, its lines ended in one way.
func readable(text string) string {
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.ToValidUTF8(text, "\uFFFD"))
}

// keeps reads a message as the rules ask and holds what it says against the letter.
func keeps(t require.TestingT, m *post.Mail, raw, why string) {
	require.Empty(t, breaches(raw), why)
	h, text, page := split(t, raw)
	subject, plain, html, err := textOf(context.Background(), m)
	require.NoError(t, err)
	require.Equal(t, readable(plain), text, why)
	require.Equal(t, readable(html), page, why)
	require.Equal(t, oneLine(subject), decoded(h.Get("Subject")), why)
	require.Equal(t, m.Kind.Wanted(), h.Get("List-Unsubscribe") != "", why)
	require.Equal(t, m.Kind.Wanted() && strings.HasPrefix(m.Here, "https:"), h.Get("List-Unsubscribe-Post") != "", why)
	require.Equal(t, "<ines@example.org>", h.Get("To"), why)
}

// Every kind of letter, whatever stands in it, keeps the rules: as a mail server takes
// it and as it lies in a file.
func TestEveryLetterKeepsTheRules(t *testing.T) {
	server := smtpd.Start(t, smtpd.Options{})
	carrier := through(t, server)
	folder := &Folder{Dir: t.TempDir(), From: sender(t), Now: at}
	sent := 0
	for _, kind := range allKinds() {
		for name, text := range hardWords() {
			here := "https://run.example.org"
			if sent%2 == 1 {
				here = "http://localhost:8080"
			}
			m := trying(kind, text, here)
			why := fmt.Sprintf("%s, %s", kind, name)
			require.NoError(t, folder.Carry(t.Context(), m), why)
			raw, err := os.ReadFile(filepath.Join(folder.Dir, "3", nameOf(post.Stamp{ID: m.ID, MadeAt: m.MadeAt})))
			require.NoError(t, err)
			keeps(t, m, string(raw), why+", in a file")
			if (sent+len(kind))%3 == 0 || kind == post.Weekly { // over the network takes longer
				require.NoError(t, carrier.Carry(t.Context(), m), why)
				taken := server.Taken()
				keeps(t, m, taken[len(taken)-1].Body, why+", over SMTP")
				require.Equal(t, []string{"ines@example.org"}, taken[len(taken)-1].To)
			}
			sent++
		}
	}
}

// Of any text at all.
func TestAnyLetterKeepsTheRules(t *testing.T) {
	folder := &Folder{Dir: t.TempDir(), From: sender(t), Now: at}
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ -~\r\n\t=.]{0,300}`)).Draw(r, "text")
		m := trying(rapid.SampledFrom(allKinds()).Draw(r, "kind"), text, rapid.SampledFrom([]string{"https://run.example.org", "http://10.0.0.1:80"}).Draw(r, "here"))
		require.NoError(r, folder.Carry(t.Context(), m))
		raw, err := os.ReadFile(filepath.Join(folder.Dir, "3", nameOf(post.Stamp{ID: m.ID, MadeAt: m.MadeAt})))
		require.NoError(r, err)
		keeps(r, m, string(raw), "")
	})
}

// Names of whoever sends, as they are set up.
func TestEverySenderKeepsTheRules(t *testing.T) {
	for name, text := range hardWords() {
		from := *sender(t)
		from.Name = text
		folder := &Folder{Dir: t.TempDir(), From: &from, Now: at}
		m := trying(post.Weekly, "Harbour", "https://run.example.org")
		m.Club.ID = roster.ClubID(9)
		require.NoError(t, folder.Carry(t.Context(), m), name)
		raw, err := os.ReadFile(filepath.Join(folder.Dir, "9", nameOf(post.Stamp{ID: m.ID, MadeAt: m.MadeAt})))
		require.NoError(t, err)
		keeps(t, m, string(raw), name)
	}
}

// A judge who sees nothing is worth nothing: each breach is made once.
func TestTheRulesAreSeenToBeBroken(t *testing.T) {
	folder := &Folder{Dir: t.TempDir(), From: sender(t), Now: at}
	m := trying(post.Weekly, "Inês", "https://run.example.org")
	require.NoError(t, folder.Carry(t.Context(), m))
	raw, err := os.ReadFile(filepath.Join(folder.Dir, "3", nameOf(post.Stamp{ID: m.ID, MadeAt: m.MadeAt})))
	require.NoError(t, err)
	good := string(raw)
	require.Empty(t, breaches(good))
	for _, c := range []struct{ old, new, section string }{
		{"Date: ", "Dote: ", "RFC 5322, 3.6"},
		{"To: ", "To: a@b.c\r\nTo: ", "RFC 5322, 3.6"},
		{"To: ", "To: a@b.c, ", "RFC 5322, 3.4"},
		{"From: ", "Bcc: a@b.c\r\nFrom: ", "ours"},
		{"From: ", "From: Inês ", "RFC 5322, 2.2"},
		{"Date: Tue", "Date: Wed", "RFC 5322, 3.3"},
		{" +0000\r\n", " GMT\r\n", "RFC 5322, 3.3"},
		{"Message-ID: <", "Message-ID: <@", "RFC 5322, 3.6.4"},
		{"From: ", "Comments: " + strings.Repeat("x ", 40) + "\r\nFrom: ", "RFC 5322, 2.1.1"},
		{"From: ", "Comments: " + strings.Repeat("x", 1000) + "\r\nFrom: ", "RFC 5322, 2.1.1"},
		{"From: ", "Comments: x\r\n \r\nFrom: ", "RFC 5322, 3.2.2"},
		{"From: ", "Comm ents: x\r\nFrom: ", "RFC 5322, 2.2"},
		{"From: ", "Comments: x\nFrom: ", "RFC 5322, 2.3"},
		{"From: ", "Comments: =?utf-8?q?" + strings.Repeat("x", 60) + "?=\r\nFrom: ", "RFC 2047, 2"},
		{"From: ", "Comments: =?utf-8?q?=C3?=\r\nFrom: ", "RFC 2047, 5"},
		{"From: ", "From: \"=?utf-8?q?x?=\" ", "RFC 2047, 5 (3)"},
		{"MIME-Version: 1.0", "MIME-Version: 2.0", "RFC 2045, 4"},
		{"multipart/alternative", "multipart/mixed", "RFC 2046, 5.1.4"},
		{"text/plain", "text/html", "RFC 2046, 5.1.4"},
		{"charset=UTF-8", "charset=latin1", "RFC 2046, 4.1.2"},
		{"Content-Transfer-Encoding: quoted-printable", "Content-Transfer-Encoding: 8bit", "RFC 2045, 6.1"},
		{"Bye.", "By=e.", "RFC 2045, 6.7 (1)"},
		{"Bye.", "Bye. ", "RFC 2045, 6.7 (3)"},
		{"Bye.", strings.Repeat("x", 77), "RFC 2045, 6.7 (5)"},
		{"Bye.", "Byé.", "RFC 2045, 6.7"},
		{"Auto-Submitted: auto-generated", "Auto-Submitted: no", "RFC 3834, 5"},
		{"List-Unsubscribe:\r\n <https", "List-Unsubscribe: <mailto:a@b.c>, <https", "RFC 2369, 2"},
		{"List-Unsubscribe:\r\n <https", "List-Unsubscribe: <http", "RFC 8058, 3.1"},
		{"List-Unsubscribe=One-Click", "List-Unsubscribe=one-click", "RFC 8058, 3.1"},
		{"List-Unsubscribe:\r\n", "List-Subscribe:\r\n", "RFC 8058, 3.1"},
	} {
		require.Contains(t, good, c.old)
		found := breaches(strings.Replace(good, c.old, c.new, 1))
		require.True(t, len(found) > 0 && strings.Contains(strings.Join(found, "\n"), c.section+":"), "%q for %q: %v", c.new, c.old, found)
	}
	cut := strings.LastIndex(good, "--\r\n")
	require.Contains(t, strings.Join(breaches(good[:cut]), "\n"), "RFC 2046, 5.1.1:")
}
