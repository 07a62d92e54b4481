package httpd

import (
	"net/http"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// recordingPage is the heart-rate recording of a session, or the way to add one.
func (s *server) recordingPage(w http.ResponseWriter, r *http.Request) error {
	b, id, err := recordedIn(r)
	if err != nil {
		return err
	}
	return s.showRecording(w, r, http.StatusOK, b, id, nil)
}

// recordedIn is whose session the address names, and which.
func recordedIn(r *http.Request) (subject, roster.SessionID, error) {
	b, err := subjectOf(r)
	if err != nil {
		return b, 0, err
	}
	id, err := idIn[roster.SessionID](r, "session")
	return b, id, err
}

// showRecording shows the page; change puts in what a form on it sent back, or is
// nil.
func (s *server) showRecording(w http.ResponseWriter, r *http.Request, status int, b subject, id roster.SessionID, change func(*page.Recording)) error {
	seen, err := s.Heart.Seen(r.Context(), actorOf(r), b.id, id)
	if err != nil {
		return err
	}
	today, d := seen.Athlete.Today(s.Now()), datesFor(r)
	v := recordingView(seen, b, d, today)
	v.Desk, v.Phone = s.heartFrame(r, b, &seen.Athlete, v.Title, b.list())
	if change != nil {
		change(&v)
	}
	return s.page(w, r, status, page.RecordingPage(v))
}

// heartFrame is the frame of a page about heart rate: a coach reads it at a desk.
func (s *server) heartFrame(r *http.Request, b subject, a *roster.Athlete, title, back string) (desk part.Desk, phone part.Phone) {
	loads := []string{part.HeartStyle}
	if b.byCoach() {
		desk = s.desk(r, title+", "+a.Name, part.InRoster)
		desk.Loads = loads
		return desk, phone
	}
	phone = s.phone(r, title, "", back)
	phone.Loads = loads
	return desk, phone
}

// recordingView lays out what a recording shows.
func recordingView(seen *heart.Seen, b subject, d wording.Dates, today day.Date) page.Recording {
	one := &seen.Session
	v := page.Recording{
		Title: wording.Capital(sessionOf(d.Near(one.Date, today))), About: wording.Capital(factWords(one)), Off: offWords(seen),
		Upload:  page.Upload{Action: b.recording(one.ID, "")},
		Correct: part.Link{Href: b.session(one.ID, ""), Words: "Correct this session"},
	}
	if b.byCoach() {
		v.About = seen.Athlete.Name + ", " + factWords(one)
	}
	if seen.Recording == nil {
		v.Upload.Open = true
		if len(one.Blocks) > 0 {
			strip := part.Strip{Label: wording.Capital(wording.Session(one)) + ".", Size: part.Medium, Blocks: doneBlocks(one)}
			v.Strip = &strip
		}
		return v
	}
	v.Trace = tracePicture(seen)
	v.Walks, v.Lead = walkRows(seen), settledWords(seen)
	if seen.Mixed {
		v.Mixed = mixedWords(v.Walks)
	}
	if !known(seen.Recording.Ceiling) {
		v.NoRate = &part.Link{Href: b.heart(""), Words: "To heart rate"}
	}
	v.Facts, v.Lost, v.Warnings = readFacts(seen, b, d, today), lostWords(seen), seen.Reading.Warnings
	v.Anew = b.recording(one.ID, "/anew")
	if seen.Stale {
		v.Stale = "It was read with another ceiling or older rules than hold now, or the session was corrected since. Reading it anew may say something else."
	}
	v.Remove = page.Confirm{
		Action: b.recording(one.ID, "/remove"), Button: "Remove the recording",
		Words: "The recording and what it showed of the walks go for good. The session itself stays.",
	}
	return v
}

// attach takes in the file of a recording.
func (s *server) attach(w http.ResponseWriter, r *http.Request) error {
	b, one, err := s.stored(r) // before the file is read: whose session it is not, sends none
	if err != nil {
		return err
	}
	body, f, status, err := uploaded(r)
	if err != nil {
		return err
	}
	if len(f.faults) > 0 {
		return s.refuseFile(w, r, status, b, one.ID, f, nil)
	}
	done, err := s.Heart.Attach(r.Context(), actorOf(r), b.id, one.ID, body, f.ticked("replace"), f.ticked("anyway"))
	switch fields := fault.FieldsOf(err); {
	case len(fields) > 0 && fault.KindOf(err) == fault.Conflict:
		return s.refuseFile(w, r, http.StatusConflict, b, one.ID, f, err)
	case f.take(err):
		return s.refuseFile(w, r, http.StatusUnprocessableEntity, b, one.ID, f, nil)
	case err != nil:
		return err
	}
	if wantsJSON(r) {
		return s.json(w, r, http.StatusOK, attached{ID: one.ID, Again: done.Again, At: done.At})
	}
	said := "recorded"
	switch {
	case done.Again && done.At != one.ID:
		said = "recorded-elsewhere&at=" + idText(done.At)
	case done.Again:
		said = "recorded-before"
	}
	s.redirect(w, r, b.recording(one.ID, "")+"?said="+said)
	return nil
}

// attached is what a program gets to know of a file that was taken.
type attached struct {
	ID    roster.SessionID `json:"id"`
	Again bool             `json:"again"` // it had been stored before
	At    roster.SessionID `json:"at"`    // the session that has it
}

// refuseFile shows the form again with what is wrong, or with the question that
// has to be answered first: asked is nil or a fault.Conflict with the names of the
// boxes to tick.
func (s *server) refuseFile(w http.ResponseWriter, r *http.Request, status int, b subject, id roster.SessionID, f *form, asked error) error {
	if wantsJSON(r) {
		return s.json(w, r, status, refusal{Message: fault.MessageOf(asked), Fields: refusedFields(append(f.faults, fault.FieldsOf(asked)...))})
	}
	return s.showRecording(w, r, status, b, id, func(v *page.Recording) {
		u := &v.Upload
		u.Open, u.Errors = true, f.errors()
		u.Ticked = map[string]bool{"replace": f.ticked("replace"), "anyway": f.ticked("anyway")}
		asks := map[string]bool{}
		for _, field := range fault.FieldsOf(asked) {
			asks[field.Place] = true
		}
		u.Refused = fault.MessageOf(asked)
		if asks["replace"] || u.Ticked["replace"] {
			u.Replace = "Replace the recording that is there"
		}
		if asks["anyway"] || u.Ticked["anyway"] {
			u.Anyway = "Attach it anyway"
		}
	})
}

// readAnew reads a recording once more.
func (s *server) readAnew(w http.ResponseWriter, r *http.Request) error {
	b, id, err := recordedIn(r)
	if err != nil {
		return err
	}
	if err := s.Heart.ReadAnew(r.Context(), actorOf(r), b.id, id); err != nil {
		return err
	}
	s.redirect(w, r, b.recording(id, "")+"?said=read-anew")
	return nil
}

// detach removes a recording; what is gone already is as good.
func (s *server) detach(w http.ResponseWriter, r *http.Request) error {
	b, id, err := recordedIn(r)
	if err != nil {
		return err
	}
	if err := s.Heart.Detach(r.Context(), actorOf(r), b.id, id); err != nil {
		return err
	}
	s.redirect(w, r, b.recording(id, "")+"?said=unrecorded")
	return nil
}
