package postgres

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// trained is the n-th session of somebody who trains three to four times a week:
// eight blocks with a tap on each walk; a small pain now and then, and one of 3 or
// 4 once in thirty, never three in a row: that is a pause, which somebody ends.
func trained(r *rand.Rand, a roster.Athlete, key roster.Key, date day.Date, n int) roster.Session {
	s := roster.Session{Athlete: a.ID, Key: key, LoggedAt: date.UTC().Add(8 * time.Hour)}
	s.Session = readiness.Session{
		StartedAt: date.UTC().Add(time.Duration(6*60+r.IntN(60)) * time.Minute), Date: date, Kind: readiness.Planned, Phase: "R3",
		Minutes: readiness.Some(30), Effort: readiness.Some(3 + r.IntN(3)), Talk: readiness.Sentence, PainAsked: true,
	}
	for range 4 {
		s.Blocks = append(s.Blocks, readiness.Block{Kind: pathway.Run, Planned: 315, Done: 315},
			readiness.Block{Kind: pathway.Walk, Planned: 135, Done: 135, Settle: readiness.Some(30 + r.IntN(60))})
	}
	switch {
	case n%30 == 0:
		s.Pain = []readiness.Pain{{Site: "left shin", Score: int8(3 + r.IntN(2)), NextMorning: readiness.Some(1)}}
	case n%10 == 3:
		s.Pain = []readiness.Pain{{Site: "right knee", Score: 1, NextMorning: readiness.Some(0)}}
	}
	return s
}

// crowd fills a club with athletes who have trained for so many weeks.
func (b *bench) crowd(t testing.TB, c club, athletes, weeks int) []roster.Athlete {
	t.Helper()
	r := rand.New(rand.NewPCG(1, 2))
	var all []roster.Athlete
	var rows [][]any
	for i := range athletes {
		n := r.IntN(30)
		a := b.athlete(t, c, fmt.Sprintf("Athlete %03d", i))
		all = append(all, a)
		for date := today - day.Date(7*weeks); date <= today; date += day.Date(1 + r.IntN(3)) {
			s := trained(r, a, b.key(), date, n)
			n++
			rows = append(rows, append([]any{int64(c.ID), string(s.Key), s.LoggedAt}, sessionValues(&s)...))
		}
	}
	columns := []string{
		"club_id", "key", "logged_at", "athlete_id", "started_at", "date", "kind", "phase", "outcome", "minutes", "planned_minutes", "effort",
		"talk", "breath", "hot", "limp", "block_kinds", "planned_s", "done_s", "settle_s", "valid_s", "heart_s", "heart_low_s", "heart_high_s",
		"pain_asked", "pain_site", "pain_score", "pain_morning", "signs", "note",
	}
	// As the days went by, not athlete by athlete: so they lie on the disk.
	slices.SortStableFunc(rows, func(x, y []any) int { return x[4].(time.Time).Compare(y[4].(time.Time)) })
	_, err := b.admin.CopyFrom(t.Context(), pgx.Identifier{"session"}, columns, pgx.CopyFromRows(rows))
	require.NoError(t, err)
	_, err = b.admin.Exec(t.Context(), "vacuum (analyze) session, athlete")
	require.NoError(t, err)
	return all
}

// beside measures two things in turn, so that both meet the same noise, and
// reports the median of each and how many times the first the second takes.
func beside(b *testing.B, first string, floor func(), second string, whole func()) {
	b.Helper()
	floor() // statements are prepared, pages are in memory
	whole()
	var floors, wholes []time.Duration
	for b.Loop() {
		began := time.Now()
		floor()
		between := time.Now()
		whole()
		floors, wholes = append(floors, between.Sub(began)), append(wholes, time.Since(between))
	}
	slices.Sort(floors)
	slices.Sort(wholes)
	low, high := floors[len(floors)/2], wholes[len(wholes)/2]
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(float64(low.Nanoseconds()), first+"-ns")
	b.ReportMetric(float64(high.Nanoseconds()), second+"-ns")
	b.ReportMetric(float64(high)/float64(low), "ratio")
}

// BenchmarkFiles holds reading a roster against the same statements with their
// rows read and dropped.
func BenchmarkFiles(b *testing.B) {
	for _, athletes := range []int{100, 500} {
		b.Run(fmt.Sprintf("athletes=%d", athletes), func(b *testing.B) {
			h := open(b)
			c := h.club(b, "Harbour")
			h.crowd(b, c, athletes, 12)
			beside(b, "bare", func() { require.NoError(b, h.readAndDrop(b.Context(), c.ID)) },
				"files", func() { h.files(b, c, athletes) })
		})
	}
}

// BenchmarkPast holds a roster with three years of history against one with
// twelve weeks, in one database.
func BenchmarkPast(b *testing.B) {
	const athletes = 100
	h := open(b)
	young, old := h.club(b, "Young"), h.club(b, "Old")
	h.crowd(b, young, athletes, 12)
	h.crowd(b, old, athletes, 156)
	beside(b, "12-weeks", func() { h.files(b, young, athletes) }, "3-years", func() { h.files(b, old, athletes) })
}

func (b *bench) files(t testing.TB, c club, athletes int) {
	files, err := b.Files(t.Context(), c.ID, today)
	require.NoError(t, err)
	require.Len(t, files, athletes)
}

// readAndDrop runs the statements of Files and reads nothing out of the rows.
func (b *bench) readAndDrop(ctx context.Context, club roster.ClubID) error {
	drop := func(rows pgx.Rows) error {
		for rows.Next() {
		}
		return rows.Err()
	}
	list := batch(club)
	list.Queue(presentSQL, int64(club)).Query(drop)
	list.Queue(filesSQL, int64(club), today.UTC()).Query(drop)
	list.Queue(allLeaveSQL, int64(club)).Query(drop)
	list.Queue(newestOfAllSQL, int64(club)).Query(drop)
	return b.send(ctx, list)
}

// BenchmarkLog holds logging a session against a bare transaction: the same row
// into a table without row security, checks, triggers, audit or any index but its
// primary key, in one round trip too.
func BenchmarkLog(b *testing.B) { benchmarkLog(b, open(b)) }

func benchmarkLog(b *testing.B, h *bench) {
	b.Helper()
	c := h.club(b, "Harbour")
	a := h.athlete(b, c, "Ana")
	_, err := h.admin.Exec(b.Context(), `create table bare (club_id bigint, athlete_id bigint, session_id bigint generated always as identity,
		key text, started_at timestamptz, date date, kind text, phase text, outcome text, minutes smallint, planned_minutes smallint,
		effort smallint, talk text, breath text, hot boolean, limp boolean, block_kinds text, planned_s smallint[], done_s smallint[],
		settle_s smallint[], valid_s smallint[], heart_s smallint[], heart_low_s smallint[], heart_high_s smallint[], pain_asked boolean,
		pain_site text[], pain_score smallint[], pain_morning smallint[], signs text[], note text, logged_at timestamptz, changed_at timestamptz,
		by_coach bigint, version integer, primary key (club_id, session_id));
		grant insert, select on bare to halfhour_app`)
	require.NoError(b, err)
	bareSQL := strings.Replace(logSQL[strings.Index(logSQL, "insert into session"):strings.Index(logSQL, "  on conflict")], "into session", "into bare", 1) +
		" returning $2::bigint, $3::bigint"
	at := noon.Add(-5000 * time.Hour)
	next := func() roster.Session {
		s := h.session(a, 1)
		at = at.Add(time.Second)
		s.StartedAt, s.Date = at, day.Of(at, time.UTC)
		return s
	}
	beside(b, "bare", func() {
		s := next()
		list := batch(c.ID)
		list.Queue(bareSQL, logValues(c.Actor, &s)...)
		require.NoError(b, h.send(b.Context(), list))
	}, "log", func() {
		_, again, err := h.Log(b.Context(), c.Actor, next(), 0)
		require.NoError(b, err)
		require.False(b, again)
	})
}
