package httpd

import (
	"net/http"
	"strings"

	"halfhour.app/halfhour/internal/wording"
)

// datesFor writes dates in the form of whoever asks: the day of the month first,
// unless the browser asks for American English before any other.
func datesFor(r *http.Request) wording.Dates {
	first, _, _ := strings.Cut(r.Header.Get("Accept-Language"), ",")
	first, _, _ = strings.Cut(first, ";")
	return wording.Dates{MonthFirst: strings.EqualFold(strings.TrimSpace(first), "en-US")}
}
