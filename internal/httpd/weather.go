package httpd

import (
	"net/http"
	"time"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weather"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// Where the weather is told: by an athlete, and by a coach for the club.
const (
	weatherAt     = "/weather"
	clubWeatherAt = "/club/weather"
	callOffAt     = weatherAt + "/called-off"
)

// unchanged is said of weather that asks for nothing.
const unchanged = "Nothing about this weather changes the session."

// weatherPage is the athlete's page of the weather.
func (s *server) weatherPage(w http.ResponseWriter, r *http.Request) error {
	return s.showWeather(w, r, http.StatusOK, &form{})
}

// tellWeather takes in the weather that an athlete typed.
func (s *server) tellWeather(w http.ResponseWriter, r *http.Request) error {
	return s.takeWeather(w, r, visitorOf(r).Athlete.ID, part.TodayAt+"?said=weather", s.showWeather)
}

// clubWeatherPage is the club's weather, with advice for beginners.
func (s *server) clubWeatherPage(w http.ResponseWriter, r *http.Request) error {
	return s.showClubWeather(w, r, http.StatusOK, &form{})
}

// tellClubWeather takes in what a coach typed for the club.
func (s *server) tellClubWeather(w http.ResponseWriter, r *http.Request) error {
	return s.takeWeather(w, r, 0, clubWeatherAt+"?said=weather", s.showClubWeather)
}

// takeWeather stores what was typed, or shows the page once more with its faults.
func (s *server) takeWeather(w http.ResponseWriter, r *http.Request, athlete roster.AthleteID, next string, again func(http.ResponseWriter, *http.Request, int, *form) error) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	key := f.key()
	typed := outdoors.Typed{
		Temperature: f.text("temperature"), Humidity: f.text("humidity"), Shade: f.ticked("shade"), Place: s.placeOf(r),
	}
	if athlete == 0 {
		typed.Hour = f.clock("hour")
	}
	typed.Unread, f.faults = f.faults, nil
	_, err = s.Outdoors.Tell(r.Context(), actorOf(r), athlete, typed, key)
	if f.take(err) {
		return again(w, r, http.StatusUnprocessableEntity, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, next)
	return nil
}

func (s *server) showWeather(w http.ResponseWriter, r *http.Request, status int, f *form) error {
	a := visitorOf(r).Athlete
	v := page.WeatherPage{Phone: s.phone(r, "Weather", "", part.TodayAt), Mistakes: f.mistakes(weatherLabels)}
	o, err := s.Outdoors.Look(r.Context(), actorOf(r), a)
	if err != nil {
		return err
	}
	if v.Weather, err = s.weatherCard(r, o, a.Place(), weatherAt, f); err != nil {
		return err
	}
	v.Weather.Form.Open = true
	return s.page(w, r, status, page.WeatherOwnPage(v))
}

func (s *server) showClubWeather(w http.ResponseWriter, r *http.Request, status int, f *form) error {
	v := page.WeatherPage{Desk: s.desk(r, "Weather", part.InRoster), Mistakes: f.mistakes(weatherLabels)}
	o, err := s.Outdoors.Club(r.Context(), actorOf(r), s.placeOf(r))
	if err != nil {
		return err
	}
	if v.Weather, err = s.weatherCard(r, o, s.placeOf(r), clubWeatherAt, f); err != nil {
		return err
	}
	v.Weather.Form.Open, v.Weather.Form.AskHour, v.Weather.Form.Hour = true, true, f.text("hour")
	if o != nil {
		v.Weather.For = forBeginners(o)
	}
	return s.page(w, r, status, page.WeatherClubPage(v))
}

// forBeginners says whom the club's weather is judged for, and who is better careful.
func forBeginners(o *outdoors.Outlook) string {
	words := "For beginners. "
	if risk, err := weather.Assess(o.Air, weather.Person{AtRisk: true}); err == nil && risk.Level > o.Advice.Level {
		words += "Whoever is heavy, pregnant, takes medicine or was ill lately: " + risk.Level.String() + ". "
	}
	return words + "On the phone each athlete reads what it means for them."
}

// weatherLabels name the fields as the page does.
var weatherLabels = map[string]string{"temperature": "Temperature", "humidity": "Humidity", "hour": "Hour"}

// weatherCard lays out the weather with its form, which holds what was typed; nobody
// told any where the outlook is nil.
func (s *server) weatherCard(r *http.Request, o *outdoors.Outlook, place *time.Location, action string, f *form) (page.Weather, error) {
	key, err := s.newKey()
	if err != nil {
		return page.Weather{}, err
	}
	v := page.Weather{Form: page.WeatherForm{
		Action: action, Key: string(key), Temperature: f.text("temperature"), Humidity: f.text("humidity"), Shade: f.ticked("shade"), Errors: f.errors(),
	}}
	if typed := f.text("key"); soundKey(typed) {
		v.Form.Key = typed
	}
	if o == nil {
		return v, nil
	}
	ad := &o.Advice
	v.Now, v.Of, v.Change = airWords(o.Air), ofWords(o, datesFor(r).Clock(o.At, place), s.Now()), changeWords(ad.Level)
	v.Today, v.Why, v.NoAdvice = ad.Today(), ad.Why(), weather.NoAdvice
	if ad.Heat() {
		v.Drinking, v.Signs, v.Loud = weather.Drinking(), weather.Signs(), ad.Level > weather.Slower
	}
	if len(v.Today) == 0 {
		v.Today = []string{unchanged}
	}
	return v, nil
}

// outlookFor puts the weather onto Today, and what it does to the Start button.
func (s *server) outlookFor(r *http.Request, v *page.Today, t *entry.Today) error {
	if len(t.Plan) == 0 {
		return nil
	}
	o, err := s.Outdoors.Look(r.Context(), actorOf(r), &t.Athlete)
	if err != nil {
		return err
	}
	if v.Weather, err = s.weatherCard(r, o, t.Athlete.Place(), weatherAt, &form{}); err != nil {
		return err
	}
	if o == nil || !o.Fresh || o.Advice.Level != weather.NotToday || v.Start.Href == "" {
		return nil
	}
	v.CallOff = &page.CallOff{
		Title: "Not in this weather", Words: v.Weather.Today, Action: callOffAt, Key: v.Weather.Form.Key,
		Go: part.Link{Href: part.GoAt, Words: "I go all the same: where I go it is cooler, or indoors"},
	}
	if o.Advice.Cold == weather.TooCold {
		v.CallOff.Go.Words = "I go all the same, indoors"
	}
	v.Weather.Today, v.Start = nil, part.Link{}
	switch {
	case calledOff(t):
		v.CallOff.Action, v.CallOff.Done = "", "Called off for today."
	case t.Next > t.Date:
		v.CallOff.Action = "" // there is nothing to call off
	}
	return nil
}

// calledOff says whether a session of today was called off.
func calledOff(t *entry.Today) bool {
	for _, one := range t.Week {
		if one.Date == t.Date && one.Became() == readiness.CalledOff {
			return true
		}
	}
	return false
}

// callOff stores that today's session was called off because of the weather.
func (s *server) callOff(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	a, key := visitorOf(r).Athlete, f.key()
	if len(f.faults) > 0 {
		return fault.At(f.faults...)
	}
	o, err := s.Outdoors.Look(r.Context(), actorOf(r), a)
	if err != nil {
		return err
	}
	e := entry.Entry{Key: key, Started: s.Now(), Kind: readiness.Planned, Outcome: readiness.CalledOff, Note: "Called off because of the weather."}
	if o != nil {
		e.Note = "Called off because of the weather: " + airWords(o.Air) + "."
	}
	if _, err := s.Entry.Log(r.Context(), actorOf(r), a.ID, e); err != nil && fault.KindOf(err) != fault.Conflict {
		return err
	}
	s.redirect(w, r, part.TodayAt+"?said=called-off")
	return nil
}

// hotFor ticks “It was hot” on a fresh form where the weather of its hour says so.
func (s *server) hotFor(r *http.Request, b subject, t *entry.Today, f *form) error {
	kind := f.text("kind")
	if kind != readiness.Planned.String() && kind != readiness.Extra.String() {
		return nil
	}
	place, at := t.Athlete.Place(), s.Now()
	if minutes, given := f.clock("clock").Get(); given {
		y, m, d := t.Date.UTC().Date()
		at = time.Date(y, m, d, 0, minutes, 0, 0, place)
	}
	w, err := s.Outdoors.Hot(r.Context(), actorOf(r), b.id, at)
	if w == nil || err != nil {
		return err
	}
	f.fill("hot", "1")
	f.hotWhy = hotWords(w, datesFor(r).Clock(w.At, place))
	return nil
}
