package e2e

import (
	"bytes"
	"encoding/json"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// asJSON sends a request as the phone's own program does, and reads the answer.
func asJSON[T any](t *testing.T, phone *visitor.Visitor, r *http.Request, status int) (v T) {
	t.Helper()
	r.Header.Set("Accept", "application/json")
	page, err := phone.Do(r)
	require.NoError(t, err)
	require.Equal(t, status, page.Status, page.Body)
	require.Equal(t, "application/json", page.Header.Get("Content-Type"))
	require.NoError(t, json.Unmarshal([]byte(page.Body), &v), page.Body)
	return v
}

// logged is what the program says of a session that it stored.
type logged struct {
	ID    int64
	Again bool
	Stop  *string
}

// guidedForm is a session of L1 yesterday evening of which the second walk was skipped,
// to the second.
func guidedForm(t *testing.T) (url.Values, []pathway.Block) {
	t.Helper()
	p := pathway.Default()
	plan := p.Blocks(p.Find("L1"))
	form := url.Values{}
	for name, value := range map[string]string{
		"kind": "planned", "key": "key-of-the-guided-session", "phase": "L1", "date": ago(t, 1), "clock": "18:20", "done": "part", "effort": "4", "pain": "none",
	} {
		form.Set(name, value)
	}
	for i, b := range plan {
		at := "blocks[" + strconv.Itoa(i) + "]."
		form.Set(at+"kind", b.Kind.String())
		form.Set(at+"planned_s", strconv.Itoa(b.Planned))
		if i == 3 {
			plan[i].Planned = 0
		}
		form.Set(at+"done_s", strconv.Itoa(plan[i].Planned))
	}
	form.Set("blocks[1].settle_s", "52")
	return form, plan
}

// strapOf is the strap's document of the session: on half a minute before it began, a
// beat a second, no skin for a while, and out of reach for another while.
func strapOf(begun time.Time, plan []pathway.Block) []byte {
	samples, marks := []string{}, []string{}
	at := 0
	for _, b := range plan {
		marks = append(marks, strconv.Itoa(at))
		at += b.Planned
	}
	marks = append(marks, strconv.Itoa(at))
	for s := -30; s < at; s++ {
		switch {
		case s >= 70 && s < 85:
			samples = append(samples, fmt.Sprintf("[%d,0]", 1000*s))
		case s < 150 || s >= 190:
			samples = append(samples, fmt.Sprintf("[%d.5,%d]", 1000*s, 105+s%7))
		}
	}
	return fmt.Appendf(nil, `{"halfhour_strap":1,"started_at":%q,"samples":[%s],"marks":[%s]}`,
		begun.Format(time.RFC3339Nano), strings.Join(samples, ","), strings.Join(marks, ","))
}

// A phone that gets no answer sends again, perhaps while the first is still on its way:
// one session is stored, its recording once, laid by its marks, dropouts as dropouts.
func TestThePhonesProgramStoresOnce(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	c.sql("update athlete set birth_year = 1985")
	form, plan := guidedForm(t)
	lines := c.count("select count(*) from audit")

	answers := make([]logged, 4)
	var all sync.WaitGroup
	for i := range answers {
		all.Go(func() {
			r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, c.Address+"/log", strings.NewReader(form.Encode()))
			if err != nil {
				return
			}
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Accept", "application/json")
			if page, err := phone.Twin().Do(r); err == nil && page.Status == http.StatusOK {
				_ = json.Unmarshal([]byte(page.Body), &answers[i]) // what is missing fails below
			}
		})
	}
	all.Wait()
	fresh := 0
	for _, a := range answers {
		require.Equal(t, answers[0].ID, a.ID)
		require.Positive(t, a.ID)
		if !a.Again {
			fresh++
		}
	}
	require.Equal(t, 1, fresh, "sent four times at once, stored by one of them")
	require.Equal(t, 1, c.count("select count(*) from session"))
	require.Equal(t, lines+1, c.count("select count(*) from audit"))
	require.Equal(t, []string{"{60,240,60,0,60,240,60,240,60,240,60,240} 52"}, c.texts("select done_s::int[]::text || ' ' || settle_s[2]::text from session"))

	id := answers[0].ID
	place, err := time.LoadLocation(zone)
	require.NoError(t, err)
	begun, err := time.ParseInLocation(time.DateOnly+" 15:04", ago(t, 1)+" 18:20", place)
	require.NoError(t, err)
	file := strapOf(begun, plan)
	for _, again := range []bool{false, true} {
		got := asJSON[struct {
			ID, At int64
			Again  bool
		}](t, phone, recordingOf(t, c, id, file), http.StatusOK)
		require.Equal(t, again, got.Again)
		require.Equal(t, []int64{id, id}, []int64{got.ID, got.At})
	}
	require.Equal(t, 1, c.count("select count(*) from recording"))
	c.marked()
	require.NotContains(t, c.Said(), "Ines", "the log names nobody")
}

// recordingOf is the strap's document as the phone sends it.
func recordingOf(t *testing.T, c *club, id int64, file []byte) *http.Request {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("file", "strap.json")
	require.NoError(t, err)
	_, err = part.Write(file)
	require.NoError(t, err)
	require.NoError(t, form.Close())
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, fmt.Sprintf("%s/sessions/%d/recording", c.Address, id), &body)
	require.NoError(t, err)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return r
}

// marked looks at what was read in the recording: its clock begins with the first
// sample, thirty seconds before the session.
func (c *club) marked() {
	t := c.t
	t.Helper()
	var reading struct {
		By     string `json:"by"`
		Blocks []struct {
			From int `json:"f"`
			To   int `json:"t"`
		} `json:"b"`
		Lost []struct {
			From int    `json:"f"`
			To   int    `json:"t"`
			Kind string `json:"k"`
		} `json:"a"`
	}
	texts := c.texts("select format || ' ' || reading::text from recording")
	require.Len(t, texts, 1)
	text, isStrap := strings.CutPrefix(texts[0], "strap ")
	require.True(t, isStrap, texts[0])
	require.NoError(t, json.Unmarshal([]byte(text), &reading))
	require.Equal(t, "marks", reading.By)
	require.Len(t, reading.Blocks, 11, "the walk that was skipped is none")
	require.Equal(t, []int{30, 90, 330, 390}, []int{reading.Blocks[0].From, reading.Blocks[1].From, reading.Blocks[2].From, reading.Blocks[3].From})
	kinds := map[string][2]int{}
	for _, a := range reading.Lost {
		kinds[a.Kind] = [2]int{a.From, a.To}
	}
	require.Equal(t, [2]int{100, 115}, kinds["no_contact"], text)
	require.Contains(t, kinds, "gap", text)
	require.InDelta(t, 180, kinds["gap"][0], 11, text)
	require.Equal(t, 220, kinds["gap"][1], text)
}
