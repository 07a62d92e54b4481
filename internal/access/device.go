package access

import "strings"

// Device says in words what a User-Agent header tells: "Firefox on Android".
// Browsers claim to be one another, so the order matters: the most particular
// mark first. It is for people to tell their own devices apart, nothing more.
func Device(userAgent string) string {
	browser := firstOf(userAgent, [][2]string{
		{"Edg", "Edge"}, {"OPR/", "Opera"}, {"SamsungBrowser/", "Samsung browser"},
		{"Firefox/", "Firefox"}, {"FxiOS/", "Firefox"}, {"CriOS/", "Chrome"},
		{"Chrome/", "Chrome"}, {"Safari/", "Safari"},
	})
	system := firstOf(userAgent, [][2]string{
		{"iPhone", "iPhone"}, {"iPad", "iPad"}, {"Android", "Android"}, {"CrOS", "ChromeOS"},
		{"Windows", "Windows"}, {"Mac OS X", "Mac"}, {"Linux", "Linux"},
	})
	switch {
	case browser == "" && system == "":
		return "Unknown device"
	case system == "":
		return browser
	case browser == "":
		return "Browser on " + system
	}
	return browser + " on " + system
}

// firstOf gives the word of the first mark that the text holds.
func firstOf(text string, marks [][2]string) string {
	for _, m := range marks {
		if strings.Contains(text, m[0]) {
			return m[1]
		}
	}
	return ""
}
