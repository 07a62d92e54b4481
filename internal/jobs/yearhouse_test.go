package jobs

import (
	"bufio"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/pgtest"
	"halfhour.app/halfhour/internal/testing/smtpd"
)

// firstMonday begins a year of 53 weeks that is far enough ahead: whatever the
// database's own clock says lies in the past.
var firstMonday = time.Date(2031, time.December, 29, 0, 0, 0, 0, time.UTC)

// year is a simulated year: programs, a mail server, and what must have come.
//
// Only time is simulated. A program asks the test's clock; to River, which asks the
// machine's and the database's, time passes as its rows grow older by as much, and the
// programs choose anew who leads, upon which the leader does at once what it does
// every few seconds or minutes. Nothing else is changed, and nothing is waited for.
type year struct {
	*house
	seed     uint64
	random   *rand.Rand
	clock    *clock
	url      string
	server   *smtpd.Server
	programs [2]*running
	gone     map[string]bool // the programs that were killed
	done     sync.Map        // the jobs that are done, also those of which River does not know it yet
	news     chan struct{}   // something where any was done since it was last looked
	readers  []*reader
	seen     int // letters of the server that were looked at
	came     map[letterOf]int
	first    map[letterOf]string     // each letter as it first came
	numbers  map[letterOf]string     // its Message-ID
	spare    map[roster.LetterID]int // how often each was in the hands of a program that was killed
	trouble  time.Time               // when letters last could not go
	story    strings.Builder         // what happened, for whoever looks for a fault
	tally    struct{ moves, starts, kills, held, between, repeats int }
}

// running is a program that works.
type running struct {
	command *exec.Cmd
	input   io.Closer
	id      string // to River
	name    string // to the database
	stopped chan struct{}
	ended   chan struct{}
	said    *said
}

func openYear(t *testing.T, seed uint64) *year {
	t.Helper()
	file, err := os.Create(filepath.Join(t.TempDir(), "clock"))
	require.NoError(t, err)
	t.Cleanup(func() { _ = file.Close() })
	y := &year{
		seed: seed, random: rand.New(rand.NewPCG(seed, 53)), clock: &clock{file}, server: smtpd.Start(t, smtpd.Options{}), gone: map[string]bool{}, news: make(chan struct{}, 1),
		came: map[letterOf]int{}, first: map[letterOf]string{}, numbers: map[letterOf]string{}, spare: map[roster.LetterID]int{},
	}
	y.clock.set(t, firstMonday)
	y.clock.stopAt(t, 0, 0)
	at := pgtest.New(t)
	y.url = at.AppURL
	errands, err := NewErrands()
	require.NoError(t, err)
	db, err := postgres.Open(t.Context(), at.AppURL, postgres.Options{Now: y.clock.now, Errands: errands, Connections: 2})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	admin, err := pgx.Connect(t.Context(), at.SuperuserURL)
	require.NoError(t, err)
	t.Cleanup(func() { _ = admin.Close(context.Background()) })
	y.house = &house{t: t, db: db, store: db.Store(), admin: admin, log: &said{}}
	y.post = &post.Service{Store: y.store, Now: y.clock.now}
	t.Cleanup(func() {
		for slot := range y.programs {
			y.kill(slot)
		}
		if t.Failed() {
			t.Logf("seed %d\n%s", seed, y.story.String())
		}
	})
	return y
}

// club founds a club whose coaches choose these days and hours; the first is its owner.
func (y *year) club(zone string, choices ...[2]int) {
	place, err := time.LoadLocation(zone)
	require.NoError(y.t, err)
	var owner roster.Actor
	for _, c := range choices {
		n := len(y.readers)
		r := &reader{zone: zone, place: place, day: c[0], hour: c[1], due: map[day.Date]*expected{}, name: fmt.Sprintf("%s %d", []string{"Mara", "Uma", "Ivo"}[n%3], n)}
		r.address = strings.ReplaceAll(strings.ToLower(r.name), " ", ".") + "@example.org"
		if owner.Club == 0 {
			code := sha256.Sum256([]byte(zone))
			require.NoError(y.t, y.store.PutCode(y.t.Context(), roster.Actor{}, access.Code{Hash: code, Purpose: access.SetUp, Expires: y.clock.now().Add(time.Hour)}))
			owner.Club, owner.Coach, err = y.store.Found(y.t.Context(), code, y.clock.now(), roster.Club{Name: zone, Zone: zone}, roster.Coach{Name: r.name, Email: r.address}, "phc")
			require.NoError(y.t, err)
			r.id = owner.Coach
		} else {
			r.id = roster.CoachID(y.count("insert into coach (club_id, name, email, password) values ($1, $2, $3, 'phc') returning coach_id", owner.Club, r.name, r.address))
		}
		r.owner = owner
		y.readers = append(y.readers, r)
		y.choose(r, c[0], c[1])
	}
}

// choose has a coach choose another day and hour.
func (y *year) choose(r *reader, weekday, hour int) {
	y.say("%s chooses day %d, %d o'clock", r.name, weekday, hour)
	y.count("update coach set letter_day = $2, letter_hour = $3, letter_next = null where coach_id = $1 returning 1", r.id, weekday, hour)
	r.choose(weekday, hour)
}

// rezone has a club go to another zone.
func (y *year) rezone(from, to string) {
	y.say("the club of %s goes to %s", from, to)
	place, err := time.LoadLocation(to)
	require.NoError(y.t, err)
	for _, r := range y.readers {
		if r.zone == from {
			require.NoError(y.t, y.store.ChangeClub(y.t.Context(), r.owner, roster.Club{ID: r.owner.Club, Name: from, Zone: to}))
			r.move(place)
		}
	}
}

func (y *year) say(format string, args ...any) {
	fmt.Fprintf(&y.story, "%s %s\n", y.clock.now().Format("2006-01-02 15:04:05"), fmt.Sprintf(format, args...))
}

// start starts a program that is not there.
func (y *year) start(slot int) {
	if y.programs[slot] != nil {
		return
	}
	y.tally.starts++
	p := &running{name: fmt.Sprintf("program %d", y.tally.starts), stopped: make(chan struct{}, 10), ended: make(chan struct{}), said: &said{}}
	p.command = exec.Command(os.Args[0]) //nolint:gosec // ourselves
	p.command.Env = append(os.Environ(), asProgram+"="+strconv.Itoa(slot), atClock+"="+y.clock.file.Name(), atURL+"="+y.url,
		atPort+"="+strconv.Itoa(y.server.Port), "SSL_CERT_FILE="+y.server.CA, "PGAPPNAME="+p.name,
		"GOMAXPROCS=1", "GOGC=off") // fifty of them live for moments beside each other, on few cores
	p.command.Stderr = p.said
	var err error
	p.input, err = p.command.StdinPipe()
	require.NoError(y.t, err)
	out, err := p.command.StdoutPipe()
	require.NoError(y.t, err)
	require.NoError(y.t, p.command.Start())
	ready := make(chan string, 1)
	go y.listen(p, bufio.NewScanner(out), ready)
	select {
	case p.id = <-ready:
	case <-p.ended:
		require.FailNow(y.t, "a program did not start", p.said.String())
	}
	y.programs[slot] = p
}

// listen hears what a program says, until it ends.
func (y *year) listen(p *running, lines *bufio.Scanner, ready chan<- string) {
	for lines.Scan() {
		switch what, which, _ := strings.Cut(lines.Text(), " "); what {
		case "ready":
			ready <- which
		case "done":
			y.done.Store(which, true)
			select {
			case y.news <- struct{}{}:
			default:
			}
		case "stopped":
			p.stopped <- struct{}{}
		}
	}
	_ = p.command.Wait()
	close(p.ended)
}

// kill ends a program at once, and notes which letters it had in its hands: each of
// those that is not noted as sent may come once more.
func (y *year) kill(slot int) {
	p := y.programs[slot]
	if p == nil {
		return
	}
	y.programs[slot] = nil
	_ = p.command.Process.Signal(syscall.SIGKILL)
	<-p.ended
	_ = p.input.Close()
	if y.t.Context().Err() != nil { // the test is over
		return
	}
	y.tally.kills++
	y.gone[p.id] = true
	y.bury(p)
}

// lostSQL is what is done once more, because River was not told that it is done.
const lostSQL = `select id::text from river.river_job where state = 'running' and attempted_by[array_upper(attempted_by, 1)] = $1`

// inHandsSQL is what a program was at when it ended.
const inHandsSQL = `select l.letter_id from river.river_job j join letter l on j.kind = 'letter' and l.letter_id = (j.args->>'letter')::bigint
where j.state = 'running' and j.attempted_by[array_upper(j.attempted_by, 1)] = $1 and l.sent_at is null and l.dropped_at is null`

// bury sees what a program left.
func (y *year) bury(p *running) {
	y.eventually(func() bool {
		return y.count("select count(*) from pg_stat_activity where application_name = $1", p.name) == 0
	}, "its connections end")
	rows, err := y.admin.Query(y.t.Context(), lostSQL, p.id)
	require.NoError(y.t, err)
	again, err := pgx.CollectRows(rows, pgx.RowTo[string])
	require.NoError(y.t, err)
	for _, job := range again {
		y.done.Delete(job)
	}
	rows, err = y.admin.Query(y.t.Context(), inHandsSQL, p.id)
	require.NoError(y.t, err)
	held, err := pgx.CollectRows(rows, pgx.RowTo[int64])
	require.NoError(y.t, err)
	y.say("%s is killed, with letters %v in its hands", p.name, held)
	y.count("with gone as (delete from river.river_leader where leader_id = $1 returning 1) select count(*) from gone", p.id) // what it leads runs out long before the test's next look
	for _, id := range held {
		y.spare[roster.LetterID(id)]++
	}
}

var (
	weekLine = regexp.MustCompile(`Week: (\d{4}-\d{2}-\d{2})`)
	idLine   = regexp.MustCompile(`(?m)^Message-ID: <letter\.\d+\.(\d+)\.\d+@club\.example>\r$`)
)
