package httpd

import (
	"context"
	"encoding/base32"
	"io"
	"log/slog"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
)

// begin gives the request its reference and, when it has been answered, writes
// one line. The line names the route's pattern, never the address: no codes of
// links, no query, nobody's name.
func (s *server) begin(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		start := s.Now()
		ww := middleware.NewWrapResponseWriter(w, r.ProtoMajor)
		a := &asked{reference: s.reference(), begun: func() bool { return ww.Status() != 0 }, status: ww.Status}
		r = r.WithContext(context.WithValue(r.Context(), askedKey{}, a))
		defer func() {
			s.Log.LogAttrs(r.Context(), slog.LevelInfo, "request",
				slog.String("reference", a.reference), slog.String("method", r.Method),
				slog.String("route", chi.RouteContext(r.Context()).RoutePattern()),
				slog.Int("status", ww.Status()), slog.Int("bytes", ww.BytesWritten()),
				slog.Duration("took", s.Now().Sub(start).Round(10*time.Microsecond)), slog.String("who", a.role()))
		}()
		next.ServeHTTP(ww, r)
	})
}

// role says in a word who asks, for the log.
func (a *asked) role() string {
	switch v := a.visitor; {
	case v.IsOwner():
		return "owner"
	case v.IsCoach():
		return "coach"
	case v.IsAthlete():
		return "athlete"
	}
	return "nobody"
}

// reference is short enough to read out on the telephone.
func (s *server) reference() string {
	var b [5]byte
	if _, err := io.ReadFull(s.Random, b[:]); err != nil {
		return "none"
	}
	return base32.StdEncoding.EncodeToString(b[:])
}

// headers says to the browser what a page may do and that nobody may keep it.
// The referrer stays on this site, so that the code of a link goes nowhere; with
// "no-referrer" browsers would send forms with the origin "null", which over
// plain http cannot be told from another site's.
func (s *server) headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=()")
		h.Set("Cache-Control", "no-store")
		if s.secure {
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		next.ServeHTTP(w, r)
	})
}

// clientIP finds the address of who asks; only trusted proxies are believed.
func (s *server) clientIP() func(http.Handler) http.Handler {
	if len(s.Proxies) == 0 {
		return middleware.ClientIPFromRemoteAddr
	}
	trusted := make([]string, len(s.Proxies))
	for i, p := range s.Proxies {
		trusted[i] = p.String()
	}
	return middleware.ClientIPFromXFF(trusted...)
}

// originGuard refuses what another site's page makes a browser send.
func (s *server) originGuard() (*http.CrossOriginProtection, error) {
	guard := http.NewCrossOriginProtection()
	guard.SetDenyHandler(s.guarded(route{may: unasked, serve: fromElsewhere}))
	if s.BaseURL == nil {
		return guard, nil
	}
	return guard, guard.AddTrustedOrigin(s.BaseURL.Scheme + "://" + s.BaseURL.Host)
}
