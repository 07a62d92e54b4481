package httpd

import (
	"bytes"
	"fmt"
	"math"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// readLines reads the files of these tests: a heart rate a line, one a second; a
// line like 2026-04-03 says when it began, else yesterday at seven.
func readLines(body []byte) (heart.File, error) {
	f := heart.File{Format: "csv", Recording: trace.Recording{Start: time.Date(2026, 4, 13, 6, 0, 0, 0, time.UTC)}}
	for line := range strings.Lines(string(body)) {
		line = strings.TrimSpace(line)
		if at, err := time.Parse(time.DateOnly, line); err == nil {
			f.Recording.Start = at
			continue
		}
		bpm, err := strconv.Atoi(line)
		if err != nil {
			return f, fault.At(fault.Field{Place: "file", Message: "this is no recording of heart rate"})
		}
		f.Recording.Samples = append(f.Recording.Samples, trace.Sample{At: int32(len(f.Recording.Samples)), BPM: int16(bpm), Speed: trace.Unknown, Steps: trace.Unknown})
	}
	return f, nil
}

// beating is a recording of the plan: a heart that follows runs and walks with a
// lag of 40 s up and 50 s down, as first-order kinetics have it.
func beating(plan []pathway.Block, begun string) []byte {
	var b bytes.Buffer
	if begun != "" {
		b.WriteString(begun + "\n")
	}
	rate, n := 95.0, 0
	for _, block := range plan {
		goal, lag := 102.0, 50.0
		if block.Kind == pathway.Run {
			goal, lag = 160, 40
		}
		for range block.Planned {
			rate += (goal - rate) / lag
			n++
			fmt.Fprintln(&b, int(math.Round(rate+1.5*math.Sin(float64(n)/4))))
		}
	}
	return b.Bytes()
}

// l3 is the plan of the athletes of these tests.
func l3() []pathway.Block {
	p := pathway.Default()
	return p.Blocks(p.Find("L3"))
}

// upload is a form with a file: names and values of the other fields in turn.
func upload(path string, file []byte, pairs ...string) *http.Request {
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	if file != nil {
		part, _ := form.CreateFormFile("file", "evening.csv")
		_, _ = part.Write(file)
	}
	for i := 0; i < len(pairs); i += 2 {
		_ = form.WriteField(pairs[i], pairs[i+1])
	}
	_ = form.Close()
	r := httptest.NewRequest(http.MethodPost, path, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return r
}

// heard is a track whose athlete logged a session yesterday and has a ceiling of 132.
func heard(t *testing.T) (*track, roster.SessionID) {
	k := newTrack(t)
	id := k.logs(k.ines, 1)
	k.talked(132, 5)
	return k, id
}

// talked stores a talk test of some days ago.
func (k *track) talked(bpm intensity.BPM, ago day.Date) {
	_, err := k.store.Measure(k.t.Context(), roster.Actor{Club: k.club.ID, Athlete: k.ines}, roster.Measurement{
		Athlete: k.ines, Key: roster.Key(fmt.Sprintf("key-of-talk-test-%d", ago)), On: tuesday() - ago, Kind: roster.TalkTested, BPM: bpm,
		Stages: []intensity.Stage{{Rate: bpm, Talk: intensity.Chat}, {Rate: bpm + 12, Talk: intensity.Words}},
	})
	require.NoError(k.t, err)
}

func TestARecordingIsAddedOnThePhoneAndSeenAtTheDesk(t *testing.T) {
	k, id := heard(t)
	at := fmt.Sprintf("/sessions/%d/recording", id)
	empty := k.phone.get(at)
	require.Equal(t, http.StatusOK, empty.StatusCode)
	require.Contains(t, text(empty.one("main")), "Where you were is dropped at once and never stored")
	require.Contains(t, text(empty.one("main")), "12 MiB")
	require.Equal(t, "multipart/form-data", attr(empty.one("main form"), "enctype"))
	require.Empty(t, empty.all("svg.tc"))

	k.phone.do(upload(at, beating(l3(), ""))).leadsTo(at + "?said=recorded")
	a := k.phone.get(at + "?said=recorded")
	main := text(a.one("main"))
	for _, words := range []string{
		"The recording is attached", "All six walks settled.", "Usable for 100% of the session", "By the heart rate itself",
		"An easy ceiling of 132, from a talk test. In two of three people it lies within 5 beats of that.", "CSV, 30 min long, added by you today.",
	} {
		require.Contains(t, main, words)
	}
	require.Len(t, a.all("svg.tc"), 1)
	require.Contains(t, attr(a.one("svg.tc"), "aria-label"), "the easy ceiling is 132")
	require.Len(t, a.all("table.walks tbody tr"), 6)
	require.Contains(t, text(a.all("table.walks tbody tr")[0]), "settled")
	require.Len(t, a.all("link[href$='/heart.css']"), 1)

	desk := k.desk.get(athletePath(k.ines))
	require.Len(t, desk.all("svg.tc"), 1, "the trace stands in place of the strip")
	require.Contains(t, text(desk.one("main")), "All six walks settled.")
	require.Contains(t, text(desk.one("[aria-labelledby=heart-card]")), "Easy ceiling 132. From a talk test, since Thursday.")
	wide := k.desk.get(athletePath(k.ines) + at)
	require.Contains(t, text(wide.one("main")), "Ines Okafor, in full, 30 min")
	require.Contains(t, text(wide.one("main")), "added by the athlete today")
}

func TestTheSameFileIsStoredOnce(t *testing.T) {
	k, id := heard(t)
	other := k.logs(k.ines, 3)
	at, elsewhere := fmt.Sprintf("/sessions/%d/recording", id), fmt.Sprintf("/sessions/%d/recording", other)
	file := beating(l3(), "")
	k.phone.do(upload(at, file)).leadsTo(at + "?said=recorded")
	k.phone.do(upload(at, file)).leadsTo(at + "?said=recorded-before")
	k.phone.do(upload(elsewhere, file)).leadsTo(fmt.Sprintf("%s?said=recorded-elsewhere&at=%d", elsewhere, id))
	a := k.phone.get(fmt.Sprintf("%s?said=recorded-elsewhere&at=%d", elsewhere, id))
	require.Equal(t, at, attr(a.one(".notice a"), "href"))
	require.Len(t, k.store.Recorded, 1)
	at = athletePath(k.ines) + at
	k.desk.do(upload(at, file)).leadsTo(at + "?said=recorded-before")
}

func TestAnotherRecordingAsksFirst(t *testing.T) {
	k, id := heard(t)
	at := fmt.Sprintf("/sessions/%d/recording", id)
	k.phone.do(upload(at, beating(l3(), "")))
	second := beating(l3()[1:], "")
	a := k.phone.do(upload(at, second))
	require.Equal(t, http.StatusConflict, a.StatusCode)
	require.Contains(t, text(a.one("#refused")), "Shall the new one take its place?")
	require.Contains(t, text(a.one("main")), "please choose it again")
	require.Len(t, a.all("input[name=replace]"), 1)
	require.Empty(t, a.all("input[name=anyway]"))
	require.Len(t, a.all("svg.tc"), 1, "what is there stays in view")

	late := beating(l3()[2:], "2026-04-03")
	a = k.phone.do(upload(at, late, "replace", "1"))
	require.Equal(t, http.StatusConflict, a.StatusCode)
	require.Contains(t, text(a.one("#refused")), "3 April")
	require.True(t, has(a.one("input[name=replace]"), "checked"), "what was answered stays answered")
	require.Len(t, a.all("input[name=anyway]"), 1)
	k.phone.do(upload(at, late, "replace", "1", "anyway", "1")).leadsTo(at + "?said=recorded")
	require.Len(t, k.store.Recorded, 1)
}

func TestAFileThatCannotBeReadIsToldAtItsField(t *testing.T) {
	k, id := heard(t)
	at := fmt.Sprintf("/sessions/%d/recording", id)
	for why, row := range map[string]struct {
		request *http.Request
		status  int
		words   string
	}{
		"not a recording":    {upload(at, []byte("hello")), 422, "This is no recording of heart rate"},
		"no heart rate":      {upload(at, []byte("0\n0")), 422, "There is no heart rate in this file"},
		"nothing chosen":     {upload(at, nil), 422, "Please choose a file"},
		"an empty file":      {upload(at, []byte{}), 422, "Please choose a file"},
		"a bare form":        {httptest.NewRequest(http.MethodPost, at, strings.NewReader("file=x")), 422, "Please choose a file"},
		"larger than taken":  {upload(at, make([]byte, mostFile+1)), 413, "The file is larger than 12 MiB"},
		"far larger":         {upload(at, make([]byte, mostThrough+1)), 413, "The file is larger than 12 MiB"},
		"as large as may be": {upload(at, bytes.Repeat([]byte("nonsense"), mostFile/8)), 422, "This is no recording of heart rate"},
	} {
		a := k.phone.do(row.request)
		require.Equal(t, row.status, a.StatusCode, why)
		require.Contains(t, text(a.one("#file-wrong")), row.words, why)
		require.Equal(t, "true", attr(a.one("#file"), "aria-invalid"), why)
	}
	require.Empty(t, k.store.Recorded)
	a := k.phone.do(func() *http.Request {
		r := upload(at, []byte("90\n91"))
		r.Body = http.NoBody // broken off
		return r
	}())
	require.Equal(t, 422, a.StatusCode)
	require.Contains(t, text(a.one("body")), "arrived damaged")
}

// Only these routes take more than a form holds, and only they have the time.
func TestNothingElseTakesALargeBody(t *testing.T) {
	large := 0
	for _, line := range routes() {
		if line.uploads() {
			large++
			require.True(t, strings.HasSuffix(line.pattern, "/sessions/{session}/recording"), line.pattern)
		}
	}
	require.Equal(t, 2, large)
	k, id := heard(t)
	a := k.phone.do(upload(fmt.Sprintf("/sessions/%d/recording/anew", id), make([]byte, 2<<20)))
	require.Equal(t, http.StatusRequestEntityTooLarge, a.StatusCode)
}

func TestReadAnewAndRemoved(t *testing.T) {
	k, id := heard(t)
	at := fmt.Sprintf("/sessions/%d/recording", id)
	k.phone.do(upload(at, beating(l3(), "")))
	require.NotContains(t, text(k.phone.get(at).one("main")), "Reading it anew")
	k.talked(108, 2) // a test that was forgotten
	require.Contains(t, text(k.phone.get(at).one("main")), "Reading it anew may say something else")
	k.phone.post(at + "/anew").leadsTo(at + "?said=read-anew")
	main := text(k.phone.get(at).one("main"))
	require.Contains(t, main, "An easy ceiling of 108")
	require.Contains(t, main, "another ceiling within its uncertainty would say otherwise")

	a := k.phone.get(at)
	require.Equal(t, at+"/remove", attr(a.one("details form[action$='/remove']"), "action"), "asks before it goes")
	k.phone.post(at + "/remove").leadsTo(at + "?said=unrecorded")
	k.phone.post(at + "/remove").leadsTo(at + "?said=unrecorded")
	require.Empty(t, k.store.Recorded)
	require.Empty(t, k.phone.get(at).all("svg.tc"))
}

func TestWhatStandsInTheWayIsSaidFirst(t *testing.T) {
	k, id := heard(t)
	at := fmt.Sprintf("/sessions/%d/recording", id)
	k.phone.do(upload(at, beating(l3(), "")))
	a := k.store.Athletes[k.ines]
	a.HeartUsable = false
	k.store.Athletes[k.ines] = a
	require.Contains(t, text(k.phone.get(at).all(".off")[0]), "Heart rate does not count here")
	a.HeartUsable = true
	k.store.Athletes[k.ines] = a
	hot := k.logs(k.ines, 3, func(e *entry.Entry) { e.Hot = true })
	require.Contains(t, text(k.phone.get(fmt.Sprintf("/sessions/%d/recording", hot)).all(".off")[0]), "it was hot")
}

func TestWithoutACeilingTheWayToOneIsShown(t *testing.T) {
	k := newTrack(t)
	a := k.store.Athletes[k.ines]
	a.BirthYear = 0
	k.store.Athletes[k.ines] = a
	at := fmt.Sprintf("/sessions/%d/recording", k.logs(k.ines, 1))
	k.phone.do(upload(at, beating(l3(), ""))).leadsTo(at + "?said=recorded")
	page := k.phone.get(at)
	require.Contains(t, text(page.one("main")), "A talk test gives one")
	require.NotEmpty(t, page.all("main a[href='/heart']"))
	require.Empty(t, page.all("svg.tc .half"), "no ceiling is drawn")
}

func TestBreathAndHeartThatDisagreeAreBothShown(t *testing.T) {
	k := newTrack(t)
	id := k.logs(k.ines, 1, func(e *entry.Entry) { e.Breath = readiness.Late })
	k.talked(132, 5)
	at := fmt.Sprintf("/sessions/%d/recording", id)
	k.phone.do(upload(at, beating(l3(), "")))
	a := k.phone.get(at)
	main := text(a.one("main"))
	require.Contains(t, main, "Heart and breath disagree in walks 1, 2, 3, 4, 5 and 6")
	row := text(a.all("table.walks tbody tr")[0])
	require.Contains(t, row, "not settled")
	require.Contains(t, row, "mixed")
	require.Contains(t, text(k.desk.get(athletePath(k.ines)).one("main")), "the session is mixed")
}

// A session that was corrected after its recording was read still shows it.
func TestACorrectedSessionKeepsItsTrace(t *testing.T) {
	k, id := heard(t)
	at := fmt.Sprintf("/sessions/%d/recording", id)
	k.phone.do(upload(at, beating(l3(), "")))
	form := k.phone.get(fmt.Sprintf("/sessions/%d", id))
	k.phone.post(fmt.Sprintf("/sessions/%d", id), typedIn(form, "done", "part", "until", "4", "effort", "4")...)
	a := k.phone.get(at)
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Len(t, a.all("svg.tc"), 1)
	require.Contains(t, text(a.one("main")), "the session was corrected since")
}

// leadsToStored checks for the redirect after a session was stored, which names it
// where a recording can be added.
func (a *answer) leadsToStored(home string) {
	a.t.Helper()
	require.Equal(a.t, http.StatusSeeOther, a.StatusCode, a.body)
	require.Regexp(a.t, `^`+home+`\?said=logged(&at=\d+)?$`, a.Header.Get("Location"))
}

func TestAfterLoggingTheWatchIsAskedFor(t *testing.T) {
	k := newTrack(t)
	form := k.phone.get("/log")
	to := k.phone.post("/log", typedIn(form, "done", "all", "effort", "4")...).Header.Get("Location")
	a := k.phone.get(to)
	link := a.one(".notice a")
	require.Equal(t, "Add the recording of a watch or strap", text(link))
	require.Equal(t, http.StatusOK, k.phone.get(attr(link, "href")).StatusCode)
	require.Contains(t, text(k.phone.get("/sessions").one("main")), "Add a recording")
}

func TestSettledWords(t *testing.T) {
	of := func(answers ...heart.Said) *heart.Seen {
		seen := &heart.Seen{}
		for _, a := range answers {
			seen.Walks = append(seen.Walks, heart.Walk{Both: a})
		}
		return seen
	}
	const yes, no, open = heart.HasSettled, heart.HasNotSettled, heart.CannotTell
	for want, seen := range map[string]*heart.Seen{
		"There is no walk after a run in this session, so none is judged.": of(),
		"The one walk settled.":                                       of(yes),
		"The one walk did not settle.":                                of(no),
		"It cannot be told whether the one walk settled.":             of(open),
		"Both walks settled.":                                         of(yes, yes),
		"Neither walk settled.":                                       of(no, no),
		"Of none of the two walks can it be told whether it settled.": of(open, open),
		"All three walks settled.":                                    of(yes, yes, yes),
		"One of three walks settled; of one it cannot be told.":       of(yes, no, open),
		"None of the three walks settled; of two it cannot be told.":  of(no, open, open),
	} {
		require.Equal(t, want, settledWords(seen))
	}
	seen := of()
	seen.Reading.Blocks = make([]trace.Block, 3)
	require.Contains(t, settledWords(seen), "told without its blocks")
}
