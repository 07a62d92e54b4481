package page

import "halfhour.app/halfhour/web/part"

// Club is the coaches, people who left, and one's own logins, password and passkeys.
type Club struct {
	Desk     part.Desk
	Name     string
	Coaches  []Coach
	Settings Settings
	Invite   string // action that makes an invitation; empty: not an owner. Field: role
	ByMail   MailTo // sends one by mail; zero: not an owner
	Mail     string // address of the letters that went into files; empty: there are none to see
	Prove    string // where an owner shows first that it is him or her; empty: no need
	Calendar string // address of the own calendar elsewhere
	Kept     string // address of what is kept of the coach, as a file
	Invited  *SignLink
	Gone     []Gone
	Logins   []Login
	Password PasswordForm
	Address  AddressForm
	Keeping  Keeping
	Keyring  Keyring
	Gentle   Gentle
}

// Coach is one coach of the club.
type Coach struct {
	Name  string
	Email string
	Role  string // "owner", "deputy"; empty for the others
	Href  string // where an owner sees to the coach; empty: not an owner
	You   bool

	Refused string // "mail refused since Tuesday"; empty: it is not
}

// Gone is an athlete who left.
type Gone struct {
	Name  string
	Href  string
	Since string // "left on 3 April"
	Back  string // action that takes them in again; empty: not for deputies
}

// AddressForm asks for another e-mail address of one's own. Fields: key, email.
type AddressForm struct {
	Action string // empty: the form is not shown
	Key    string
	Now    string // the present one
	Email  string // as typed
	Error  string
	Prove  string // where the coach shows first who it is; empty: no need
	Files  bool   // letters go into files that owners read
}

// hint says what happens next.
func (f *AddressForm) hint() string {
	if f.Files {
		return "Now it is " + f.Now + ". No mail server is set up: an owner finds the letter under Club, Letters that went into files. Nothing changes before its link is opened here."
	}
	return "Now it is " + f.Now + ". A letter goes to the new one, and nothing changes before you open its link."
}

// NewAddress is the change to confirm.
type NewAddress struct {
	Desk   part.Desk
	Now    string
	New    string
	Action string
	Back   string
}

// PasswordForm changes the coach's own password. Fields: current, password.
type PasswordForm struct {
	Action string
	Errors part.Errors
}
