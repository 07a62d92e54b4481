// Package httpd answers browsers: one table of routes, handlers that return
// errors, pages rendered whole before the first byte is sent. It knows the use
// cases and the pages, and nothing of the database.
package httpd

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/netip"
	"net/url"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/outdoors"
	letters "halfhour.app/halfhour/internal/post" // post is a method here
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/routine"
	"halfhour.app/halfhour/web"
)

// Deps is everything the web app stands on.
type Deps struct {
	Access   *access.Service
	Calendar *calendar.Service
	Enrol    *enrol.Service
	Entry    *entry.Service
	Days     *days.Service
	Morning  *morning.Service
	Decide   *decide.Service
	Heart    *heart.Service
	Privacy  *privacy.Service
	Post     *letters.Service
	Mail     Mail // letters that went into files; nil: they go through a mail server
	Join     *join.Service
	Outdoors *outdoors.Service
	Routine  *routine.Service
	Lift     *lift.Service

	Ready   func(context.Context) error // asks the database whether it answers
	Log     *slog.Logger
	Random  io.Reader // references, keys of forms
	Now     func() time.Time
	BaseURL *url.URL       // how people reach the app; nil: as the request says, over http
	Proxies []netip.Prefix // whose X-Forwarded-For is believed; empty: nobody's
}

// Mail is letters that went into files because no mail server is named.
type Mail interface {
	// List gives the club's newest letters, the newest first, without their text.
	List(club roster.ClubID) ([]letters.Filed, error)
	// Read gives one letter of the club, or fault.NotFound.
	Read(club roster.ClubID, name string) (letters.Filed, error)
}

// server carries out the handlers.
type server struct {
	Deps
	secure bool // people come over https
	assets *assets
}

// New makes the whole web app.
func New(d Deps) (http.Handler, error) {
	s := &server{Deps: d, secure: d.BaseURL != nil && d.BaseURL.Scheme == "https"}
	var err error
	if s.assets, err = readAssets(web.Static()); err != nil {
		return nil, err
	}
	return s.router(routes())
}
