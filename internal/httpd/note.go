package httpd

import (
	"net/http"

	"halfhour.app/halfhour/web/page"
)

// addNote keeps a coach's note about an athlete.
func (s *server) addNote(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	f, key, err := keyedForm(r)
	if err != nil {
		return err
	}
	_, err = s.Enrol.Note(r.Context(), actorOf(r), id, f.text("text"), f.ticked("private"), key)
	switch {
	case f.take(err):
		return s.showAthlete(w, r, http.StatusUnprocessableEntity, id, func(v *page.Athlete) {
			v.NoteForm.Text, v.NoteForm.Private, v.NoteForm.Key, v.NoteForm.Errors = f.values.Get("text"), f.ticked("private"), string(key), f.errors()
		})
	case err != nil:
		return err
	}
	s.redirect(w, r, athletePath(id)+"?said=noted")
	return nil
}
