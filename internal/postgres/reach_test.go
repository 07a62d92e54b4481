package postgres

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/roster"
)

// pair is two clubs with a row in every table, and the program's role, which works
// for ours and wants what is theirs.
type pair struct {
	*bench
	ours, theirs club
	app          *pgx.Conn
}

func number(c roster.ClubID) string { return strconv.FormatInt(int64(c), 10) }

// onDoorstep says whether what the table holds belongs to no club yet.
func onDoorstep(table string) bool { return table == "attempt" || table == "ceremony" }

// victim is the club whose rows of the table are tried for. Attempts and ceremonies
// lie on the doorstep.
func (p *pair) victim(table string) string {
	if onDoorstep(table) {
		return number(doorstep)
	}
	return number(p.theirs.ID)
}

// settings are those under which a row of the victim must stay out of reach.
func (p *pair) settings(table string) []string {
	all := []string{unset, "", number(p.ours.ID), "-1", "9223372036854775807"}
	if !onDoorstep(table) {
		all = append(all, number(doorstep))
	}
	return all
}

// may asks what the program's role was granted; without a column, on the whole table.
func (p *pair) may(t *testing.T, table, column, right string) bool {
	t.Helper()
	if column == "" {
		return value[bool](t, p.bench, "select has_table_privilege('halfhour_app', $1::text, $2::text)", table, right)
	}
	return value[bool](t, p.bench, "select has_column_privilege('halfhour_app', $1::text, $2::text, $3::text)", table, column, right)
}

// holds is everything in the table, past row security.
func (p *pair) holds(t *testing.T, table string) string {
	return value[string](t, p.bench, "select coalesce(json_agg(x order by x::text)::text, '') from "+table+" x")
}

// everyTable runs an attack on each table, and looks that nothing has changed.
func everyTable(t *testing.T, attack func(t *testing.T, p *pair, table string)) {
	t.Parallel()
	b, ours, theirs := two(t)
	p := &pair{bench: b, ours: ours, theirs: theirs, app: b.hostile(t)}
	for _, table := range p.tables(t) {
		t.Run(table, func(t *testing.T) {
			before := p.holds(t, table)
			rows := value[int](t, p.bench, "select count(*)::int from "+table+" where club_id = $1::text::bigint", p.victim(table))
			require.Positive(t, rows, "there is something to be had")
			attack(t, p, table)
			require.Equal(t, before, p.holds(t, table))
		})
	}
}

func TestNoRowOfAnotherClubIsRead(t *testing.T) {
	everyTable(t, func(t *testing.T, p *pair, table string) {
		victim := p.victim(table)
		read := "select from " + table + " where club_id = " + victim
		if !p.may(t, table, "", "select") {
			_, err := try(t, p.app, victim, read)
			require.Equal(t, insufficientPrivilege, tell(err), "not even one's own")
			return
		}
		n, err := try(t, p.app, victim, read)
		require.NoError(t, err)
		require.Positive(t, n, "their own program reads it")
		for _, setting := range p.settings(table) {
			n, err := try(t, p.app, setting, read)
			require.NoError(t, err)
			require.Zero(t, n, "for club %q", setting)
			n, err = try(t, p.app, setting, "select from "+table+" where club_id is distinct from current_club() or true")
			require.NoError(t, err)
			own := 0
			if setting != unset && setting != "" {
				own = value[int](t, p.bench, "select count(*)::int from "+table+" where club_id = $1::text::bigint", setting)
			}
			require.EqualValues(t, own, n, "for club %q, everything there is", setting)
		}
		_, err = try(t, p.app, "1 or true", read)
		require.Equal(t, "22P02", tell(err), "a club that is no number") // invalid_text_representation
	})
}

func TestNoRowIsWrittenIntoAnotherClub(t *testing.T) {
	everyTable(t, func(t *testing.T, p *pair, table string) {
		sql, row := p.row(t, table, p.theirs)
		_, err := try(t, p.app, p.victim(table), sql, row, "{}")
		require.Equal(t, p.may(t, table, "", "insert"), insufficientPrivilege != tell(err), "their own program may, where any may: %v", err)
		for _, setting := range p.settings(table) {
			_, err := try(t, p.app, setting, sql, row, "{}")
			require.Equal(t, insufficientPrivilege, tell(err), "for club %q: %v", setting, err)
		}
	})
}

func TestNoRowOfAnotherClubIsChanged(t *testing.T) {
	everyTable(t, func(t *testing.T, p *pair, table string) {
		victim := p.victim(table)
		for _, column := range valuesOf[string](t, p.admin, columnsSQL, table) {
			sql := fmt.Sprintf("update %s set %s = %[2]s where club_id = %s", table, column, victim)
			if value[bool](t, p.bench, ownSQL, table, column) {
				sql = strings.Replace(sql, "= "+column, "= default", 1) // nothing else can be said of it
			}
			n, err := try(t, p.app, victim, sql)
			if !p.may(t, table, column, "update") {
				require.Equal(t, insufficientPrivilege, tell(err), "%s, their own", column)
				continue
			}
			if tell(err) != "23503" { // a number by which other rows belong to it (foreign_key_violation)
				require.NoError(t, err)
				require.Positive(t, n, "%s by their own program", column)
			}
			for _, setting := range p.settings(table) {
				n, err := try(t, p.app, setting, sql)
				require.NoError(t, err)
				require.Zero(t, n, "%s for club %q", column, setting)
			}
		}
		_, err := try(t, p.app, number(p.ours.ID), "update "+table+" set club_id = $1::text::bigint", victim)
		if !onDoorstep(table) {
			require.Equal(t, insufficientPrivilege, tell(err), "one's own row moved to them: %v", err)
		}
	})
}

func TestNoRowOfAnotherClubIsRemoved(t *testing.T) {
	everyTable(t, func(t *testing.T, p *pair, table string) {
		victim := p.victim(table)
		_, err := try(t, p.app, victim, "truncate "+table+" cascade")
		require.Equal(t, insufficientPrivilege, tell(err))
		sql := "delete from " + table + " where club_id = " + victim
		n, err := try(t, p.app, victim, sql)
		if !p.may(t, table, "", "delete") {
			require.Equal(t, insufficientPrivilege, tell(err), "their own")
			return
		}
		require.NoError(t, err)
		require.Positive(t, n)
		for _, setting := range p.settings(table) {
			n, err := try(t, p.app, setting, sql)
			require.NoError(t, err)
			require.Zero(t, n, "for club %q", setting)
			n, err = try(t, p.app, setting, "delete from "+table+" where club_id is distinct from current_club()")
			require.NoError(t, err)
			require.Zero(t, n, "for club %q, all others", setting)
		}
	})
}

const ownSQL = `select attidentity <> '' or attgenerated <> '' from pg_attribute where attrelid = $1::text::regclass and attname = $2`

// What belongs to something of another club cannot be stored: every key between
// rows of clubs holds the club as well.
func TestNothingBelongsToSomethingOfAnotherClub(t *testing.T) {
	everyTable(t, func(t *testing.T, p *pair, table string) {
		for _, x := range p.bonds(t, table) {
			id := value[int64](t, p.bench, fmt.Sprintf("select max(%s_id) from %[1]s where club_id = $1", x.to), p.theirs.ID)
			sql, row := p.row(t, table, p.theirs)
			change := strings.Replace(p.pointing(t, p.ours, table, x.column, id), "{", fmt.Sprintf(`{"club_id": %d, `, p.ours.ID), 1)
			_, err := try(t, p.app, number(p.ours.ID), sql, row, change)
			require.Equal(t, "23503", tell(err), "%s of theirs: %v", x.column, err) // foreign_key_violation
		}
	})
}

// unset stands for a transaction that never says which club it is for.
const unset = "unset"

// try runs a statement for the club in a transaction that is rolled back, and gives
// how many rows it touched.
func try(t testing.TB, conn *pgx.Conn, club, sql string, args ...any) (int64, error) {
	t.Helper()
	tx, err := conn.Begin(t.Context())
	require.NoError(t, err)
	defer func() { require.NoError(t, tx.Rollback(t.Context())) }()
	if club != unset {
		_, err = tx.Exec(t.Context(), enterSQL, club)
		require.NoError(t, err)
	}
	tag, err := tx.Exec(t.Context(), sql, args...)
	return tag.RowsAffected(), err
}

// tell is the code of the database's refusal; empty where there was none.
func tell(err error) string {
	var answer *pgconn.PgError
	if !errors.As(err, &answer) {
		return ""
	}
	return answer.Code
}

const columnsSQL = `select attname::text from pg_attribute where attrelid = $1::text::regclass and attnum > 0 and not attisdropped order by attnum`
