package speed_test

import (
	"context"
	"fmt"
	"log/slog"
	"net/mail"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/jobs"
	halfhourmail "halfhour.app/halfhour/internal/mail"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/smtpd"
	"halfhour.app/halfhour/internal/testing/speed"
)

// The weekly letters of many coaches: looked for, written, composed and handed to a
// mail server over TLS, with signing in, by one program. Clubs have one coach and 8
// athletes, 4 and 24, or 12 and 60, with six weeks of history each. HALFHOUR_LETTERS
// is how many coaches there are, at least.
//
//	HALFHOUR_LETTERS=10000 go test ./internal/testing/speed -run '^$' -bench Letters -benchtime 1x -timeout 60m
//
// Beside it the bare cost of its queries: those of one letter of each size of club,
// and the letter itself, in turn.
func BenchmarkLetters(b *testing.B) {
	coaches := 34
	if asked := os.Getenv("HALFHOUR_LETTERS"); asked != "" {
		var err error
		coaches, err = strconv.Atoi(asked)
		require.NoError(b, err)
	}
	h := newHouse(b)
	coaches = h.fill(coaches)
	h.ratio(b)
	high := watchMemory(b)
	letters, took := 0, time.Duration(0)
	for b.Loop() {
		b.StopTimer()
		h.dueNow()
		b.StartTimer()
		began := time.Now()
		h.sendAll(coaches)
		letters, took = letters+coaches, took+time.Since(began)
	}
	b.ReportMetric(float64(letters)/took.Seconds(), "letters/s")
	b.ReportMetric(float64(coaches), "coaches")
	heap, sys := high()
	b.ReportMetric(heap, "heap-MB")
	b.ReportMetric(sys, "sys-MB")
}

// house is one program that sends letters.
type house struct {
	*club
	admin  *pgx.Conn
	db     *postgres.DB
	post   *post.Service
	server *smtpd.Server
}

func newHouse(b *testing.B) *house {
	b.Helper()
	h := &house{club: newClub(b), server: smtpd.Start(b, smtpd.Options{Forget: true})}
	b.Setenv("SSL_CERT_FILE", h.server.CA)
	var err error
	h.admin, err = pgx.Connect(b.Context(), h.owner)
	require.NoError(b, err)
	b.Cleanup(func() { _ = h.admin.Close(context.Background()) })
	work, err := jobs.NewErrands()
	require.NoError(b, err)
	at, err := pgx.ParseConfig(h.bare.Config().ConnString())
	require.NoError(b, err)
	h.db, err = postgres.Open(b.Context(), at.ConnString(), postgres.Options{Now: now, Errands: work})
	require.NoError(b, err)
	b.Cleanup(h.db.Close)
	h.post = h.service(h.db.Store())
	return h
}

func (h *house) service(store *postgres.Store) *post.Service {
	const here = "https://run.example.org"
	return &post.Service{
		Store: store, Here: here, Now: now, Composer: &halfhourmail.Composer{Readers: store, Morning: &morning.Service{Store: store, Now: now}, Here: here},
		Carrier: &halfhourmail.SMTP{
			Host: h.server.Host, Port: h.server.Port, Security: halfhourmail.StartTLS, User: smtpd.User, Password: smtpd.Password,
			From: &mail.Address{Address: "halfhour@club.example"}, Now: now,
		},
	}
}

// The largest club; the others are parts of it.
const mostCoaches, mostAthletes, weeksBack = 12, 60, 6

// fill makes clubs until there are so many coaches, and gives how many there are: the
// first lives through its weeks, the others are copies of parts of it.
func (h *house) fill(coaches int) int {
	for i := range mostCoaches - 1 {
		h.exec("insert into coach (club_id, name, email, password) values ($1, $2, $3, 'phc')", h.actor().Club, fmt.Sprintf("Coach %d", i), fmt.Sprintf("coach-%d@example.org", i))
	}
	h.train(mostAthletes, weeksBack)
	clubs := 1
	for n := mostCoaches; n < coaches; clubs++ {
		n += sizeOf(clubs).coaches
	}
	h.exec("set session_replication_role = replica") // the copies keep all bonds
	for _, t := range []string{"club", "pathway", "phase", "coach", "athlete", "session"} {
		h.exec(h.copySQL(t), h.actor().Club, clubs-1)
	}
	h.exec("set session_replication_role = origin")
	h.exec("update coach set letter_detail = 'reasons'")
	h.analyze()
	var n int
	require.NoError(h.t, h.admin.QueryRow(h.t.Context(), "select count(*) from coach").Scan(&n))
	return n
}

// sizeOf is the size of the copy with that number.
func sizeOf(k int) struct{ coaches, athletes int } {
	return []struct{ coaches, athletes int }{{mostCoaches, mostAthletes}, {1, 8}, {4, 24}}[k%3]
}

// copySQL copies what a table has of the first club, once for each number: whatever
// ends in _id is as far on as no other.
func (h *house) copySQL(table string) string {
	rows, err := h.admin.Query(h.t.Context(), "select column_name::text from information_schema.columns where table_schema = 'public' and table_name = $1 and column_name <> 'mail_stop'", table)
	require.NoError(h.t, err)
	columns, err := pgx.CollectRows(rows, pgx.RowTo[string])
	require.NoError(h.t, err)
	values := make([]string, len(columns))
	for i, c := range columns {
		switch {
		case strings.HasSuffix(c, "_id") || c == "by_coach":
			values[i] = "t." + c + " + k * 1000000::bigint"
		case c == "email" && table == "coach":
			values[i] = "k || '-' || t.email"
		default:
			values[i] = "t." + c
		}
	}
	part := ""
	switch table {
	case "coach":
		part = " and t.coach_id - (select min(coach_id) from coach where club_id = $1) < (array[12, 1, 4])[k % 3 + 1]"
	case "athlete", "session":
		part = " and t.athlete_id - (select min(athlete_id) from athlete where club_id = $1) < (array[60, 8, 24])[k % 3 + 1]"
	}
	return fmt.Sprintf("insert into %s (%s) overriding system value select %s from %[1]s t, generate_series(1, $2::int) k where t.club_id = $1%[4]s",
		table, strings.Join(columns, ", "), strings.Join(values, ", "), part)
}

func (h *house) exec(sql string, args ...any) {
	_, err := h.admin.Exec(h.t.Context(), sql, args...)
	require.NoError(h.t, err, sql)
}

// dueNow makes everybody's letter due.
func (h *house) dueNow() {
	h.exec("delete from letter")
	h.exec("delete from river.river_job")
	h.exec("update coach set letter_next = $1", now().Add(-time.Hour))
}

// sendAll has a crew do all that is due.
func (h *house) sendAll(letters int) {
	crew := jobs.New(h.db.Pool(), h.post, slog.New(slog.NewTextHandler(os.Stderr, nil)), now)
	crew.Every(5*time.Minute, "letters", func(ctx context.Context) error {
		_, err := h.post.WriteDue(ctx)
		return err
	})
	require.NoError(h.t, crew.Start(h.t.Context()))
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for sent := 0; sent < letters; <-tick.C {
		require.NoError(h.t, h.admin.QueryRow(h.t.Context(), "select count(*) from letter where sent_at is not null").Scan(&sent))
	}
	require.NoError(h.t, crew.Stop(h.t.Context()))
}

// rounds is how often a letter is sent beside its bare queries.
const rounds = 20

// ratio measures one letter of each size of club beside the queries it makes, in turn.
func (h *house) ratio(b *testing.B) {
	recorded, err := postgres.Open(b.Context(), h.bare.Config().ConnString(), postgres.Options{Now: now, Tracer: h.recorder})
	require.NoError(b, err)
	defer recorded.Close()
	floor, err := h.bare.Acquire(b.Context())
	require.NoError(b, err)
	defer floor.Release()
	h.dueNow()
	_, err = h.post.WriteDue(b.Context())
	require.NoError(b, err)
	watched := h.service(recorded.Store())
	for k := range int64(3) {
		club := int64(h.actor().Club) + k*1000000
		var id int64
		require.NoError(b, h.admin.QueryRow(b.Context(), "select letter_id from letter where club_id = $1 order by letter_id limit 1", club).Scan(&id))
		var bare, whole time.Duration
		var trips speed.Trips
		for round := range rounds + 1 {
			h.again(id)
			h.recorder.Take()
			began := time.Now()
			require.NoError(b, watched.Deliver(b.Context(), roster.ClubID(club), roster.LetterID(id)))
			took := time.Since(began)
			trips = h.recorder.Take()
			h.again(id)
			began = time.Now()
			require.NoError(b, speed.Replay(b.Context(), floor, trips))
			if round > 0 { // the first makes plans and connections
				bare, whole = bare+time.Since(began), whole+took
			}
		}
		size := sizeOf(int(k))
		b.Logf("a letter in a club of %d coaches and %d athletes: %.1f ms, its %d trips to the database bare %.1f ms, ratio %.1f",
			size.coaches, size.athletes, ms(whole), len(trips), ms(bare), float64(whole)/float64(bare))
	}
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 / rounds }

// again makes a letter one that was neither composed nor sent.
func (h *house) again(id int64) {
	h.exec("delete from letter_part where letter_id = $1", id)
	h.exec("update letter set sent_at = null, composed_at = null, subject = null, parts = null where letter_id = $1", id)
}

// watchMemory notes the most memory that the program took, mail server included: in
// use, and asked of the system, in MB.
func watchMemory(b *testing.B) func() (heap, sys float64) {
	b.Helper()
	end, ended := make(chan struct{}), make(chan struct{})
	var heap, sys uint64
	go func() {
		defer close(ended)
		tick := time.NewTicker(50 * time.Millisecond)
		defer tick.Stop()
		for {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			heap, sys = max(heap, m.HeapInuse), max(sys, m.Sys)
			select {
			case <-end:
				return
			case <-tick.C:
			}
		}
	}()
	return func() (float64, float64) {
		close(end)
		<-ended
		return float64(heap) / (1 << 20), float64(sys) / (1 << 20)
	}
}
