package httpd

import "net/http"

// home is the front door: it leads everybody to the page of their own.
func (s *server) home(w http.ResponseWriter, r *http.Request) error {
	switch v := visitorOf(r); {
	case v.IsCoach():
		s.redirect(w, r, "/roster")
	case v.IsAthlete():
		s.redirect(w, r, "/today")
	default:
		s.redirect(w, r, "/sign-in")
	}
	return nil
}
