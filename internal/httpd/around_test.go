package httpd

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/warmup"
)

// tells types the weather on the phone.
func (k *track) tells(temperature, humidity string, more ...string) {
	k.t.Helper()
	key := "key-of-weather-" + idText(roster.WeatherID(len(k.store.Air)+1)) + "x"
	a := k.phone.post("/weather", append([]string{"key", key, "temperature", temperature, "humidity", humidity}, more...)...)
	require.Equal(k.t, http.StatusSeeOther, a.StatusCode, a.body)
	require.Equal(k.t, "/today?said=weather", a.Header.Get("Location"))
}

func TestWeatherOnToday(t *testing.T) {
	k := newTrack(t)
	a := k.phone.get("/today")
	require.Contains(t, a.body, "What is the weather like?")
	k.tells("20,0", "50 %")
	a = k.phone.get("/today")
	for at, says := range map[string][]string{
		"section[aria-labelledby=weather]":                {"20 °C, 50 %, in the sun", "As you typed it at", "Today: slower", "Go slower than usual", "Stop at once if you feel dizzy"},
		"a.act[href='/go'] ~ section[aria-label^='More']": {"wet-bulb", "Drink when you are thirsty", "no medical advice", "It is different now"}, // below Start
	} {
		card := text(a.one(at))
		for _, words := range says {
			require.Contains(t, strings.ReplaceAll(card, "\u00a0", " "), words)
		}
	}
	require.NotEmpty(t, a.all("a.act[href='/go']"), "slower is no reason to stay")
	k.tells("15", "60", "shade", "1")
	require.Contains(t, text(k.phone.get("/today").one("section[aria-labelledby=weather]")), "Nothing about this weather changes the session.")
}

func TestNotInThisWeather(t *testing.T) {
	k := newTrack(t)
	k.tells("33", "55")
	a := k.phone.get("/today")
	require.Empty(t, a.all("a.act[href='/go']"), "something else takes the place of Start")
	require.Contains(t, text(a.one("#not-today")), "Not in this weather")
	require.NotEmpty(t, a.all("section.stop a[href='/go']"), "who goes all the same can")
	require.NotEmpty(t, a.all("a[href='/log?kind=planned']"), "and log it")
	for range 2 {
		a = k.phone.post("/weather/called-off", "key", "key-of-calling-off")
		require.Equal(t, "/today?said=called-off", a.Header.Get("Location"))
	}
	require.Len(t, k.store.Logged, 1)
	one := k.store.Logged[0]
	require.Equal(t, readiness.CalledOff, one.Became())
	require.Equal(t, tuesday(), one.Date)
	require.Equal(t, "Called off because of the weather: 33 °C, 55 %, in the sun.", one.Note)
	a = k.phone.get("/today")
	require.Contains(t, text(a.one("section.stop")), "Called off for today.")
	require.Empty(t, a.all("form[action='/weather/called-off']"))

	k.now = k.now.Add(6*time.Hour + time.Minute)
	k.now = k.now.Add(-24 * time.Hour) // yesterday nobody had typed anything
	require.Empty(t, k.phone.get("/today").all("#not-today"))
}

func TestHeatOfHoursAgoStopsNobody(t *testing.T) {
	k := newTrack(t)
	k.now = time.Date(2026, 4, 14, 10, 0, 0, 0, time.UTC)
	k.tells("33", "55")
	k.now = k.now.Add(7 * time.Hour)
	a := k.phone.get("/today")
	require.NotEmpty(t, a.all("a.act[href='/go']"))
	require.Contains(t, text(a.one("section[aria-labelledby=weather]")), "That is hours ago")
}

func TestWeatherWithFaults(t *testing.T) {
	k := newTrack(t)
	a := k.phone.post("/weather", "key", "key-of-weather", "temperature", "77", "humidity", "", "shade", "1")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("#temperature-wrong")), "25 °C")
	require.Equal(t, "77", a.value("input[name=temperature]"))
	require.Equal(t, "key-of-weather", a.value("form[action='/weather'] input[name=key]"))
	require.True(t, has(a.one("input[name=shade]"), "checked"))
	require.Empty(t, k.store.Air)
	a = k.desk.post("/club/weather", "key", "key-of-weather", "temperature", "27", "humidity", "45", "hour", "25:00")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("#hour-wrong")), "07:10")
}

func TestTheClubsWeather(t *testing.T) {
	k := newTrack(t)
	require.NotEmpty(t, k.desk.get("/roster").all("a[href='/club/weather']"))
	a := k.desk.post("/club/weather", "key", "key-of-weather", "temperature", "27", "humidity", "45", "hour", "20:30")
	require.Equal(t, "/club/weather?said=weather", a.Header.Get("Location"))
	card := strings.ReplaceAll(text(k.desk.get("/club/weather").one("section[aria-labelledby=weather]")), "\u00a0", " ")
	for _, words := range []string{"27 °C, 45 %", "for 20:30", "For beginners", "Not today"} {
		require.Contains(t, card, words)
	}
	require.Contains(t, text(k.phone.get("/today").one("section[aria-labelledby=weather]")), "Typed by Owner of Harbour for the club, for 20:30.")
	k.tells("20", "50")
	require.Contains(t, text(k.phone.get("/today").one("section[aria-labelledby=weather]")), "As you typed it", "the own comes first")
}

func TestHotIsTickedByItself(t *testing.T) {
	k := newTrack(t)
	require.False(t, has(k.phone.get("/log?kind=planned").one("input[name=hot]"), "checked"))
	k.tells("31", "55")
	for _, kind := range []string{"planned", "extra"} {
		for _, b := range []struct {
			*browser
			at string
		}{{k.phone, ""}, {k.desk, "/athletes/" + idText(k.ines)}} {
			a := b.get(b.at + "/log?kind=" + kind)
			require.True(t, has(a.one("input[name=hot]"), "checked"), kind)
			require.Contains(t, a.body, "Ticked because of the weather at")
		}
	}
	a := k.phone.post("/log", "key", "key-of-the-form", "kind", "planned", "date", "2026-04-14", "done", "all", "hot", "1", "warm_up", "done", "cool_down", "skipped")
	require.Equal(t, http.StatusSeeOther, a.StatusCode, a.body)
	one := k.store.Logged[0]
	require.True(t, one.Hot)
	require.Equal(t, []roster.Around{roster.AroundDone, roster.AroundSkipped}, []roster.Around{one.WarmUp, one.CoolDown})
	a = k.phone.get("/sessions/" + idText(one.ID))
	require.Equal(t, "done", a.picked("warm_up"))
	require.NotContains(t, a.body, "Ticked because", "what is stored is as it was told")
	require.Contains(t, k.desk.get("/athletes/"+idText(k.ines)).body, "in 1 of the last 1")

	a = k.phone.post("/log", "key", "key-of-another", "kind", "planned", "date", "2026-04-13", "done", "missed", "warm_up", "done")
	require.Equal(t, http.StatusSeeOther, a.StatusCode, a.body)
	require.Empty(t, k.store.Logged[1].WarmUp, "of what was not done there is no warm-up")
	a = k.phone.post("/log", "key", "key-of-a-third", "kind", "planned", "date", "2026-04-12", "done", "all", "warm_up", "half")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("#warm_up-wrong")), "choose from the list")
}

// picked is what a select shows.
func (a *answer) picked(name string) string {
	for _, at := range a.one("select[name=" + name + "] option[selected]").Attr {
		if at.Key == "value" {
			return at.Val
		}
	}
	return ""
}

func TestTheChecklist(t *testing.T) {
	k := newTrack(t)
	a := k.phone.get("/today")
	require.Contains(t, text(a.one("#warm")), "about 9 minutes")
	require.NotEmpty(t, a.all("a[href='/warm-up']"))
	a = k.phone.get("/warm-up")
	require.Len(t, a.all(".steps input[type=checkbox]"), 7)
	require.Empty(t, a.all("main form"), "the boxes are sent nowhere")
	require.NotEmpty(t, a.all("svg.fg"), "drawn people")
	require.Contains(t, text(a.one("main")), "never into pain")
	require.NotEmpty(t, a.all("a[href='/me#roller']"))
	require.Contains(t, a.body, "Pregnant, or lately given birth?", "nobody asked her here")

	require.Equal(t, "/me?said=changed", k.phone.post("/me/roller", "roller", "1").Header.Get("Location"))
	require.True(t, has(k.phone.get("/me").one("input[name=roller]"), "checked"))
	a = k.phone.get("/warm-up")
	require.Len(t, a.all(".steps input[type=checkbox]"), 9)
	require.Empty(t, a.all("a[href='/me#roller']"))
	k.phone.post("/me/roller")
	require.False(t, has(k.phone.get("/me").one("input[name=roller]"), "checked"))

	k.logs(k.ines, 1)
	k.store.Logged[0].Pain = []readiness.Pain{{Site: "left calf", Score: 4}}
	require.Contains(t, text(k.phone.get("/warm-up").one("#left-out").Parent), "Easy skips left out: it moves or loads the calf, which hurts.")
	require.Len(t, k.phone.get("/cool-down").all(".steps input[type=checkbox]"), 1)
}

// edits are the fields of the routine as the page shows them.
func (k *track) edits() []string {
	k.t.Helper()
	a := k.desk.get("/warm-up/edit")
	fields := []string{"of", a.value("form.routine input[name=of]"), "key", "key-of-version-" + idText(roster.RoutineID(len(k.store.Routines)+1))}
	for _, n := range a.all("form.routine select") {
		name := attr(n, "name")
		move := ""
		for c := range n.Descendants() {
			if c.Data == "option" && has(c, "selected") {
				move = attr(c, "value")
			}
		}
		count := strings.Replace(name, ".move", ".count", 1)
		fields = append(fields, name, move, count, a.value("input[name='"+count+"']"))
	}
	return fields
}

// set puts a value into fields.
func set(fields []string, name, value string) []string {
	i := slices.Index(fields, name)
	fields[i+1] = value
	return fields
}

func TestTheRoutineIsEdited(t *testing.T) {
	k := newTrack(t)
	require.NotEmpty(t, k.desk.get("/pathway").all("a[href='/warm-up/edit']"))
	a := k.desk.post("/warm-up/edit", k.edits()...)
	require.Equal(t, "/warm-up/edit?said=routine", a.Header.Get("Location"), a.body)
	require.Equal(t, warmup.Default(), k.store.Routines[0].Routine.Routine, "as it is shown, so it is kept")

	fields := set(set(k.edits(), "before[4].move", "bow"), "before[4].count", "")
	a = k.desk.post("/warm-up/edit", fields...)
	require.Equal(t, http.StatusSeeOther, a.StatusCode, a.body)
	require.Equal(t, warmup.Step{Move: "bow", Count: 8}, k.store.Routines[1].Routine.Before[3], "left empty is as usual")
	require.Contains(t, k.phone.get("/warm-up").body, "Bow with a long back")
	require.Contains(t, k.desk.get("/warm-up/edit").body, "As Owner of Harbour made it today.")

	fields = set(set(set(k.edits(), "before[5].count", "x"), "before[6].count", "99"), "after[0].count", "5")
	a = k.desk.post("/warm-up/edit", fields...)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, a.body, "A whole number, please.")
	fields = set(k.edits(), "before[5].count", "99")
	fields = set(fields, "before[2].move", "") // a row that is none moves the steps, and not the fault
	a = k.desk.post("/warm-up/edit", fields...)
	require.Contains(t, text(a.one(`[id="before[5].move-wrong"]`)), "1 to 30, not 99")
	require.Equal(t, "99", a.value("input[name='before[5].count']"))

	stale := set(k.edits(), "of", idText(k.store.Routines[0].ID))
	a = k.desk.post("/warm-up/edit", stale...)
	require.Equal(t, http.StatusConflict, a.StatusCode)
	require.Contains(t, a.body, "changed somewhere else meanwhile")
	require.Equal(t, idText(k.store.Routines[1].ID), a.value("form.routine input[name=of]"), "sent again it replaces that")
	require.Equal(t, http.StatusConflict, k.desk.post("/warm-up/ours", "key", "key-of-ours", "of", "0").StatusCode)
	a = k.desk.post("/warm-up/ours", "key", "key-of-ours", "of", idText(k.store.Routines[1].ID))
	require.Equal(t, "/warm-up/edit?said=routine", a.Header.Get("Location"))
	require.Equal(t, warmup.Default(), k.store.Routines[2].Routine.Routine)
}

func TestAMovementOfTheClubsOwn(t *testing.T) {
	k := newTrack(t)
	a := k.desk.post("/warm-up/movements", "key", "key-of-the-move", "kind", "dynamic", "name", "Windmill", "usual", "6", "timed", "1")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("#how-wrong")), "1 to 300 letters")
	require.Contains(t, text(a.one("#loads-wrong")), "Say what it moves or loads")
	require.Equal(t, "Windmill", a.value("input[name=name]"))
	require.True(t, has(a.one("input[name=timed]"), "checked"))
	form := []string{"key", "key-of-the-move", "kind", "dynamic", "name", "Windmill", "usual", "6", "how", "Reach for one foot.", "loads", "back", "loads", "hip", "demands", "hops", "sides", "1"}
	for range 2 {
		require.Equal(t, "/warm-up/edit?said=movement", k.desk.post("/warm-up/movements", form...).Header.Get("Location"))
	}
	require.Len(t, k.store.Movements, 1)
	m := k.store.Movements[0]
	require.Equal(t, body.Back|body.Hip, m.Loads)
	require.NotZero(t, m.Demands)
	a = k.desk.get("/warm-up/edit")
	require.NotEmpty(t, a.all("option[value='"+m.ID+"']"))
	require.Equal(t, "/warm-up/edit?said=put-away", k.desk.post("/warm-up/movements/"+idText(m.Number)+"/away").Header.Get("Location"))
	require.Empty(t, k.desk.get("/warm-up/edit").all("option[value='"+m.ID+"']"))
	a = k.desk.post("/warm-up/movements", "key", "key-of-the-move", "kind", "dance", "loads", "soul", "usual", "many")
	require.Contains(t, a.body, "Please say what it is.")
	require.Contains(t, text(a.one("#loads-wrong")), "choose from the list")
}

// What the phone knows of the warm-up and the weather, for where there is no signal.
func TestAroundASessionOnThePhone(t *testing.T) {
	k := newTrack(t)
	get := func() week {
		return into[week](k.phone.asJSON(httptest.NewRequest(http.MethodGet, "/phone/week", nil)))
	}
	v := get()
	require.Nil(t, v.Weather)
	require.Equal(t, weekStep{Words: "Easy walk, 5 min", How: v.WarmSteps[0].How, Seconds: 300}, v.WarmSteps[0])
	require.Equal(t, "Walk it down, 5 min", v.CoolSteps[0].Words)
	sum := 0
	for _, step := range v.WarmSteps {
		require.NotEmpty(t, step.How)
		sum += step.Seconds
	}
	require.Equal(t, v.Warm, sum)
	k.tells("31", "55")
	w := get().Weather
	require.Equal(t, "2026-04-14T18:00:00Z", w.At)
	require.Contains(t, w.HotWhy, "31 °C, 55 %")
	require.Equal(t, []int{3 * 3600, 6 * 3600}, []int{w.Near, w.Fresh})
	require.Contains(t, strings.Join(w.Words, " "), "No running in this heat")
	k.tells("5", "")
	w = get().Weather
	require.Empty(t, w.HotWhy)
	require.Contains(t, strings.Join(w.Words, " "), "thin layers")
}

// value is what stands in a field.
func (a *answer) value(selector string) string { return attr(a.one(selector), "value") }
