package mail

import (
	"bytes"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode/utf8"
)

// What a message must look like, each rule with the section of the RFC that asks for
// it. From memory, not looked up.

// field is one header field as it came, unfolded, and folded as it was.
type field struct{ name, body, raw string }

// judge reads a message as strictly as the rules are and gives every breach.
type judge struct{ breaches []string }

func (j *judge) that(holds bool, section, format string, args ...any) bool {
	if !holds {
		j.breaches = append(j.breaches, section+": "+fmt.Sprintf(format, args...))
	}
	return holds
}

// breaches are those of a message.
func breaches(raw string) []string {
	j := &judge{}
	head, body, found := strings.Cut(raw, "\r\n\r\n")
	j.that(found, "RFC 5322, 2.1", "no empty line parts the header from the body")
	j.lines(raw)
	fields := j.fields(head + "\r\n")
	j.once(fields)
	j.date(fields)
	j.addresses(fields)
	j.encoded(fields)
	j.list(fields)
	j.body(fields, body)
	return j.breaches
}

// bodyOf is the body of the field; empty where it is not there.
func bodyOf(fields []field, name string) string {
	for _, f := range fields {
		if strings.EqualFold(f.name, name) {
			return f.body
		}
	}
	return ""
}

func (j *judge) lines(raw string) {
	bare := strings.ReplaceAll(raw, "\r\n", "")
	j.that(!strings.ContainsAny(bare, "\r\n"), "RFC 5322, 2.3", "CR and LF stand together only")
	j.that(!strings.Contains(raw, "\x00"), "RFC 5322, 2.2", "a NUL")
	for line := range strings.SplitSeq(raw, "\r\n") {
		j.that(len(line) <= 998, "RFC 5322, 2.1.1", "a line of %d", len(line))
		words := strings.Fields(line)
		whole := len(words) == 1 || len(words) == 2 && strings.HasSuffix(words[0], ":") // nowhere to fold
		j.that(len(line) <= 78 || whole, "RFC 5322, 2.1.1", "a line of more than 78: %q", line)
	}
}

// fieldName is printable ASCII but the colon.
var fieldName = regexp.MustCompile(`^[!-9;-~]+$`)

func (j *judge) fields(head string) (fields []field) {
	for line := range strings.SplitSeq(strings.TrimSuffix(head, "\r\n"), "\r\n") {
		for _, b := range []byte(line) {
			j.that(b < 127 && (b >= 32 || b == '\t'), "RFC 5322, 2.2", "a byte %#x in the header", b)
		}
		if strings.HasPrefix(line, " ") || strings.HasPrefix(line, "\t") {
			if j.that(len(fields) > 0, "RFC 5322, 2.2.3", "the first line is folded") {
				last := &fields[len(fields)-1]
				last.body += line
				last.raw += "\r\n" + line
			}
			j.that(strings.TrimSpace(line) != "", "RFC 5322, 3.2.2", "a folded line of nothing but spaces")
			continue
		}
		name, body, found := strings.Cut(line, ":")
		j.that(found && fieldName.MatchString(name), "RFC 5322, 2.2", "a field without a name: %q", line)
		fields = append(fields, field{name, body, line})
	}
	for i := range fields {
		fields[i].body = strings.TrimSpace(fields[i].body) // a field may be folded before its first word
	}
	return fields
}

func (j *judge) once(fields []field) {
	count := map[string]int{}
	for _, f := range fields {
		count[strings.ToLower(f.name)]++
	}
	for _, name := range []string{"From", "Date", "Message-ID", "Subject", "To"} {
		j.that(count[strings.ToLower(name)] == 1, "RFC 5322, 3.6", "%s stands there %d times", name, count[strings.ToLower(name)])
	}
	for name, n := range count {
		j.that(n == 1, "RFC 5322, 3.6", "%s stands there %d times", name, n)
		j.that(!slices.Contains([]string{"bcc", "cc", "sender", "reply-to", "return-path"}, name), "ours", "nobody asked for %s", name)
	}
	j.that(bodyOf(fields, "Auto-Submitted") == "auto-generated", "RFC 3834, 5", "Auto-Submitted is %q", bodyOf(fields, "Auto-Submitted"))
}

var (
	dateTime = regexp.MustCompile(`^(Mon|Tue|Wed|Thu|Fri|Sat|Sun), \d{1,2} (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) \d{4} \d\d:\d\d:\d\d [+-]\d{4}$`)
	msgID    = regexp.MustCompile("^<[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(\\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*@[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(\\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*>$")
)

func (j *judge) date(fields []field) {
	said := bodyOf(fields, "Date")
	j.that(dateTime.MatchString(said), "RFC 5322, 3.3", "the date %q", said)
	at, err := mail.ParseDate(said)
	j.that(err == nil && strings.HasPrefix(said, at.Weekday().String()[:3]), "RFC 5322, 3.3", "the date %q", said)
	j.that(err != nil || at.Year() > 1900 && at.Before(time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)), "RFC 5322, 3.3", "the year of %q", said)
}

func (j *judge) addresses(fields []field) {
	id := bodyOf(fields, "Message-ID")
	j.that(msgID.MatchString(id), "RFC 5322, 3.6.4", "the Message-ID %q", id)
	for _, name := range []string{"From", "To"} {
		list, err := mail.ParseAddressList(bodyOf(fields, name))
		j.that(err == nil && len(list) == 1, "RFC 5322, 3.4", "%s is %q", name, bodyOf(fields, name))
	}
}

// word is an encoded word.
var word = regexp.MustCompile(`=\?[^?\s]+\?[BbQq]\?[^?\s]*\?=`)

func (j *judge) encoded(fields []field) {
	for _, f := range fields {
		for line := range strings.SplitSeq(f.raw, "\r\n") {
			for _, w := range word.FindAllString(line, -1) {
				j.that(len(w) <= 75, "RFC 2047, 2", "an encoded word of %d in %s", len(w), f.name)
				j.that(len(line) <= 76, "RFC 2047, 2", "a line of %d with encoded words in %s", len(line), f.name)
				text, err := new(mime.WordDecoder).Decode(w)
				j.that(err == nil && utf8.ValidString(text), "RFC 2047, 5", "an encoded word that cannot be read alone: %q", w)
			}
		}
		for i, part := range strings.Split(f.body, `"`) {
			structured := f.name == "From" || f.name == "To"
			j.that(i%2 == 0 || !structured || !word.MatchString(part), "RFC 2047, 5 (3)", "an encoded word between quotes in %s", f.name)
		}
	}
}

func (j *judge) list(fields []field) {
	at, press := bodyOf(fields, "List-Unsubscribe"), bodyOf(fields, "List-Unsubscribe-Post")
	if at == "" {
		j.that(press == "", "RFC 8058, 3.1", "List-Unsubscribe-Post without List-Unsubscribe")
		return
	}
	inside, opens := strings.CutPrefix(at, "<")
	inside, closes := strings.CutSuffix(inside, ">")
	u, err := url.Parse(inside)
	j.that(opens && closes && !strings.ContainsAny(inside, "<> ,\t") && err == nil && u.Host != "", "RFC 2369, 2", "not one address between < and >: %q", at)
	if strings.HasPrefix(inside, "https://") {
		j.that(press == "List-Unsubscribe=One-Click", "RFC 8058, 3.1", "List-Unsubscribe-Post is %q", press)
	} else {
		j.that(press == "", "RFC 8058, 3.1", "one press without https")
	}
}

// boundaryForm is what may part a message; no space at its end.
var boundaryForm = regexp.MustCompile(`^[0-9A-Za-z'()+_,./:=? -]{0,69}[0-9A-Za-z'()+_,./:=?-]$`)

func (j *judge) body(fields []field, body string) {
	j.that(bodyOf(fields, "MIME-Version") == "1.0", "RFC 2045, 4", "MIME-Version is %q", bodyOf(fields, "MIME-Version"))
	kind, params, err := mime.ParseMediaType(bodyOf(fields, "Content-Type"))
	if !j.that(err == nil && kind == "multipart/alternative", "RFC 2046, 5.1.4", "Content-Type is %q", bodyOf(fields, "Content-Type")) {
		return
	}
	cte := strings.ToLower(bodyOf(fields, "Content-Transfer-Encoding"))
	j.that(slices.Contains([]string{"", "7bit", "8bit", "binary"}, cte), "RFC 2045, 6.4", "a message of parts is encoded as %q", cte)
	boundary := params["boundary"]
	j.that(boundaryForm.MatchString(boundary), "RFC 2046, 5.1.1", "the boundary %q", boundary)
	j.that(strings.Contains(body, "\r\n--"+boundary+"--"), "RFC 2046, 5.1.1", "the last boundary is missing")
	j.that(strings.Count("\r\n"+body, "\r\n--"+boundary) == 3, "RFC 2046, 5.1.1", "the boundary stands in a part")
	var order []string
	for parts := multipart.NewReader(strings.NewReader(body), boundary); ; {
		p, err := parts.NextRawPart()
		if err == io.EOF {
			break
		}
		if !j.that(err == nil, "RFC 2046, 5.1.1", "a part that cannot be read: %v", err) {
			break
		}
		order = append(order, j.part(p))
	}
	j.that(slices.Equal(order, []string{"text/plain", "text/html"}), "RFC 2046, 5.1.4", "the parts are %v, the plainest is to come first", order)
}

// escaped is what may follow a = in quoted-printable.
var escaped = regexp.MustCompile(`=([^0-9A-F\r]|[0-9A-F][^0-9A-F]|$)`)

func (j *judge) part(p *multipart.Part) string {
	kind, params, err := mime.ParseMediaType(p.Header.Get("Content-Type"))
	j.that(err == nil && strings.EqualFold(params["charset"], "utf-8"), "RFC 2046, 4.1.2", "a part is %q", p.Header.Get("Content-Type"))
	j.that(strings.EqualFold(p.Header.Get("Content-Transfer-Encoding"), "quoted-printable"), "RFC 2045, 6.1", "a part is encoded as %q", p.Header.Get("Content-Transfer-Encoding"))
	raw, err := io.ReadAll(p)
	j.that(err == nil, "RFC 2046, 5.1", "a part that cannot be read")
	for line := range strings.SplitSeq(string(raw), "\r\n") {
		j.that(len(line) <= 76, "RFC 2045, 6.7 (5)", "a line of %d", len(line))
		j.that(line == strings.TrimRight(line, " \t"), "RFC 2045, 6.7 (3)", "a space at the end of a line: %q", line)
	}
	j.that(!escaped.Match(raw), "RFC 2045, 6.7 (1)", "a = that stands for nothing: %q", escaped.Find(raw))
	for _, b := range raw {
		j.that(b < 127 && (b >= 32 || b == '\t' || b == '\r' || b == '\n'), "RFC 2045, 6.7", "a byte %#x", b)
	}
	text, err := io.ReadAll(quotedprintable.NewReader(bytes.NewReader(raw)))
	j.that(err == nil && utf8.Valid(text), "RFC 2045, 6.7", "a part that cannot be decoded")
	return kind
}
