package httpd

import "net/http"

// addNote keeps a coach's note about an athlete.
func (s *server) addNote(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	key := f.key()
	if len(f.faults) > 0 {
		return errStale()
	}
	if _, err := s.Enrol.Note(r.Context(), actorOf(r), id, f.text("text"), key); err != nil {
		return err
	}
	s.redirect(w, r, athletePath(id)+"?said=noted")
	return nil
}
