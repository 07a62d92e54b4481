package httpd

import (
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	letters "halfhour.app/halfhour/internal/post" // post is a method here
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// Addresses of mail.
const (
	forgottenAt = "/sign-in/forgotten"
	mailAt      = "/mail"
)

// mailing is ways in by mail, and the letters themselves where they are files.
func mailing() []route {
	return []route{
		{get, forgottenAt, anybody, (*server).forgottenPage},
		{post, forgottenAt, anybody, (*server).forgotten},
		{post, "/athletes/{athlete}/link/mail", keeper, (*server).mailLink},
		{post, "/club/invitations/mail", owner, (*server).mailInvitation},
		{get, mailAt, owner, (*server).mailbox},
		{get, mailAt + "/{letter}", owner, (*server).letter},
	}
}

// forgottenPage is the form for whoever has no way in any more.
func (s *server) forgottenPage(w http.ResponseWriter, r *http.Request) error {
	return s.showForgotten(w, r, http.StatusOK, &form{})
}

// forgotten answers the same whether anybody has the address or not.
func (s *server) forgotten(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	err = s.Access.Forgotten(r.Context(), f.text("email"), middleware.GetClientIPAddr(r.Context()))
	switch {
	case f.take(err):
		return s.showForgotten(w, r, http.StatusUnprocessableEntity, f)
	case fault.KindOf(err) == fault.TooMany:
		f.wrong("", fault.MessageOf(err))
		return s.showForgotten(w, r, http.StatusTooManyRequests, f)
	case err != nil:
		return err
	}
	s.redirect(w, r, forgottenAt+"?said=way-in")
	return nil
}

func (s *server) showForgotten(w http.ResponseWriter, r *http.Request, status int, f *form) error {
	return s.page(w, r, status, page.ForgottenPage(page.Forgotten{
		Plain: s.plain(r, "A way in by mail"), Action: forgottenAt, Email: f.text("email"), Errors: f.errors(), Files: s.Mail != nil,
	}))
}

// mailLink sends an athlete the sign-in link by mail.
func (s *server) mailLink(w http.ResponseWriter, r *http.Request) error {
	a, err := s.athleteOf(r)
	if err != nil {
		return err
	}
	f, key, err := keyedForm(r)
	if err != nil {
		return err
	}
	if !a.LeftAt.IsZero() {
		return fault.New(fault.Conflict, a.Name+" has left the club. Take "+a.Name+" in again first; then there can be a sign-in link.")
	}
	if err := s.Post.Invite(r.Context(), actorOf(r), &a, key); err != nil {
		if f.take(err) {
			return fault.New(fault.Invalid, "No e-mail address of "+a.Name+" is known, or not one that mail can go to. Nothing was sent.")
		}
		return err
	}
	s.redirect(w, r, athletePath(a.ID)+"?said=mailed")
	return nil
}

// mailInvitation sends a new coach or deputy the link that lets them in.
func (s *server) mailInvitation(w http.ResponseWriter, r *http.Request) error {
	f, key, err := keyedForm(r)
	if err != nil {
		return err
	}
	if err := s.Access.MayInvite(visitorOf(r)); err != nil {
		return err
	}
	err = s.Post.InviteCoach(r.Context(), actorOf(r), access.Role(f.text("role")) == access.AsDeputy, f.text("email"), key)
	switch {
	case f.take(err):
		return s.showClub(w, r, http.StatusUnprocessableEntity, nil, f)
	case err != nil:
		return err
	}
	s.redirect(w, r, part.ClubAt+"?said=mailed")
	return nil
}

// inviteByMail is the form for that, on the page of the club.
func (s *server) inviteByMail(f *form) (page.MailTo, error) {
	key, err := s.newKey()
	v := page.MailTo{Action: "/club/invitations/mail", Key: string(key), Email: f.text("email"), Errors: part.Errors{}}
	if wrong := f.faultAt("email"); wrong != "" {
		v.Errors["email"] = sentence(wrong)
	}
	return v, err
}

// linkByMail is the form that sends an athlete's link; without an address it is none.
func (s *server) linkByMail(id, email string) (page.MailTo, error) {
	if letters.CheckAddress(email) != "" {
		return page.MailTo{}, nil
	}
	key, err := s.newKey()
	return page.MailTo{Action: "/athletes/" + id + "/link/mail", Key: string(key), To: email}, err
}

// mailbox lists the club's letters, where they went into files.
func (s *server) mailbox(w http.ResponseWriter, r *http.Request) error {
	if s.Mail == nil {
		return fault.New(fault.NotFound, "")
	}
	all, err := s.Mail.List(clubOf(r).ID)
	if err != nil {
		return err
	}
	v := page.Mailbox{Desk: s.desk(r, "Letters", part.InClub)}
	for i := range all {
		v.Letters = append(v.Letters, s.letterRow(r, &all[i]))
	}
	return s.page(w, r, http.StatusOK, page.MailboxPage(v))
}

// letter shows one of them.
func (s *server) letter(w http.ResponseWriter, r *http.Request) error {
	if s.Mail == nil {
		return fault.New(fault.NotFound, "")
	}
	one, err := s.Mail.Read(clubOf(r).ID, chi.URLParam(r, "letter"))
	if err != nil {
		return err
	}
	return s.page(w, r, http.StatusOK, page.LetterPage(page.OneLetter{
		Desk: s.desk(r, one.Subject, part.InClub), Letter: s.letterRow(r, &one), Lines: letterLines(one.Text, s.Post.Here), Back: mailAt,
	}))
}

func (s *server) letterRow(r *http.Request, l *letters.Filed) page.Letter {
	place, d := s.placeOf(r), datesFor(r)
	at := d.Near(day.Of(l.At, place), s.today(r)) + ", " + d.Clock(l.At, place)
	return page.Letter{Href: mailAt + "/" + l.Name, Subject: l.Subject, To: l.To, At: at}
}

// letterLines are the paragraphs of a letter. A line that is an address of this
// Halfhour becomes a link, and nothing else does.
func letterLines(text, here string) []page.LetterLine {
	var lines []page.LetterLine
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" || line == "--" {
			continue
		}
		one := page.LetterLine{Words: line}
		if here != "" && strings.HasPrefix(line, here+"/") && !strings.ContainsAny(line, " \t") {
			one.Href = localPath(strings.TrimPrefix(line, here))
		}
		lines = append(lines, one)
	}
	return lines
}
