package access

import (
	"strings"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
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

// check finds what is wrong with a tidied newcomer to the club, field by field.
func (n Newcomer) check(club string) []fault.Field {
	var faults []fault.Field
	if m := roster.CheckName(n.Name); m != "" {
		faults = append(faults, fault.Field{Place: "name", Message: m})
	}
	if m := roster.CheckEmail(n.Email); m != "" {
		faults = append(faults, fault.Field{Place: "email", Message: m})
	}
	if m := CheckPassword(n.Password, n.Name, n.Email, club); m != "" {
		faults = append(faults, fault.Field{Place: "password", Message: m})
	}
	return faults
}
