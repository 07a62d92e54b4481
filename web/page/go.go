package page

import "halfhour.app/halfhour/web/part"

// Go is the guided session on the phone. The page is the same for every athlete, so
// that it can be kept and opened without a signal: the phone fills in what is planned
// from its own copy of the week.
type Go struct {
	Phone  part.Phone
	After  After   // the form after it, empty: no key, no phase, no dates
	Alarms []Alarm // what is said at once after a warning sign, or pain that stops running
	Log    string  // address of "I have done it already"
}

// Alarm is what is said for one kind of warning, in the words of StoppedPage.
type Alarm struct {
	For  string // stop, bone or paused
	Stop Stop
}

// reasons are why a session is stopped, in the words of its buttons.
func reasons() []part.Option {
	return []part.Option{
		{Value: "done", Words: "That is enough for today"}, {Value: "tired", Words: "I am too tired"}, {Value: "pain", Words: "Something hurts"},
		{Value: "weather", Words: "The weather"}, {Value: "other", Words: "Something else"},
	}
}

// switches are what can be switched off, on until somebody does.
func switches() []part.Option {
	return []part.Option{{Value: "sound", Words: "Sound"}, {Value: "voice", Words: "Voice"}, {Value: "shake", Words: "Vibration"}}
}
