package httpd

import (
	"net/http"
	"strconv"
	"strings"

	letters "halfhour.app/halfhour/internal/post" // post is a method here
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// framedPolicy is what a letter may do inside a page of ours: look as its own styles
// say, and lead elsewhere when somebody follows a link. Nothing is loaded, nothing runs,
// nothing is sent, and nobody else frames it.
const framedPolicy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'; sandbox allow-top-navigation-by-user-activation"

// previewLetter is the letter that would be written now, for the frame of the page.
func (s *server) previewLetter(w http.ResponseWriter, r *http.Request) error {
	c, err := s.Post.Preview(r.Context(), actorOf(r))
	if err != nil {
		return err
	}
	return writeFramed(w, r, c)
}

// wholeLetter is a letter as it was sent, for the frame of the page.
func (s *server) wholeLetter(w http.ResponseWriter, r *http.Request) error {
	_, c, err := s.letterIn(r)
	if err != nil {
		return err
	}
	return writeFramed(w, r, &c)
}

// letterIn is the letter to the coach whom the address names.
func (s *server) letterIn(r *http.Request) (letters.Past, letters.Content, error) {
	id, err := idIn[roster.LetterID](r, "sent")
	if err != nil {
		return letters.Past{}, letters.Content{}, err
	}
	return s.Post.SentLetter(r.Context(), actorOf(r), id)
}

// sentLetter shows a letter as it was sent.
func (s *server) sentLetter(w http.ResponseWriter, r *http.Request) error {
	p, c, err := s.letterIn(r)
	if err != nil {
		return err
	}
	at := part.LetterAt + "/" + idText(p.ID) + "/whole"
	v := page.SentLetter{
		Desk: s.desk(r, p.Subject, part.InClub), Subject: p.Subject, Sent: "Sent " + s.atTime(r, p.SentAt) + ".", Back: part.LetterAt,
		Letter: page.Frame{Title: "The letter as it was sent", HTML: at, Plain: at + "?as=text"},
	}
	v.Desk.Loads = []string{part.LetterStyle}
	if len(c.Parts) < p.Parts {
		v.Gone = "It told of somebody who was erased since. That is gone from it; the counts are as they were."
	}
	return s.page(w, r, http.StatusOK, page.SentLetterPage(v))
}

// writeFramed answers with a letter as it is, or with its plain text. What is followed
// in it opens in place of the whole page: pages of ours are in no frame.
func writeFramed(w http.ResponseWriter, r *http.Request, c *letters.Content) error {
	h := w.Header()
	h.Set("Content-Security-Policy", framedPolicy)
	h.Set("X-Frame-Options", "SAMEORIGIN")
	body, kind := c.Plain(), "text/plain; charset=utf-8"
	if r.URL.Query().Get("as") != "text" {
		body, kind = strings.Replace(c.HTML(), "<head>", `<head><base target="_top">`, 1), "text/html; charset=utf-8"
	}
	h.Set("Content-Type", kind)
	h.Set("Content-Length", strconv.Itoa(len(body)))
	_, err := w.Write([]byte(body))
	return err
}
