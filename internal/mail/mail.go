// Package mail puts letters into words and sends them: over SMTP, or, where no mail
// server is named, as files into a folder, where an owner can read them. A letter is
// always plain text and HTML at once, from the same values.
//
// What goes wrong is told without addresses or names, since it ends up in the log and
// beside the job.
package mail

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/mail"
	"strings"
	"time"
	"unicode"

	gomail "github.com/wneessen/go-mail"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/web/letter"
)

// ParseFrom reads the sender: an address alone or with a name before it.
func ParseFrom(from string) (*mail.Address, error) {
	a, err := mail.ParseAddress(from)
	if err != nil || post.CheckAddress(strings.ToLower(a.Address)) != "" {
		return nil, fmt.Errorf("an address like halfhour@example.org, or Halfhour <halfhour@example.org>, not %q", from)
	}
	return a, nil
}

// compose makes the message of a letter. The Message-ID is the same each time, so
// that a letter that is sent twice is one in the box.
func compose(ctx context.Context, m *post.Mail, from *mail.Address, now time.Time) (*gomail.Msg, error) {
	subject, plain, page, err := textOf(ctx, m)
	if err != nil {
		return nil, err
	}
	if !m.ComposedAt.IsZero() {
		now = m.ComposedAt
	}
	id := messageID(m, from)
	msg := gomail.NewMsg(gomail.WithNoDefaultUserAgent(), gomail.WithBoundary(boundary(id, plain, page)))
	sender := *from
	switch {
	case m.By != "" && (m.Kind == post.Decided || m.Kind == post.Gentle):
		sender.Name = m.By + " of " + m.Club.Name // it is the coach who speaks
	case sender.Name == "":
		sender.Name = m.Club.Name
	}
	sender.Name = displayName(sender.Name)
	msg.FromMailAddress(&sender)
	if err := msg.To(m.Address); err != nil {
		return nil, post.ErrRefused // what it says holds the address
	}
	msg.Subject(oneLine(subject))
	msg.SetDateWithValue(now)
	msg.SetMessageIDWithValue(id)
	msg.SetGenHeader("Auto-Submitted", "auto-generated")
	stopBy(msg, m)
	msg.SetBodyString(gomail.TypeTextPlain, plain)
	msg.AddAlternativeString(gomail.TypeTextHTML, page)
	return msg, nil
}

// textOf is what stands in a letter: what is kept of it, or what is made of its note.
func textOf(ctx context.Context, m *post.Mail) (subject, plain, page string, err error) {
	if m.Kind.Kept() {
		return m.Content.Subject, legible(m.Content.Plain()), legible(m.Content.HTML()), nil
	}
	note := noteOf(m)
	var html bytes.Buffer
	err = letter.NotePage(note).Render(ctx, &html)
	return note.Title, legible(note.Text()), legible(html.String()), err
}

// legible is a text that the charset named at its part can hold.
func legible(text string) string { return strings.ToValidUTF8(text, "\uFFFD") }

// StopAt is the address at which whoever got the letter can stop letters of its kind;
// empty where they do not come by themselves.
func StopAt(here string, l *post.Letter) string {
	if !l.Kind.Wanted() || l.Stop == "" {
		return ""
	}
	return here + "/letters/stop/" + l.Stop + "?of=" + post.OfKind(l.Kind)
}

// stopBy lets a mail program offer a button that stops such letters (RFC 2369, and with
// one press RFC 8058, which asks for https).
func stopBy(msg *gomail.Msg, m *post.Mail) {
	switch at := StopAt(m.Here, &m.Letter); {
	case at == "":
	case strings.HasPrefix(at, "https://"):
		msg.SetGenHeader(gomail.HeaderListUnsubscribePost, "List-Unsubscribe=One-Click")
		fallthrough
	default:
		msg.SetGenHeader(gomail.HeaderListUnsubscribe, "<"+at+">")
	}
}

// messageID tells one letter from every other, on this Halfhour and on others that
// send from the same domain: no two write their first letter in the same nanosecond.
func messageID(m *post.Mail, from *mail.Address) string {
	_, domain, _ := strings.Cut(from.Address, "@")
	return fmt.Sprintf("letter.%d.%d.%d@%s", m.Club.ID, m.ID, m.MadeAt.UnixNano(), domain)
}

// boundary parts the text from the HTML, the same each time, so that a letter sent
// again is the same to the last byte. It is made of both, and so stands in neither.
func boundary(id, plain, page string) string {
	sum := sha256.Sum256([]byte(id + "\n" + plain + "\n" + page))
	return hex.EncodeToString(sum[:20])
}

// displayName is a name that can stand before an address. What has a meaning there is
// left out: not every mail program, and not the standard library, reads its own quoting
// of it back (a backslash beside a letter that is not ASCII).
func displayName(name string) string {
	return oneLine(strings.Map(func(r rune) rune {
		if strings.ContainsRune("\\\"<>()[]:;@,", r) {
			return ' '
		}
		return r
	}, name))
}

// oneLine is a text that can stand in a header: nothing that ends a line, turns the
// direction of what follows, or passes for an encoded word (RFC 2047).
func oneLine(text string) string {
	text = strings.ReplaceAll(strings.ToValidUTF8(text, "\uFFFD"), "=?", "= ?")
	return strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, text)), " ")
}
