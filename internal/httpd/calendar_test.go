package httpd

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	reader "github.com/emersion/go-ical"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// subscribe makes an address on the page, and gives the path of the calendar.
func subscribe(t *testing.T, b *browser, at string) string {
	t.Helper()
	a := b.get(at)
	require.Equal(t, http.StatusOK, a.StatusCode)
	key := attr(a.one("form[action='"+at+"'] input[name=key]"), "value")
	require.Len(t, key, 43, "256 bits")
	a = b.post(at, "key", key)
	require.Equal(t, http.StatusOK, a.StatusCode)
	address := attr(a.one("#address"), "value")
	require.True(t, strings.HasPrefix(attr(a.one("a.btn[href^='webcal://']"), "href"), "webcal://"))
	require.NotEmpty(t, a.all("svg path"), "the code to scan")
	_, path, found := strings.Cut(strings.TrimPrefix(address, "http://"), "/")
	require.True(t, found, address)
	require.Equal(t, address, attr(b.post(at, "key", key).one("#address"), "value"), "sent twice it is the same one")
	return "/" + path
}

// readFeed fetches the calendar and reads it back with another's parser.
func readFeed(t *testing.T, b *browser, path string) []reader.Event {
	t.Helper()
	a := b.get(path)
	require.Equal(t, http.StatusOK, a.StatusCode, a.body)
	require.Equal(t, "text/calendar; charset=utf-8", a.Header.Get("Content-Type"))
	c, err := reader.NewDecoder(strings.NewReader(a.body)).Decode()
	require.NoError(t, err)
	return c.Events()
}

// line is what of an event a person sees: "0 2026-04-16T07:00:00+01:00 40m Run and walk".
func line(t *testing.T, e *reader.Event) (uid, text string) {
	t.Helper()
	uid, err := e.Props.Text(reader.PropUID)
	require.NoError(t, err)
	start, err := e.DateTimeStart(time.UTC)
	require.NoError(t, err)
	end, err := e.DateTimeEnd(time.UTC)
	require.NoError(t, err)
	summary, err := e.Props.Text(reader.PropSummary)
	require.NoError(t, err)
	status, err := e.Props.Text(reader.PropStatus)
	require.NoError(t, err)
	return uid, strings.Join([]string{e.Props.Get(reader.PropSequence).Value, start.Format(time.RFC3339), end.Sub(start).String(), summary, status}, " ")
}

// lines are those of the events from a date to before another, by UID.
func lines(t *testing.T, events []reader.Event, from, to string) map[string]string {
	t.Helper()
	all := map[string]string{}
	for i := range events {
		uid, text := line(t, &events[i])
		if at := strings.Fields(text)[1]; at >= from && at < to {
			all[uid] = text
		}
	}
	return all
}

// mornings lets Ines train in the mornings of Tuesday, Thursday and Saturday.
func (k *track) mornings(zone string) {
	a := k.store.Athletes[k.ines]
	a.Zone, a.Available = zone, 0
	for _, d := range []time.Weekday{time.Tuesday, time.Thursday, time.Saturday} {
		a.Available = a.Available.With(d, roster.Morning)
	}
	k.store.Athletes[k.ines] = a
}

func TestAnAthletesCalendar(t *testing.T) {
	k := newTrack(t)
	k.now = time.Date(2026, 4, 13, 6, 0, 0, 0, time.UTC)
	k.begins(day.On(2026, 4, 13))
	k.mornings("Europe/Lisbon")
	path := subscribe(t, k.phone, "/me/calendar")
	program := k.nobody()
	events := readFeed(t, program, path)
	week := lines(t, events, "2026-04-13", "2026-04-20")
	require.Len(t, week, 3)
	var said []string
	for _, text := range week {
		said = append(said, text)
	}
	require.ElementsMatch(t, []string{
		"0 2026-04-14T07:00:00+01:00 50m0s Run and walk CONFIRMED",
		"0 2026-04-16T07:00:00+01:00 50m0s Run and walk CONFIRMED",
		"0 2026-04-18T07:00:00+01:00 50m0s Run and walk CONFIRMED",
	}, said)
	require.Len(t, events, 3*5, "this week and four more; before this one nothing was planned")
	body := k.nobody().get(path).body
	unfolded := strings.ReplaceAll(body, "\r\n ", "")
	require.Contains(t, unfolded, `Run 2 min\, walk 3 min\, six times.\nWith warm-up and cool-down`)
	require.Contains(t, unfolded, "/today")
	require.Equal(t, body, k.nobody().get(path).body, "looked at again it is the same, byte for byte")
	require.NotContains(t, k.log.String(), strings.TrimSuffix(strings.TrimPrefix(path, "/calendar/"), ".ics"), "the secret is in no log")
	require.Contains(t, text(k.phone.get("/me/calendar").one("main")), "a calendar program looked last today")

	// A session that moves stays the same one.
	moved, err := k.deps.Days.Move(context.Background(), roster.Actor{Club: k.club.ID, Athlete: k.ines}, k.ines,
		days.Shift{Key: "key-of-the-move", Kind: weekplan.Run, From: day.On(2026, 4, 18), To: day.On(2026, 4, 19)})
	require.NoError(t, err)
	require.Equal(t, weekplan.NoRule, moved.Refused)
	after := lines(t, readFeed(t, program, path), "2026-04-13", "2026-04-20")
	require.Len(t, after, 3, "and is not there twice")
	for uid, was := range week {
		is := after[uid]
		if strings.Contains(was, "2026-04-18") {
			require.True(t, strings.HasPrefix(is, "1 2026-04-19"), is)
			continue
		}
		require.Equal(t, was, is)
	}
}

// The clocks of Lisbon go back on 25 October 2026 and forward on 28 March 2027; seven
// in the morning stays seven, there and for an athlete elsewhere.
func TestACalendarAcrossClockChanges(t *testing.T) {
	for zone, want := range map[string][2][2]string{
		"Europe/Lisbon":    {{"2026-10-24T07:00:00+01:00", "2026-10-27T07:00:00Z"}, {"2027-03-27T07:00:00Z", "2027-03-30T07:00:00+01:00"}},
		"America/New_York": {{"2026-10-31T07:00:00-04:00", "2026-11-03T07:00:00-05:00"}, {"2027-03-13T07:00:00-05:00", "2027-03-16T07:00:00-04:00"}},
		"Asia/Kathmandu":   {{"2026-10-24T07:00:00+05:45", "2026-10-27T07:00:00+05:45"}, {"2027-03-27T07:00:00+05:45", "2027-03-30T07:00:00+05:45"}},
	} {
		k := newTrack(t)
		k.begins(day.On(2026, 4, 13))
		k.mornings(zone)
		path := subscribe(t, k.phone, "/me/calendar")
		for i, now := range []time.Time{time.Date(2026, 10, 19, 2, 0, 0, 0, time.UTC), time.Date(2027, 3, 8, 2, 0, 0, 0, time.UTC)} {
			k.now = now
			all := ""
			for _, text := range lines(t, readFeed(t, k.nobody(), path), "2026", "2028") {
				all += text + "\n"
			}
			require.Contains(t, all, want[i][0], zone)
			require.Contains(t, all, want[i][1], zone)
		}
	}
}

func TestOfAPauseThereAreNoSessionsAndNothingElse(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday() - 1)
	k.mornings("Europe/Lisbon")
	path := subscribe(t, k.phone, "/me/calendar")
	require.NotEmpty(t, lines(t, readFeed(t, k.nobody(), path), "2026-04-15", "2027"))
	for _, hold := range []func(*roster.Athlete){
		func(a *roster.Athlete) { a.Held, a.HeldSince = roster.Paused, tuesday() },
		func(a *roster.Athlete) { a.Held, a.HeldSince = roster.Referred, tuesday() },
	} {
		a := k.store.Athletes[k.ines]
		hold(&a)
		k.store.Athletes[k.ines] = a
		require.Empty(t, lines(t, readFeed(t, k.nobody(), path), "2026-04-15", "2027"), "not even struck out")
		body := strings.ToLower(k.nobody().get(path).body)
		for _, word := range []string{"pause", "doctor", "refer", "pain", "ill", "hurt", "cancelled"} {
			require.NotContains(t, body, word)
		}
	}
	a := k.store.Athletes[k.ines]
	a.Held = roster.NotHeld
	k.store.Athletes[k.ines] = a
	for _, text := range lines(t, readFeed(t, k.nobody(), path), "2026-04-15", "2027") {
		require.True(t, strings.HasPrefix(text, "2 "), "gone and back, with a number that programs take: %s", text)
	}
}

func TestWhoHasTheCalendarAlreadyGetsNothingNew(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	path := subscribe(t, k.phone, "/me/calendar")
	first := k.nobody().get(path)
	require.Equal(t, "private, no-cache", first.Header.Get("Cache-Control"))
	tag := first.Header.Get("ETag")
	require.NotEmpty(t, tag)
	for header, want := range map[string]int{
		tag: http.StatusNotModified, `"other", ` + tag: http.StatusNotModified, strings.TrimPrefix(tag, "W/"): http.StatusNotModified,
		"*": http.StatusNotModified, `"other"`: http.StatusOK, "": http.StatusOK,
	} {
		r := httptest.NewRequest(get, path, nil)
		r.Header.Set("If-None-Match", header)
		a := k.nobody().do(r)
		require.Equal(t, want, a.StatusCode, header)
		require.Equal(t, want == http.StatusNotModified, a.body == "", header)
		require.Equal(t, tag, a.Header.Get("ETag"))
	}
}

func TestAnAddressOpensNothingOnceItIsOver(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	old := subscribe(t, k.phone, "/me/calendar")
	uids := lines(t, readFeed(t, k.nobody(), old), "2026", "2027")
	anew := subscribe(t, k.phone, "/me/calendar")
	require.Equal(t, http.StatusGone, k.nobody().get(old).StatusCode, "made anew")
	require.Equal(t, uids, lines(t, readFeed(t, k.nobody(), anew), "2026", "2027"), "and the events keep their names")
	require.Equal(t, http.StatusSeeOther, k.phone.post("/me/calendar/end").StatusCode)
	require.Equal(t, http.StatusGone, k.nobody().get(anew).StatusCode, "taken away")
	require.Equal(t, http.StatusSeeOther, k.phone.post("/me/calendar/end").StatusCode, "twice is no fault")
	require.Contains(t, text(k.phone.get("/me/calendar").one("main")), "There is none.")
	require.Equal(t, http.StatusNotFound, k.nobody().get("/calendar/short.ics").StatusCode)

	last := subscribe(t, k.phone, "/me/calendar")
	for why, change := range map[string]func(*roster.Athlete){
		"left":     func(a *roster.Athlete) { a.LeftAt = k.now },
		"withdrew": func(a *roster.Athlete) { a.Arrival = roster.Withdrawn },
	} {
		before := k.store.Athletes[k.ines]
		a := before
		change(&a)
		k.store.Athletes[k.ines] = a
		require.Equal(t, http.StatusGone, k.nobody().get(last).StatusCode, why)
		k.store.Athletes[k.ines] = before
	}
	delete(k.store.Athletes, k.ines)
	require.Equal(t, http.StatusGone, k.nobody().get(last).StatusCode, "erased")
}

func TestGuessedAddressesAreCounted(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	path := subscribe(t, k.phone, "/me/calendar")
	for range 50 {
		fresh, err := k.deps.Calendar.Fresh()
		require.NoError(t, err)
		require.Equal(t, http.StatusGone, k.nobody().get("/calendar/"+string(fresh)+".ics").StatusCode)
	}
	require.Equal(t, http.StatusTooManyRequests, k.nobody().get(path).StatusCode)
}

func TestACoachsCalendar(t *testing.T) {
	k := newTrack(t)
	k.now = time.Date(2026, 4, 13, 6, 0, 0, 0, time.UTC)
	k.begins(day.On(2026, 4, 13))
	k.mornings("Europe/Lisbon")
	other := k.store.Coach(k.club.ID, "Ivo", "ivo@example.org", "")
	bo := k.store.Runner(k.club.ID, "Bo Lind")
	bo.ArrivalSince, bo.Available, bo.Coach = day.On(2026, 4, 13), k.store.Athletes[k.ines].Available, other.ID
	k.store.Athletes[bo.ID] = bo
	path := subscribe(t, k.desk, "/club/calendar")
	tuesdays := lines(t, readFeed(t, k.nobody(), path), "2026-04-14", "2026-04-15")
	require.Len(t, tuesdays, 1, "one event for a part of a day, not one a person")
	for _, text := range tuesdays {
		require.Equal(t, "0 2026-04-14T07:00:00+01:00 50m0s B. L., I. O. CONFIRMED", text)
	}
	require.NotContains(t, k.nobody().get(path).body, "Okafor")

	wishes := roster.Wishes{Detail: roster.Names}
	k.store.Wishes = map[roster.CoachID]roster.Wishes{k.owner.ID: wishes}
	require.Contains(t, k.nobody().get(path).body, "Bo Lind\\, Ines Okafor", "where mail may tell names")
	k.store.Wishes = nil

	// A coach who sees only the own sees nobody else there either.
	club, owner := k.store.Clubs[k.club.ID], k.store.People[k.owner.ID]
	club.OwnOnly, owner.Owner, owner.Deputy = true, false, true
	k.store.Clubs[club.ID], k.store.People[k.owner.ID] = club, owner
	for _, text := range lines(t, readFeed(t, k.nobody(), path), "2026-04-14", "2026-04-15") {
		require.Contains(t, text, "I. O.: run and walk")
	}
	a := k.store.Athletes[k.ines]
	a.Held, a.HeldSince = roster.Paused, tuesday()
	k.store.Athletes[k.ines] = a
	require.Empty(t, readFeed(t, k.nobody(), path), "of whom nothing is planned nothing stands there")
}

func TestInitials(t *testing.T) {
	for name, want := range map[string]string{"Ines Okafor": "I. O.", "Cher": "C.", "Ana Maria de Sá": "A. S.", "Óscar Ünal": "Ó. Ü.", "": ""} {
		require.Equal(t, want, initials(name))
	}
}
