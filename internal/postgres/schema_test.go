package postgres

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/migrations"
)

var update = flag.Bool("update", false, "write migrations/schema.sql anew")

const schemaHead = `-- Where the migrations lead, read from a database by "make schema": for reading,
-- never run. Every table also has row security, on and forced.

`

// Each of these gives the text of all things of one sort, in an order that does not
// depend on when they were made.
const (
	domainsOfSchemaSQL = `select format(E'create domain %s as %s\n  %s;\n', t.typname, format_type(t.typbasetype, t.typtypmod),
  (select string_agg('constraint ' || conname || ' ' || pg_get_constraintdef(oid), E'\n  ' order by conname) from pg_constraint where contypid = t.oid))
from pg_type t where t.typnamespace = 'public'::regnamespace and t.typtype = 'd' order by t.typname`

	sequencesOfSchemaSQL = `select format(E'create sequence %s;\n', s.relname) || coalesce((
  select string_agg(format(E'grant %s on sequence %s to %s;\n', lower(g.privilege_type), s.relname, g.grantee::regrole), '' order by g.privilege_type)
  from aclexplode(s.relacl) g where g.grantee <> s.relowner), '')
from pg_class s where s.relnamespace = 'public'::regnamespace and s.relkind = 'S'
  and not exists (select from pg_depend d where d.objid = s.oid and d.deptype = 'i') order by s.relname`

	tablesOfSchemaSQL = `select format(E'create table %s (\n  %s\n);\n', c.relname, concat_ws(E',\n  ',
  (select string_agg(concat_ws(' ', a.attname, format_type(a.atttypid, a.atttypmod), case when a.attnotnull then 'not null' end,
      case when a.attidentity <> '' then 'generated always as identity' when a.attgenerated <> ''
        then 'generated always as (' || pg_get_expr(d.adbin, d.adrelid) || ') stored' when d.oid is not null
        then 'default ' || pg_get_expr(d.adbin, d.adrelid) end), E',\n  ' order by a.attnum)
    from pg_attribute a left join pg_attrdef d on d.adrelid = a.attrelid and d.adnum = a.attnum
    where a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped),
  (select string_agg(concat_ws(' ', 'constraint', k.conname, pg_get_constraintdef(k.oid)), E',\n  ' order by array_position('{p,u,c,f}', k.contype), k.conname)
    from pg_constraint k where k.conrelid = c.oid and k.contype in ('p', 'u', 'c', 'f')))) || concat(
  (select string_agg(format(E'comment on column %s.%s is %L;\n', c.relname, a.attname, col_description(c.oid, a.attnum)), '' order by a.attnum)
    from pg_attribute a where a.attrelid = c.oid and a.attnum > 0 and col_description(c.oid, a.attnum) is not null),
  (select string_agg(pg_get_indexdef(i.indexrelid) || E';\n', '' order by i.indexrelid::regclass::text) from pg_index i
    where i.indrelid = c.oid and not exists (select from pg_constraint k where k.conindid = i.indexrelid and k.contype in ('p', 'u'))),
  (select string_agg(pg_get_triggerdef(t.oid) || E';\n', '' order by t.tgname) from pg_trigger t where t.tgrelid = c.oid and not t.tgisinternal),
  (select string_agg(format(E'create policy %s on %s for %s to %s using (%s);\n', p.policyname, p.tablename, lower(p.cmd), array_to_string(p.roles, ', '),
      p.qual), '' order by p.policyname) from pg_policies p where p.schemaname = 'public' and p.tablename = c.relname),
  (select string_agg(format(E'grant %s on %s to %s;\n', g.rights, c.relname, g.grantee), '' order by g.grantee) from (
    select grantee, string_agg(lower(privilege_type), ', ' order by privilege_type) as rights from information_schema.table_privileges
    where table_schema = 'public' and table_name = c.relname and grantee in ('PUBLIC', 'halfhour_app', 'halfhour_door', 'halfhour_keeper') group by grantee) g),
  (select string_agg(format(E'grant %s (%s) on %s to %s;\n', g.privilege, g.names, c.relname, g.grantee), '' order by g.grantee, g.privilege) from (
    select p.grantee, lower(p.privilege_type) as privilege, string_agg(p.column_name, ', ' order by p.column_name) as names
    from information_schema.column_privileges p
    where p.table_schema = 'public' and p.table_name = c.relname and p.grantee in ('PUBLIC', 'halfhour_app', 'halfhour_door', 'halfhour_keeper')
      and not exists (select from information_schema.table_privileges t where t.table_schema = 'public' and t.table_name = p.table_name
        and t.grantee = p.grantee and t.privilege_type = p.privilege_type) group by 1, 2) g))
from pg_class c where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and c.relname <> 'schema_migrations' order by c.relname`

	functionsOfSchemaSQL = `select replace(rtrim(pg_get_functiondef(p.oid), E'\n'), 'CREATE OR REPLACE', 'create') || E';\n'
  || case when p.proowner in ('halfhour_door'::regrole, 'halfhour_keeper'::regrole) then format(E'alter function %s owner to %s;\n', p.oid::regprocedure, p.proowner::regrole) else '' end
from pg_proc p where p.pronamespace = 'public'::regnamespace order by p.proname`

	// River's tables are its own affair; what the program may do with them is ours.
	jobsOfSchemaSQL = `select E'-- The tables of River, which its own migrations explain.\ncreate schema river;\n' || (
  select string_agg(format(E'grant %s on schema river to %s;\n', lower(g.privilege_type), g.grantee::regrole), '' order by g.privilege_type)
  from aclexplode(n.nspacl) g where g.grantee <> n.nspowner and g.grantee <> 0) || (
  select string_agg(format(E'create table river.%s;\n', c.relname) || coalesce((
    select string_agg(format(E'grant %s on river.%s to %s;\n', lower(g.privilege_type), c.relname, g.grantee::regrole), '' order by g.privilege_type)
    from aclexplode(c.relacl) g where g.grantee <> c.relowner), ''), '' order by c.relname)
  from pg_class c where c.relnamespace = n.oid and c.relkind in ('r', 'p'))
from pg_namespace n where n.nspname = 'river'`
)

// schema is the text of everything the migrations make.
func schema(t *testing.T, b *bench) string {
	t.Helper()
	var text strings.Builder
	text.WriteString(schemaHead)
	for _, sql := range []string{domainsOfSchemaSQL, sequencesOfSchemaSQL, tablesOfSchemaSQL, functionsOfSchemaSQL, jobsOfSchemaSQL} {
		text.WriteString(strings.Join(valuesOf[string](t, b.admin, sql), "\n"))
		text.WriteString("\n")
	}
	return strings.TrimSpace(text.String()) + "\n"
}

func TestSchemaIsWrittenDown(t *testing.T) {
	t.Parallel()
	now := schema(t, open(t))
	if *update {
		require.NoError(t, os.WriteFile(filepath.Join("..", "..", "migrations", "schema.sql"), []byte(now), 0o644))
		return
	}
	require.Equal(t, now, migrations.Schema, "make schema writes it anew")
}
