package e2e

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/activityfile"
	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
	"halfhour.app/halfhour/internal/trace"
)

// everythingIn is the whole database of the program as text, past row security.
func (c *club) everythingIn() string {
	c.t.Helper()
	conn := c.connect()
	defer conn.Close(c.t.Context())
	rows, err := conn.Query(c.t.Context(), `select format('%I.%I', schemaname, tablename) from pg_tables where schemaname not in ('pg_catalog', 'information_schema') order by 1`)
	require.NoError(c.t, err)
	tables, err := pgx.CollectRows(rows, pgx.RowTo[string])
	require.NoError(c.t, err)
	require.Greater(c.t, len(tables), 15)
	var all strings.Builder
	for _, table := range tables {
		rows, err := conn.Query(c.t.Context(), "select x::text from "+table+" x")
		require.NoError(c.t, err)
		lines, err := pgx.CollectRows(rows, pgx.RowTo[string])
		require.NoError(c.t, err)
		all.WriteString(table + "\n" + strings.Join(lines, "\n") + "\n")
	}
	return all.String()
}

// unpacked is a downloaded archive, file by file.
func unpacked(t *testing.T, page *visitor.Page) map[string]string {
	t.Helper()
	require.Equal(t, 200, page.Status)
	require.Equal(t, "application/zip", page.Header.Get("Content-Type"))
	z, err := zip.NewReader(strings.NewReader(page.Body), int64(len(page.Body)))
	require.NoError(t, err)
	files := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		content, err := io.ReadAll(r)
		require.NoError(t, err)
		files[f.Name] = string(content)
	}
	return files
}

// strapped is a recording as a strap and a watch would write it down, with laps.
func strapped(t *testing.T, seconds int) string {
	var b strings.Builder
	began := ago(t, 2)
	b.WriteString("timestamp,heart_rate,speed (m/s),steps per minute,lap\n")
	for i := range seconds {
		fmt.Fprintf(&b, "%sT07:%02d:%02dZ,%d,1.%d,%d,%d\n", began, i/60, i%60, 90+i%40, 10+i%80, 100+i%60, 1+i/120)
	}
	return b.String()
}

// upload sends a file with the form of a page.
func upload(t *testing.T, c *club, v *visitor.Visitor, at, file string) *visitor.Page {
	t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	part, err := w.CreateFormFile("file", "session.csv")
	require.NoError(t, err)
	_, err = io.WriteString(part, file)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, reach(c.Program, at), &body)
	require.NoError(t, err)
	request.Header.Set("Content-Type", w.FormDataContentType())
	page, err := v.Do(request)
	require.NoError(t, err)
	return page
}

// An athlete takes everything along and reads it back; asks to be erased, takes it
// back, asks again, and seven days later nothing of her is left in the database, while
// somebody else is there as before.
func TestTakenAlongAndErased(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	at, link := c.add("Quintilla Zwergenfeld", "L2")
	ben, benLink := c.add("Ben Almeida", "L2")
	c.since(30)
	phone, other := c.phone(link), c.phone(benLink)
	page := session(t, phone, 2, "07:10").Set("note", "past the zebra kiosk").Send()
	require.Equal(t, 200, page.Status, page)
	require.Equal(t, 200, session(t, other, 2, "07:40").Set("note", "past the lighthouse").Send().Status)
	recording := strings.TrimPrefix(page.Link("Add the recording of a watch or strap"), c.Address)
	page = upload(t, c, phone, recording, strapped(t, 1800))
	require.Equal(t, 200, page.Status, page)
	note := c.coach.Get(at).Form(`form[action$="/notes"]`).Set("text", "worries about her ochre knee", "private", "1").Send()
	require.Equal(t, 200, note.Status, note)

	me := phone.Get("/me")
	require.Contains(t, me.Text("main"), "Mara Lindqvist looked at your page on one day")
	require.Contains(t, me.Text("main"), "One heart-rate recording")
	readBack(t, unpacked(t, phone.Get(me.Link("Download everything"))))
	require.Contains(t, unpacked(t, c.coach.Get(at+"/archive"))["README.txt"], "Quintilla Zwergenfeld")
	require.Contains(t, phone.Get("/me").Text("main"), "as a file,")

	require.Contains(t, phone.Get("/me/erase").Form("main form").Send().Text("main"), "You asked to be erased")
	require.Contains(t, c.coach.Get("/roster").Text("main"), "Quintilla Zwergenfeld asked to be erased")
	require.Contains(t, phone.Get("/me").Form("main section.stop form").Send().Text("main"), "Nothing is erased")
	require.NotContains(t, c.coach.Get("/roster").Text("main"), "asked to be erased")
	require.Equal(t, 200, phone.Get("/me/erase").Form("main form").Send().Status)

	held := c.everythingIn()
	for _, trait := range traits() {
		require.Contains(t, held, trait)
	}
	c.overdue("update erasure set asked_at = asked_at - interval '7 days 1 minute'")
	c.Again()
	require.Eventually(t, func() bool { return c.count("select count(*) from erasure") == 0 }, time.Minute, 50*time.Millisecond, "the errand of the day")
	held = c.everythingIn()
	for _, trait := range traits() {
		require.NotContains(t, held, trait)
	}
	require.Equal(t, 1, c.count("select sum(erased)::int from tally where sessions = 1"))
	require.Contains(t, held, "past the lighthouse")
	require.Equal(t, 200, c.coach.Get(ben).Status)
	require.Equal(t, 404, c.coach.Get(at).Status)
	require.Equal(t, 410, visitor.New(t, c.Address).Get(link).Status)
	require.True(t, strings.HasPrefix(phone.Get("/today").Path, "/sign-in"))
	require.NotContains(t, c.Said(), "Quintilla")
}

// traits are what is known of her and of nobody else.
func traits() []string { return []string{"Quintilla", "zebra kiosk", "ochre knee"} }

// readBack reads the archive as its owner would, and the recording as this program does.
func readBack(t *testing.T, files map[string]string) {
	t.Helper()
	require.Contains(t, files["README.txt"], "Quintilla Zwergenfeld\nEverything that Harbour Half Hour keeps about you")
	sessions, err := csv.NewReader(strings.NewReader(files["sessions.csv"])).ReadAll()
	require.NoError(t, err)
	require.Len(t, sessions, 2)
	require.Contains(t, sessions[1], "past the zebra kiosk")
	blocks, err := csv.NewReader(strings.NewReader(files["blocks.csv"])).ReadAll()
	require.NoError(t, err)
	require.Len(t, blocks, 13, "six runs and six walks")
	var everything map[string]json.RawMessage
	require.NoError(t, json.Unmarshal([]byte(files["everything.json"]), &everything))
	require.Contains(t, string(everything["note"]), "worries about her ochre knee")
	require.Contains(t, string(everything["audit"]), "recording.attach")
	require.NotContains(t, files["everything.json"], "lighthouse", "nobody else's")

	var name string
	for file := range files {
		if strings.HasSuffix(file, ".csv") && strings.Contains(file, "-session-") {
			name = file
		}
	}
	sent, err := activityfile.Read([]byte(strapped(t, 1800)))
	require.NoError(t, err)
	came, err := activityfile.Read([]byte(files[name]))
	require.NoError(t, err, files[name][:200])
	require.Len(t, came.Recording.Samples, 1800)
	require.Equal(t, sent.Recording, came.Recording)
	require.Equal(t, trace.Pack(&sent.Recording), trace.Pack(&came.Recording))
}

// A coach erases at once, and only with the name.
func TestErasedByACoach(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	at, _ := c.add("Quintilla Zwergenfeld", "L2")
	kept := c.coach.Get(at + "/kept")
	require.Equal(t, 422, kept.Form(`form[action$="/erase"]`).Set("name", "Quintila").Send().Status)
	page := kept.Form(`form[action$="/erase"]`).Set("name", "quintilla zwergenfeld").Send()
	require.Equal(t, "/roster?said=erased", page.Path)
	require.NotContains(t, c.everythingIn(), "Quintilla")
	again, err := c.coach.Post(at+"/erase", url.Values{"name": {"quintilla zwergenfeld"}})
	require.NoError(t, err)
	require.Equal(t, 404, again.Status)
}
