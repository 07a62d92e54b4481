package httpd

import (
	"net/http"
	"strconv"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	letters "halfhour.app/halfhour/internal/post" // post is a method here
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// wishing is what people want of letters, and see of them.
func wishing() []route {
	return []route{
		{get, part.LetterAt, coach, (*server).lettersPage},
		{post, part.LetterAt, coach, (*server).chooseLetters},
		{get, part.LetterAt + "/preview", coach, (*server).previewLetter},
		{post, part.LetterAt + "/now", coach, (*server).letterNow},
		{get, part.LetterAt + "/{sent}", coach, (*server).sentLetter},
		{get, part.LetterAt + "/{sent}/whole", coach, (*server).wholeLetter},
		{post, part.MeAt + "/letters", athlete, (*server).wishMail},
		{post, "/club/gentle", owner, (*server).setGentle},
		{get, stopAt, anybody, (*server).stopPage},
		{post, stopAt, anybody, (*server).stopMail},
	}
}

// lettersPage is what a coach wants of letters, and those that were sent.
func (s *server) lettersPage(w http.ResponseWriter, r *http.Request) error {
	return s.showLetters(w, r, http.StatusOK, nil)
}

// showLetters shows what is wanted and what was sent; change may put in what somebody
// tried.
func (s *server) showLetters(w http.ResponseWriter, r *http.Request, status int, change func(*page.Letters)) error {
	ctx, v := r.Context(), visitorOf(r)
	chosen, err := s.Post.Chosen(ctx, v.Actor())
	if err != nil {
		return err
	}
	past, err := s.Post.Past(ctx, v.Actor())
	if err != nil {
		return err
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	view := page.Letters{
		Desk: s.desk(r, "Letters to you", part.InClub), Due: s.dueWords(r, &chosen), Refused: s.ownRefusal(r), Form: letterForm(r, &chosen.Wishes, &form{}),
		Preview: page.Frame{Title: "The weekly letter as it would be now", HTML: part.LetterAt + "/preview", Plain: part.LetterAt + "/preview?as=text"},
		Now:     page.SendNow{Action: part.LetterAt + "/now", Key: string(key), To: v.Coach.Email},
	}
	view.Desk.Loads = []string{part.LetterStyle}
	for i := range past {
		view.Past = append(view.Past, s.pastRow(r, &past[i]))
	}
	if change != nil {
		change(&view)
	}
	return s.page(w, r, status, page.LettersPage(view))
}

// dueWords say when the next letter is due where the club is.
func (s *server) dueWords(r *http.Request, c *letters.Chosen) string {
	v := visitorOf(r)
	due := c.Due(v.Club.Zone, s.Now())
	switch {
	case due.IsZero():
		return "You get no weekly letter. You can ask for one whenever you like."
	case !v.Coach.MailRefused.IsZero():
		return "The weekly letter waits until your mail arrives again."
	}
	return "The next one is due " + s.atTime(r, due) + "."
}

// atTime is an instant where the visitor is: "on Sunday, 18:00".
func (s *server) atTime(r *http.Request, at time.Time) string {
	f, place := datesFor(r), s.placeOf(r)
	return f.When(day.Of(at, place), s.today(r)) + ", " + f.Clock(at, place)
}

// ownRefusal says that the coach's own mail does not arrive, and what can be done;
// empty where it does.
func (s *server) ownRefusal(r *http.Request) string {
	c := visitorOf(r).Coach
	if c.MailRefused.IsZero() {
		return ""
	}
	return "Mail to " + c.Email + " was refused " + s.onDay(r, c.MailRefused) + ", so no letter goes there by itself. If the address is right again, send yourself one below: as soon as one arrives, the others go on. " +
		"If you have another address, ask an owner to invite you under that."
}

// letterForm is what a coach chose, or tried to choose.
func letterForm(r *http.Request, w *roster.Wishes, f *form) page.LetterForm {
	v := page.LetterForm{
		Action: part.LetterAt, On: w.On, Day: strconv.Itoa(w.Day), Hour: strconv.Itoa(w.Hour), Zone: clubOf(r).Zone, NewsOnly: w.NewsOnly,
		Whose: "own", Detail: string(w.Detail), AtOnce: w.AtOnce, Errors: f.errors(),
		Mistakes: f.mistakes(map[string]string{"day": "Day", "hour": "Hour", "detail": "How much it tells"}),
	}
	if w.All {
		v.Whose = "all"
	}
	for d := range 7 {
		v.Days = append(v.Days, part.Option{Value: strconv.Itoa(d + 1), Words: time.Weekday((d + 1) % 7).String()})
	}
	dates := datesFor(r)
	for h := range 24 {
		v.Hours = append(v.Hours, part.Option{Value: strconv.Itoa(h), Words: dates.Clock(time.Date(2000, 1, 1, h, 0, 0, 0, time.UTC), time.UTC)})
	}
	return v
}

// chooseLetters keeps what a coach wants.
func (s *server) chooseLetters(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	wishes := roster.Wishes{
		On: f.ticked("letter_on"), Day: f.whole("day"), Hour: f.whole("hour"), NewsOnly: f.ticked("news_only"),
		All: f.text("whose") == "all", Detail: roster.Detail(f.text("detail")), AtOnce: f.ticked("at_once"),
	}
	if len(f.faults) == 0 {
		err = s.Post.Choose(r.Context(), actorOf(r), wishes)
	}
	if f.take(err) || len(f.faults) > 0 {
		return s.showLetters(w, r, http.StatusUnprocessableEntity, func(v *page.Letters) { v.Form = letterForm(r, &wishes, f) })
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, part.LetterAt+"?said=letters")
	return nil
}

// letterNow sends the coach a letter as things stand.
func (s *server) letterNow(w http.ResponseWriter, r *http.Request) error {
	_, key, err := keyedForm(r)
	if err != nil {
		return err
	}
	err = s.Post.WriteNow(r.Context(), actorOf(r), key)
	switch {
	case fault.KindOf(err) == fault.TooMany:
		return s.showLetters(w, r, http.StatusTooManyRequests, func(v *page.Letters) { v.Now.Wrong = fault.MessageOf(err) })
	case err != nil:
		return err
	}
	s.redirect(w, r, part.LetterAt+"?said=letter-now")
	return nil
}

// pastRow is a letter that was written before, in words.
func (s *server) pastRow(r *http.Request, p *letters.Past) page.PastLetter {
	row := page.PastLetter{Words: "Asked for " + s.atTime(r, p.MadeAt)}
	if p.Kind == letters.Weekly {
		row.Words = "The week of " + datesFor(r).Day(p.Week, s.today(r))
	}
	switch {
	case !p.SentAt.IsZero() && p.Subject != "":
		row.Note, row.Href = "sent "+s.atTime(r, p.SentAt), part.LetterAt+"/"+idText(p.ID)
	case !p.SentAt.IsZero():
		row.Note = "sent " + s.atTime(r, p.SentAt)
	case p.Dropped != "":
		row.Note = droppedWords(p.Dropped)
	default:
		row.Note = "on its way"
	}
	return row
}

// droppedWords say why a letter was not sent.
func droppedWords(why letters.Why) string {
	switch why {
	case letters.Moot:
		return "not sent: there was no news"
	case letters.Refused:
		return "not sent: the mail server refused the address"
	case letters.Late:
		return "not sent: no mail server took it in time"
	case letters.Stopped:
		return "not sent: you had stopped them"
	case letters.Nobody:
	}
	return "not sent: no address was known"
}

// mailsView is which mail the athlete wants, and where it goes.
func (s *server) mailsView(r *http.Request, a *roster.Athlete) (page.Mails, error) {
	m, err := s.Post.Mails(r.Context(), actorOf(r))
	v := page.Mails{Action: part.MeAt + "/letters", Where: "It goes to " + a.Email + ".", Decisions: m.Decisions, Monday: m.Monday, Gentle: m.Gentle}
	switch {
	case a.Email == "":
		v.Where = "No e-mail address of yours is known here, so no mail comes. If you would like some, tell your coach your address."
	case !a.MailRefused.IsZero():
		v.Warn, v.Where = true, "Mail to "+a.Email+" was refused "+s.onDay(r, a.MailRefused)+", so none comes. Tell your coach an address that works."
	}
	return v, err
}

// wishMail keeps which mail the athlete wants.
func (s *server) wishMail(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	err = s.Post.SetMails(r.Context(), actorOf(r), letters.Mails{Decisions: f.ticked("decisions"), Monday: f.ticked("monday"), Gentle: f.ticked("gentle")})
	if err != nil {
		return err
	}
	s.redirect(w, r, part.MeAt+"?said=mails")
	return nil
}

// gentleView is the way to the letters and, for owners, what the club writes after
// silence: as it is kept, or as somebody tried to change it.
func (s *server) gentleView(r *http.Request, f *form) (page.Gentle, error) {
	if !visitorOf(r).IsOwner() {
		return page.Gentle{}, nil
	}
	g, err := s.Post.GentleWord(r.Context(), clubOf(r).ID)
	v := page.Gentle{Action: "/club/gentle", On: g.On, Words: g.Text(), Errors: f.errors()}
	if v.Errors.At("gentle_words") != "" {
		v.On, v.Words = f.ticked("gentle_on"), f.raw("gentle_words")
	}
	return v, err
}

// setGentle keeps what the club writes after silence.
func (s *server) setGentle(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	err = s.Post.SetGentleWord(r.Context(), actorOf(r), letters.GentleWord{On: f.ticked("gentle_on"), Words: f.raw("gentle_words")})
	switch {
	case f.take(err):
		return s.showClub(w, r, http.StatusUnprocessableEntity, nil, f)
	case err != nil:
		return err
	}
	s.redirect(w, r, part.ClubAt+"?said=gentle")
	return nil
}

// letterNotice is about letters.
func letterNotice(said string) part.Notice {
	switch said {
	case "letters":
		return part.Notice{Text: "Kept. It holds from the next letter on."}
	case "letter-now":
		return part.Notice{Text: "A letter to you is on its way."}
	case "mails":
		return part.Notice{Text: "Kept. That is the mail you get from now on."}
	case "gentle":
		return part.Notice{Text: "Kept. It holds from the next such letter on."}
	}
	return part.Notice{}
}
