package httpd

import (
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"time"
)

// How much of a request's body is taken, in bytes.
const (
	mostBody = 1 << 20
	mostFile = 12 << 20 // of a recording: half a day of samples in the wordiest format
	mostText = 1 << 10  // of a field beside a file
	// A browser reads no answer before it has sent everything, so what is too large
	// is read through and thrown away, up to here.
	mostThrough = 4 * mostFile
)

// uploadWithin bounds the work on a request with a file, sending included: 12 MiB
// over a line of one megabit a second.
const uploadWithin = 2 * time.Minute

// limitBody lets nothing read more of a body than the route takes. What says
// itself that it is longer is refused unread: the connection ends after the answer.
func limitBody(line route, w http.ResponseWriter, r *http.Request) error {
	most := int64(mostBody)
	if line.uploads() {
		most = mostThrough
	}
	r.Body = http.MaxBytesReader(w, r.Body, most)
	if r.ContentLength <= most {
		return nil
	}
	w.Header().Set("Connection", "close")
	if line.uploads() {
		return nil // its form says so
	}
	return &http.MaxBytesError{Limit: most}
}

// longer gives a connection more time than others have to send a body and to be
// answered. Where that cannot be set, as in tests, there is no limit either.
func longer(w http.ResponseWriter, now time.Time, within time.Duration) {
	control, until := http.NewResponseController(w), now.Add(within)
	_ = control.SetReadDeadline(until)
	_ = control.SetWriteDeadline(until.Add(answerWithin))
}

// tooLargeWords say what is wrong with a file.
const tooLargeWords = "the file is larger than 12 MiB; an hour’s recording is far smaller, so this may be another kind of file"

// uploaded reads a form with a file. Faults of the file stand at file, and status
// is 413 where it is too large; nothing is written to the disk.
func uploaded(r *http.Request) (body []byte, f *form, status int, err error) {
	f, status = &form{values: url.Values{}}, http.StatusUnprocessableEntity
	if r.ContentLength > mostThrough {
		f.wrong("file", tooLargeWords)
		return nil, f, http.StatusRequestEntityTooLarge, nil
	}
	parts, err := r.MultipartReader()
	for err == nil {
		var p *multipart.Part
		if p, err = parts.NextPart(); err != nil {
			break
		}
		var taken []byte
		if p.FormName() == "file" {
			taken, err = takePart(p, mostFile)
			body = taken
		} else {
			taken, err = takePart(p, mostText)
			f.values.Add(p.FormName(), string(taken))
		}
	}
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		f.wrong("file", tooLargeWords)
		return nil, f, http.StatusRequestEntityTooLarge, nil
	case err == io.EOF, errors.Is(err, http.ErrNotMultipart): //nolint:errorlint // an end inside a part comes wrapped, and is none
		if len(body) == 0 {
			f.wrong("file", "please choose a file; an empty one holds nothing")
		}
		return body, f, status, nil
	}
	return nil, f, status, damaged(err)
}

// takePart reads a part of a form whole, and through to its end where it is
// longer than it may be.
func takePart(p *multipart.Part, most int64) ([]byte, error) {
	taken, err := io.ReadAll(io.LimitReader(p, most+1))
	if err == nil && int64(len(taken)) > most {
		_, err = io.Copy(io.Discard, p)
		if err == nil {
			err = &http.MaxBytesError{Limit: most}
		}
	}
	return taken, err
}
