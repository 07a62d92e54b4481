package page

// News is what somebody is told on the first page until it was seen to. The zero
// value is none.
type News struct {
	Logins []NewLogin
	Handed []Handed

	Refused string // that one's own mail does not arrive; empty: it does
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
