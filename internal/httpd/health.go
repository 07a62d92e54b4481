package httpd

import (
	"context"
	"io"
	"net/http"
	"time"
)

// healthz says that the process answers, nothing more.
func (s *server) healthz(w http.ResponseWriter, r *http.Request) {
	_, _ = io.WriteString(w, "ok\n")
}

// readyz says whether the database answers, so that somebody who sends people
// here knows whether to.
func (s *server) readyz(w http.ResponseWriter, r *http.Request) {
	ctx, cancel := context.WithTimeout(r.Context(), 2*time.Second)
	defer cancel()
	if err := s.Ready(ctx); err != nil {
		http.Error(w, "the database does not answer", http.StatusServiceUnavailable)
		return
	}
	_, _ = io.WriteString(w, "ready\n")
}
