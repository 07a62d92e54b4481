package httpd

import (
	"net/http"
	"net/netip"
	"net/url"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// makeLink makes an athlete's sign-in link; the one before ends.
func (s *server) makeLink(w http.ResponseWriter, r *http.Request) error {
	a, err := s.athleteOf(r)
	if err != nil {
		return err
	}
	return s.showLink(w, r, a.ID, "A new sign-in link for "+a.Name, false)
}

// showLink makes a link and shows it this once, in answer to the form itself: for
// another page the code would have to be kept somewhere.
func (s *server) showLink(w http.ResponseWriter, r *http.Request, id roster.AthleteID, title string, more bool) error {
	a, err := s.Enrol.Athlete(r.Context(), clubOf(r).ID, id)
	if err != nil {
		return err
	}
	if !a.LeftAt.IsZero() {
		return fault.New(fault.Conflict, a.Name+" has left the club. Take "+a.Name+" in again first; then there can be a sign-in link.")
	}
	link, err := s.Access.AthleteLink(r.Context(), actorOf(r), id)
	if err != nil {
		return err
	}
	shown, err := s.signLink(r, "/in/", link, a.Name)
	if err != nil {
		return err
	}
	if shown.Mail, err = s.linkByMail(idText(id), a.Email); err != nil {
		return err
	}
	v := page.Added{Desk: s.desk(r, title, part.InRoster), Title: title, Link: *shown, Href: athletePath(id)}
	if more {
		v.More = "/athletes/new"
	}
	return s.page(w, r, http.StatusOK, page.AddedPage(v))
}

// signLink is a link as it is shown: the whole address, a code to scan, how long
// it holds.
func (s *server) signLink(r *http.Request, at string, link access.Link, whose string) (*page.SignLink, error) {
	address := s.origin(r) + at + string(link.Code)
	side, path, err := qrCode(address)
	if err != nil {
		return nil, err
	}
	until := datesFor(r).Day(day.Of(link.Expires, s.placeOf(r)), s.today(r))
	return &page.SignLink{
		Address: address, For: whose, Until: "It works once, until " + until + ".",
		Near: near(address), QR: part.QR{Side: side, Path: path, Label: "Code that opens the sign-in link of " + whose},
	}, nil
}

// near says whether an address leads to this machine and nowhere else.
func near(address string) bool {
	at, err := url.Parse(address)
	if err != nil {
		return false
	}
	ip, err := netip.ParseAddr(at.Hostname())
	return at.Hostname() == "localhost" || err == nil && ip.IsLoopback()
}

// origin is how people reach the app: as it was set, else as this coach did.
func (s *server) origin(r *http.Request) string {
	if s.BaseURL != nil {
		return s.BaseURL.Scheme + "://" + s.BaseURL.Host
	}
	return "http://" + r.Host
}
