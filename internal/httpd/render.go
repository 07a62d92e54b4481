package httpd

import (
	"bytes"
	"net/http"
	"strconv"

	"github.com/a-h/templ"
)

// page renders the component whole, then writes it in one go: an error on the
// way leaves nothing half sent.
func (s *server) page(w http.ResponseWriter, r *http.Request, status int, c templ.Component) error {
	var buf bytes.Buffer
	if err := c.Render(r.Context(), &buf); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Length", strconv.Itoa(buf.Len()))
	w.WriteHeader(status)
	_, err := w.Write(buf.Bytes())
	if err != nil {
		s.Log.DebugContext(r.Context(), "the browser went away", "reference", askedOf(r.Context()).reference)
	}
	return nil
}
