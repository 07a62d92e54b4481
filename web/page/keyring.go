package page

// Keyring is a coach's own passkeys. Fields: name; to show once more that it is the
// coach: current. Asking a passkey needs a script, which shows the forms that do.
type Keyring struct {
	Site  string // the host name passkeys are made for; empty: none can be, at this address
	Keys  []Key
	Fresh bool // they may be changed now
	Make  KeyAsk
	Name  string   // proposed for a new one, from the device
	Prove ProveAsk // where they may not be changed yet
}

// Key is one passkey.
type Key struct {
	Name   string
	Since  string // "since 3 April, used yesterday"
	Site   string // where it was made for another host name; else empty
	Copied string // "on 3 April": since when it is refused; empty: it is not
	Remove string // action; empty: not now
}

// KeyAsk is a form that asks a passkey: its script asks for a question first. The
// zero value is none.
type KeyAsk struct {
	Site   string // the host name it works at
	Ask    string // gives the question
	Action string // takes the answer
}

// ProveAsk shows once more that it is the coach, by password or passkey.
type ProveAsk struct {
	Action string // takes the password; empty: there is none
	Error  string
	Key    KeyAsk
}
