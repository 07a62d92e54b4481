package access

import (
	"strings"
	"unicode/utf8"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Lengths of a password in characters. The longest is there only so that nobody
// makes the server hash a book; the shortest follows what is found in current
// guidance on passwords (from memory): length instead of rules of composition.
const (
	ShortestPassword = 10
	LongestPassword  = 200
)

// Newcomer is a coach who comes in for the first time.
type Newcomer struct {
	Name     string
	Email    string
	Password string
}

// tidy is the newcomer as kept: without spaces around, the address in lower case.
func (n Newcomer) tidy() Newcomer {
	n.Name, n.Email = strings.TrimSpace(n.Name), roster.LowerEmail(n.Email)
	return n
}

// check finds what is wrong with a tidied newcomer, field by field.
func (n Newcomer) check() []fault.Field {
	var faults []fault.Field
	if m := roster.CheckName(n.Name); m != "" {
		faults = append(faults, fault.Field{Place: "name", Message: m})
	}
	if m := roster.CheckEmail(n.Email); m != "" {
		faults = append(faults, fault.Field{Place: "email", Message: m})
	}
	if m := CheckPassword(n.Password, n.Name, n.Email); m != "" {
		faults = append(faults, fault.Field{Place: "password", Message: m})
	}
	return faults
}

// CheckPassword says what is wrong with a new password of the person; empty when
// nothing is.
func CheckPassword(password, name, email string) string {
	local, _, _ := strings.Cut(email, "@")
	switch n := utf8.RuneCountInString(password); {
	case n < ShortestPassword:
		return "please take at least 10 characters; several words are easy to keep in mind"
	case n > LongestPassword:
		return "please keep it to 200 characters"
	}
	for _, own := range []string{email, local, name, strings.ReplaceAll(name, " ", "")} {
		if own != "" && strings.EqualFold(password, own) {
			return "please take something else than your own name or address: that is tried first"
		}
	}
	return ""
}
