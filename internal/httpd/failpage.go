package httpd

import (
	"net/http"

	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// failurePage shows the failure. It needs nothing but the request: no visitor and
// no database. Should even the page fail, its words are sent bare.
func (s *server) failurePage(w http.ResponseWriter, r *http.Request, f failure) {
	v := page.Failure{
		Plain: part.Plain{Title: f.title}, Title: f.title, Text: f.text, Reference: askedOf(r.Context()).reference, Back: f.back,
	}
	if err := s.page(w, r, f.status, page.FailurePage(v)); err != nil {
		s.Log.ErrorContext(r.Context(), "the page for failures failed", "reference", v.Reference, "error", err)
		http.Error(w, f.title+". "+f.text+" Reference "+v.Reference, f.status)
	}
}
