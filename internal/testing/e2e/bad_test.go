package e2e

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/localpg"
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
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	for _, test := range []struct {
		name  string
		kind  string
		set   []string
		field string // id of the field at which it is said
		kept  string // a field whose value has to be there again
	}{
		{"an effort of 11", "planned", []string{"effort", "11"}, "effort", "note"},
		{"an effort that is no number", "planned", []string{"effort", "four"}, "effort", "note"},
		{"a session of tomorrow", "planned", []string{"date", ago(t, -1)}, "date", "date"},
		{"200 days back", "planned", []string{"date", ago(t, 200)}, "date", "date"},
		{"a day that is none", "planned", []string{"date", "2026-02-30"}, "date", "note"},
		{"ten hours of running and a minute", "extra", []string{"ran", "run", "minutes", "601"}, "minutes", "minutes"},
		{"minutes below nothing", "strength", []string{"minutes", "-5"}, "minutes", "minutes"},
		{"a run of more than four hours", "planned", []string{"done", "part", "blocks[0].done_min", "241"}, "blocks", "blocks[0].done_min"},
		{"no key", "planned", []string{"key", ""}, "", "note"},
		{"a pain of 12", "planned", []string{"pain", "some", "pain[0].score", "12"}, "pain[0].score", "note"},
		{"a site too long", "planned", []string{"pain", "some", "pain[15].site", strings.Repeat("knee ", 40), "pain[15].score", "4"}, "pain[15].site", "note"},
		{"a note too long", "planned", []string{"note", strings.Repeat("word ", 500)}, "note", "note"},
		{"a sign that is none", "planned", []string{"signs", "hiccups"}, "signs", "note"},
	} {
		t.Run(test.name, func(t *testing.T) {
			form := phone.Get("/log?kind="+test.kind).Form("form.after").
				Set("done", "all", "effort", "4", "talk", "sentence", "breath", "early", "pain", "none", "ran", "run", "minutes", "30",
					"date", ago(t, 1), "clock", "07:10", "note", "by the harbour")
			form.Set(test.set...)
			page := form.Send()
			helpful(t, page, 422, "nothing was stored yet")
			if test.field != "" {
				require.Contains(t, page.Text(`.summary a[href="#`+test.field+`"]`), " ", page)
				require.NotEmpty(t, page.Text(`[id="`+test.field+`-wrong"]`), page)
			}
			require.Equal(t, strings.TrimSpace(form.Values.Get(test.kept)), page.Form("form.after").Values.Get(test.kept))
		})
	}
	require.Zero(t, c.count("select count(*) from session"))
}

// Ten hours of running can be taken, and the coach is told.
func TestTenHoursOfRunning(t *testing.T) {
	c := newClub(t, program.Options{})
	at, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	page := phone.Get("/log?kind=extra").Form("form.after").
		Set("ran", "run", "minutes", "600", "effort", "9", "pain", "none", "date", ago(t, 1), "clock", "07:10").Send()
	if page.Status == 422 { // more than the longest block
		require.NotEmpty(t, page.Text(".summary"), page)
		require.Zero(t, c.count("select count(*) from session"))
		return
	}
	require.Equal(t, 200, page.Status, page)
	require.Equal(t, 200, c.coach.Get(at).Status)
}

// A double tap sends the same form twice at once: stored once, the same answer.
func TestADoubleTap(t *testing.T) {
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
	c := newClub(t, program.Options{})
	at, link := c.add("Ines Okafor", "L1")
	c.sql("update code set expires_at = now() - interval '1 minute' where athlete_id is not null")
	helpful(t, visitor.New(t, c.Address).Get(link), 410, "Ask for a new one")
	fresh := c.coach.Get(at).Form(`form[action$="/link"]`).Send().Attr("#address", "value")
	require.NotEmpty(t, fresh)
	c.phone(fresh)
	helpful(t, visitor.New(t, c.Address).Get(fresh), 410, "Ask for a new one")
	helpful(t, visitor.New(t, c.Address).Get(c.SetUp), 410, "")
	helpful(t, visitor.New(t, c.Address).Get("/in/"+strings.Repeat("x", 43)), 404, "nothing here")
}

// Another club's athlete is not there, for reading and for every change.
func TestAnotherClubsAthlete(t *testing.T) {
	c := newClub(t, program.Options{})
	at, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	require.Equal(t, 200, session(t, phone, 1, "07:10").Send().Status)
	theirs := c.secondClub()
	id := strings.TrimPrefix(at, "/athletes/")
	for _, path := range []string{"", "/edit", "/log", "/sessions", "/sessions/1", "/sessions/1/delete", "/leave"} {
		helpful(t, theirs.Get(at+path), 404, "nothing here")
	}
	own := theirs.Get("/athletes/new").Form("main form").Set("name", "Somebody Else", "zone", zone, "phase", "B1").Send()
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

// A body of 50 MB is refused without being read, whether it says how long it is
// or not.
func TestABodyOfFiftyMegabytes(t *testing.T) {
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	form := session(t, phone, 1, "07:10")
	const size = 50 << 20
	for name, length := range map[string]int64{"told": size, "untold": -1} {
		t.Run(name, func(t *testing.T) {
			body := io.LimitReader(io.MultiReader(strings.NewReader(form.Values.Encode()+"&note="), forever('a')), size)
			request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, c.Address+"/log", body)
			require.NoError(t, err)
			request.ContentLength = length
			request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			page, err := phone.Do(request)
			if err != nil { // the line may be cut while the client still writes
				require.Regexp(t, "broken pipe|connection reset", err.Error())
			} else {
				helpful(t, page, 413, "larger than 1 MB")
			}
		})
	}
	require.Zero(t, c.count("select count(*) from session"))
	require.Equal(t, 200, session(t, phone, 1, "07:10").Send().Status, "and it goes on")
}

// forever is the same byte again and again.
type forever byte

func (f forever) Read(b []byte) (int, error) {
	copy(b, bytes.Repeat([]byte{byte(f)}, len(b)))
	return len(b), nil
}

// A name with markup is a name.
func TestANameWithMarkup(t *testing.T) {
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

// A database that stops: a page that says so, what was typed can be sent again,
// and everything works once it is back, without a restart.
func TestADatabaseThatStops(t *testing.T) {
	server, config := startServer(t)
	c := &club{Program: program.Start(t, program.Options{Database: server.URL(localpg.Database)}), t: t, coach: nil}
	c.coach = visitor.New(t, c.Address)
	page := c.coach.Get(c.SetUp).Form("form[action]").
		Set("club", "Harbour", "zone", zone, "name", "Mara Lindqvist", "email", email, "password", password).Send()
	require.Equal(t, "/roster", page.Path, page)
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	form := session(t, phone, 1, "07:10")

	require.NoError(t, server.Stop(t.Context()))
	helpful(t, form.Send(), 503, "cannot reach its records")
	helpful(t, phone.Get("/today"), 503, "Try again")
	helpful(t, c.coach.Get("/roster"), 503, "Try again")
	require.False(t, program.Answers(c.Address+"/readyz"), "not ready without records")
	require.True(t, program.Answers(c.Address+"/healthz"), "but alive")

	again, err := localpg.Start(t.Context(), config)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, again.Stop(context.Background())) })
	page = form.Send()
	require.Equal(t, 200, page.Status, page)
	require.Equal(t, 200, phone.Get("/today").Status)
	require.Contains(t, phone.Get("/sessions").Text("main"), "4")
	require.True(t, program.Answers(c.Address+"/readyz"))
}

// startServer is a PostgreSQL that the program is given, to be stopped at will.
func startServer(t *testing.T) (*localpg.Server, localpg.Config) {
	t.Helper()
	config := localpg.Config{Dir: program.Folder(t), Test: true}
	server, err := localpg.Start(t.Context(), config)
	require.NoError(t, err)
	return server, config
}
