package e2e

import (
	"context"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/localpg"
	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// A database that stops: a page that says so, what was typed can be sent again,
// and everything works once it is back, without a restart.
func TestADatabaseThatStops(t *testing.T) {
	t.Parallel()
	server, config := startServer(t)
	c := &club{Program: program.Start(t, program.Options{Database: server.URL(localpg.Database)}), t: t, coach: nil}
	c.coach = visitor.New(t, c.Address)
	page := c.coach.Get(c.SetUp).Form("form[action]").
		Set("club", "Harbour", "zone", zone, "name", "Mara Lindqvist", "email", email, "password", password).Send()
	require.Equal(t, "/roster", page.Path, page)
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	form := session(t, phone, 1, "07:10")

	require.NoError(t, server.Stop(t.Context()))
	failed := form.Send()
	helpful(t, failed, 503, "what you typed is not lost")
	require.Equal(t, "Halfhour cannot reach its records", failed.Text("h1"))
	helpful(t, phone.Get("/today"), 503, "Try again")
	helpful(t, c.coach.Get("/roster"), 503, "Try again")
	require.False(t, program.Answers(c.Address+"/readyz"), "not ready without records")
	require.True(t, program.Answers(c.Address+"/healthz"), "but alive")

	again, err := localpg.Start(t.Context(), config)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, again.Stop(context.Background())) })
	page = failed.Form("main form").Send() // what was typed is on the page that said so
	require.Equal(t, 200, page.Status, page)
	require.Regexp(t, `^/today\?said=logged&at=\d+$`, page.Path)
	require.Equal(t, 200, phone.Get("/today").Status)
	require.Contains(t, phone.Get("/sessions").Text("main"), "4")
	require.True(t, program.Answers(c.Address+"/readyz"))
}

// startServer is a PostgreSQL that the program is given, to be stopped at will.
func startServer(t *testing.T) (*localpg.Server, localpg.Config) {
	t.Helper()
	config := localpg.Config{Dir: program.Folder(t), Test: true}
	server, err := localpg.Start(t.Context(), config)
	require.NoError(t, err)
	return server, config
}

// With two users of the database, none of the program's connections is one that may
// change the tables: what climbs back climbs no higher than row security.
func TestTheProgramWorksAsTheRoleThatCanDoLess(t *testing.T) {
	t.Parallel()
	server, _ := startServer(t)
	t.Cleanup(func() { require.NoError(t, server.Stop(context.Background())) })
	owner := server.URL(localpg.Database)
	p := program.Start(t, program.Options{Database: server.URLAs("halfhour_app", localpg.Database), Args: []string{"--owner-url=" + owner}})
	page := visitor.New(t, p.Address).Get(p.SetUp).Form("form[action]").
		Set("club", "Harbour", "zone", zone, "name", "Mara Lindqvist", "email", email, "password", password).Send()
	require.Equal(t, "/roster", page.Path, page)
	conn, err := pgx.Connect(t.Context(), owner)
	require.NoError(t, err)
	defer conn.Close(t.Context())
	rows, err := conn.Query(t.Context(), "select distinct usename::text from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid()")
	require.NoError(t, err)
	users, err := pgx.CollectRows(rows, pgx.RowTo[string])
	require.NoError(t, err)
	require.Equal(t, []string{"halfhour_app"}, users)
	require.NotContains(t, p.Said(), "owner-url")
	require.NoError(t, p.Stop())
}
