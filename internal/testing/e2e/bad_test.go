package e2e

import (
	"bytes"
	"context"
	"net/http"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// helpful says that the page is one that helps: it says what is wrong, and is
// neither blank nor a fault of ours.
func helpful(t *testing.T, page *visitor.Page, status int, words string) {
	t.Helper()
	require.Equal(t, status, page.Status, page)
	require.Equal(t, "text/html; charset=utf-8", page.Header.Get("Content-Type"))
	require.Equal(t, 1, len(page.All("h1")), page)
	require.Contains(t, page.Text("main"), words)
}

// What a phone may not say: a message at its field, what was typed kept, nothing
// stored.
func TestWhatCannotBeTakenIsSaidAtItsField(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	for _, test := range []struct {
		name  string
		kind  string
		set   []string
		field string // id of the field at which it is said
		words string // of what is said
		kept  string // a field whose value has to be there again
	}{
		{"an effort of 11", "planned", []string{"effort", "11"}, "effort", "effort goes from 0 to 10, not 11", "note"},
		{"an effort that is no number", "planned", []string{"effort", "four"}, "effort", "a whole number", "note"},
		{"a session of tomorrow", "planned", []string{"date", ago(t, -1)}, "date", "still to come", "date"},
		{"200 days back", "planned", []string{"date", ago(t, 200)}, "date", "more than half a year ago", "date"},
		{"a day that is none", "planned", []string{"date", "2026-02-30"}, "date", "a date like", "date"},
		{"ten hours of running", "extra", []string{"ran", "run", "minutes", "600"}, "minutes", "10 hours of running in one session; are the minutes right?", "minutes"},
		{"more than ten hours", "strength", []string{"minutes", "601"}, "minutes", "minutes go from 0 to 600", "minutes"},
		{"minutes below nothing", "strength", []string{"minutes", "-5"}, "minutes", "minutes go from 0 to 600", "minutes"},
		{"a run of more than four hours", "planned", []string{"done", "part", "blocks[0].done_min", "241"}, "blocks", "4 hours of running in one session", "blocks[0].done_min"},
		{"no key", "planned", []string{"key", ""}, "", "out of date", "note"},
		{"a pain of 12", "planned", []string{"pain", "some", "pain[0].score", "12"}, "pain[0].score", "pain goes from 0 to 10", "note"},
		{"a site too long", "planned", []string{"pain", "some", "pain[15].site", strings.Repeat("knee ", 40), "pain[15].score", "4"}, "pain[15].site", "80", "pain[15].site"},
		{"a note too long", "planned", []string{"note", strings.Repeat("word ", 500)}, "note", "2,000", "note"},
		{"a sign that is none", "planned", []string{"signs", "hiccups"}, "signs", "from the list", "note"},
	} {
		t.Run(test.name, func(t *testing.T) {
			form := phone.Get("/log?kind="+test.kind).Form("form.after").
				Set("done", "all", "effort", "4", "talk", "sentence", "breath", "early", "pain", "none", "ran", "run", "minutes", "30",
					"date", ago(t, 1), "clock", "07:10", "note", "by the harbour")
			form.Set(test.set...)
			page := form.Send()
			helpful(t, page, 422, "nothing was stored yet")
			if test.field != "" {
				require.NotEmpty(t, page.Text(`.summary a[href="#`+test.field+`"]`), page)
				require.Contains(t, strings.ToLower(page.Text(`[id="`+test.field+`-wrong"]`)), strings.ToLower(test.words), page)
			}
			require.Contains(t, strings.ToLower(page.Text(".summary")), strings.ToLower(test.words), page)
			require.Equal(t, strings.TrimSpace(form.Values.Get(test.kept)), page.Form("form.after").Values.Get(test.kept))
		})
	}
	require.Zero(t, c.count("select count(*) from session"))
}

// A double tap sends the same form twice at once: stored once, the same answer.
func TestADoubleTap(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	form := session(t, phone, 1, "07:10")
	var taps sync.WaitGroup
	answers := make([]*visitor.Page, 8)
	for i := range answers {
		hand := phone.Twin()
		taps.Go(func() {
			page, err := hand.Post(form.Action, form.Values)
			if err == nil {
				answers[i] = page
			}
		})
	}
	taps.Wait()
	for _, page := range answers {
		require.NotNil(t, page)
		require.Equal(t, 200, page.Status, page)
		require.True(t, strings.HasPrefix(page.Path, "/today"), page)
	}
	require.Equal(t, 1, c.count("select count(*) from session"))
}

// Two phones correct the same session: the second is told, with both sides.
func TestTwoPhonesCorrectTheSameSession(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	require.Equal(t, 200, session(t, phone, 1, "07:10").Send().Status)
	at := phone.Get("/sessions").Attr("main li a", "href")
	one, other := phone.Get(at).Form("form.after"), phone.Twin().Get(at).Form("form.after")
	require.Equal(t, 200, one.Set("effort", "6").Send().Status)
	page := other.Set("effort", "3", "note", "with the dog").Send()
	helpful(t, page, 409, "corrected somewhere else meanwhile")
	require.Contains(t, page.Text(".notice"), "you typed “3”, there is “6”", page)
	require.Equal(t, "with the dog", page.Form("form.after").Values.Get("note"), "what was sent is kept")
	require.Equal(t, 1, c.count("select count(*) from session where effort = 6 and note = '' and version = 2"))
	again := page.Form("form.after").Send() // having seen what is there now
	require.Equal(t, 200, again.Status, again)
	require.Equal(t, 1, c.count("select count(*) from session where effort = 3 and note = 'with the dog'"))
}

// Links work once, for a time, and for one club.
func TestLinksThatNoLongerWork(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	at, link := c.add("Ines Okafor", "L1")
	c.sql("update code set expires_at = now() - interval '1 minute' where athlete_id is not null")
	helpful(t, visitor.New(t, c.Address).Get(link), 410, "Ask your coach for a new one")
	fresh := c.coach.Get(at).Form(`form[action$="/link"]`).Send().Attr("#address", "value")
	require.NotEmpty(t, fresh)
	c.phone(fresh)
	helpful(t, visitor.New(t, c.Address).Get(fresh), 410, "ask your coach for a new link")
	helpful(t, visitor.New(t, c.Address).Get(c.SetUp), 410, "")
	helpful(t, visitor.New(t, c.Address).Get("/in/"+strings.Repeat("x", 43)), 404, "nothing here")
}

// Another club's athlete is not there, for reading and for every change.
func TestAnotherClubsAthlete(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	at, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	require.Equal(t, 200, session(t, phone, 1, "07:10").Send().Status)
	theirs := c.secondClub()
	id := strings.TrimPrefix(at, "/athletes/")
	for _, path := range []string{"", "/edit", "/log", "/sessions", "/sessions/1", "/sessions/1/delete", "/leave"} {
		helpful(t, theirs.Get(at+path), 404, "nothing here")
	}
	own := theirs.Get("/athletes/new").Form("main form").Set("name", "Somebody Else", "zone", zone, "phase", "B1", "answers", "paper", "asked_on", beforeToday(), "asked_by", "Mara").Send()
	other := theirs.Get(own.Link("To the athlete"))
	for _, form := range []*visitor.Form{
		other.Form(`form[action$="/decide"]`), other.Form(`form[action$="/notes"]`), other.Form(`form[action$="/leave"]`), other.Form(`form[action$="/link"]`),
	} {
		action := at + form.Action[strings.LastIndexByte(form.Action, '/'):]
		values := form.Values
		values.Set("text", "a note")
		values.Set("from", ago(t, 0))
		values.Set("choice", "pause")
		values.Set("reason", "none")
		if pick := values.Get("pick"); pick != "" {
			values.Set("pick", id+pick[strings.IndexByte(pick, '|'):])
		}
		page, err := theirs.Post(action, values)
		require.NoError(t, err)
		helpful(t, page, 404, "nothing here")
	}
	require.Equal(t, 404, phone.Get(at).Status, "coaches' pages are not for athletes")
	require.Equal(t, 404, theirs.Get("/today").Status)
	require.Equal(t, 200, c.coach.Get(at).Status)
}

// secondClub is a coach of another club in the same database, which is made as
// the first one was.
func (c *club) secondClub() *visitor.Visitor {
	c.t.Helper()
	c.sql(`with club as (insert into club (name, zone) values ('Meadow', $1) returning club_id),
		pathway as (insert into pathway (club_id, name, version) select club.club_id, p.name, p.version from club, pathway p returning club_id, pathway_id),
		phases as (insert into phase (club_id, pathway_id, place, id, stage, kinds, planned_s, half_kinds, half_s)
			select n.club_id, n.pathway_id, place, id, stage, kinds, planned_s, half_kinds, half_s from pathway n, phase returning 1)
		insert into coach (club_id, name, email, password, owner) select club.club_id, 'Otto Berg', 'otto@example.org', coach.password, true from club, coach`, zone)
	other := visitor.New(c.t, c.Address)
	page := other.Get("/sign-in").Form("form.card").Set("email", "otto@example.org", "password", password).Send()
	require.Equal(c.t, "/roster", page.Path, page)
	return other
}

// A name with markup is a name.
func TestANameWithMarkup(t *testing.T) {
	t.Parallel()
	const name = `<script>alert(1)</script> & "Ruud" <b>O'Neil</b>`
	c := newClub(t, program.Options{})
	at, link := c.add(name, "L1")
	phone := c.phone(link)
	phone.Get("/log").Form("form.after").Set("done", "all", "effort", "4", "talk", "sentence", "breath", "early", "pain", "none",
		"date", ago(t, 1), "clock", "07:10", "note", "</textarea><img src=x onerror=alert(2)>").Send()
	for _, page := range []*visitor.Page{c.coach.Get(at), c.coach.Get("/roster"), c.coach.Get(at + "/edit"), phone.Get("/today"), phone.Get("/sessions")} {
		require.Equal(t, 200, page.Status)
		require.NotContains(t, page.Body, "<script>alert")
		require.NotContains(t, page.Body, "<img")
		require.Zero(t, len(page.All("img, script:not([src])")))
	}
	require.Contains(t, c.coach.Get("/roster").Text("main"), name)
	require.Equal(t, name, c.coach.Get(at+"/edit").Form("main form").Values.Get("name"))
}

// What another website makes a browser send is refused.
func TestAFormFromAnotherWebsite(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	form := session(t, phone, 1, "07:10")
	for _, header := range [][2]string{{"Sec-Fetch-Site", "cross-site"}, {"Origin", "https://elsewhere.example"}} {
		request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, c.Address+"/log", strings.NewReader(form.Values.Encode()))
		require.NoError(t, err)
		request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		request.Header.Set(header[0], header[1])
		page, err := phone.Do(request)
		require.NoError(t, err)
		helpful(t, page, 403, "Nothing was changed")
	}
	require.Zero(t, c.count("select count(*) from session"))
}

// An unreadable document: every fault on its line, nothing on standard output.
func TestAnUnreadableDocument(t *testing.T) {
	t.Parallel()
	for _, in := range []string{"", "{", "\x00\xff\xfe", `{"as_of": "2026-02-30"}`, strings.Repeat("[", 100_000), `{"as_of": 7, "as_of": 8}`} {
		ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
		defer cancel()
		command := exec.CommandContext(ctx, program.Binary(t), "assess", "-")
		var out, faults bytes.Buffer
		command.Stdin, command.Stdout, command.Stderr = strings.NewReader(in), &out, &faults
		var ended *exec.ExitError
		require.ErrorAs(t, command.Run(), &ended)
		require.Equal(t, 2, ended.ExitCode(), faults.String())
		require.Empty(t, out.String())
		require.NotContains(t, faults.String(), "goroutine")
		for _, line := range strings.Split(strings.TrimSpace(faults.String()), "\n") {
			require.NotEmpty(t, line)
		}
	}
}
