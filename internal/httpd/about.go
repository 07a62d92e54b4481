package httpd

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// mePage is what is kept of the athlete who is signed in.
func (s *server) mePage(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	about, err := s.Privacy.About(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	v := s.aboutView(r, &about)
	v.Phone, v.Archive = s.phone(r, "About me", part.MeAt, ""), part.MeAt+"/archive"
	v.CalendarAt = ownCalendarAt
	v.Stays = "When you leave the club, everything is kept for " + monthsWords(about.Keeping.Months) + " and then erased by itself."
	if !about.Until.IsZero() {
		v.Stays = "You have not begun yet. If nothing more is heard of you, everything is erased by itself " + s.onDay(r, about.Until) + "."
	}
	has, err := s.Routine.HasRoller(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	v.Roller = page.Roller{Action: rollerAt, Has: has}
	logins, err := s.Access.Logins(r.Context(), visitorOf(r))
	if err != nil {
		return err
	}
	v.Logins = s.loginRows(r, logins, part.MeAt+"/logins/")
	coach, err := s.coachWords(r, &about.Athlete)
	if err != nil {
		return err
	}
	if coach != "" {
		v.Facts = append(v.Facts, page.Figure{Name: "Coach", Value: coach})
	}
	if v.Mails, err = s.mailsView(r, &about.Athlete); err != nil {
		return err
	}
	if about.Asked.IsZero() {
		v.EraseAt = part.MeAt + "/erase"
	} else {
		f, today := datesFor(r), s.today(r)
		v.Asked = "That was " + f.When(day.Of(about.Asked, s.placeOf(r)), today) + ". Everything about you goes for good " +
			f.When(day.Of(about.Erased, s.placeOf(r)), today) + ", or as soon as a coach does it. Until then you can take it back."
		v.KeepMe = part.MeAt + "/erase/back"
	}
	return s.page(w, r, http.StatusOK, page.MePage(v))
}

// keptPage is what is kept of an athlete, for a coach.
func (s *server) keptPage(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	return s.showKept(w, r, http.StatusOK, id, &form{})
}

func (s *server) showKept(w http.ResponseWriter, r *http.Request, status int, id roster.AthleteID, f *form) error {
	about, err := s.Privacy.About(r.Context(), actorOf(r), id)
	if err != nil {
		return err
	}
	v := s.aboutView(r, &about)
	first := firstName(v.Name)
	v.Back, v.Archive = athletePath(id), athletePath(id)+"/archive"
	v.Desk = s.desk(r, "What is kept of "+v.Name, part.InRoster)
	v.Erase = page.Erase{Action: athletePath(id) + "/erase", Typed: f.text("name"), Errors: f.errors()}
	v.Stays = first + " can ask for it under “About me”; you can do it here when " + first + " has asked you."
	if !about.Asked.IsZero() {
		v.Asked = s.askedWords(r, first, about.Asked, about.Erased)
	}
	if !about.Until.IsZero() {
		v.Stays += " " + first + " has not begun. If nothing more is heard, everything is erased by itself " + s.onDay(r, about.Until) + "."
	}
	if left := about.Athlete.LeftAt; !left.IsZero() {
		v.Stays = first + " has left. Everything is erased by itself " + s.onDay(r, about.Keeping.Until(left)) + "."
	}
	return s.page(w, r, status, page.KeptPage(v))
}

// askedWords say that somebody asked to be erased, and when it happens.
func (s *server) askedWords(r *http.Request, name string, asked, due time.Time) string {
	return name + " asked to be erased " + s.onDay(r, asked) + ". It happens by itself " + s.onDay(r, due) + "."
}

// onDay is the day of an instant where the visitor is: "on 14 April", "today".
func (s *server) onDay(r *http.Request, at time.Time) string {
	return datesFor(r).When(day.Of(at, s.placeOf(r)), s.today(r))
}

// aboutView lays out what both see.
func (s *server) aboutView(r *http.Request, about *privacy.About) page.About {
	a, f, today := &about.Athlete, datesFor(r), s.today(r)
	v, whose := page.About{Name: a.Name}, "the"
	if visitorOf(r).IsAthlete() {
		whose = "your"
	}
	fact := func(name, value string) {
		if value != "" {
			v.Facts = append(v.Facts, page.Figure{Name: name, Value: value})
		}
	}
	fact("Name", a.Name)
	fact("E-mail", a.Email)
	if a.BirthYear != 0 {
		fact("Year of birth", strconv.Itoa(a.BirthYear))
	}
	fact("Time zone", a.Zone)
	fact("Here since", f.Day(a.JoinedOn, today))
	v.Kept = keptWords(about.Counts)
	for _, c := range about.Consents {
		v.Agreed = append(v.Agreed, s.consentWords(r, &c))
	}
	months := lookMonths(about.Looks, today, whose)
	recent := min(len(months), monthsShown)
	v.Looks, v.Older = months[:recent], months[recent:]
	return v
}

// monthsShown is how many months of looks are shown at once.
const monthsShown = 3

// consentWords say what was agreed to, by whom and when, and whether it stands.
func (s *server) consentWords(r *http.Request, c *roster.Consent) string {
	what := map[roster.ConsentKind]string{
		roster.ToKeeping: "What is kept, who sees it and for how long",
		roster.ToHealth:  "That answers about health are kept, and who sees them",
		roster.IsAdult:   "Being of age",
		roster.Guardian:  "The consent of " + c.Guardian + ", parent or guardian",
	}[c.Kind]
	f, today := datesFor(r), s.today(r)
	words := what + ": agreed to " + f.When(c.On, today)
	if !c.Stands() {
		words += ", ended " + s.onDay(r, c.WithdrawnAt)
	}
	return words + "."
}

// keptTable is a table as people know what is in it.
type keptTable struct{ name, one, many string }

// keptTables are those that have words of their own, in the order of the page.
func keptTables() []keptTable {
	return []keptTable{
		{"session", "session", "sessions"},
		{"recording", "heart-rate recording", "heart-rate recordings"},
		{"measurement", "measurement of the heart", "measurements of the heart"},
		{"program", "version of your strength programme", "versions of your strength programme"},
		{"lifted", "strength session with its exercises", "strength sessions with their exercises"},
		{"kit", "line about what you have to lift with", "lines about what you have to lift with"},
		{"leave", "time away", "times away"},
		{"pin", "wish for a day of the week", "wishes for days of the week"},
		{"weather", "weather that you typed, kept for two weeks", "weathers that you typed, each kept for two weeks"},
		{"health_check", "set of answers about health", "sets of answers about health"},
		{"clearance", "clearance by a doctor", "clearances by doctors"},
		{"decision", "decision by a coach", "decisions by coaches"},
		{"note", "note by a coach", "notes by coaches"},
		{"consent", "consent", "consents"},
		{"login", "sign-in on a device, ended ones too", "sign-ins on devices, ended ones too"},
		{"code", "sign-in link that was made", "sign-in links that were made"},
		{"letter", "letter by mail, kept for 30 days", "letters by mail, each kept for 30 days"},
		{"letter_part", "passage in a letter, as it was sent", "passages in letters, as they were sent"},
		{"calendar", "calendar elsewhere", "calendars elsewhere"},
		{"calendar_address", "private address of it", "private addresses of it"},
		{"calendar_event", "session it was told of, of some weeks", "sessions it was told of, of some weeks"},
		{"look", "line about who looked", "lines about who looked"},
	}
}

// keptWords say how many rows of each table there are: "38 sessions". What nobody
// gave words to comes last, described as the database does; what is said elsewhere on
// the page is left out.
func keptWords(counts []privacy.Count) []string {
	var words []string
	rest := slices.DeleteFunc(slices.Clone(counts), func(c privacy.Count) bool { return c.Table == "athlete" || c.Table == "erasure" })
	for _, t := range keptTables() {
		rest = slices.DeleteFunc(rest, func(c privacy.Count) bool {
			if c.Table == t.name {
				words = append(words, wording.Capital(wording.Count(c.Rows, t.one, t.many)))
			}
			return c.Table == t.name
		})
	}
	for _, c := range rest {
		about := strings.TrimSuffix(c.About, ".")
		if about == "" {
			about = "of “" + c.Table + "”"
		}
		words = append(words, wording.Capital(wording.Count(c.Rows, "line", "lines"))+": "+about)
	}
	return words
}

// monthsWords are a number of months: "a month", "18 months", "two years".
func monthsWords(n int) string {
	switch {
	case n == 1:
		return "a month"
	case n == 12:
		return "a year"
	case n%12 == 0:
		return wording.Number(n/12) + " years"
	}
	return wording.Number(n) + " months"
}
