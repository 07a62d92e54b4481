package roster

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Clean is text as it is kept: lines end in a line feed, nothing is in it that is
// not text (control characters, broken encoding), and its ends are not blank.
func Clean(s string) string {
	s = strings.ReplaceAll(s, "\r\n", "\n")
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r == '\t' || r == '\r':
			return ' '
		case unicode.IsControl(r) || r == utf8.RuneError:
			return -1
		}
		return r
	}, s)
	return strings.TrimSpace(s)
}

// Sound says whether the key is as Key describes.
func (k Key) Sound() bool {
	const allowed = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_"
	return len(k) >= 8 && len(k) <= 64 && strings.Trim(string(k), allowed) == ""
}
