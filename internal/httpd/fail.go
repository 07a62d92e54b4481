package httpd

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/url"
	"strings"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/web/part"
)

// failure is an error as a person meets it.
type failure struct {
	status int
	title  string
	text   string // what happened and what to do; a use case's own words come first
	level  slog.Level
	back   part.Link // where to go on; zero: the front door
}

// fail answers an error: a status, a page (or JSON, where that was asked for) and one
// line in the log with the reference that the page shows. What nobody classified says nothing of the
// inside.
func (s *server) fail(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, errSignedOut) && r.Method == http.MethodGet && !wantsJSON(r) {
		s.redirect(w, r, "/sign-in?next="+url.QueryEscape(r.URL.RequestURI()))
		return
	}
	f := failureOf(err)
	if own := fault.MessageOf(err); own != "" {
		f.text = own
	}
	s.logFailure(r, f, err)
	if begun := askedOf(r.Context()).begun; begun != nil && begun() {
		panic(http.ErrAbortHandler) // half an answer is gone already
	}
	if wantsJSON(r) {
		s.failureJSON(w, r, f, err)
		return
	}
	s.failurePage(w, r, f)
}

// logFailure writes one line. The words of a fault that a person can mend may
// hold what was typed, so only those of faults of the program are kept.
func (s *server) logFailure(r *http.Request, f failure, err error) {
	attrs := []slog.Attr{
		slog.String("reference", askedOf(r.Context()).reference),
		slog.Int("status", f.status), slog.String("kind", fault.KindOf(err).String()),
	}
	if f.level >= slog.LevelError {
		attrs = append(attrs, slog.String("error", err.Error()))
	}
	s.Log.LogAttrs(r.Context(), f.level, "failed", attrs...)
}

// failureOf gives every error its status and words.
func failureOf(err error) failure {
	var tooLarge *http.MaxBytesError
	switch {
	case errors.As(err, &tooLarge):
		return failure{status: http.StatusRequestEntityTooLarge, title: "That is too much at once", text: "What was sent is larger than 1 MB, and nothing of it was stored.", level: slog.LevelInfo}
	case errors.Is(err, errMethod):
		return failure{status: http.StatusMethodNotAllowed, title: "This page cannot be used that way", text: "Go back and use the buttons of the page.", level: slog.LevelInfo}
	case errors.Is(err, errElsewhere):
		return failure{status: http.StatusForbidden, title: "This came from another website", text: "Nothing was changed. Open Halfhour itself and try there.", level: slog.LevelWarn}
	case errors.Is(err, errSignedOut):
		return failure{status: http.StatusUnauthorized, title: "You are signed out", text: "Nothing was stored yet. Sign in on another tab, then come back to this one: what you typed is kept here to be sent again.", level: slog.LevelInfo, back: part.Link{Href: part.SignInAt, Words: "Sign in"}}
	case errors.Is(err, context.Canceled): // the browser went away; nobody reads this
		return failure{status: http.StatusServiceUnavailable, title: "This was broken off", text: "Load the page again.", level: slog.LevelDebug}
	case errors.Is(err, context.DeadlineExceeded):
		return failureOfKind(fault.Unavailable)
	}
	return failureOfKind(fault.KindOf(err))
}

func failureOfKind(k fault.Kind) failure {
	switch k {
	case fault.Invalid:
		return failure{status: http.StatusUnprocessableEntity, title: "This cannot be taken as it is", text: "Go back and look at what was typed.", level: slog.LevelInfo}
	case fault.NotFound:
		return failure{status: http.StatusNotFound, title: "There is nothing here", text: "The address may be mistyped, or what was here has gone.", level: slog.LevelInfo}
	case fault.Forbidden:
		return failure{status: http.StatusForbidden, title: "That is not yours to do", text: "Ask an owner of the club.", level: slog.LevelInfo}
	case fault.Conflict:
		return failure{status: http.StatusConflict, title: "Somebody else changed this meanwhile", text: "Nothing of yours was stored. Go back, load the page again and look at what changed.", level: slog.LevelInfo}
	case fault.Gone:
		return failure{status: http.StatusGone, title: "This link no longer works", text: "It was used already, or it is too old. Ask for a new one.", level: slog.LevelInfo}
	case fault.TooMany:
		return failure{status: http.StatusTooManyRequests, title: "Too many attempts", text: "Wait a little, then try again.", level: slog.LevelWarn}
	case fault.Unavailable:
		return failure{status: http.StatusServiceUnavailable, title: "Halfhour cannot reach its records", text: "Nothing was stored just now. Try again in a minute; what you typed is not lost.", level: slog.LevelError}
	}
	return failure{status: http.StatusInternalServerError, title: "Something went wrong here", text: "The fault is ours, not yours. Try again; if it stays, tell whoever runs this Halfhour the reference below.", level: slog.LevelError}
}

// errStale says that a form came without the key it was given.
func errStale() error {
	return fault.New(fault.Invalid, "The page this came from is out of date, and nothing was stored. Load it again and try once more.")
}

// errElsewhere says that another site made the browser send this.
var errElsewhere = errors.New("sent from another site")

// fromElsewhere answers what the origin guard refuses.
func fromElsewhere(*server, http.ResponseWriter, *http.Request) error { return errElsewhere }

// redirect sends the browser to an address of this app: "see other", so that
// loading the page again sends nothing twice.
func (s *server) redirect(w http.ResponseWriter, r *http.Request, to string) {
	http.Redirect(w, r, localPath(to), http.StatusSeeOther)
}

// localPath keeps an address within this app: a path with its query, never
// another site's, whatever was asked for; anything else is the front door.
func localPath(to string) string {
	path, _, _ := strings.Cut(to, "?")
	if !strings.HasPrefix(path, "/") || strings.Contains(path, "//") || strings.ContainsAny(to, "\\\r\n\t\x00") {
		return "/"
	}
	u, err := url.Parse(to)
	if err != nil || u.IsAbs() || u.Host != "" || strings.Contains(u.Path, "//") {
		return "/"
	}
	return u.RequestURI()
}
