package page

// News is what somebody is told on the first page until it was seen to. The zero
// value is none.
type News struct {
	Logins  []NewLogin
	Handed  []Handed
	Address AddressNews

	Refused string // that one's own mail does not arrive; empty: it does
}

// AddressNews is that the coach's e-mail address was changed on another login. The zero
// value is none.
type AddressNews struct {
	Words string // "Your e-mail address was changed to mara@example.org, today 14:20."
	Seen  string // action that says it was one's own doing
	Club  string // where logins are ended and the password is changed
}

// NewLogin is a login on a device that was not seen before.
type NewLogin struct {
	Words string // "New login: Firefox on Android, today 14:20."
	Claim string // action that says it is one's own; empty: this device may not say so
	End   string // action that ends it
}

// Handed is an athlete who was handed over to the coach.
type Handed struct {
	Name  string
	Href  string // the athlete's page
	Words string // "Mara Lund handed Ines Okafor over to you yesterday."
	Seen  string // action that says it was seen
}
