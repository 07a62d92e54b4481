package httpd

import (
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/part"
)

// subject is whose sessions a page is about: the athlete who is signed in, or one
// whom a coach enters something for.
type subject struct {
	id   roster.AthleteID
	base string // before the addresses of the athlete's sessions; empty: the athlete is signed in
}

func subjectOf(r *http.Request) (subject, error) {
	if v := visitorOf(r); v.IsAthlete() {
		return subject{id: v.Athlete.ID}, nil
	}
	id, err := athleteIn(r)
	return subject{id: id, base: athletePath(id)}, err
}

// byCoach says whether a coach acts for the athlete.
func (b subject) byCoach() bool { return b.base != "" }

// home is the page to go back to.
func (b subject) home() string {
	if b.byCoach() {
		return b.base
	}
	return part.TodayAt
}

// log is the form for a new session of a kind.
func (b subject) log(kind string) string { return b.base + "/log?kind=" + kind }

// list is all sessions.
func (b subject) list() string { return b.base + part.MineAt }

// session is one session, with what is done to it: empty, or "/delete".
func (b subject) session(id roster.SessionID, what string) string {
	return b.base + part.MineAt + "/" + strconv.FormatInt(int64(id), 10) + what
}

// recording is the recording of a session, with what is done to it: empty, "/anew"
// or "/remove".
func (b subject) recording(id roster.SessionID, what string) string {
	return b.session(id, "/recording"+what)
}

// heart is everything known of the heart rate, with what is done there.
func (b subject) heart(what string) string { return b.base + "/heart" + what }

// talkTest is the guided talk test.
func (b subject) talkTest() string { return b.base + "/talk-test" }

// athletePath is the coach's page of an athlete.
func athletePath(id roster.AthleteID) string { return "/athletes/" + strconv.FormatInt(int64(id), 10) }

// phoneFor is the frame of a page about the subject's sessions.
func (s *server) phoneFor(r *http.Request, b subject, a *roster.Athlete, title, at string) part.Phone {
	back := ""
	if at == "" {
		back = b.list()
	}
	frame := s.phone(r, title, at, back)
	if b.byCoach() {
		frame.For, frame.Back = a.Name, b.home()
	}
	return frame
}
