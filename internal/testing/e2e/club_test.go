package e2e

import (
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/localpg"
	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// both is the browser's and the program's, each with something to clear up.
type both struct{ m *testing.M }

func (b both) Run() int { return program.Main(b.m) }

func TestMain(m *testing.M) { os.Exit(browser.Main(both{m})) }

// What every club of these tests has.
const (
	zone     = "Europe/Lisbon"
	email    = "mara@example.org"
	password = "a calm voice in the morning"
)

// club is a club that was just named, with its coach signed in.
type club struct {
	*program.Program
	t     *testing.T
	coach *visitor.Visitor
}

// newClub starts a program of its own and names a club in it.
func newClub(t *testing.T, o program.Options) *club {
	t.Helper()
	c := &club{Program: program.Start(t, o), t: t}
	require.NotEmpty(t, c.SetUp, "no link to name a club: %s", c.Said())
	c.coach = visitor.New(t, c.Address)
	page := c.coach.Get(c.SetUp).Form("form[action]").
		Set("club", "Harbour Half Hour", "zone", zone, "name", "Mara Lindqvist", "email", email, "password", password).Send()
	require.Equal(t, 200, page.Status, page)
	require.Equal(t, "/roster", page.Path)
	return c
}

// add takes in an athlete and gives the path of the athlete's page and the
// one-time link.
func (c *club) add(name, phase string) (at, link string) {
	c.t.Helper()
	return c.addIn(name, phase, zone)
}

// addIn is add for somebody in a time zone.
func (c *club) addIn(name, phase, place string) (at, link string) {
	c.t.Helper()
	page := c.coach.Get("/athletes/new").Form("main form").Set("name", name, "zone", place, "phase", phase, "answers", "paper", "asked_on", beforeToday(), "asked_by", "Mara").Send()
	require.Equal(c.t, 200, page.Status, page)
	return page.Link("To the athlete"), page.Attr("#address", "value")
}

// phone is an athlete, signed in by the link over plain HTTP.
func (c *club) phone(link string) *visitor.Visitor {
	c.t.Helper()
	v := visitor.New(c.t, c.Address)
	page := v.Get(link).Form("form[action]").Send()
	require.Equal(c.t, "/today", page.Path, page)
	return v
}

// since moves the day on which everybody joined and began the present phase into
// the past, as if they had been here so long.
func (c *club) since(days int) {
	c.t.Helper()
	c.sql("update athlete set phase_since = phase_since - $1::int, joined_on = joined_on - $1::int", days)
}

// sql does something in the private database that no page can.
func (c *club) sql(statement string, args ...any) {
	c.t.Helper()
	conn := c.connect()
	defer conn.Close(c.t.Context())
	_, err := conn.Exec(c.t.Context(), statement, args...)
	require.NoError(c.t, err)
}

// overdue waits until the program has run its errands of the first start, forgets that it
// did, makes things due by the statements, and stops it: the next start finds them. All of
// it is one transaction, so that no errand comes between.
func (c *club) overdue(statements ...string) {
	c.t.Helper()
	rested := func() bool {
		return c.count("select coalesce(bool_and(state = 'completed')::int, 0) from river.river_job where kind = 'errand'") == 1
	}
	require.Eventually(c.t, rested, time.Minute, 20*time.Millisecond, "errands of the start")
	c.sql(strings.Join(append(statements, "delete from river.river_job where kind = 'errand'"), ";\n"))
	require.NoError(c.t, c.Stop())
}

// count asks the private database for a number.
func (c *club) count(query string, args ...any) (n int) {
	c.t.Helper()
	conn := c.connect()
	defer conn.Close(c.t.Context())
	require.NoError(c.t, conn.QueryRow(c.t.Context(), query, args...).Scan(&n))
	return n
}

// texts asks the private database for one column.
func (c *club) texts(query string, args ...any) []string {
	c.t.Helper()
	conn := c.connect()
	defer conn.Close(c.t.Context())
	rows, err := conn.Query(c.t.Context(), query, args...)
	require.NoError(c.t, err)
	all, err := pgx.CollectRows(rows, pgx.RowTo[string])
	require.NoError(c.t, err)
	return all
}

// connect is the private database's owner.
func (c *club) connect() *pgx.Conn {
	c.t.Helper()
	address, err := localpg.Attach(c.t.Context(), c.Data())
	require.NoError(c.t, err)
	conn, err := pgx.Connect(c.t.Context(), address.URL(localpg.Database))
	require.NoError(c.t, err)
	return conn
}

// ago is the date so many days back, where the club is, as a form takes it.
func ago(t *testing.T, days int) string {
	t.Helper()
	place, err := time.LoadLocation(zone)
	require.NoError(t, err)
	return time.Now().In(place).AddDate(0, 0, -days).Format(time.DateOnly)
}

// session is the form for a planned session, all of it done without trouble.
func session(t *testing.T, phone *visitor.Visitor, days int, clock string) *visitor.Form {
	t.Helper()
	return phone.Get("/log").Form("form.after").
		Set("done", "all", "effort", "4", "talk", "sentence", "breath", "early", "pain", "none", "date", ago(t, days), "clock", clock)
}

// reach joins the program's address with a path.
func reach(p *program.Program, path string) string {
	if u, err := url.Parse(path); err == nil && u.IsAbs() {
		return path
	}
	return strings.TrimRight(p.Address, "/") + path
}

// beforeToday is a date that lies behind everybody on earth.
func beforeToday() string { return time.Now().UTC().AddDate(0, 0, -2).Format(time.DateOnly) }
