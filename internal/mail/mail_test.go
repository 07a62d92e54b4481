package mail

import (
	"context"
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

var noon = time.Date(2026, 4, 14, 12, 0, 0, 0, time.UTC)

func at() time.Time { return noon }

func sender(t testing.TB) *mail.Address {
	t.Helper()
	a, err := ParseFrom("halfhour@club.example")
	require.NoError(t, err)
	return a
}

// one is a letter of the kind.
func one(kind post.Kind) *post.Mail {
	return &post.Mail{
		Letter: post.Letter{
			ID: 7, Club: roster.Club{ID: 3, Name: "Harbour", Zone: "Europe/Lisbon"}, Kind: kind, Name: "Inês Okafor", Address: "ines@example.org",
			By: "Mara Lindqvist", Device: "Firefox on Linux", Since: noon.Add(-time.Hour), MadeAt: noon.Add(-time.Minute), Present: "ines@harbour.example",
		},
		Here: "https://run.example.org", Link: "https://run.example.org/in/abc", Until: noon.Add(time.Hour),
	}
}

// parts are a message as a mail program reads it.
func parts(t testing.TB, raw string) (h mail.Header, text, page string) {
	t.Helper()
	return split(t, raw)
}

func split(t require.TestingT, raw string) (h mail.Header, text, page string) {
	msg, err := mail.ReadMessage(strings.NewReader(raw))
	require.NoError(t, err)
	kind, params, err := mime.ParseMediaType(msg.Header.Get("Content-Type"))
	require.NoError(t, err)
	require.Equal(t, "multipart/alternative", kind)
	read := map[string]string{}
	var order []string
	for r := multipart.NewReader(msg.Body, params["boundary"]); ; {
		p, err := r.NextRawPart()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		kind, _, err := mime.ParseMediaType(p.Header.Get("Content-Type"))
		require.NoError(t, err)
		body, err := io.ReadAll(quotedprintable.NewReader(p))
		require.NoError(t, err)
		read[kind] = strings.ReplaceAll(string(body), "\r\n", "\n")
		order = append(order, kind)
	}
	require.Equal(t, []string{"text/plain", "text/html"}, order, "the richest last (RFC 2046, 5.1.4)")
	return msg.Header, read["text/plain"], read["text/html"]
}

func composed(t testing.TB, m *post.Mail) (mail.Header, string, string) {
	t.Helper()
	msg, err := compose(context.Background(), m, sender(t), noon)
	require.NoError(t, err)
	var raw strings.Builder
	_, err = msg.WriteTo(&raw)
	require.NoError(t, err)
	return parts(t, raw.String())
}

func kinds() []post.Kind {
	return []post.Kind{post.WayIn, post.Invitation, post.CoachInvitation, post.DeputyInvitation, post.NewDevice, post.NewAddress, post.OldAddress}
}

func TestHeaders(t *testing.T) {
	for _, kind := range kinds() {
		h, _, _ := composed(t, one(kind))
		require.Equal(t, "<letter.3.7."+"1776167940000000000@club.example>", h.Get("Message-ID"))
		require.Equal(t, "auto-generated", h.Get("Auto-Submitted"), "RFC 3834: nobody's holiday answers it")
		require.Equal(t, "<ines@example.org>", h.Get("To"))
		require.Equal(t, `"Harbour" <halfhour@club.example>`, h.Get("From"))
		date, err := h.Date()
		require.NoError(t, err)
		require.True(t, noon.Equal(date))
		require.Empty(t, h.Get("User-Agent"))
		for name, values := range h {
			require.Len(t, values, 1, name)
		}
	}
}

// words are those of a page, without markup, and the addresses it leads to.
func words(t *testing.T, page string) (text string, leads []string) {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	var all []string
	var walk func(*html.Node, bool)
	walk = func(n *html.Node, shown bool) {
		if n.Type == html.ElementNode {
			require.NotContains(t, []string{"img", "link", "script", "iframe", "form"}, n.Data, "nothing that is loaded from elsewhere or does something")
			if n.Data == "style" {
				require.Equal(t, "head", n.Parent.Data)
				require.True(t, strings.HasPrefix(n.FirstChild.Data, "@media (prefers-color-scheme:dark){"), "by light a letter needs none")
				require.NotRegexp(t, `(?i)url|@import|//|content`, n.FirstChild.Data, "nothing that is loaded from elsewhere or says something")
			}
			shown = shown && n.Data != "head"
		}
		for _, a := range n.Attr {
			if a.Key == "href" {
				leads = append(leads, a.Val)
			}
			require.NotContains(t, strings.ToLower(a.Val), "url(")
		}
		if n.Type == html.TextNode && shown {
			all = append(all, strings.Fields(n.Data)...)
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c, shown)
		}
	}
	walk(doc, true)
	return strings.Join(all, " "), leads
}

// What the one form says the other says too, line by line.
func TestPlainTextAndHTMLAreOfEqualWorth(t *testing.T) {
	for _, kind := range kinds() {
		m := one(kind)
		_, text, page := composed(t, m)
		shown, leads := words(t, page)
		n := noteOf(m)
		lines := append(append([]string{n.Hello, n.Foot}, n.Lines...), n.After...)
		if kind != post.OldAddress { // which leads nowhere: it lies in a box of before
			lines = append(lines, n.Button.Words, n.Button.Href)
			require.Contains(t, leads, n.Button.Href, kind)
		}
		for _, line := range lines {
			require.NotEmpty(t, line)
			require.Contains(t, text, line, kind)
			require.Contains(t, shown, strings.Join(strings.Fields(line), " "), kind)
		}
		for _, to := range leads {
			require.True(t, strings.HasPrefix(to, "https://run.example.org/"), "%s leads to %s", kind, to)
		}
		require.NotContains(t, text, "!", "no exclamation marks")
	}
}

func TestWordsOfEachKind(t *testing.T) {
	coach := one(post.WayIn)
	coach.Coach = 4
	athlete := one(post.WayIn)
	athlete.Athlete = 5
	invited := one(post.CoachInvitation)
	invited.Name = ""
	unknown := one(post.NewDevice)
	unknown.Device = ""
	for _, c := range []struct {
		m     *post.Mail
		has   []string
		lacks []string
		why   string
	}{
		{coach, []string{"Choose a new password", "https://run.example.org/in/abc", "until Tuesday 14 April, 14:00", "Your password stays as it is"}, []string{"phone"}, "in the club's time, which is an hour ahead"},
		{athlete, []string{"Sign in on this phone", "the phone you train with"}, []string{"password"}, "an athlete has no password"},
		{one(post.Invitation), []string{"Mara Lindqvist of Harbour", "there is no password"}, nil, "it is the coach who writes"},
		{invited, []string{"invites you to coach at Harbour"}, []string{"Hello"}, "nobody knows the name yet"},
		{one(post.DeputyInvitation), []string{"to help as a deputy at Harbour", "do not see health answers"}, nil, "what a deputy may and may not"},
		{one(post.NewAddress), []string{"https://run.example.org/in/abc", "stays as it is"}, []string{"harbour.example"}, "whoever reads it by mistake learns no other address"},
		{one(post.OldAddress), []string{"changed to ines@harbour.example", "Tuesday 14 April, 12:59", "tell an owner of Harbour"}, []string{"/in/"}, "no link lets anybody in"},
		{one(post.NewDevice), []string{"Firefox on Linux, on Tuesday 14 April, 12:00", "https://run.example.org/club"}, []string{"/in/"}, "no link lets anybody in"},
		{unknown, []string{"a device that does not say what it is"}, nil, "some say nothing"},
	} {
		_, text, _ := composed(t, c.m)
		for _, w := range c.has {
			require.Contains(t, text, w, c.why)
		}
		for _, w := range c.lacks {
			require.NotContains(t, text, w, c.why)
		}
	}
}

// Whatever stands in a name, it stays in its header and its line of text.
func TestNoHeaderCanBeSlippedIn(t *testing.T) {
	want, _, _ := composed(t, one(post.WayIn))
	rapid.Check(t, func(r *rapid.T) {
		evil := rapid.OneOf(
			rapid.SampledFrom([]string{"x\r\nBcc: thief@example.org", "x\nBcc: thief@example.org\n\nbody", "x\rSubject: y", "x\u2028Bcc: t", "\u202eevil", "=?utf-8?q?x=0d=0aBcc:_t?=", `"quo\"ted" <a@b.c>`, "\x00", "a,b;c:d"}),
			rapid.String(),
		)
		m := one(rapid.SampledFrom(kinds()).Draw(r, "kind"))
		m.Club.Name, m.Name, m.By, m.Device = evil.Draw(r, "club"), evil.Draw(r, "name"), evil.Draw(r, "by"), evil.Draw(r, "device")
		msg, err := compose(context.Background(), m, sender(t), noon)
		require.NoError(r, err)
		var raw strings.Builder
		_, err = msg.WriteTo(&raw)
		require.NoError(r, err)
		got, _, _ := parts(t, raw.String())
		require.Len(r, got, len(want))
		require.Empty(r, got.Get("Bcc"))
		require.Equal(r, "<ines@example.org>", got.Get("To"))
		from, err := mail.ParseAddress(got.Get("From"))
		require.NoError(r, err)
		require.Equal(r, "halfhour@club.example", from.Address)
	})
}

func TestFrom(t *testing.T) {
	a, err := ParseFrom("The Club <Mail@club.example>")
	require.NoError(t, err)
	require.Equal(t, "The Club", a.Name)
	for _, bad := range []string{"", "club.example", "a@b.c, d@e.f", "a@b.c\r\nBcc: x@y.z", "<>"} {
		_, err := ParseFrom(bad)
		require.Error(t, err, bad)
	}
}
