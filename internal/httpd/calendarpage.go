package httpd

import (
	"net/http"
	"strings"

	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// calendarPage says whether there is an address of the own calendar.
func (s *server) calendarPage(w http.ResponseWriter, r *http.Request) error {
	return s.showCalendar(w, r, nil)
}

// makeCalendar makes an address, and shows it this once in answer to the form itself.
// The key of the form is what becomes the secret, so that the form sent twice makes
// one address.
func (s *server) makeCalendar(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	secret := calendar.Secret(f.text("key"))
	if !secret.Sound() {
		return errStale()
	}
	if err := s.Calendar.Make(r.Context(), actorOf(r), secret); err != nil {
		return err
	}
	rest := strings.TrimPrefix(strings.TrimPrefix(s.origin(r), "https:"), "http:") + calendarAt + "/" + string(secret) + ".ics"
	shown := page.Address{Text: s.origin(r) + calendarAt + "/" + string(secret) + ".ics", Webcal: "webcal:" + rest}
	side, path, err := qrCode(shown.Webcal)
	if err != nil {
		return err
	}
	shown.QR = part.QR{Side: side, Path: path, Label: "Code that subscribes to your calendar"}
	return s.showCalendar(w, r, &shown)
}

// endCalendar takes the address away.
func (s *server) endCalendar(w http.ResponseWriter, r *http.Request) error {
	if err := s.Calendar.End(r.Context(), actorOf(r)); err != nil {
		return err
	}
	at := ownCalendarAt
	if visitorOf(r).IsCoach() {
		at = clubCalendarAt
	}
	s.redirect(w, r, at+"?said=calendar-ended")
	return nil
}

func (s *server) showCalendar(w http.ResponseWriter, r *http.Request, shown *page.Address) error {
	there, err := s.Calendar.Mine(r.Context(), actorOf(r))
	if err != nil {
		return err
	}
	secret, err := s.Calendar.Fresh()
	if err != nil {
		return err
	}
	v := page.Calendar{
		Lead:  "Your sessions in the calendar of your phone or computer, beside everything else you have on.",
		Shown: shown, Key: string(secret), There: s.addressWords(r, there),
	}
	if visitorOf(r).IsCoach() {
		v.Action, v.End, v.Back = clubCalendarAt, clubCalendarAt+"/end", part.Link{Href: part.ClubAt, Words: "Back to the club"}
		v.Lead = "Who trains when, in the calendar of your phone or computer."
		v.Holds = []string{
			"For each day and part of it, who trains: whom you see here, and nobody else.",
			"Initials; names only where your weekly letter may tell names.",
			"Two weeks back and four ahead, and where to look further.",
			"Nothing of anybody’s health, and no reasons why somebody is away.",
		}
		return s.page(w, r, http.StatusOK, page.ClubCalendarPage(page.ClubCalendar{Desk: s.desk(r, "My calendar elsewhere", part.InClub), Calendar: v}))
	}
	v.Action, v.End, v.Back = ownCalendarAt, ownCalendarAt+"/end", part.Link{Href: part.MeAt, Words: "Back to About me"}
	v.Holds = []string{
		"Your sessions of two weeks back and four ahead, each with how long it takes with warm-up and cool-down.",
		"A session that moves is moved there too; one that is called off is struck out.",
		"Nothing of your health, and no reason why there are no sessions.",
	}
	return s.page(w, r, http.StatusOK, page.OwnCalendarPage(page.OwnCalendar{Phone: s.phone(r, "My calendar elsewhere", "", part.MeAt), Calendar: v}))
}

// addressWords say since when there is an address; empty where there is none.
func (s *server) addressWords(r *http.Request, there calendar.Address) string {
	if there.MadeAt.IsZero() {
		return ""
	}
	f, today := datesFor(r), s.today(r)
	words := "There is one, made " + f.When(day.Of(there.MadeAt, s.placeOf(r)), today) + "; "
	if there.FetchedOn == 0 {
		return words + "no calendar program has looked yet."
	}
	return words + "a calendar program looked last " + f.When(there.FetchedOn, today) + "."
}
