package httpd

import (
	"net/http"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// addressAt is where a coach's own e-mail address is changed.
const addressAt = part.ClubAt + "/address"

// address is how a coach changes the own e-mail address.
func address() []route {
	return []route{
		{post, addressAt, coach, (*server).askAddress},
		{post, addressAt + "/seen", coach, (*server).sawAddress},
		{get, addressAt + "/{code}", coach, (*server).addressPage},
		{post, addressAt + "/{code}", coach, (*server).changeAddress},
	}
}

// askAddress sends a letter to the new address; nothing changes before the link in it
// was used.
func (s *server) askAddress(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	key := f.key()
	if len(f.faults) > 0 {
		return errStale()
	}
	err = s.Access.MayChangeAddress(r.Context(), visitorOf(r), f.text("email"))
	if err == nil {
		err = s.Post.NewAddress(r.Context(), actorOf(r), f.text("email"), key)
	}
	status := http.StatusUnprocessableEntity
	switch {
	case err == nil:
		s.redirect(w, r, part.ClubAt+"?said=address-asked")
		return nil
	case fault.KindOf(err) == fault.TooMany:
		f.wrong("email", fault.MessageOf(err))
		status = http.StatusTooManyRequests
	case !f.take(err):
		return err
	}
	return s.showClub(w, r, status, nil, &form{}, func(v *page.Club) {
		v.Address.Email, v.Address.Error = f.text("email"), sentence(f.faultAt("email"))
	})
}

// addressForm is the form for that.
func (s *server) addressForm(v *access.Visitor) (page.AddressForm, error) {
	key, err := s.newKey()
	return page.AddressForm{Action: addressAt, Key: string(key), Now: v.Coach.Email, Prove: s.proveFirst(v), Files: s.Mail != nil}, err
}

// addressPage is where the link in the letter leads. Opening it changes nothing.
func (s *server) addressPage(w http.ResponseWriter, r *http.Request) error {
	v := visitorOf(r)
	email, err := s.Access.NewAddress(r.Context(), v, codeIn(r))
	if err != nil {
		return err
	}
	return s.page(w, r, http.StatusOK, page.AddressPage(page.NewAddress{
		Desk: s.desk(r, "Your e-mail address", part.InClub), Now: v.Coach.Email, New: email, Action: r.URL.Path, Back: part.ClubAt,
	}))
}

// changeAddress makes the new address the one to sign in with.
func (s *server) changeAddress(w http.ResponseWriter, r *http.Request) error {
	if err := s.Access.ChangeAddress(r.Context(), visitorOf(r), codeIn(r)); err != nil {
		return err
	}
	s.redirect(w, r, part.ClubAt+"?said=address-changed")
	return nil
}

// sawAddress says that a change which another login tells of was one's own.
func (s *server) sawAddress(w http.ResponseWriter, r *http.Request) error {
	if err := s.Access.SawAddress(r.Context(), visitorOf(r)); err != nil {
		return err
	}
	s.redirect(w, r, part.RosterAt)
	return nil
}

// addressNews says that the address was changed on another login.
func (s *server) addressNews(r *http.Request) page.AddressNews {
	v := visitorOf(r)
	if !s.Access.AddressNews(v) {
		return page.AddressNews{}
	}
	place, f := s.placeOf(r), datesFor(r)
	return page.AddressNews{
		Words: "Your e-mail address was changed to " + v.Coach.Email + ", " + f.Near(day.Of(v.Coach.EmailAt, place), s.today(r)) + " " + f.Clock(v.Coach.EmailAt, place) + ".",
		Seen:  addressAt + "/seen", Club: part.ClubAt,
	}
}
