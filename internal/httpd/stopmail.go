package httpd

import (
	"errors"
	"io"
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	letters "halfhour.app/halfhour/internal/post" // post is a method here
	"halfhour.app/halfhour/web/page"
)

// stopAt stops letters without signing in. The secret is that of whoever got one.
const stopAt = "/letters/stop/{secret}"

// stopPage says which letters the address stops, with a button. Opening it changes
// nothing: mail programs and those who watch over mail open addresses too.
func (s *server) stopPage(w http.ResponseWriter, r *http.Request) error {
	at, err := s.Post.Stoppable(r.Context(), chi.URLParam(r, "secret"), r.URL.Query().Get("of"))
	if err != nil {
		return err
	}
	v := stopWords(&at)
	v.Plain, v.Action = s.plain(r, v.Title), r.URL.Path+"?of="+letters.OfKind(at.Kind)
	return s.page(w, r, http.StatusOK, page.StopMailPage(v))
}

// stopMail stops the letters, or lets them come again. Beside the page's own form it
// takes the one that mail programs send when their button is pressed, which answers at
// once and leads nowhere (RFC 8058).
func (s *server) stopMail(w http.ResponseWriter, r *http.Request) error {
	f, err := formInParts(r)
	if err != nil {
		return err
	}
	pressed, do := f.text("List-Unsubscribe") == "One-Click", f.text("do")
	if !pressed && do != "stop" && do != "back" {
		return errStale()
	}
	of := r.URL.Query().Get("of")
	if err := s.Post.Stop(r.Context(), chi.URLParam(r, "secret"), of, !pressed && do == "back"); err != nil {
		return err
	}
	if pressed {
		return s.stopPage(w, r)
	}
	s.redirect(w, r, r.URL.Path+"?of="+url.QueryEscape(of))
	return nil
}

// stopWords say what is stopped, or can be. They name the club and nobody in it.
func stopWords(at *letters.Stoppable) page.StopMail {
	club := at.Club.Name
	what := map[letters.Kind][3]string{
		letters.Weekly:  {"the weekly letter", "A letter each week says how the athletes of " + club + " are getting on.", ""},
		letters.AtOnce:  {"letters about warning signs", "When an athlete of " + club + " tells of a warning sign, or of pain that stops running, a letter says so at once.", "The roster shows it all the same. Somebody should look there every day."},
		letters.Decided: {"mail about decisions", "When a coach of " + club + " decides how your training goes on, a letter says so.", "Halfhour shows you the same under Today."},
		letters.Monday:  {"the Monday note", "On Mondays a note says which sessions the week brings at " + club + ".", "Halfhour shows you the same under Today."},
		letters.Gentle:  {"words after a quiet while", "When nothing was heard of you for a while, " + club + " sends you a word.", ""},
	}[at.Kind]
	if at.On {
		return page.StopMail{Title: "Stop " + what[0] + "?", Words: what[1], More: what[2], Do: "stop", Button: "Stop " + what[0]}
	}
	return page.StopMail{
		Title: "No more of these", Words: "You get no " + without(what[0]) + " from " + club + " any more.", More: what[2],
		Do: "back", Button: "Let them come again", Stopped: true,
	}
}

// without is what somebody gets none of.
func without(what string) string {
	if len(what) > 4 && what[:4] == "the " {
		return what[4:]
	}
	return what
}

// formInParts reads a form in either of the two ways that forms are sent.
func formInParts(r *http.Request) (*form, error) {
	parts, err := r.MultipartReader()
	if errors.Is(err, http.ErrNotMultipart) {
		return formOf(r)
	}
	f := &form{values: url.Values{}}
	for err == nil {
		p, ended := parts.NextPart()
		if ended == io.EOF { // an end inside a part comes wrapped, and is none
			return f, nil
		}
		var taken []byte
		if err = ended; err == nil {
			taken, err = takePart(p, mostText)
		}
		if err == nil {
			f.values.Add(p.FormName(), string(taken))
		}
	}
	if errors.As(err, new(*http.MaxBytesError)) {
		return nil, err
	}
	return nil, damaged(err)
}
