package httpd

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// inWeek is a track whose week, of 13 April, has runs on Tuesday, Thursday and
// Saturday, seen on the Sunday.
func inWeek(t *testing.T) (*track, string) {
	k := newTrack(t)
	k.now = time.Date(2026, 4, 19, 18, 0, 0, 0, time.UTC)
	k.begins(day.On(2026, 4, 13))
	k.mornings("Europe/Lisbon")
	a := k.store.Athletes[k.ines]
	a.Strength = 1
	k.store.Athletes[k.ines] = a
	return k, "/athletes/" + idText(k.ines) + "/week"
}

func TestAPrintedWeek(t *testing.T) {
	k, at := inWeek(t)
	k.now = time.Date(2026, 4, 13, 6, 0, 0, 0, time.UTC)
	a := k.desk.get(at + "/print")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Len(t, a.all("article.sheet"), 1)
	require.Len(t, a.all("ol.boxes > li"), 4)
	main := text(a.one("main"))
	for _, words := range []string{"Ines Okafor", "Run 2 min, walk 3 min, six times.", "Tuesday 14 April, in the morning: Run and walk", "Strength",
		"in full", "could chat", "how much of 10", "local emergency number", "no medical advice"} {
		require.Contains(t, main, words)
	}
	require.Empty(t, a.all("header.bar, footer"), "nothing of the app")

	bo := k.store.Runner(k.club.ID, "Bo Lind")
	bo.ArrivalSince, bo.Group = day.On(2026, 4, 13), 0
	k.store.Athletes[bo.ID] = bo
	cleo := k.store.Runner(k.club.ID, "Cleo Away")
	cleo.ArrivalSince, cleo.Held = day.On(2026, 4, 13), roster.Paused
	k.store.Athletes[cleo.ID] = cleo
	require.Len(t, k.desk.get("/weeks/print").all("article.sheet"), 2, "one each, and none for whom nothing is planned")
	alone := text(k.desk.get("/weeks/print?group=no-phone").one("main"))
	require.Contains(t, alone, "Bo Lind")
	require.NotContains(t, alone, "Ines Okafor", "she has a phone")
	require.Contains(t, text(k.desk.get("/weeks/print?group=99").one("main")), "nobody here")
}

// filled are the fields of the rows as they came, with what is ticked.
func filled(a *answer, ticked ...string) []string {
	var pairs []string
	for _, n := range a.all("input[type=hidden][name^='rows'], input[type=date][name^='rows']") {
		pairs = append(pairs, attr(n, "name"), attr(n, "value"))
	}
	return append(pairs, ticked...)
}

func TestAWeekIsEnteredFromPaper(t *testing.T) {
	k, at := inWeek(t)
	form := at + "/enter?monday=2026-04-13"
	a := k.desk.get(form)
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Len(t, a.all("input[name$='.key']"), 4, "as the week was printed, whatever was missed since")
	main := text(a.one("main"))
	for _, title := range []string{"Tuesday 14 April: Run and walk", "Thursday 16 April: Run and walk", "Saturday 18 April: Run and walk"} {
		require.Contains(t, main, title)
	}
	rows := map[string]string{}
	for i := range 4 {
		rows[attr(a.one("input[name='"+rowAt(i)+"kind']"), "value")+attr(a.one("input[name='"+rowAt(i)+"date']"), "value")] = rowAt(i)
	}
	tue, thu, sat := rows["planned2026-04-14"], rows["planned2026-04-16"], rows["planned2026-04-18"]
	typed := filled(a, tue+"done", "all", tue+"effort", "4", tue+"talk", "sentence", tue+"breath", "half", tue+"pain", "none",
		thu+"done", "part", thu+"minutes", "18", thu+"pain", "some", thu+"site", "left shin", thu+"score", "3",
		sat+"done", "all", sat+"effort", "14")
	b := k.desk.post(form, typed...)
	require.Equal(t, http.StatusUnprocessableEntity, b.StatusCode)
	require.Contains(t, text(b.one(".summary")), "Saturday 18 April: Run and walk: Effort goes from 0 to 10")
	require.Len(t, k.store.Logged, 2, "what is wrong in one row keeps no other from being stored")
	require.Equal(t, "14", attr(b.one("input[name='"+sat+"effort']"), "value"), "what was typed is still there")
	require.Contains(t, text(b.one("main")), "Stored: in full, effort 4.")

	again := k.desk.post(form, typed...)
	require.Equal(t, http.StatusUnprocessableEntity, again.StatusCode)
	require.Len(t, k.store.Logged, 2, "sent twice, stored once")
	require.Equal(t, http.StatusSeeOther, k.desk.post(form, filled(b, sat+"done", "not")...).StatusCode)
	require.Len(t, k.store.Logged, 3)
	s := k.store.Logged[0]
	require.Equal(t, day.On(2026, 4, 14), s.Date)
	require.Equal(t, readiness.InFull, s.Became())
	require.Equal(t, readiness.Halfway, s.Breath)
	require.True(t, s.PainAsked)
	require.Empty(t, s.Pain)
	require.Equal(t, k.owner.ID, s.ByCoach)
	require.Equal(t, readiness.Shortened, k.store.Logged[1].Became())
	require.Equal(t, []readiness.Pain{{Site: "left shin", Score: 3}}, k.store.Logged[1].Pain)
	require.Equal(t, readiness.Missed, k.store.Logged[2].Outcome)
}

// Whoever moved up after the week has done what the paper said, not what is due now.
func TestPaperIsOfThePhaseOfItsDays(t *testing.T) {
	k, at := inWeek(t)
	k.now = time.Date(2026, 4, 21, 18, 0, 0, 0, time.UTC)
	k.store.Logged = append(k.store.Logged, roster.Session{Athlete: k.ines, ID: 900, Key: "key-of-long-ago", Session: readiness.Session{
		Kind: readiness.Planned, Phase: "L2", Date: day.On(2026, 4, 11), StartedAt: time.Date(2026, 4, 11, 7, 0, 0, 0, time.UTC), Outcome: readiness.InFull, Minutes: readiness.Some(30),
	}})
	a := k.store.Athletes[k.ines]
	a.Phase, a.PhaseSince = "L4", day.On(2026, 4, 20)
	k.store.Athletes[k.ines] = a
	form := at + "/enter?monday=2026-04-13"
	b := k.desk.get(form)
	require.Contains(t, text(b.one("main")), "L2: run 1 min 30, walk 3 min 30, six times.")
	k.desk.post(form, filled(b, rowAt(0)+"done", "all", rowAt(0)+"pain", "none")...)
	s := k.store.Logged[1]
	require.Equal(t, "L2", s.Phase)
	require.Equal(t, int32(90), s.Blocks[0].Planned)
	require.Contains(t, text(k.desk.get(at+"/enter?monday=2026-04-20").one("main")), "L4: run 2 min 45")
	require.NotContains(t, text(k.desk.get(at+"/print?monday=2026-04-13").one("main")), "Run 2 min 45", "what was planned then is not known any more")
	k.store.Pins = append(k.store.Pins, roster.Pin{ID: 1, Athlete: k.ines, Key: "key-of-a-wish", On: day.On(2026, 4, 16), MadeAt: k.now.AddDate(0, 0, -8), MadeOn: day.On(2026, 4, 13)})
	last := k.desk.get(at + "?monday=2026-04-13")
	require.Contains(t, text(last.one("main")), "one done")
	require.Contains(t, text(last.one("li#thursday")), "Not done", "it was wished there")
	require.Empty(t, last.all(".line a[href*='move=']"), "there is no day left to move to")
}

func TestPainOnPaperStopsAsElsewhere(t *testing.T) {
	k, at := inWeek(t)
	form := at + "/enter?monday=2026-04-13"
	row := rowAt(0)
	a := k.desk.post(form, filled(k.desk.get(form), row+"done", "part", row+"minutes", "10", row+"pain", "some", row+"site", "left shin", row+"score", "7")...)
	require.Equal(t, http.StatusSeeOther, a.StatusCode)
	require.True(t, strings.HasSuffix(a.Header.Get("Location"), "/stopped"), a.Header.Get("Location"))
	b := k.desk.post(form, filled(k.desk.get(form), rowAt(1)+"done", "all", rowAt(1)+"pain", "some")...)
	require.Equal(t, http.StatusUnprocessableEntity, b.StatusCode, "pain without a place")
	require.Contains(t, b.body, "where it hurt")
}

func TestDaysToComeAreNotAskedAbout(t *testing.T) {
	k, at := inWeek(t)
	k.now = time.Date(2026, 4, 15, 18, 0, 0, 0, time.UTC)
	main := text(k.desk.get(at + "/enter").one("main"))
	require.Contains(t, main, "Still to come.")
	require.Len(t, k.desk.get(at+"/enter?monday=2026-04-20").all("input[name$='.key']"), 0)
}
