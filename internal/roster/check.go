package roster

import (
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// CheckName says what is wrong with the name of a person or a club; empty when
// nothing is. Markup is no fault: pages show it as it was typed.
func CheckName(name string) string {
	switch {
	case strings.TrimSpace(name) == "":
		return "please give a name"
	case !utf8.ValidString(name), strings.ContainsFunc(name, unicode.IsControl):
		return "there are characters in it that cannot be shown"
	case utf8.RuneCountInString(name) > NameLength:
		return fmt.Sprintf("please keep it to %d characters", NameLength)
	}
	return ""
}

// CheckEmail says what is wrong with an e-mail address; empty when nothing is.
// It asks only for the shape that every address has: whether it is the right
// one, only a letter can tell.
func CheckEmail(email string) string {
	at := strings.LastIndexByte(email, '@')
	switch {
	case email == "":
		return "please give an e-mail address"
	case len(email) > EmailLength:
		return "this is too long for an e-mail address"
	case at < 1, at == len(email)-1, !utf8.ValidString(email), strings.ContainsFunc(email, blank):
		return "please give an e-mail address like name@example.org"
	}
	return ""
}

func blank(r rune) bool { return unicode.IsSpace(r) || unicode.IsControl(r) }

// CheckZone says what is wrong with the name of a time zone; empty when nothing is.
func CheckZone(zone string) string {
	if zone == "" || zone == "Local" {
		return "please choose a time zone"
	}
	if _, err := time.LoadLocation(zone); err != nil {
		return "please choose a time zone such as Europe/Lisbon"
	}
	return ""
}

// CheckText says what is wrong with a text that may have several lines and may
// be empty; empty when nothing is. The most is in characters.
func CheckText(text string, most int) string {
	strange := func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\r' && r != '\t' }
	switch {
	case !utf8.ValidString(text), strings.ContainsFunc(text, strange):
		return "there are characters in it that cannot be shown"
	case utf8.RuneCountInString(text) > most:
		return fmt.Sprintf("please keep it to %d characters", most)
	}
	return ""
}

// LowerEmail is an e-mail address as it is kept and compared: in lower case,
// without spaces around it.
func LowerEmail(typed string) string { return strings.ToLower(strings.TrimSpace(typed)) }
