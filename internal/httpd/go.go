package httpd

import (
	"net/http"
	"net/url"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// goPage is the guided session. Nothing of anybody is in it: a phone keeps it and
// opens it without a signal.
func (s *server) goPage(w http.ResponseWriter, r *http.Request) error {
	v := page.Go{Phone: s.phone(r, "Go", "", part.TodayAt), After: emptyAfter(), Log: "/log?kind=planned"}
	v.Phone.Loads = []string{part.GoStyle, part.GoScript}
	for _, a := range [...]struct {
		name string
		way  entry.Way
	}{{"stop", entry.StopSigned}, {"bone", entry.ReferBone}, {"paused", entry.Paused}} {
		v.Alarms = append(v.Alarms, page.Alarm{For: a.name, Stop: *alarmOf(a.way)})
	}
	return s.page(w, r, http.StatusOK, page.GoPage(v))
}

// emptyAfter is the form after a planned session with nothing in it.
func emptyAfter() page.After {
	f := &form{values: url.Values{}}
	f.fill("kind", readiness.Planned.String())
	v := afterForm(f, &pathway.Pathway{}, 0)
	v.Action = "/log"
	v.AskTalk, v.AskBreath, v.DateMin, v.DateMax = true, true, "", ""
	return v
}
