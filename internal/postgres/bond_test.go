package postgres

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
)

// breach is a row that cannot be: one of the table, changed.
type breach struct{ table, change string }

// row gives the statement that stores a row of the club once more, changed.
func (b *bench) row(t *testing.T, table string, c club) (sql, row string) {
	t.Helper()
	columns := strings.Join(valuesOf[string](t, b.admin, `select attname::text from pg_attribute where attrelid = $1::text::regclass
		and attnum > 0 and not attisdropped and attgenerated = '' and attidentity = '' order by attnum`, table), ", ")
	row = value[string](t, b, "select to_jsonb(x)::text from "+table+" x where club_id in (0, $1) order by club_id desc limit 1", c.ID)
	return fmt.Sprintf("insert into %s (%s) select %s from jsonb_populate_record(null::%[1]s, $1::text::jsonb || $2::text::jsonb)", table, columns, columns), row
}

// breaks tries the row and gives the database's refusal, and what becomes of it.
func (b *bench) breaks(t *testing.T, c club, x breach) (*pgconn.PgError, error) {
	t.Helper()
	sql, row := b.row(t, x.table, c)
	err := pgx.BeginFunc(t.Context(), b.admin, func(tx pgx.Tx) error {
		_, err := tx.Exec(t.Context(), sql, row, x.change)
		return errors.Join(err, errRollback)
	})
	var answer *pgconn.PgError
	require.ErrorAs(t, err, &answer, "%s %s is taken", x.table, x.change)
	return answer, translate(answer)
}

var errRollback = errors.New("never to be kept")

const neededSQL = `select attname::text from pg_attribute where attrelid = $1::text::regclass and attnum > 0 and not attisdropped
and attnotnull and not atthasdef and attidentity = ''`

func TestWhatIsNeededMustBeGiven(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	b.fill(t, c)
	for _, table := range b.tables(t) {
		for _, column := range valuesOf[string](t, b.admin, neededSQL, table) {
			answer, err := b.breaks(t, c, breach{table, `{"` + column + `": null}`})
			if answer.Code == "23514" {
				require.NotEqual(t, table, answer.ConstraintName) // a check over several columns was first
				continue
			}
			require.Equal(t, "23502", answer.Code, "%s.%s: %s", table, column, answer.Message)
			require.Equal(t, []fault.Field{{Place: column, Message: "cannot be taken as it is"}}, fault.FieldsOf(err))
			require.Equal(t, fault.Invalid, fault.KindOf(err))
		}
	}
}

// bond is a column that refers to a row of another table in the same club.
type bond struct{ column, to string }

const bondsSQL = `select a.attname::text || ' ' || k.confrelid::regclass from pg_constraint k
join pg_attribute a on a.attrelid = k.conrelid and a.attnum = any (k.conkey)
where k.conrelid = $1::text::regclass and k.contype = 'f' and a.attname not in ('club_id', 'of_club')`

func (b *bench) bonds(t *testing.T, table string) (all []bond) {
	t.Helper()
	for _, row := range valuesOf[string](t, b.admin, bondsSQL, table) {
		column, to, _ := strings.Cut(row, " ")
		all = append(all, bond{column, to})
	}
	return all
}

// pointing is the change that lets a row refer to another, and be sound and new in
// all else. A recording, and what was lifted, is new at a session that has none.
func (b *bench) pointing(t *testing.T, c club, table, column string, id int64) string {
	if (table == "recording" || table == "lifted") && column != "session_id" {
		free := value[int64](t, b, `select session_id from session s where club_id = $1
			and not exists (select from `+table+` r where r.club_id = s.club_id and r.session_id = s.session_id) limit 1`, c.ID)
		return fmt.Sprintf(`{"%s": %d, "session_id": %d, "digest": "\\x%064d"}`, column, id, free, 0)
	}
	if table == "clearance" && column != "decision_id" {
		free := value[int64](t, b, "select decision_id from decision d where club_id = $1 and choice <> 'cleared' limit 1", c.ID)
		return fmt.Sprintf(`{"%s": %d, "decision_id": %d}`, column, id, free)
	}
	besides := map[string]string{
		"letter.club_id": `, "kind": "way_in"`, "letter.login_id": `, "kind": "way_in"`, "letter.session_id": `, "kind": "way_in"`,
		"letter.decision_id": `, "kind": "way_in"`, "letter.by_coach": `, "kind": "way_in"`, "letter.athlete_id": `, "kind": "way_in", "coach_id": null`,
		"consent.athlete_id": `, "withdrawn_at": "2030-01-01T12:00:00Z"`, "consent.by_coach": `, "withdrawn_at": "2030-01-01T12:00:00Z"`,
		"code.coach_id": `, "purpose": "coach", "athlete_id": null, "email": null`, "code.athlete_id": `, "email": null`, "code.club_id": `, "email": null`, "code.of_club": `, "email": null`, "login.athlete_id": `, "coach_id": null`,
		"letter.coach_id":     `, "kind": "way_in", "athlete_id": null`,
		"calendar.athlete_id": `, "coach_id": null`, "calendar.coach_id": `, "athlete_id": null`, "calendar_event.athlete_id": `, "slot": "new"`,
		"calendar_address.athlete_id": `, "calendar_id": 987654320`,
		"weather.by_coach":            `, "athlete_id": null`,
		"decision.undone_by":          `, "undone_at": "2026-04-14T12:00:00Z"`,
	}[table+"."+column]
	secret := `"\\x` + strings.Repeat("f", 64) + `"`
	return fmt.Sprintf(`{"%s": %d, "key": "nobody-had-it", "token": %s, "credential_id": %[3]s, "hash": %[3]s, "digest": %[3]s, "started_at": "2026-04-13T08:00:00Z", "place": 150, "id": "new", "mail_stop": "nobody-had-it",
		"email": "somebody@example.org"%s}`, column, id, secret, besides)
}

func TestWhatARowBelongsToMustBeThere(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	b.fill(t, c)
	tried := 0
	for _, table := range b.tables(t) {
		for _, x := range b.bonds(t, table) {
			answer, err := b.breaks(t, c, breach{table, b.pointing(t, c, table, x.column, 987654321)})
			require.Equal(t, "23503", answer.Code, "%s.%s: %s", table, x.column, answer.Message)
			require.Equal(t, fault.NotFound, fault.KindOf(err))
			tried++
		}
	}
	require.Greater(t, tried, 20)
}

// A row that is no row of a club at all: what the tables' own club_id refers to.
func TestAClubMustBeThere(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	b.fill(t, c)
	for _, table := range []string{"coach", "pathway", "athlete", "login", "code", "letter"} {
		answer, err := b.breaks(t, c, breach{table, b.pointing(t, c, table, "club_id", 987654321)})
		require.Equal(t, "23503", answer.Code, "%s: %s", table, answer.Message)
		require.Equal(t, fault.NotFound, fault.KindOf(err))
	}
}
