package httpd

import (
	"net/http"

	"github.com/go-chi/chi/v5"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// codeIn is the one-time code named in the address.
func codeIn(r *http.Request) access.Token { return access.Token(chi.URLParam(r, "code")) }

// noLonger says of a link that nobody knows what it says of one that was used: a link
// that lies on a phone may have been made for somebody who was erased since, of whom
// nothing is kept, not even the link.
func noLonger(r *http.Request, err error) error {
	if fault.KindOf(err) == fault.NotFound && codeIn(r).Sound() {
		return fault.New(fault.Gone, "It was used already, it is too old, or everything about the person it was made for is erased. Ask for a new one.")
	}
	return err
}

// enterPage is where a one-time link leads. Opening it uses nothing up: previews
// of messages open links too. Who is in already by this link goes on.
func (s *server) enterPage(w http.ResponseWriter, r *http.Request) error {
	o, err := s.Access.Offered(r.Context(), codeIn(r), access.AthleteLink, access.CoachLink)
	v := visitorOf(r)
	if fault.KindOf(err) == fault.Gone && v != nil && v.Login.Coach == o.Coach && v.Login.Athlete == o.Athlete {
		s.redirect(w, r, "/")
		return nil
	}
	if err != nil {
		return noLonger(r, goneWords(o, err))
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	return s.showEnter(w, r, http.StatusOK, o, string(key), &form{})
}

// goneWords help whoever opens a link that is over: on a second phone, or too late.
func goneWords(o access.Offer, err error) error {
	switch {
	case fault.KindOf(err) != fault.Gone || o.Purpose != access.AthleteLink:
		return err
	case o.Used:
		return fault.New(fault.Gone, "It was used already: it works once, on one phone. If that was yours, open Halfhour there; you are still signed in, and nothing that you answered is lost. To come in on this phone as well, ask your coach for a new link. If you never used it, tell your coach at once.")
	}
	return fault.New(fault.Gone, "It is too old by now. Ask your coach for a new one; nothing that you answered is lost.")
}

// enter uses the link up and signs in; a coach may choose a new password with it.
func (s *server) enter(w http.ResponseWriter, r *http.Request) error {
	f, key, err := keyedForm(r)
	if err != nil {
		return err
	}
	opened, err := s.Access.Renew(r.Context(), codeIn(r), key, f.raw("password"), access.Device(r.UserAgent()))
	if f.take(err) {
		o, err := s.Access.Offered(r.Context(), codeIn(r), access.CoachLink)
		if err != nil {
			return err
		}
		return s.showEnter(w, r, http.StatusUnprocessableEntity, o, string(key), f)
	}
	if fault.KindOf(err) == fault.Gone {
		if o, err := s.Access.Offered(r.Context(), codeIn(r), access.AthleteLink, access.CoachLink); err != nil {
			return goneWords(o, err)
		}
	}
	if err != nil {
		return noLonger(r, err)
	}
	if err := s.signedIn(w, r, opened); err != nil {
		return err
	}
	s.redirect(w, r, "/")
	return nil
}

func (s *server) showEnter(w http.ResponseWriter, r *http.Request, status int, o access.Offer, key string, f *form) error {
	v := page.Landing{
		Plain: s.plain(r, "Welcome"), Name: o.Name, Club: o.Club.Name, Action: r.URL.Path, Key: key,
		Coach: o.Purpose == access.CoachLink, Errors: f.errors(),
	}
	v.Plain.Demo = o.Club.Demo
	if who := visitorOf(r); who.IsCoach() && o.Purpose == access.AthleteLink {
		v.Plain.Notice = part.Notice{Warn: true, Text: "You are signed in here as a coach. Going on signs this browser in as " + o.Name + " and uses the link up."}
	}
	return s.page(w, r, status, page.LandingPage(v))
}

// setUpPage is where the link of a first start leads.
func (s *server) setUpPage(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.Access.Look(r.Context(), codeIn(r), access.SetUp); err != nil {
		return err
	}
	return s.showSetUp(w, r, http.StatusOK, &form{})
}

func (s *server) showSetUp(w http.ResponseWriter, r *http.Request, status int, f *form) error {
	return s.page(w, r, status, page.SetUpPage(page.SetUp{
		Plain: s.plain(r, "Set up your club"), Action: r.URL.Path, Club: f.text("club"), Zone: f.text("zone"), Zones: zones(),
		Name: f.text("name"), Email: f.text("email"), Errors: f.errors(), Mistakes: f.mistakes(doorLabels()),
	}))
}

// doorLabels name the fields of the forms for newcomers as their pages do.
func doorLabels() map[string]string {
	return map[string]string{"club": "Club", "zone": "Time zone", "name": "Your name", "email": "E-mail", "password": "Password"}
}

// setUp names the club and its first coach.
func (s *server) setUp(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	o, err := s.Access.Found(r.Context(), codeIn(r), roster.Club{Name: f.text("club"), Zone: f.text("zone")}, newcomerFrom(f), access.Device(r.UserAgent()))
	switch {
	case f.take(err):
		return s.showSetUp(w, r, http.StatusUnprocessableEntity, f)
	case err != nil:
		return err
	}
	if err := s.signedIn(w, r, o); err != nil {
		return err
	}
	s.redirect(w, r, "/roster")
	return nil
}

// joinPage is where the invitation of a coach or a deputy leads.
func (s *server) joinPage(w http.ResponseWriter, r *http.Request) error {
	o, err := s.Access.Offered(r.Context(), codeIn(r), access.CoachInvite, access.DeputyInvite)
	if err != nil {
		return err
	}
	return s.showJoin(w, r, http.StatusOK, o, &form{})
}

func (s *server) showJoin(w http.ResponseWriter, r *http.Request, status int, o access.Offer, f *form) error {
	v := page.Join{
		Plain: s.plain(r, "Join "+o.Club.Name), Action: r.URL.Path, Club: o.Club.Name, Deputy: o.Purpose == access.DeputyInvite,
		Name: f.text("name"), Email: f.text("email"), Errors: f.errors(), Mistakes: f.mistakes(doorLabels()),
	}
	v.Plain.Demo = o.Club.Demo
	return s.page(w, r, status, page.JoinPage(v))
}

// join makes a coach or a deputy of whoever was invited.
func (s *server) join(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	o, err := s.Access.Join(r.Context(), codeIn(r), newcomerFrom(f), access.Device(r.UserAgent()))
	switch {
	case f.take(err):
		o, err := s.Access.Offered(r.Context(), codeIn(r), access.CoachInvite, access.DeputyInvite)
		if err != nil {
			return err
		}
		return s.showJoin(w, r, http.StatusUnprocessableEntity, o, f)
	case err != nil:
		return err
	}
	if err := s.signedIn(w, r, o); err != nil {
		return err
	}
	s.redirect(w, r, "/roster")
	return nil
}

func newcomerFrom(f *form) access.Newcomer {
	return access.Newcomer{Name: f.text("name"), Email: f.text("email"), Password: f.raw("password")}
}
