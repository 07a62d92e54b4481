package outdoors_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/internal/testing/fake"
	"halfhour.app/halfhour/internal/weather"
)

// scene is a club with an athlete and a clock that the test sets: 14 July 2026, two in
// the afternoon in Lisbon.
type scene struct {
	*outdoors.Service
	t          *testing.T
	store      *fake.Store
	now        time.Time
	ana        roster.Athlete
	own, coach roster.Actor
	place      *time.Location
	keys       int
}

func newScene(t *testing.T) *scene {
	t.Helper()
	s := &scene{t: t, store: fake.New(), now: time.Date(2026, time.July, 14, 13, 0, 0, 0, time.UTC)}
	club, owner := s.store.Begin("Harbour", "mara@example.org", "hash")
	s.ana = s.store.Runner(club.ID, "Ana")
	s.own, s.coach = roster.Actor{Club: club.ID, Athlete: s.ana.ID}, roster.Actor{Club: club.ID, Coach: owner.ID}
	s.Service = &outdoors.Service{Store: s.store, Now: func() time.Time { return s.now }}
	place, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	s.place = place
	return s
}

// tell types weather, for the athlete or for the club.
func (s *scene) tell(who roster.Actor, temperature string, hour ...int) {
	s.t.Helper()
	s.keys++
	typed := outdoors.Typed{Temperature: temperature, Humidity: "50", Place: s.place}
	if len(hour) > 0 {
		typed.Hour = readiness.Some(60 * hour[0])
	}
	_, err := s.Tell(s.t.Context(), who, who.Athlete, typed, roster.Key("key-of-weather-"+string(rune('a'+s.keys))))
	require.NoError(s.t, err)
}

func (s *scene) look() *outdoors.Outlook {
	s.t.Helper()
	o, err := s.Look(s.t.Context(), s.own, &s.ana)
	require.NoError(s.t, err)
	return o
}

func TestWhichWeatherIsShown(t *testing.T) {
	s := newScene(t)
	require.Nil(t, s.look(), "nobody told any")
	s.tell(s.coach, "31")
	require.Equal(t, 310, s.look().Tenths, "the club's")
	require.True(t, s.look().Fresh)
	s.tell(s.own, "24,5")
	require.Equal(t, 245, s.look().Tenths, "the own comes before it")
	s.tell(s.coach, "33")
	require.Equal(t, 245, s.look().Tenths, "also before a later one of the club")
	s.now = s.now.Add(outdoors.FreshFor)
	require.True(t, s.look().Fresh, "six hours later")
	s.now = s.now.Add(time.Minute)
	require.False(t, s.look().Fresh, "and then it is said of when it is")
	require.Equal(t, 330, s.look().Tenths, "that which was told last")
	s.now = time.Date(2026, time.July, 15, 1, 0, 0, 0, s.place)
	require.Nil(t, s.look(), "tomorrow it is another day's")
}

func TestWeatherForAnHourOfToday(t *testing.T) {
	s := newScene(t)
	s.now = time.Date(2026, time.July, 14, 8, 0, 0, 0, s.place)
	s.tell(s.coach, "21")
	s.tell(s.coach, "33", 18)
	require.Equal(t, 210, s.look().Tenths, "at eight that of eight")
	s.now = s.now.Add(8 * time.Hour)
	require.Equal(t, 330, s.look().Tenths, "at four that of six")
	o, err := s.Club(t.Context(), s.coach, s.place)
	require.NoError(t, err)
	require.Equal(t, time.Date(2026, time.July, 14, 18, 0, 0, 0, s.place).UTC(), o.At.UTC())
	require.Equal(t, "Owner of Harbour", o.By)
	require.Equal(t, weather.NotToday, o.Advice.Level, "judged for beginners")
}

func TestWhatWeatherSaysOfAnHour(t *testing.T) {
	s := newScene(t)
	noon := s.now
	s.tell(s.coach, "33")
	s.now = noon.Add(5 * time.Hour)
	s.tell(s.coach, "19")
	for _, c := range []struct {
		after time.Duration
		hot   bool
		why   string
	}{
		{0, true, "at the hour itself"},
		{-outdoors.HotFor, true, "three hours before"},
		{-outdoors.HotFor - time.Minute, false, "that long before nobody knows"},
		{2 * time.Hour, true, "nearer to the heat"},
		{3 * time.Hour, false, "nearer to the cool evening"},
		{9 * time.Hour, false, "long after"},
	} {
		w, err := s.Hot(t.Context(), s.own, s.ana.ID, noon.Add(c.after))
		require.NoError(t, err)
		require.Equal(t, c.hot, w != nil, c.why)
	}
	s.now = noon
	s.tell(s.own, "20")
	w, err := s.Hot(t.Context(), s.coach, s.ana.ID, noon)
	require.NoError(t, err)
	require.Nil(t, w, "where she ran it was cooler; a coach who enters it is told so too")
}

func TestWhoTellsWeather(t *testing.T) {
	s := newScene(t)
	typed := outdoors.Typed{Temperature: "20", Humidity: "50", Place: s.place}
	ben := s.store.Runner(s.own.Club, "Ben")
	for why, c := range map[string]struct {
		who roster.Actor
		of  roster.AthleteID
	}{
		"an athlete for the club":    {s.own, 0},
		"an athlete for another":     {s.own, ben.ID},
		"a coach for one athlete":    {s.coach, s.ana.ID},
		"somebody who is not anyone": {roster.Actor{Club: s.own.Club}, 0},
	} {
		_, err := s.Tell(t.Context(), c.who, c.of, typed, "key-of-nobody")
		require.Equal(t, fault.NotFound, fault.KindOf(err), why)
	}
	_, err := s.Look(t.Context(), s.coach, &s.ana)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "the advice rests on answers about health")
	require.Empty(t, s.store.Air)
	typed.Temperature, typed.Unread = "warm", []fault.Field{{Place: "hour", Message: "a time, please"}}
	_, err = s.Tell(t.Context(), s.own, s.ana.ID, typed, "key-of-nonsense")
	require.Equal(t, fault.Invalid, fault.KindOf(err))
	require.Len(t, fault.FieldsOf(err), 2, "everything that is wrong at once")
}

// well are answers of somebody for whom heat is no harder than for others.
func well() screening.Answers {
	return screening.Answers{
		screening.Disease: {screening.None}, screening.Medicine: {screening.None}, screening.Rhythm: {screening.None},
		screening.Expecting: {screening.No}, screening.Height: {"175"}, screening.Weight: {"70"},
	}
}

// A step bolder only for whoever is known to be experienced, used to heat and well.
func TestWhoGoesByTheCategoriesAsTheyAre(t *testing.T) {
	for _, c := range []struct {
		why   string
		spoil func(*scene)
		want  weather.Level
	}{
		{"used to it in every way", func(*scene) {}, weather.Slower},
		{"on a phase with short runs", func(s *scene) { s.change(func(a *roster.Athlete) { a.Phase = "L1" }) }, weather.Shorter},
		{"lately joined", func(s *scene) { s.change(func(a *roster.Athlete) { a.JoinedOn = s.today() - 83 }) }, weather.Shorter},
		{"four sessions in the heat", func(s *scene) { s.store.Logged = s.store.Logged[1:] }, weather.Shorter},
		{"one of them two weeks ago", func(s *scene) { s.store.Logged[0].Date = s.today() - 14 }, weather.Shorter},
		{"takes a medicine", func(s *scene) { s.store.Checked[0].Answers[screening.Medicine] = []string{"beta"} }, weather.NotToday},
		{"may be pregnant", func(s *scene) { s.store.Checked[0].Answers[screening.Expecting] = []string{screening.Unsure} }, weather.NotToday},
		{"heavy", func(s *scene) { s.store.Checked[0].Answers[screening.Weight] = []string{"120"} }, weather.NotToday},
		{"asked on paper", func(s *scene) { s.store.Checked[0].Source = roster.FromPaper }, weather.NotToday},
		{"never asked", func(s *scene) { s.store.Checked = nil }, weather.NotToday},
		{"ill last week", func(s *scene) {
			s.store.Leaving[1] = roster.Leave{ID: 1, Athlete: s.ana.ID, Kind: roster.Ill, Span: day.Span{From: s.today() - 10, To: s.today() - 7}}
		}, weather.NotToday},
		{"ill last month", func(s *scene) {
			s.store.Leaving[1] = roster.Leave{ID: 1, Athlete: s.ana.ID, Kind: roster.Ill, Span: day.Span{From: s.today() - 40, To: s.today() - 30}}
		}, weather.Slower},
	} {
		s := newScene(t)
		s.change(func(a *roster.Athlete) { a.Phase, a.JoinedOn = "R6", s.today()-84 })
		for ago := range 5 {
			date := s.today() - day.Date(2*ago+1)
			s.store.Logged = append(s.store.Logged, roster.Session{Athlete: s.ana.ID, Session: readiness.Session{
				Kind: readiness.Planned, Date: date, StartedAt: date.UTC(), Outcome: readiness.InFull, Hot: true,
			}})
		}
		s.store.Checked = []roster.HealthCheck{{Athlete: s.ana.ID, Answers: well(), Source: roster.FromPhone, HandedAt: s.now, HandedOn: s.today()}}
		c.spoil(s)
		s.tell(s.own, "24")
		require.Equal(t, c.want, s.look().Advice.Level, c.why)
	}
}

func (s *scene) today() day.Date { return day.Of(s.now, s.place) }

func (s *scene) change(f func(*roster.Athlete)) {
	a := s.store.Athletes[s.ana.ID]
	f(&a)
	s.store.Athletes[a.ID], s.ana = a, a
}
