package httpd

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/url"
	"strings"

	"github.com/go-chi/chi/v5/middleware"

	"halfhour.app/halfhour/internal/fault"
)

// failure is an error as a person meets it.
type failure struct {
	status int
	title  string
	text   string // what happened and what to do; a use case's own words come first
	level  slog.Level
}

// fail answers an error: a status, a page and one line in the log with the
// reference that the page shows. What nobody classified says nothing of the
// inside.
func (s *server) fail(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, errSignedOut) && r.Method == http.MethodGet {
		s.redirect(w, r, "/sign-in?next="+url.QueryEscape(r.URL.RequestURI()))
		return
	}
	f := failureOf(err)
	if own := fault.MessageOf(err); own != "" {
		f.text = own
	}
	s.logFailure(r, f, err)
	if ww, ok := w.(middleware.WrapResponseWriter); ok && ww.Status() != 0 {
		panic(http.ErrAbortHandler) // half an answer is gone already
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
		return failure{http.StatusRequestEntityTooLarge, "That is too much at once", "What was sent is larger than 1 MB, and nothing of it was stored.", slog.LevelInfo}
	case errors.Is(err, errMethod):
		return failure{http.StatusMethodNotAllowed, "This page cannot be used that way", "Go back and use the buttons of the page.", slog.LevelInfo}
	case errors.Is(err, errElsewhere):
		return failure{http.StatusForbidden, "This came from another website", "Nothing was changed. Open Halfhour itself and try there.", slog.LevelWarn}
	case errors.Is(err, errSignedOut):
		return failure{http.StatusUnauthorized, "You are signed out", "Nothing was stored yet. Sign in on another tab, then come back to this one and send it again.", slog.LevelInfo}
	case errors.Is(err, context.Canceled): // the browser went away; nobody reads this
		return failure{http.StatusServiceUnavailable, "This was broken off", "Load the page again.", slog.LevelDebug}
	case errors.Is(err, context.DeadlineExceeded):
		return failureOfKind(fault.Unavailable)
	}
	return failureOfKind(fault.KindOf(err))
}

func failureOfKind(k fault.Kind) failure {
	switch k {
	case fault.Invalid:
		return failure{http.StatusUnprocessableEntity, "This cannot be taken as it is", "Go back and look at what was typed.", slog.LevelInfo}
	case fault.NotFound:
		return failure{http.StatusNotFound, "There is nothing here", "The address may be mistyped, or what was here has gone.", slog.LevelInfo}
	case fault.Forbidden:
		return failure{http.StatusForbidden, "That is not yours to do", "Ask an owner of the club.", slog.LevelInfo}
	case fault.Conflict:
		return failure{http.StatusConflict, "Somebody else changed this meanwhile", "Nothing of yours was stored. Go back, load the page again and look at what changed.", slog.LevelInfo}
	case fault.Gone:
		return failure{http.StatusGone, "This link no longer works", "It was used already, or it is too old. Ask for a new one.", slog.LevelInfo}
	case fault.TooMany:
		return failure{http.StatusTooManyRequests, "Too many attempts", "Wait a little, then try again.", slog.LevelWarn}
	case fault.Unavailable:
		return failure{http.StatusServiceUnavailable, "Halfhour cannot reach its records", "Nothing was stored just now. Try again in a minute; what you typed is still on the page before.", slog.LevelError}
	}
	return failure{http.StatusInternalServerError, "Something went wrong here", "The fault is ours, not yours. Try again; if it stays, tell whoever runs this Halfhour the reference below.", slog.LevelError}
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
