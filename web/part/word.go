package part

import (
	"regexp"
	"strconv"
)

// Mark names a small sign that stands beside a word, never alone. They are the
// engine's flags by their names in documents (ready, arrived, pain, warning,
// load_jump, stalling, irregular, quiet, unproven, mixed, learning, back_to_back,
// health_check), and pause, refer, leave, ease_back for standing. An unknown name
// draws nothing.
type Mark string

// Flagged is a flag in words with its sign.
type Flagged struct {
	Mark Mark
	Word string // "Ready to move up"
}

// State says how a condition of the gate stands.
type State string

// The states, by their names in documents.
const (
	Met      State = "met"
	Unmet    State = "unmet"
	Unknown  State = "unknown"
	NotAsked State = "not_asked"
)

// Condition is one condition of the gate: what is asked, what was seen.
type Condition struct {
	State State
	Asked string
	Seen  string
}

// Link is a link in words.
type Link struct{ Href, Words string }

// Act is a button or a link that looks like one. With Href it is a link, else it
// sends its form with choice = Choice.
type Act struct {
	Words  string // "Move up"; empty: there is none
	Choice string
	Href   string
}

// QR is a code to scan: dark modules as an SVG path in units of one module, on a
// square of Side modules, quiet margin included.
type QR struct {
	Side  int
	Path  string
	Label string // "Code that opens the sign-in link of Ines Okafor"
}

// box is the viewBox of the code, ground all of it.
func (q QR) box() string { return "0 0 " + strconv.Itoa(q.Side) + " " + strconv.Itoa(q.Side) }

func (q QR) ground() string {
	side := strconv.Itoa(q.Side)
	return "M0 0h" + side + "v" + side + "H0z"
}

// spoken is a time as people say it.
var spoken = regexp.MustCompile(`(\d+) (min|s)\b(?: (\d\d)\b)?`)

// Together keeps times in one piece where a line breaks: no "2 min" here and "45"
// there.
func Together(s string) string {
	return spoken.ReplaceAllStringFunc(s, func(t string) string {
		m := spoken.FindStringSubmatch(t)
		if m[3] == "" {
			return m[1] + nbsp + m[2]
		}
		return m[1] + nbsp + m[2] + nbsp + m[3]
	})
}

const nbsp = "\u00a0"
