package postgres

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
)

// What is kept of an athlete is found by asking the database for its own tables, so
// that a table or a column cannot be forgotten when one is added. These are the only
// statements whose text is put together; what is put in are names from the catalogue.
const (
	keptTablesSQL = `
select t.name, coalesce(obj_description(format('public.%I', t.name)::regclass), ''), t.number,
  exists (select from pg_attribute a where a.attrelid = format('public.%I', t.name)::regclass and a.attnum > 0 and a.atttypid in ('jsonb'::regtype, 'bytea'::regtype)),
  (select string_agg(quote_ident(a.attname), ', ' order by a.attnum) from pg_attribute a
    where a.attrelid = format('public.%I', t.name)::regclass and a.attnum > 0 and not a.attisdropped and t.name || '.' || a.attname <> all ($1::text[]))
from (select 'athlete' as name, 'athlete_id' as number, 0 as place
  union all select k.name, k.number, 1 from keeper_tables() k) t
order by t.place, t.name`

	numberedSQL = `select %[1]s, to_jsonb(r)::text from (select %[2]s from %[3]s where club_id = $1 and athlete_id = $2 and %[1]s > $3 order by %[1]s limit %[4]d) r order by %[1]s`
	wholeSQL    = `select 0::bigint, to_jsonb(r)::text from (select %[1]s from %[2]s where club_id = $1 and athlete_id = $2 and $3::bigint = 0) r`
	countSQL    = `select '%[1]s', count(*) from %[1]s where club_id = $1 and athlete_id = $2`

	linesSQL = `select to_jsonb(l)::text from keeper_lines($1) l`
)

// How many rows are read at a time, so that neither they nor the connection are held
// while somebody's line is slow.
const (
	rowsAtOnce     = 200
	wideRowsAtOnce = 4 // of a table whose rows may be of megabytes
)

func readTable(c *cells) privacy.Table {
	return privacy.Table{Name: c.text(), About: c.text(), Number: c.text(), Wide: c.truth(), Columns: c.text()}
}

// Tables are all that hold rows about athletes, that of athletes first, with the
// columns that privacy.LeftOut does not name.
func (s *Store) Tables(ctx context.Context, club roster.ClubID) ([]privacy.Table, error) {
	return ask(ctx, s, club, readTable, keptTablesSQL, slices.Sorted(maps.Keys(privacy.LeftOut())))
}

// numbered is a row with its number.
type numbered struct {
	number int64
	row    []byte
}

func readNumbered(c *cells) numbered { return numbered{c.integer(), []byte(c.text())} }

// Rows gives some of the rows of the table about the athlete, and from where to go
// on; 0: these were the last.
func (s *Store) Rows(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, t privacy.Table, from int64) ([][]byte, int64, error) {
	table, most := pgx.Identifier{t.Name}.Sanitize(), rowsAtOnce
	if t.Wide {
		most = wideRowsAtOnce
	}
	sql := fmt.Sprintf(wholeSQL, t.Columns, table)
	if t.Number != "" {
		sql = fmt.Sprintf(numberedSQL, pgx.Identifier{t.Number}.Sanitize(), t.Columns, table, most)
	}
	all, err := ask(ctx, s, club, readNumbered, sql, club, athlete, from)
	if err != nil {
		return nil, 0, err
	}
	rows := make([][]byte, len(all))
	for i := range all {
		rows[i] = all[i].row
	}
	if t.Number == "" || len(all) < most {
		return rows, 0, nil
	}
	return rows, all[len(all)-1].number, nil
}

func readCount(c *cells) privacy.Count {
	return privacy.Count{Table: c.text(), Rows: int(c.integer())}
}

// Counts says how many rows each table holds about the athlete, where there are any.
func (s *Store) Counts(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]privacy.Count, error) {
	tables, err := s.Tables(ctx, club)
	if err != nil {
		return nil, err
	}
	about, counts := map[string]string{}, make([]string, len(tables))
	for i, t := range tables {
		about[t.Name], counts[i] = t.About, fmt.Sprintf(countSQL, t.Name)
	}
	all, err := ask(ctx, s, club, readCount, strings.Join(counts, " union all "), club, athlete)
	for i := range all {
		all[i].About = about[all[i].Table]
	}
	return slices.DeleteFunc(all, func(c privacy.Count) bool { return c.Rows == 0 }), err
}

// Lines are the audit lines of what the athlete did, and of what was done with rows
// about the athlete, the oldest first.
func (s *Store) Lines(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([][]byte, error) {
	return ask(ctx, s, club, func(c *cells) []byte { return []byte(c.text()) }, linesSQL, athlete)
}
