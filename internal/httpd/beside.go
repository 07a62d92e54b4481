package httpd

import (
	"net/http"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// fillAccess puts beside the training what else a coach does for an athlete:
// notes, times away, the way in.
func (s *server) fillAccess(r *http.Request, p *morning.Portrait, v *page.Athlete, key roster.Key) error {
	a := p.Athlete
	at := athletePath(a.ID)
	logins, err := s.Access.AthleteLogins(r.Context(), actorOf(r), a.ID)
	if err != nil {
		return err
	}
	if v.Hand, err = s.handForm(r, a); err != nil {
		return err
	}
	deputy := actorOf(r).Deputy
	v.NoteForm = page.NoteForm{Action: at + "/notes", Key: string(key), Plain: deputy}
	if !deputy {
		v.KeptHref = at + "/kept"
	}
	if err := s.fillAsked(r, a, v); err != nil {
		return err
	}
	v.Access = page.Access{LinkAction: at + "/link", Logins: s.loginRows(r, logins, at+"/logins/")}
	if v.Leave, err = s.leaveView(r, a, p.Leaves, &form{}); err != nil {
		return err
	}
	if !visitorOf(r).IsKeeper() {
		v.Access.LinkAction = ""
		return nil
	}
	v.EditHref, v.Access.Refused = at+"/edit", s.refusedWords(r, a, "to "+a.Email)
	first := firstName(a.Name)
	if a.LeftAt.IsZero() {
		v.LeaveClub = page.Confirm{
			Action: at + "/left", Button: first + " has left the club",
			Words: first + " goes from the roster and every login ends. The sessions stay.",
		}
	} else {
		v.Access.LinkAction = ""
		v.Return = page.Confirm{Action: at + "/returned", Button: "Take " + first + " in again", Words: first + " is on the roster again, on the same phase."}
	}
	return nil
}

// fillAsked says that the athlete asked to be erased.
func (s *server) fillAsked(r *http.Request, a *roster.Athlete, v *page.Athlete) error {
	asking, err := s.asking(r)
	for _, one := range asking {
		if one.Athlete == a.ID {
			v.Flags = append(v.Flags, part.Flagged{Mark: "warning", Word: s.askedWords(r, firstName(a.Name), one.At, one.Due())})
		}
	}
	return err
}

// asking are those who asked to be erased, for a coach who may erase them.
func (s *server) asking(r *http.Request) ([]privacy.Asking, error) {
	if actorOf(r).Deputy {
		return nil, nil
	}
	return s.Privacy.Asking(r.Context(), actorOf(r))
}

// fillHeart puts in what heart rate shows: the trace of the newest session in place
// of its strip, the ceiling, and the way to every recording.
func (s *server) fillHeart(r *http.Request, p *morning.Portrait, v *page.Athlete) error {
	b, d := subject{id: p.Athlete.ID, base: athletePath(p.Athlete.ID)}, datesFor(r)
	pulse, err := s.Heart.Pulse(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	v.Heart = ceilingOf(pulse, b, d)
	if n := len(pulse.Offers); n > 0 {
		v.Heart.Sure += " A higher maximum was seen: please look."
	}
	for i := range v.Sessions {
		v.Sessions[i].Heard = heardLink(&p.Sessions[i], pulse.Recorded, b, "See", "Add")
	}
	one := newest(p)
	if one == nil {
		return nil
	}
	v.Newest.Heard = heardLink(one, pulse.Recorded, b, "Walk by walk", "Add a recording")
	if !pulse.Recorded[one.ID] {
		return nil
	}
	seen, err := s.Heart.Seen(r.Context(), actorOf(r), b.id, one.ID)
	if err != nil || seen.Recording == nil {
		return err
	}
	v.Desk.Loads = []string{part.HeartStyle}
	v.Newest.Trace, v.Newest.Heart = tracePicture(seen), heartSentence(seen)
	return nil
}

// heardLink leads to the recording of a session, or to where one is added; to
// neither where nothing was run or walked.
func heardLink(one *roster.Session, recorded map[roster.SessionID]bool, b subject, see, add string) part.Link {
	switch {
	case recorded[one.ID]:
		return part.Link{Href: b.recording(one.ID, ""), Words: see}
	case recordable(one):
		return part.Link{Href: b.recording(one.ID, ""), Words: add}
	}
	return part.Link{}
}

// recordable says whether something was run or walked.
func recordable(one *roster.Session) bool { return one.Exposure() || one.Kind == readiness.Extra }
