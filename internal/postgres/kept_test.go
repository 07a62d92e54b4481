package postgres

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// promises is the use case over the store.
func (b *bench) promises() *privacy.Service {
	return &privacy.Service{Store: b.Store, Now: func() time.Time { return noon }}
}

// unzip is the archive of the athlete, file by file.
func unzip(t *testing.T, archive []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
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

func (b *bench) archive(t *testing.T, who roster.Actor, a roster.Athlete) map[string]string {
	t.Helper()
	bundle, err := b.promises().Bundle(t.Context(), who, a.ID)
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, bundle.WriteTo(t.Context(), &out))
	return unzip(t, out.Bytes())
}

// recorded is an athlete with a row in every table, and a recording that can be
// unpacked.
func (b *bench) recorded(t *testing.T, c club) roster.Athlete {
	t.Helper()
	a := b.fill(t, c)
	body := trace.Pack(&trace.Recording{Start: noon, Samples: []trace.Sample{{At: 0, BPM: 90, Speed: trace.Unknown, Steps: trace.Unknown}, {At: 1, BPM: 91, Speed: trace.Unknown, Steps: trace.Unknown}}})
	_, err := b.admin.Exec(t.Context(), "update recording set body = $1", body)
	require.NoError(t, err)
	return a
}

// Whatever table and whatever column there is about somebody is in the archive, or
// stands in privacy.LeftOut with its reason.
func TestTheArchiveHoldsEveryColumnOfEveryTable(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	other := b.recorded(t, c)
	a := b.recorded(t, c)
	files := b.archive(t, c.Actor, a)
	var everything map[string]json.RawMessage
	require.NoError(t, json.Unmarshal([]byte(files["everything.json"]), &everything))
	left := privacy.LeftOut()
	for _, table := range b.about(t) {
		var rows []map[string]json.RawMessage
		require.Contains(t, everything, table)
		require.NoError(t, json.Unmarshal(everything[table], &rows))
		kept := valuesOf[string](t, b.admin, "select to_jsonb(x)::text from "+table+" x where athlete_id = $1", a.ID)
		require.Len(t, rows, len(kept), table)
		columns := valuesOf[string](t, b.admin, "select column_name::text from information_schema.columns where table_schema = 'public' and table_name = $1", table)
		for _, row := range rows {
			for _, column := range columns {
				if reason := left[table+"."+column]; reason != "" {
					require.NotContains(t, row, column)
					continue
				}
				require.Contains(t, row, column, "%s.%s: it belongs into the archive, or into privacy.LeftOut with a reason", table, column)
			}
		}
		var whole []map[string]any
		require.NoError(t, json.Unmarshal(everything[table], &whole))
		for _, row := range kept {
			var want map[string]any
			require.NoError(t, json.Unmarshal([]byte(row), &want))
			maps.DeleteFunc(want, func(column string, _ any) bool { return left[table+"."+column] != "" })
			require.Contains(t, whole, want, "%s as it is kept", table)
		}
		require.NotContains(t, string(everything[table]), fmt.Sprintf(`"athlete_id": %d`, other.ID), table)
	}
	for column, reason := range left {
		require.NotEmpty(t, reason, column)
		table, name, _ := strings.Cut(column, ".")
		require.True(t, value[bool](t, b, "select exists (select from information_schema.columns where table_name = $1 and column_name = $2)", table, name), "%s is left out and is not there", column)
	}
	require.ElementsMatch(t, slices.Sorted(maps.Keys(left)), valuesOf[string](t, b.admin, `select c.table_name || '.' || c.column_name from information_schema.columns c
		where c.table_schema = 'public' and c.data_type = 'bytea' and exists (select from information_schema.columns o
			where o.table_schema = 'public' and o.table_name = c.table_name and o.column_name = 'athlete_id') order by 1`), "whether bytes are a secret somebody must say")
}

// Each table has its line in plain words: in the package, or as the table's comment.
func TestTheReadmeSaysWhatEveryTableIs(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	readme := b.archive(t, c.Actor, b.recorded(t, c))["README.txt"]
	for _, table := range append(b.about(t), "audit") {
		require.Regexp(t, `(?m)^  `+table+` +\w\w+`, readme, "say what %s holds: a comment on the table will do", table)
	}
	for _, line := range strings.Split(readme, "\n") {
		require.LessOrEqual(t, len([]rune(line)), 90, line)
	}
}

func TestTheArchiveTellsWhatWasDoneWithTheRows(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	other := b.fill(t, c)
	a := b.fill(t, c)
	own := b.session(a, 5)
	_, _, err := b.Log(t.Context(), roster.Actor{Club: c.ID, Athlete: a.ID}, own, 0)
	require.NoError(t, err)
	changes := func(of roster.Athlete) (all []string) {
		lines, err := b.Lines(t.Context(), c.ID, of.ID)
		require.NoError(t, err)
		for _, line := range lines {
			var l struct {
				Change string
				Coach  *int64 `json:"coach_id"`
				Self   *int64 `json:"athlete_id"`
			}
			require.NoError(t, json.Unmarshal(line, &l))
			if l.Self != nil {
				require.EqualValues(t, of.ID, *l.Self)
				l.Change += " by the athlete"
			}
			all = append(all, l.Change)
		}
		return all
	}
	common := []string{"athlete.add", "session.log", "session.log", "recording.attach", "measurement.add", "leave.add", "note.add", "decision.keep", "erasure.ask by the athlete"}
	for _, change := range common {
		require.Contains(t, changes(a), change)
	}
	require.Contains(t, changes(a), "session.log by the athlete")
	require.NotContains(t, changes(other), "session.log by the athlete")
	require.NotContains(t, changes(a), "club.found")
	lines, err := b.Lines(t.Context(), b.club(t, "Hill").ID, a.ID)
	require.NoError(t, err)
	require.Empty(t, lines, "another club's number")
}

// Rows come a few at a time, each once, whichever table it is.
func TestRowsComeInPieces(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	for i := range 2*rowsAtOnce + 3 {
		_, err := b.AddNote(t.Context(), c.Actor, roster.Note{Athlete: a.ID, Coach: c.Coach, At: noon, Text: fmt.Sprint("note ", i)}, b.key())
		require.NoError(t, err)
	}
	for i := range wideRowsAtOnce + 1 {
		_, err := b.Keep(t.Context(), c.Actor, b.decision(c, a, roster.Seen, "L3"), a.Version+i)
		require.NoError(t, err)
	}
	tables, err := b.Tables(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, "athlete", tables[0].Name)
	sizes := map[string][]int{}
	for _, table := range tables {
		seen := map[string]bool{}
		for from := int64(0); ; {
			rows, next, err := b.Rows(t.Context(), c.ID, a.ID, table, from)
			require.NoError(t, err)
			for _, row := range rows {
				require.False(t, seen[string(row)], "twice")
				seen[string(row)] = true
			}
			sizes[table.Name] = append(sizes[table.Name], len(rows))
			if from = next; next == 0 {
				break
			}
		}
	}
	require.Equal(t, []int{rowsAtOnce, rowsAtOnce, 3}, sizes["note"])
	require.Equal(t, []int{wideRowsAtOnce, 1}, sizes["decision"])
	counts, err := b.Counts(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, map[string]int{"athlete": 1, "note": 2*rowsAtOnce + 3, "decision": wideRowsAtOnce + 1}, func() map[string]int {
		n := map[string]int{}
		for _, c := range counts {
			n[c.Table] = c.Rows
		}
		return n
	}())
	_, _, err = b.Rows(t.Context(), c.ID, a.ID, privacy.Table{Name: `note" where false; drop table note; --`, Columns: "note_id"}, 0)
	require.Error(t, err)
	require.Positive(t, value[int](t, b, "select count(*)::int from note"))
}

func TestWhoLooked(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	look := func(on day.Date, what privacy.What, at time.Time) {
		t.Helper()
		require.NoError(t, b.Look(t.Context(), c.ID, c.Coach, a.ID, what, on, at))
	}
	look(today-1, privacy.Page, noon.Add(-24*time.Hour))
	look(today, privacy.Page, noon)
	look(today, privacy.Page, noon.Add(-time.Minute)) // told late, by a request that took longer
	look(today, privacy.Page, noon.Add(time.Hour))
	look(today, privacy.Heart, noon)
	looks, err := b.Looks(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, []privacy.Look{
		{Coach: c.Coach, By: "Owner of Harbour", On: today, What: privacy.Heart, First: noon, Last: noon, Times: 1},
		{Coach: c.Coach, By: "Owner of Harbour", On: today, What: privacy.Page, First: noon, Last: noon.Add(time.Hour), Times: 3},
		{Coach: c.Coach, By: "Owner of Harbour", On: today - 1, What: privacy.Page, First: noon.Add(-24 * time.Hour), Last: noon.Add(-24 * time.Hour), Times: 1},
	}, looks)
	require.Equal(t, fault.NotFound, fault.KindOf(b.Look(t.Context(), c.ID, c.Coach, 4711, privacy.Page, today, noon)))
	other := b.club(t, "Hill")
	require.Equal(t, fault.NotFound, fault.KindOf(b.Look(t.Context(), other.ID, other.Coach, a.ID, privacy.Page, today, noon)))
}

// A broken line ends the archive; it never looks whole.
func TestAnArchiveBrokenOffIsNone(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.recorded(t, c)
	for range 20 { // words that cannot be made short
		text := make([]byte, 900)
		_, _ = rand.Read(text)
		_, err := b.AddNote(t.Context(), c.Actor, roster.Note{Athlete: a.ID, Coach: c.Coach, At: noon, Text: hex.EncodeToString(text)}, b.key())
		require.NoError(t, err)
	}
	bundle, err := b.promises().Bundle(t.Context(), c.Actor, a.ID)
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	var out bytes.Buffer
	require.ErrorIs(t, bundle.WriteTo(ctx, writerFunc(func(p []byte) (int, error) { stop(); return out.Write(p) })), context.Canceled)
	require.Positive(t, out.Len())
	_, err = zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
	require.ErrorIs(t, err, zip.ErrFormat)
}

type writerFunc func([]byte) (int, error)

func (w writerFunc) Write(p []byte) (int, error) { return w(p) }

// BenchmarkLook is what a look costs beside the page that was looked at.
func BenchmarkLook(b *testing.B) {
	s := open(b)
	c := s.club(b, "Harbour")
	a := s.athlete(b, c, "Ana")
	for b.Loop() {
		if err := s.Look(context.Background(), c.ID, c.Coach, a.ID, privacy.Page, today, noon); err != nil {
			b.Fatal(err)
		}
	}
}
