package httpd

import (
	"net/http"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
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
	v.EditHref = at + "/edit"
	v.NoteForm = page.NoteForm{Action: at + "/notes", Key: string(key)}
	v.Access = page.Access{LinkAction: at + "/link", Logins: s.loginRows(r, logins, at+"/logins/")}
	if v.Leave, err = s.leaveView(r, a, p.Leaves, &form{}); err != nil {
		return err
	}
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
