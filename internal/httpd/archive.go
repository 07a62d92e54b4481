package httpd

import (
	"bufio"
	"net/http"
	"time"
)

// downloadWithin bounds the work on an archive, sending it over a slow line included.
const downloadWithin = 15 * time.Minute

// archive sends everything that is kept of an athlete as one file: to the athlete, or
// to a coach who hands it out. It goes out as it is read; an error on the way ends the
// connection, so that the browser knows that the file is not whole.
func (s *server) archive(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	bundle, err := s.Privacy.Bundle(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "application/zip")
	h.Set("Content-Disposition", `attachment; filename="`+bundle.Name()+`"`)
	if r.Method == http.MethodHead {
		return nil
	}
	out := bufio.NewWriterSize(w, 64<<10)
	if err := bundle.WriteTo(r.Context(), out); err != nil {
		h.Del("Content-Disposition")
		return err
	}
	return out.Flush()
}
