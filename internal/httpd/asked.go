package httpd

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// asked is what is known of a request while it is answered.
type asked struct {
	reference string          // short; in the log and on error pages
	visitor   *access.Visitor // nil: nobody is signed in
	token     access.Token    // of the visitor's login
	begun     func() bool     // whether a part of the answer is on its way; nil: no
	status    func() int      // of the answer; 0: not begun
}

type askedKey struct{}

// askedOf is never nil: begin puts it there before anything else.
func askedOf(ctx context.Context) *asked {
	if a, ok := ctx.Value(askedKey{}).(*asked); ok {
		return a
	}
	return &asked{}
}

// visitorOf is who asks; nil where nobody is signed in, which cannot be in
// handlers for athletes, coaches and owners.
func visitorOf(r *http.Request) *access.Visitor { return askedOf(r.Context()).visitor }

// actorOf is who makes the change.
func actorOf(r *http.Request) roster.Actor { return visitorOf(r).Actor() }

// clubOf is the club of who asks.
func clubOf(r *http.Request) roster.Club { return visitorOf(r).Club }

// today is the civil date where the visitor is: an athlete's own zone, a coach's
// that of the club.
func (s *server) today(r *http.Request) day.Date {
	return day.Of(s.Now(), s.placeOf(r))
}

// placeOf is the time zone of the visitor: an athlete's own, a coach's that of
// the club.
func (s *server) placeOf(r *http.Request) *time.Location {
	v := visitorOf(r)
	if v.Athlete != nil {
		return v.Athlete.Place()
	}
	return v.Club.Place()
}

// idIn reads an ID out of the address; anything but a positive number names
// nothing that could exist.
func idIn[T ~int64](r *http.Request, name string) (T, error) {
	n, err := strconv.ParseInt(chi.URLParam(r, name), 10, 64)
	if err != nil || n < 1 {
		return 0, fault.New(fault.NotFound, "")
	}
	return T(n), nil
}

// idText writes an ID as it stands in addresses.
func idText[T ~int64](id T) string { return strconv.FormatInt(int64(id), 10) }

// athleteIn is the athlete named in the address.
func athleteIn(r *http.Request) (roster.AthleteID, error) {
	return idIn[roster.AthleteID](r, "athlete")
}
