package httpd

import (
	"maps"
	"net/http"
	"slices"
	"strings"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// failurePage shows the failure. It needs nothing but the request: no visitor and
// no database. Should even the page fail, its words are sent bare.
func (s *server) failurePage(w http.ResponseWriter, r *http.Request, f failure) {
	v := page.Failure{
		Plain: part.Plain{Title: f.title}, Title: f.title, Text: f.text, Reference: askedOf(r.Context()).reference, Back: f.back,
		Again: againOf(r, f),
	}
	if err := s.page(w, r, f.status, page.FailurePage(v)); err != nil {
		s.Log.ErrorContext(r.Context(), "the page for failures failed", "reference", v.Reference, "error", err)
		http.Error(w, f.title+". "+f.text+" Reference "+v.Reference, f.status)
	}
}

// againOf keeps what a form held, where it failed through no fault of its own:
// browsers forget what was typed into pages that nobody may keep, some at once.
// A password is never written into a page.
func againOf(r *http.Request, f failure) page.Again {
	blameless := f.status >= http.StatusInternalServerError || f.status == http.StatusUnauthorized
	if r.Method != http.MethodPost || !blameless || r.ParseForm() != nil || len(r.PostForm) == 0 {
		return page.Again{}
	}
	again := page.Again{Action: localPath(r.URL.RequestURI())}
	for _, name := range slices.Sorted(maps.Keys(r.PostForm)) {
		if strings.Contains(name, "password") {
			return page.Again{}
		}
		for _, value := range r.PostForm[name] {
			again.Fields = append(again.Fields, page.Kept{Name: name, Value: value})
		}
	}
	return again
}
