package postgres

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// trained is a session of somebody who trains three to four times a week: eight
// blocks with a tap on each walk; a pain now and then, of 3 or 4 once in thirty.
func trained(r *rand.Rand, a roster.Athlete, key roster.Key, date day.Date) roster.Session {
	s := roster.Session{Athlete: a.ID, Key: key, LoggedAt: date.UTC().Add(8 * time.Hour)}
	s.Session = readiness.Session{
		StartedAt: date.UTC().Add(time.Duration(6*60+r.IntN(60)) * time.Minute), Date: date, Kind: readiness.Planned, Phase: "R3",
		Minutes: readiness.Some(30), Effort: readiness.Some(3 + r.IntN(3)), Talk: readiness.Sentence, PainAsked: true,
	}
	for range 4 {
		s.Blocks = append(s.Blocks, readiness.Block{Kind: pathway.Run, Planned: 315, Done: 315},
			readiness.Block{Kind: pathway.Walk, Planned: 135, Done: 135, Settle: readiness.Some(30 + r.IntN(60))})
	}
	switch r.IntN(30) {
	case 0:
		s.Pain = []readiness.Pain{{Site: "left shin", Score: int8(3 + r.IntN(2)), NextMorning: readiness.Some(1)}}
	case 1, 2, 3:
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
		a := b.athlete(t, c, fmt.Sprintf("Athlete %03d", i))
		all = append(all, a)
		for date := today - day.Date(7*weeks); date <= today; date += day.Date(1 + r.IntN(3)) {
			s := trained(r, a, b.key(), date)
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

func BenchmarkFiles(b *testing.B) {
	for _, size := range []struct{ athletes, weeks int }{{100, 12}, {100, 156}, {500, 12}} {
		b.Run(fmt.Sprintf("athletes=%d/weeks=%d", size.athletes, size.weeks), func(b *testing.B) {
			h := open(b)
			c := h.club(b, "Harbour")
			h.crowd(b, c, size.athletes, size.weeks)
			b.Run("floor", func(b *testing.B) {
				for b.Loop() {
					require.NoError(b, h.readAndDrop(b.Context(), c.ID))
				}
			})
			b.Run("files", func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					files, err := h.Files(b.Context(), c.ID, today)
					require.NoError(b, err)
					require.Len(b, files, size.athletes)
				}
			})
		})
	}
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

func BenchmarkLog(b *testing.B) {
	h := open(b)
	c := h.club(b, "Harbour")
	a := h.athlete(b, c, "Ana")
	_, err := h.admin.Exec(b.Context(), `create table bare (id bigint generated always as identity primary key, at timestamptz);
		grant insert on bare to halfhour_app`)
	require.NoError(b, err)
	at := noon.Add(-1000 * time.Hour)
	b.Run("floor", func(b *testing.B) {
		for b.Loop() {
			list := batch(c.ID)
			list.Queue("insert into bare (at) values ($1)", at)
			require.NoError(b, h.send(b.Context(), list))
		}
	})
	b.Run("log", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			s := h.session(a, 1)
			at = at.Add(time.Second)
			s.StartedAt, s.Date = at, day.Of(at, time.UTC)
			_, again, err := h.Log(b.Context(), c.Actor, s)
			require.NoError(b, err)
			require.False(b, again)
		}
	})
}
