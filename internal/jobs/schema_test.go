package jobs

import (
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/rivermigrate"
	"github.com/stretchr/testify/require"
)

// cataloguesSQL is everything in a schema, without its name.
const cataloguesSQL = `
select replace(replace(x, $1 || '.', ''), 'pkey1', 'pkey') from ( -- the library's name has a number for having been made twice
  select format('%s.%s %s %s %s %s', c.relname, a.attname, format_type(a.atttypid, a.atttypmod), a.attnotnull, coalesce(pg_get_expr(d.adbin, d.adrelid), ''), c.relpersistence) as x
  from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
  left join pg_attrdef d on d.adrelid = c.oid and d.adnum = a.attnum
  where c.relnamespace = $1::text::regnamespace and c.relkind = 'r'
  union all select pg_get_indexdef(c.oid) from pg_class c where c.relnamespace = $1::text::regnamespace and c.relkind = 'i'
  union all select k.conname::text || ' ' || pg_get_constraintdef(k.oid) from pg_constraint k where k.connamespace = $1::text::regnamespace
  union all select pg_get_triggerdef(t.oid) from pg_trigger t join pg_class c on c.oid = t.tgrelid where c.relnamespace = $1::text::regnamespace and not t.tgisinternal
  union all select p.proname::text || pg_get_function_arguments(p.oid) || p.provolatile::text || p.prosrc from pg_proc p where p.pronamespace = $1::text::regnamespace
  union all select t.typname::text || string_agg(e.enumlabel, ' ' order by e.enumsortorder) from pg_type t join pg_enum e on e.enumtypid = t.oid
    where t.typnamespace = $1::text::regnamespace group by t.typname
) everything order by 1`

// The tables that our step makes are those that the library, in the version we use,
// would make by itself: whoever raises it and finds this test failing writes a
// migration with what is new.
func TestOurTablesAreThoseOfTheLibrary(t *testing.T) {
	t.Parallel()
	h := open(t)
	pool, err := pgxpool.New(t.Context(), h.admin.Config().ConnString())
	require.NoError(t, err)
	defer pool.Close()
	_, err = pool.Exec(t.Context(), "create schema theirs")
	require.NoError(t, err)
	library, err := rivermigrate.New(riverpgxv5.New(pool), &rivermigrate.Config{Schema: "theirs"})
	require.NoError(t, err)
	_, err = library.Migrate(t.Context(), rivermigrate.DirectionUp, nil)
	require.NoError(t, err)
	of := func(schema string) []string {
		rows, err := pool.Query(t.Context(), cataloguesSQL, schema)
		require.NoError(t, err)
		all, err := pgx.CollectRows(rows, pgx.RowTo[string])
		require.NoError(t, err)
		require.Greater(t, len(all), 50)
		return all
	}
	require.Equal(t, of("theirs"), of("river"))

	ours, err := rivermigrate.New(riverpgxv5.New(pool), &rivermigrate.Config{Schema: schema})
	require.NoError(t, err)
	said, err := ours.Validate(t.Context(), nil)
	require.NoError(t, err)
	require.True(t, said.OK, said.Messages)
}
