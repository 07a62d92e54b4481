package httpd

import (
	"net/http"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// showResult shows what the answers come to, and what happens next.
func (s *server) showResult(w http.ResponseWriter, r *http.Request, j joiner) error {
	d := datesFor(r)
	v := page.JoiningResult{
		Title: "Nothing speaks against beginning", Words: []string{"Thank you, " + firstName(j.Athlete.Name) + ". Your answers are with your coach."},
		Heart: heartReasons(j.Result.Heart), Cautions: j.Result.Cautions, Waiting: waitingWords(j),
		Answers: []part.Link{
			{Href: j.joining(j.Sections[0].ID), Words: "Look through my answers, or change them"},
			{Href: j.joining("consent"), Words: "What I agreed to"},
		},
	}
	switch {
	case j.Open:
		s.adviseAgainst(&v, j)
	case j.Walk != nil:
		v.Walked = "Your first walk " + d.When(j.Walk.Date, j.Today) + " is with your coach too."
	case j.Athlete.Arrival == roster.Answered:
		v.Walk = part.Link{Href: j.joining("walk"), Words: "I would like to walk"}
	}
	v.Phone = s.joiningPhone(r, j, v.Title, "")
	v.Phone.At = part.TodayAt
	return s.page(w, r, http.StatusOK, page.JoiningResultPage(v))
}

// adviseAgainst says that a doctor is asked first: why, whom, and what follows.
func (s *server) adviseAgainst(v *page.JoiningResult, j joiner) {
	v.Title = "Please ask a doctor first"
	v.Words = []string{"Thank you, " + firstName(j.Athlete.Name) + ". It is a question, not a verdict: somebody who can judge it should look first."}
	words := []string{"Nothing is prescribed to you until your coach has noted that a doctor agreed."}
	if j.Result.Advice == screening.StopAndClearance {
		words = append([]string{"Please stop training for now, what you do on your own as well, until a doctor has looked at it."}, words...)
	}
	v.Stop = &page.Stop{Kind: "referred", Title: "No session yet", Words: words}
	v.Why = j.why()
	v.Whom = []string{
		"Your family doctor, or whoever treats what you told of. Take the page below along: it says what is planned, and asks what we need to know.",
	}
	if j.Check != nil && !screening.Answers(j.Check.Answers).Has(screening.Signs, screening.None) {
		v.Whom = append(v.Whom, "If you feel one of these signs now: stop, sit down, and call the local emergency number.")
	}
	v.Paper = j.joining("paper")
}

// why are the reasons of the advice: as they stood when the answers were handed in.
func (j joiner) why() []string {
	if len(j.Result.Why) > 0 || j.Check == nil {
		return j.Result.Why
	}
	return j.Check.Why
}

// waitingWords say what happens next.
func waitingWords(j joiner) []string {
	if j.Open {
		return []string{"Tell your coach what the doctor said, and give the page back if it was filled in. Your coach notes it, reads your answers and says where you begin."}
	}
	return []string{"Your coach reads your answers and says where you begin. That can take a day or two; your first session then stands on Today, the first page of this app."}
}

func heartReasons(h screening.Heart) []page.HeartReason {
	var reasons []page.HeartReason
	for _, reason := range h.Reasons {
		reasons = append(reasons, page.HeartReason{Why: reason.Words, Instead: reason.Instead})
	}
	return reasons
}

// paperPage is a plain page to show to the doctor. Nothing private is on it.
func (s *server) paperPage(w http.ResponseWriter, r *http.Request) error {
	j, err := s.joinerOf(r)
	if err != nil {
		return err
	}
	if !j.Open || j.Check == nil {
		return fault.New(fault.NotFound, "")
	}
	v := page.DoctorPaper{
		Name: j.Athlete.Name, Date: datesFor(r).Day(j.Today, 0), Club: clubOf(r).Name, Why: j.why(), Heart: heartReasons(j.Result.Heart),
		Intends: intentions(j), Back: j.home(),
	}
	if j.Result.Age > 0 {
		v.Born = "born in " + strconv.Itoa(j.Check.HandedOn.Year()-j.Result.Age)
	}
	if !j.byCoach() {
		v.Back = j.joining("")
	}
	v.Phone = s.joiningPhone(r, j, "For the doctor", v.Back)
	return s.page(w, r, http.StatusOK, page.DoctorPaperPage(v))
}

// intentions say what somebody is about to do, for whoever judges whether they may.
func intentions(j joiner) []string {
	return []string{
		"First walks of 15 to 30 minutes, then short runs with walks between them; over months up to 30 minutes of slow running.",
		wording.Capital(wording.Number(j.week())) + " sessions a week, at an effort of 2 to 4 of 10: so that one can still talk.",
		"The next step comes only once the one before went well. Warning signs stop the training.",
	}
}

// week is how many sessions a week suit.
func (j joiner) week() int {
	if given := j.Answers.Given(screening.Sessions); len(given) == 1 {
		if n, err := strconv.Atoi(given[0]); err == nil {
			return n
		}
	}
	return j.Athlete.SessionsAWeek
}

// walkPage is the first walk, for whoever likes.
func (s *server) walkPage(w http.ResponseWriter, r *http.Request) error {
	j, err := s.joinerOf(r)
	if err != nil {
		return err
	}
	if !j.mayWalk() {
		s.redirect(w, r, j.joining(""))
		return nil
	}
	return s.showWalk(w, r, http.StatusOK, j, &form{})
}

// mayWalk says whether a first walk is offered: the answers are in, and nothing in
// them speaks against it.
func (j joiner) mayWalk() bool {
	return j.Athlete.Arrival == roster.Answered && !j.Open && j.Walk == nil && j.Agreed
}

// walked takes in the first walk: an extra walk of ten minutes, as any other one.
func (s *server) walked(w http.ResponseWriter, r *http.Request) error {
	j, err := s.joinerOf(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	switch {
	case err != nil:
		return err
	case f.text("choice") == "skip" || j.Walk != nil:
		s.redirect(w, r, j.joining(""))
		return nil
	case !j.mayWalk():
		return fault.New(fault.Conflict, "A first walk is not asked for now. Whatever you did can be logged from Today.")
	}
	f.values.Set("kind", readiness.Extra.String())
	f.values.Set("ran", "walk")
	f.values.Set("minutes", strconv.Itoa(firstWalkMinutes))
	f.values.Set("date", j.Today.String())
	a := answersOf(f)
	a.walkTold()
	result, err := s.Entry.Log(r.Context(), actorOf(r), j.id, a.e)
	if f.take(err) {
		return s.showWalk(w, r, http.StatusUnprocessableEntity, j, f)
	}
	if err != nil {
		return err
	}
	return s.afterWalk(w, r, j, result)
}

// firstWalkMinutes is how long the first walk is (ours).
const firstWalkMinutes = 10

// walkTold asks for what the walk is there to show.
func (a *answers) walkTold() {
	missing := func(name, message string) {
		if a.text(name) == "" {
			a.e.Unread = append(a.e.Unread, fault.Field{Place: name, Message: message})
		}
	}
	missing("talk", "please choose how talking went")
	missing("effort", "please choose how hard it was")
}

// afterWalk leads on: a warning sign comes before anything else.
func (s *server) afterWalk(w http.ResponseWriter, r *http.Request, j joiner, result entry.Result) error {
	if result.Stop || result.Bone {
		s.redirect(w, r, j.session(result.ID, "/stopped"))
		return nil
	}
	s.redirect(w, r, j.joining(""))
	return nil
}

// showWalk shows the form for it.
func (s *server) showWalk(w http.ResponseWriter, r *http.Request, status int, j joiner, f *form) error {
	key := f.text("key")
	if !soundKey(key) {
		fresh, err := s.newKey()
		if err != nil {
			return err
		}
		key = string(fresh)
	}
	v := page.Joining{
		Title: "A first walk of ten minutes", Intro: []string{"It shows how easy walking is for you now. Only if you like, and only on a day on which you feel well."},
		Tips: []string{
			"Walk for ten minutes on flat ground, a little quicker than when you stroll.",
			"In the last minute, say a few sentences aloud, as on the telephone.",
			"Come back here and tell how it went.",
		},
		Action: j.joining("walk"), Key: key, Button: "Tell my coach", Skip: part.Act{Words: "Leave it out", Choice: "skip"},
		Questions: walkQuestions(f), Errors: f.errors(), Mistakes: f.mistakes(map[string]string{"talk": "Talking", "effort": "Effort"}),
	}
	v.Phone = s.joiningPhone(r, j, "A first walk", j.joining(""))
	return s.page(w, r, status, page.JoiningPage(v))
}

// walkQuestions ask how the walk went.
func walkQuestions(f *form) []page.Question {
	talk := page.Question{Name: "talk", Kind: "one", Label: "Could you talk?", Options: []page.Choice{
		{Value: "chat", Words: "I could chat"}, {Value: "sentence", Words: "A short sentence"}, {Value: "words", Words: "Only single words"},
	}}
	for i := range talk.Options {
		talk.Options[i].On = talk.Options[i].Value == f.text("talk")
	}
	signs := page.Question{
		Name: "signs", Kind: "many", Label: "Did anything alarm you?",
		Hint: "Nothing: leave this empty. If you feel one of these now, stop and call the local emergency number first.",
	}
	for _, sign := range page.CommonSigns() {
		if !sign.Bone {
			signs.Options = append(signs.Options, page.Choice{Value: sign.Value, Words: sign.Words, On: strings.Contains(","+strings.Join(f.all("signs"), ",")+",", ","+sign.Value+",")})
		}
	}
	return []page.Question{talk, {Name: "effort", Kind: "effort", Label: "How hard was it, all in all?", Options: effortOptions(f.text("effort"))}, signs}
}
