package httpd

import (
	"net/http"

	"github.com/go-chi/chi/v5/middleware"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// clubPage shows the coaches, who left, and the coach's own logins.
func (s *server) clubPage(w http.ResponseWriter, r *http.Request) error {
	return s.showClub(w, r, http.StatusOK, nil, &form{})
}

// invite makes an invitation and shows its link this once, in answer to the form
// itself: kept for another page, the code would have to be kept somewhere. Loaded
// again it makes another link, and the one before ends.
func (s *server) invite(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	role, whom := access.AsCoach, "a new coach"
	if access.Role(f.text("role")) == access.AsDeputy {
		role, whom = access.AsDeputy, "a new deputy"
	}
	link, err := s.Access.Invitation(r.Context(), visitorOf(r), role)
	if err != nil {
		return err
	}
	shown, err := s.signLink(r, "/join/", link, whom)
	if err != nil {
		return err
	}
	return s.showClub(w, r, http.StatusOK, shown, &form{})
}

// changePassword gives the coach a new one.
func (s *server) changePassword(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	err = s.Access.ChangePassword(r.Context(), visitorOf(r), f.raw("current"), f.raw("password"), middleware.GetClientIPAddr(r.Context()))
	switch {
	case f.take(err):
		return s.showClub(w, r, http.StatusUnprocessableEntity, nil, f)
	case fault.KindOf(err) == fault.TooMany:
		f.wrong("current", fault.MessageOf(err))
		return s.showClub(w, r, http.StatusTooManyRequests, nil, f)
	case err != nil:
		return err
	}
	s.redirect(w, r, part.ClubAt+"?said=password")
	return nil
}

// endLogin ends one of the coach's own logins, or one of an athlete of the club;
// with the athlete named, it goes back to the athlete's page.
func (s *server) endLogin(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.LoginID](r, "login")
	if err != nil {
		return err
	}
	if err := s.Access.Close(r.Context(), actorOf(r), id); err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	back := part.ClubAt
	switch athlete, err := athleteIn(r); {
	case f.text("from") == "news":
		s.redirect(w, r, back+"?said=ended-strange")
		return nil
	case err == nil:
		back = athletePath(athlete)
	case id == visitorOf(r).Login.ID:
		s.dropCookie(w)
		s.redirect(w, r, part.SignInAt)
		return nil
	}
	s.redirect(w, r, back+"?said=ended")
	return nil
}

func (s *server) showClub(w http.ResponseWriter, r *http.Request, status int, invited *page.SignLink, f *form, change ...func(*page.Club)) error {
	v := visitorOf(r)
	coaches, err := s.Access.Coaches(r.Context(), v.Club.ID)
	if err != nil {
		return err
	}
	gone, err := s.Enrol.Gone(r.Context(), v.Actor())
	if err != nil {
		return err
	}
	logins, err := s.Access.Logins(r.Context(), v)
	if err != nil {
		return err
	}
	keyring, err := s.keyring(r, f)
	if err != nil {
		return err
	}
	view := page.Club{
		Calendar: clubCalendarAt, Kept: ownKeptAt,
		Desk: s.desk(r, "Club", part.InClub), Name: v.Club.Name, Coaches: s.coachRows(r, coaches, v),
		Invited: invited, Gone: s.goneRows(r, gone), Logins: s.loginRows(r, logins, "/logins/"),
		Password: page.PasswordForm{Action: "/club/password", Errors: f.errors()},
		Keyring:  keyring,
	}
	if view.Address, err = s.addressForm(v); err != nil {
		return err
	}
	if view.Keeping, err = s.keepingView(r, f); err != nil {
		return err
	}
	if view.Gentle, err = s.gentleView(r, f); err != nil {
		return err
	}
	view.Desk.Loads = append(view.Desk.Loads, part.PasskeyScript)
	if v.IsOwner() {
		view.Invite, view.Prove = "/club/invitations", s.proveFirst(v)
		if view.ByMail, err = s.inviteByMail(f); err != nil {
			return err
		}
		if view.Prove != "" {
			view.ByMail = page.MailTo{}
		}
		if s.Mail != nil {
			view.Mail = mailAt
		}
		view.Settings = settingsShown(&v.Club)
	}
	for _, put := range change {
		put(&view)
	}
	return s.page(w, r, status, page.ClubPage(view))
}

func (s *server) coachRows(r *http.Request, coaches []roster.Coach, v *access.Visitor) []page.Coach {
	rows := make([]page.Coach, len(coaches))
	for i, c := range coaches {
		rows[i] = page.Coach{Name: c.Name, Email: c.Email, You: c.ID == v.Coach.ID}
		if role := access.RoleOf(&c); role != access.AsCoach {
			rows[i].Role = string(role)
		}
		if v.IsOwner() {
			rows[i].Href = memberPath(c.ID)
			if !c.MailRefused.IsZero() {
				rows[i].Refused = "mail was refused " + s.onDay(r, c.MailRefused)
			}
		}
	}
	return rows
}

func (s *server) goneRows(r *http.Request, gone []roster.Athlete) []page.Gone {
	today, f := s.today(r), datesFor(r)
	rows := make([]page.Gone, len(gone))
	for i := range gone {
		a := &gone[i]
		left := day.Of(a.LeftAt, a.Place())
		rows[i] = page.Gone{Name: a.Name, Href: athletePath(a.ID), Since: "left on " + f.Day(left, today)}
		if visitorOf(r).IsKeeper() {
			rows[i].Back = athletePath(a.ID) + "/returned"
		}
	}
	return rows
}

// loginRows are logins in words; each is ended at the base address, its ID and
// "/end".
func (s *server) loginRows(r *http.Request, logins []access.Login, base string) []page.Login {
	v, today, f, place := visitorOf(r), s.today(r), datesFor(r), s.placeOf(r)
	rows := make([]page.Login, len(logins))
	for i, l := range logins {
		rows[i] = page.Login{
			Device: l.Device, Since: f.Since(day.Of(l.Since, place), today), Seen: "seen " + f.Near(day.Of(l.SeenAt, place), today),
			This: l.ID == v.Login.ID, Action: base + idText(l.ID) + "/end",
		}
	}
	return rows
}
