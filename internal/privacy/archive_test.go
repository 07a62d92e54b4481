package privacy_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// files is the athlete's archive, file by file.
func (h *house) files() map[string]string {
	h.t.Helper()
	b, err := h.use.Bundle(context.Background(), h.self(), h.ana.ID)
	require.NoError(h.t, err)
	require.Equal(h.t, "halfhour-2026-04-14.zip", b.Name())
	var out bytes.Buffer
	require.NoError(h.t, b.WriteTo(context.Background(), &out))
	z, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
	require.NoError(h.t, err)
	all := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(h.t, err)
		content, err := io.ReadAll(r)
		require.NoError(h.t, err)
		require.Equal(h.t, zip.Deflate, f.Method)
		all[f.Name] = string(content)
	}
	return all
}

// rows of a CSV file, each by the names of its columns.
func rows(t *testing.T, file string) (all []map[string]string) {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(file)).ReadAll()
	require.NoError(t, err)
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, cell := range line {
			row[lines[0][i]] = cell
		}
		all = append(all, row)
	}
	return all
}

func TestAnEmptyArchiveIsWhole(t *testing.T) {
	h := newHouse(t)
	files := h.files()
	require.Len(t, files, 4)
	require.Contains(t, files["README.txt"], "Ana Maria  Costa\nEverything that Harbour keeps about you in Halfhour,\nas it stood on 14 April 2026, 07:00 (Europe/Lisbon).")
	require.Contains(t, files["README.txt"], "\n  leave             your times away\n")
	require.Empty(t, rows(t, files["sessions.csv"]))
	require.True(t, json.Valid([]byte(files["everything.json"])), files["everything.json"])
}

func TestEverythingIsInPieces(t *testing.T) {
	h := newHouse(t)
	for i := range 5 {
		h.store.Written = append(h.store.Written, roster.Note{ID: roster.NoteID(100 + i), Athlete: h.ana.ID, Coach: h.coach.Coach, Text: fmt.Sprintf("note “%d”", i), Private: i == 3})
	}
	require.NoError(t, h.use.Ask(context.Background(), h.self()))
	var all struct {
		About struct {
			Club, Athlete string
			MadeAt        time.Time `json:"made_at"`
			Coaches       map[string]string
		}
		Athlete []roster.Athlete
		Note    []roster.Note
		Leave   []any
		Audit   []map[string]string
	}
	text := h.files()["everything.json"]
	require.NoError(t, json.Unmarshal([]byte(text), &all), text)
	require.Equal(t, "Harbour", all.About.Club)
	require.Equal(t, map[string]string{fmt.Sprint(h.coach.Coach): "Owner of Harbour"}, all.About.Coaches)
	require.Equal(t, h.now, all.About.MadeAt)
	require.Len(t, all.Athlete, 1)
	require.Equal(t, h.store.Written, all.Note, "private ones too, each once, in their order")
	require.Empty(t, all.Leave)
	require.Equal(t, []map[string]string{{"change": "something.done"}}, all.Audit)
}

func TestSessionsAsATable(t *testing.T) {
	h := newHouse(t)
	planned := roster.Session{ID: 7, Athlete: h.ana.ID, Key: "key-1234", Note: "=HYPERLINK(\"http://example.org\")", LoggedAt: h.now, ByCoach: h.coach.Coach, WarmUp: roster.AroundDone}
	planned.Session = readiness.Session{
		StartedAt: h.now.Add(-24 * time.Hour), Date: day.On(2026, time.April, 13), Kind: readiness.Planned, Phase: "L3", Minutes: readiness.Some(30),
		Effort: readiness.Some(4), Talk: readiness.Sentence, Breath: readiness.Early, Limp: true, PainAsked: true,
		Pain:  []readiness.Pain{{Site: "left shin", Score: 4, NextMorning: readiness.Some(2)}, {Site: "right knee", Score: 1}},
		Signs: []readiness.Sign{readiness.NightPain},
		Blocks: []readiness.Block{
			{Kind: pathway.Run, Planned: 120, Done: 60},
			{Kind: pathway.Walk, Planned: 180, Done: 180, Settle: readiness.Some(55), Heart: readiness.Heart{Valid: readiness.Some(170), Seconds: readiness.Some(90)}},
		},
	}
	rest := roster.Session{ID: 6, Athlete: h.ana.ID, Key: "key-1235", LoggedAt: h.now, Note: "-5 outside, +1 felt"}
	rest.Session = readiness.Session{StartedAt: h.now.Add(-48 * time.Hour), Date: day.On(2026, time.April, 12), Kind: readiness.Other, PainAsked: true}
	h.store.Logged = append(h.store.Logged, planned, rest)
	files := h.files()
	table := rows(t, files["sessions.csv"])
	require.Len(t, table, 2)
	require.Equal(t, map[string]string{
		"session": "7", "date": "2026-04-13", "started_at": "2026-04-13T06:00:00Z", "kind": "planned", "phase": "L3", "outcome": "shortened",
		"minutes": "30", "effort_of_10": "4", "talk": "sentence", "breath_back": "early", "hot": "no", "limp": "yes", "warm_up": "done", "cool_down": "",
		"pain": "left shin 4 (next morning 2); right knee 1", "warning_signs": readiness.NightPain.Words(),
		"note": "'=HYPERLINK(\"http://example.org\")", "entered_at": "2026-04-14T06:00:00Z", "entered_by": "Owner of Harbour",
	}, table[0])
	require.Equal(t, "none", table[1]["pain"])
	require.Equal(t, "", table[1]["effort_of_10"], "not told is empty")
	require.Equal(t, "'-5 outside, +1 felt", table[1]["note"])
	require.Equal(t, "Ana Maria  Costa", table[1]["entered_by"])
	blocks := rows(t, files["blocks.csv"])
	require.Equal(t, []map[string]string{
		{"session": "7", "date": "2026-04-13", "block": "1", "kind": "run", "planned_seconds": "120", "done_seconds": "60", "breath_back_after_seconds": "", "recorded_seconds": "", "heart_seconds": ""},
		{"session": "7", "date": "2026-04-13", "block": "2", "kind": "walk", "planned_seconds": "180", "done_seconds": "180", "breath_back_after_seconds": "55", "recorded_seconds": "170", "heart_seconds": "90"},
	}, blocks)
}

// record adds a session with its recording.
func (h *house) record(id roster.SessionID, on day.Date, r trace.Recording) {
	s := roster.Session{ID: id, Athlete: h.ana.ID, Key: roster.Key(fmt.Sprintf("key-%08d", id))}
	s.Session = readiness.Session{StartedAt: on.UTC(), Date: on, Kind: readiness.Planned, Phase: "L3", Minutes: readiness.Some(30)}
	h.store.Logged = append(h.store.Logged, s)
	h.store.Recorded = append(h.store.Recorded, roster.Recording{ID: roster.RecordingID(1000 + id), Athlete: h.ana.ID, Session: id, On: on, Format: "fit", Body: trace.Pack(&r)})
}

func TestRecordingsAsTables(t *testing.T) {
	h := newHouse(t)
	h.record(11, day.On(2026, time.April, 13), trace.Recording{
		Start: time.Date(2026, time.April, 13, 6, 0, 0, 500e6, time.UTC), Laps: []int32{2}, Marks: []int32{0, 3},
		Samples: []trace.Sample{{At: 0, BPM: 90, Speed: 250, Steps: 160}, {At: 1, BPM: 0, Speed: trace.Unknown, Steps: 0}, {At: 3, BPM: 93, Speed: 7, Steps: trace.Unknown}},
	})
	h.record(12, day.On(2026, time.April, 11), trace.Recording{Samples: []trace.Sample{{At: 0, BPM: 80, Speed: trace.Unknown, Steps: trace.Unknown}}})
	files := h.files()
	require.Equal(t, `timestamp,heart_rate,speed (m/s),steps per minute,lap
2026-04-13T06:00:00.5Z,90,2.50,160,1
2026-04-13T06:00:01.5Z,,,0,1
2026-04-13T06:00:03.5Z,93,0.07,,2
`, files["recordings/2026-04-13-session-11.csv"])
	require.Equal(t, "elapsed_s,heart_rate\n0,80\n", files["recordings/2026-04-11-session-12.csv"])
	require.Equal(t, "recording,mark,elapsed_s\n2026-04-13-session-11.csv,1,0\n2026-04-13-session-11.csv,2,3\n", files["recordings/marks.csv"])
}

// Much takes up no more room than little: of many recordings only one is held at a
// time. What is written goes nowhere.
func TestTheArchiveHoldsLittleAtATime(t *testing.T) {
	h := newHouse(t)
	samples := make([]trace.Sample, 20_000)
	for i := range samples {
		samples[i] = trace.Sample{At: int32(i), BPM: int16(90 + i%50), Speed: int16(i % 300), Steps: int16(i % 200)}
	}
	body := trace.Pack(&trace.Recording{Samples: samples})
	for i := range 60 {
		h.record(roster.SessionID(100+i), day.On(2026, time.April, 1), trace.Recording{})
		h.store.Recorded[i].Body = body
	}
	b, err := h.use.Bundle(context.Background(), h.self(), h.ana.ID)
	require.NoError(t, err)
	w := &watcher{}
	runtime.GC()
	var before runtime.MemStats
	runtime.ReadMemStats(&before)
	require.NoError(t, b.WriteTo(context.Background(), w))
	require.Greater(t, w.written, 3<<20)
	require.Less(t, int64(w.most)-int64(before.HeapAlloc), int64(12<<20), "the whole as text would be %d MB", 60*20_000*20>>20)
}

// watcher looks at the heap now and then while it is written to.
type watcher struct {
	written, calls int
	most           uint64
}

func (w *watcher) Write(p []byte) (int, error) {
	w.written += len(p)
	if w.calls++; w.calls%20 == 0 {
		runtime.GC()
		var now runtime.MemStats
		runtime.ReadMemStats(&now)
		w.most = max(w.most, now.HeapAlloc)
	}
	return len(p), nil
}

func TestLeftOutSaysWhy(t *testing.T) {
	for column, reason := range privacy.LeftOut() {
		require.Greater(t, len(reason), 20, column)
	}
}
