package postgres

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/golang-migrate/migrate/v4"
	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/migrations"
)

// empty makes a database beside the test's own in which no step was taken.
func (b *bench) empty(t *testing.T) (url string) {
	t.Helper()
	name := b.url.Name[:min(len(b.url.Name), 50)] + "_" + string(b.key())
	_, err := b.admin.Exec(t.Context(), "create database "+pgx.Identifier{name}.Sanitize()+" template template0")
	require.NoError(t, err)
	t.Cleanup(func() {
		_, err := b.admin.Exec(context.Background(), "drop database "+pgx.Identifier{name}.Sanitize()+" with (force)")
		require.NoError(t, err)
	})
	return strings.Replace(b.url.SuperuserURL, b.url.Name, name, 1)
}

// connect gives a connection for this test alone.
func connect(t *testing.T, url string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close(context.Background()) })
	return conn
}

func stands(t *testing.T, url string, version uint) {
	t.Helper()
	s, err := MigrationStatus(t.Context(), url)
	require.NoError(t, err)
	newest, err := newestStep()
	require.NoError(t, err)
	require.Equal(t, Status{Version: version, Newest: newest}, s)
}

// numbers are those of all steps, the lowest first.
func numbers(t *testing.T) []uint {
	t.Helper()
	names, err := fs.Glob(migrations.Files, "*.up.sql")
	require.NoError(t, err)
	var all []uint
	for _, name := range names {
		n, err := strconv.Atoi(name[:6])
		require.NoError(t, err)
		all = append(all, uint(n))
	}
	slices.Sort(all)
	return all
}

// above is how many steps come after the one of the number.
func above(t *testing.T, number uint) int {
	t.Helper()
	return len(slices.DeleteFunc(numbers(t), func(n uint) bool { return n <= number }))
}

func TestStepsAreCountedWithoutGaps(t *testing.T) {
	t.Parallel()
	names, err := fs.Glob(migrations.Files, "*")
	require.NoError(t, err)
	ways := map[int]map[string]string{}
	for _, name := range names {
		part := regexp.MustCompile(`^(\d{6})_([a-z_]+)\.(up|down)\.sql$`).FindStringSubmatch(name)
		require.NotNil(t, part, name)
		number, err := strconv.Atoi(part[1])
		require.NoError(t, err)
		if ways[number] == nil {
			ways[number] = map[string]string{}
		}
		require.NotContains(t, ways[number], part[3], "two steps have the number %d", number)
		ways[number][part[3]] = part[2]
	}
	newest, err := newestStep()
	require.NoError(t, err)
	require.Len(t, ways, int(newest))
	for number := 1; number <= int(newest); number++ {
		require.Len(t, ways[number], 2, "step %d has a way up and a way down", number)
		require.Equal(t, ways[number]["up"], ways[number]["down"], "of one name")
	}
}

// Every step takes back exactly what it made.
func TestStepsUpDownAndUpAgain(t *testing.T) {
	t.Parallel()
	b := open(t)
	url := b.empty(t)
	stands(t, url, 0)
	require.NoError(t, Migrate(t.Context(), url))
	newest, err := newestStep()
	require.NoError(t, err)
	stands(t, url, newest)
	require.NoError(t, Migrate(t.Context(), url), "nothing to do is no error")

	look := &bench{admin: connect(t, url)}
	at := map[uint]string{} // how the schema looked after each step
	steps := append([]uint{0}, numbers(t)...)
	for i, version := range slices.Backward(steps) {
		at[version] = schema(t, look)
		if i == 0 {
			break
		}
		require.NoError(t, MigrateDown(t.Context(), url, 1))
		stands(t, url, steps[i-1])
	}
	require.Equal(t, schema(t, b), at[newest])
	require.Equal(t, strings.TrimSpace(schemaHead)+"\n", at[0], "nothing is left")
	for _, version := range steps[1:] {
		require.NoError(t, withSteps(t.Context(), url, func(_ *pgx.Conn, m *migrate.Migrate) error { return m.Steps(1) }))
		require.Equal(t, at[version], schema(t, look), "step %d", version)
	}
	require.NoError(t, MigrateAnew(t.Context(), url))
	stands(t, url, newest)

	require.Error(t, MigrateDown(t.Context(), url, 0))
	require.Error(t, MigrateDown(t.Context(), url, -1))
	require.EqualError(t, MigrateDown(t.Context(), url, 99), "there were fewer steps than that; all of them are taken back")
	stands(t, url, 0)
	require.NoError(t, MigrateAnew(t.Context(), url), "from nothing, too")
	stands(t, url, newest)
}

func TestSeveralMigrateAtOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	url, other := b.empty(t), b.empty(t)
	self, err := os.Executable()
	require.NoError(t, err)
	const processes = 6 // four of one database, two of another of the same server
	results := make(chan error)
	for i := range processes {
		go func() {
			cmd := exec.CommandContext(t.Context(), self)
			cmd.Env = append(os.Environ(), migrateOnly+"="+[]string{url, url, other}[i%3])
			out, err := cmd.CombinedOutput()
			if err != nil {
				err = fmt.Errorf("%w: %s", err, out)
			}
			results <- err
		}()
	}
	for range processes {
		require.NoError(t, <-results)
	}
	newest, err := newestStep()
	require.NoError(t, err)
	stands(t, url, newest)
	stands(t, other, newest)
	require.Equal(t, schema(t, b), schema(t, &bench{admin: connect(t, url)}))
}

// What the database refuses is rolled back as a whole, and the count with it: when
// the cause is gone, the next start goes on.
func TestAStepThatIsRefusedLeavesNothing(t *testing.T) {
	t.Parallel()
	b := open(t)
	url := b.empty(t)
	conn := connect(t, url)
	for _, cause := range []struct {
		table  string
		stands uint
	}{{"club", 0}, {"note", 1}, {"audit", 4}, {"recording", 5}} {
		_, err := conn.Exec(t.Context(), "create table "+cause.table+" ()")
		require.NoError(t, err)
		err = Migrate(t.Context(), url)
		require.ErrorContains(t, err, `relation "`+cause.table+`" already exists`)
		require.NotContains(t, err.Error(), "create table", "the whole step is not shown")
		stands(t, url, cause.stands)
		_, err = conn.Exec(t.Context(), "drop table "+cause.table)
		require.NoError(t, err)
	}
	require.NoError(t, Migrate(t.Context(), url))

	_, err := conn.Exec(t.Context(), "create view lines as select change from audit; create view places as select name from club")
	require.NoError(t, err)
	require.NoError(t, MigrateDown(t.Context(), url, above(t, 6)))
	require.ErrorContains(t, MigrateDown(t.Context(), url, 2), "other objects depend on it")
	stands(t, url, 5)
	_, err = conn.Exec(t.Context(), "drop view lines")
	require.NoError(t, err)
	require.ErrorContains(t, MigrateDown(t.Context(), url, 5), "other objects depend on it")
	stands(t, url, 1)
	_, err = conn.Exec(t.Context(), "drop view places")
	require.NoError(t, err)
	require.NoError(t, MigrateDown(t.Context(), url, 1))
}

func TestAnInterruptedStepIsExplained(t *testing.T) {
	t.Parallel()
	b := open(t)
	for at, said := range map[int][]string{
		3:  {"migrate force 3", "migrate force 2"},
		1:  {"migrate force 1", "migrate force 0"},
		-1: {"migrate force 1", "migrate force 0"}, // the first, taken back
	} {
		url := b.empty(t)
		newest, err := newestStep()
		require.NoError(t, err)
		require.NoError(t, Migrate(t.Context(), url))
		if at < 3 {
			require.NoError(t, MigrateDown(t.Context(), url, above(t, 0)))
		}
		conn := connect(t, url)
		_, err = conn.Exec(t.Context(), "delete from schema_migrations")
		require.NoError(t, err)
		_, err = conn.Exec(t.Context(), "insert into schema_migrations values ($1, true)", at)
		require.NoError(t, err)
		for _, act := range []func() error{
			func() error { return Migrate(t.Context(), url) }, func() error { return MigrateDown(t.Context(), url, 1) },
		} {
			err := act()
			for _, words := range said {
				require.ErrorContains(t, err, words)
			}
		}
		if at < 3 {
			require.NoError(t, MigrateForce(t.Context(), url, 0))
			stands(t, url, 0)
		} else {
			s, err := MigrationStatus(t.Context(), url)
			require.NoError(t, err)
			require.Equal(t, Status{Version: 3, Newest: newest, Dirty: true}, s)
			require.NoError(t, MigrateForce(t.Context(), url, int(newest)))
		}
		require.NoError(t, Migrate(t.Context(), url))
		stands(t, url, newest)
		require.ErrorContains(t, MigrateForce(t.Context(), url, int(newest)+1), fmt.Sprintf("there is no step %d", newest+1))
		require.ErrorContains(t, MigrateForce(t.Context(), url, -1), "there is no step -1")
	}
}

func TestADatabaseOfANewerProgramIsLeftAlone(t *testing.T) {
	t.Parallel()
	b := open(t)
	url := b.empty(t)
	newest, err := newestStep()
	require.NoError(t, err)
	require.NoError(t, Migrate(t.Context(), url))
	conn := connect(t, url)
	_, err = conn.Exec(t.Context(), "update schema_migrations set version = $1", newest+2)
	require.NoError(t, err)
	said := fmt.Sprintf("it stands at step %d, and this program knows %d", newest+2, newest)
	require.ErrorContains(t, Migrate(t.Context(), url), said)
	require.ErrorContains(t, MigrateDown(t.Context(), url, 1), said)
	require.ErrorContains(t, Migrate(t.Context(), strings.Replace(url, b.url.Name, "nowhere", 1)), "there is no database of that name")
	stands(t, url, newest+2)
}

// On a server of somebody else's the migrations are taken by a user who owns the
// database and is no superuser: row security binds it, and all must work with it.
func TestAnOwnerWithoutFurtherRights(t *testing.T) {
	t.Parallel()
	b := open(t)
	url := b.empty(t)
	owner, stranger := "owner_of_"+b.url.Name[:20], "stranger_of_"+b.url.Name[:20]
	admin := connect(t, url)
	name := admin.Config().Database
	for _, sql := range []string{
		"create role " + owner + " login createrole", "create role " + stranger + " login createrole",
		"alter database " + pgx.Identifier{name}.Sanitize() + " owner to " + owner,
	} {
		_, err := admin.Exec(t.Context(), sql)
		require.NoError(t, err)
	}
	as := func(role string) string {
		own := strings.Replace(b.url.AppURL, b.url.Name, name, 1)
		require.Equal(t, 1, strings.Count(own, appRole))
		return strings.Replace(own, appRole, role, 1)
	}
	require.ErrorContains(t, Migrate(t.Context(), as(stranger)), "needs to own the database")
	if value[int](t, b, "select current_setting('server_version_num')::int") >= 160000 {
		// From then on, whoever may make roles may not take over those that somebody else made.
		require.ErrorContains(t, Migrate(t.Context(), as(owner)), "GRANT halfhour_app, halfhour_door, halfhour_keeper TO the user")
		_, err := admin.Exec(t.Context(), "grant halfhour_app, halfhour_door, halfhour_keeper to "+owner)
		require.NoError(t, err)
	}
	require.NoError(t, Migrate(t.Context(), as(owner)))
	newest, err := newestStep()
	require.NoError(t, err)
	stands(t, as(owner), newest)
	db, err := Open(t.Context(), as(owner), Options{Now: b.now, Errands: b.work})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	theirs := &bench{Store: db.Store(), db: db, url: b.url, admin: admin, work: b.work}
	c := theirs.club(t, "Harbour")
	a := theirs.fill(t, c)
	files, err := theirs.Files(t.Context(), c.ID, today)
	require.NoError(t, err)
	require.Len(t, files, 1)
	require.Len(t, files[0].Sessions, 3)
	_, err = theirs.File(t.Context(), c.ID+1, a.ID, today)
	require.Error(t, err)
	gone, err := theirs.Gone(t.Context(), c.ID)
	require.NoError(t, err)
	require.Empty(t, gone)
	_, err = theirs.ByEmail(t.Context(), value[string](t, theirs, "select email from coach"))
	require.NoError(t, err)

	conn := connect(t, as(owner))
	var seen int
	require.NoError(t, conn.QueryRow(t.Context(), "select count(*)::int from athlete").Scan(&seen))
	require.Zero(t, seen, "row security binds the owner too")
	require.NoError(t, MigrateDown(t.Context(), as(owner), above(t, 0)))
	require.Equal(t, roster.ClubID(1), c.ID)
}
