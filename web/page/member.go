package page

import "halfhour.app/halfhour/web/part"

// Member is one coach of the club, as an owner sees to him or her.
type Member struct {
	Desk  part.Desk
	Name  string
	Email string
	Role  string // owner, coach or deputy
	You   bool
	Last  bool   // the only owner: neither another role nor an end is offered
	Prove string // where to show first that it is you; empty: the sign-in is fresh
	Give  string // action that gives a role; field: role
	End   Confirm
	Back  string
	Wrong string // what is wrong with the role; empty: nothing
}

// roles are what a coach may be, with what it means.
func (v Member) roles() part.Choices {
	return part.Choices{Name: "role", Label: "Role", Value: v.Role, Error: v.Wrong, Options: []part.Option{
		{Value: "owner", Words: "Owner", Hint: "A coach who sees every athlete, invites coaches and deputies, and sees to this page."},
		{Value: "coach", Words: "Coach", Hint: "Decides, reads what athletes tell about their health, and invites them."},
		{Value: "deputy", Words: "Deputy", Hint: "Helps with the training: sees the roster, logs sessions, writes notes, decides as it is proposed or more carefully, and can stop somebody. Sees no answers about health, clears nobody, and has no athletes of their own."},
	}}
}

// Settings are what an owner may change of the club. Fields: club, zone, own_only,
// minors.
type Settings struct {
	Action   string // empty: not an owner
	Club     string
	Zone     string
	Zones    []string
	OwnOnly  bool
	Minors   bool
	Errors   part.Errors
	Mistakes []part.Mistake
}

// HandOver gives an athlete to another coach. Field: coach. The zero value is none.
type HandOver struct {
	Whose  string // "Ivo's athlete."; "Everybody's: every coach of the club."
	Action string // empty: only said
	Coach  string // the present one
	To     []part.Option
	Error  string
}
