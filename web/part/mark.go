package part

// drawn are the signs, in a square of sixteen, as strokes.
var drawn = map[Mark]string{
	"ready":        "M3 11 8 5l5 6",
	"arrived":      "M8 2a6 6 0 1 0 0 12A6 6 0 1 0 8 2v12",
	"pain":         "M8 2v7M8 13v.1",
	"warning":      "M5.5 2h5L14 5.5v5L10.5 14h-5L2 10.5v-5zM8 5v3.5M8 11v.1",
	"load_jump":    "M1 13h4.5V9H10V5h5",
	"stalling":     "M3 8h10",
	"irregular":    "M1 8h3M7 8h2M12 8h3",
	"quiet":        "M3 8v.1M8 8v.1M13 8v.1",
	"unproven":     "M5 5.5a3 3 0 1 1 4.5 2.6C8.4 8.7 8 9.2 8 10M8 13v.1",
	"mixed":        "M2 5h11l-3-3M14 11H3l3 3",
	"learning":     "M8 2a6 6 0 1 0 0 12A6 6 0 1 0 8 2M8 5v3l2 2",
	"back_to_back": "M3 4h4v8H3zM9 4h4v8H9z",
	"health_check": "M8 3v10M3 8h10",
	"pause":        "M5.5 3v10M10.5 3v10",
	"refer":        "M5.5 2h5L14 5.5v5L10.5 14h-5L2 10.5v-5zM8 5v3.5M8 11v.1",
	"leave":        "M3 13 13 3M6 3h7v7",
	"ease_back":    "M3 5l5 6 5-6",
	"met":          "M3 8.5 6.5 12 13 4",
	"unmet":        "M8 3a5 5 0 1 0 0 10A5 5 0 1 0 8 3",
	"unknown":      "M5 5.5a3 3 0 1 1 4.5 2.6C8.4 8.7 8 9.2 8 10M8 13v.1",
	"not_asked":    "M5 8h6",
	"done":         "M3 8.5 6.5 12 13 4",
}

// tones group the signs by what they speak of; the colour only repeats it.
var tones = map[Mark]string{
	"ready": "good", "arrived": "good", "met": "good", "done": "good",
	"pain": "rust", "warning": "rust", "load_jump": "rust", "refer": "rust", "pause": "rust", "ease_back": "rust", "health_check": "rust",
	"stalling": "plum", "irregular": "plum",
}

// class is how the sign is coloured.
func (m Mark) class() string {
	if tone := tones[m]; tone != "" {
		return "m " + tone
	}
	return "m"
}

// Words says the state in words.
func (s State) Words() string {
	switch s {
	case Met:
		return "Met"
	case Unmet:
		return "Not yet"
	case Unknown:
		return "Cannot tell"
	}
	return "Not asked"
}
