package httpd

import (
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weather"
)

// airWords say the weather as it was typed: "31 °C, 55 %, in the sun".
func airWords(a weather.Air) string {
	words := []string{degrees(a.Tenths)}
	if a.Humidity != 0 {
		words = append(words, strconv.Itoa(a.Humidity)+" %")
	}
	if a.Shade {
		return strings.Join(append(words, "in the shade"), ", ")
	}
	return strings.Join(append(words, "in the sun"), ", ")
}

// degrees writes tenths of a degree: "24.5 °C", "−3 °C".
func degrees(tenths int) string {
	sign := ""
	if tenths < 0 {
		sign, tenths = "−", -tenths
	}
	text := sign + strconv.Itoa(tenths/10)
	if rest := tenths % 10; rest != 0 {
		text += "." + strconv.Itoa(rest)
	}
	return text + " °C"
}

// ofWords say whose weather it is and of which hour.
func ofWords(o *outdoors.Outlook, clock string, now time.Time) string {
	whose := "As you typed it"
	if !o.Own() {
		whose = "Typed by " + o.By + " for the club,"
	}
	switch {
	case o.At.After(now):
		return whose + " for " + clock + "."
	case o.Fresh:
		return whose + " at " + clock + "."
	}
	return whose + " at " + clock + ". That is hours ago: look again, and type how it is now."
}

// changeWords are the level as a flag; empty where nothing changes.
func changeWords(l weather.Level) string {
	switch l {
	case weather.None:
		return ""
	case weather.NotToday:
		return "Not today"
	}
	return "Today: " + l.String()
}

// hotWords say why “It was hot” is ticked.
func hotWords(w *roster.Weather, clock string) string {
	return "Ticked because of the weather at " + clock + ": " + airWords(w.Air) + ". Pulse tells nothing about effort in such heat. Untick it if it was cooler where you were."
}
