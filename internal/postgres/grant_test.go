package postgres

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What the roles may do is asked of the catalogue, over every schema that is not
// PostgreSQL's own, so that what a later step makes is asked too.

// schemas are those there may be, and why row security does not part each.
func schemas() map[string]string {
	return map[string]string{
		"public": "", // it does
		"river":  "names of work and numbers of rows, of no club",
	}
}

const schemasSQL = `select nspname::text from pg_namespace where nspname !~ '^pg_' and nspname <> 'information_schema' order by 1`

// relationsSQL is everything that holds or shows rows.
const relationsSQL = `select n.nspname || '.' || c.relname || ' ' || c.relkind::text from pg_class c join pg_namespace n on n.oid = c.relnamespace
where n.nspname = $1 and c.relkind not in ('i', 'I', 'S', 'c', 't') order by 1`

// A view would show its rows with the rights of whoever made it, past row security,
// and a table without a club is one for all of them.
func TestEveryTableOfEverySchemaBelongsToAClub(t *testing.T) {
	t.Parallel()
	b := open(t)
	for _, schema := range valuesOf[string](t, b.admin, schemasSQL) {
		why, there := schemas()[schema]
		require.True(t, there, "the schema %s is new here: say why row security does not part it, or let it", schema)
		for _, relation := range valuesOf[string](t, b.admin, relationsSQL, schema) {
			name, kind, _ := strings.Cut(relation, " ")
			require.Contains(t, []string{"r", "p"}, kind, "%s is no table", name)
			if why != "" || name == "public.schema_migrations" {
				continue
			}
			require.True(t, value[bool](t, b, "select relrowsecurity and relforcerowsecurity from pg_class where oid = $1::text::regclass", name), name)
			require.Equal(t, "bigint NO", value[string](t, b, `select data_type || ' ' || is_nullable from information_schema.columns
				where table_schema || '.' || table_name = $1 and column_name = 'club_id'`, name), name)
		}
	}
}

// A policy lets rows of the one club through and no others; only the doors see more.
func TestEveryPolicyIsForOneClubOrADoor(t *testing.T) {
	t.Parallel()
	b := open(t)
	for _, policy := range valuesOf[string](t, b.admin, `select concat_ws(' | ', tablename, policyname, permissive, roles::text, cmd, qual, with_check) from pg_policies order by 1`) {
		parts := strings.Split(policy, " | ")
		switch parts[1] {
		case "own":
			require.Equal(t, []string{"own", "PERMISSIVE", "{public}", "ALL", "(club_id = ( SELECT current_club() AS current_club))"}, parts[1:], policy)
		case "door":
			require.Equal(t, []string{"door", "PERMISSIVE", "{halfhour_door}", "SELECT"}, parts[1:5], policy)
		default:
			t.Errorf("a policy of a new kind: %s", policy)
		}
	}
}

// grantsSQL is who may do what with tables beside their owner; 0 is everybody.
const grantsSQL = `select n.nspname || '.' || c.relname || ' ' || coalesce(nullif(g.grantee, 0)::regrole::text, 'everybody') || ' ' || lower(g.privilege_type) || case when g.is_grantable then ' on' else '' end
from pg_class c join pg_namespace n on n.oid = c.relnamespace cross join lateral aclexplode(c.relacl) g
where c.relkind in ('r', 'p') and n.nspname !~ '^pg_' and n.nspname <> 'information_schema' and g.grantee <> c.relowner order by 1`

// beyondAsking is what the program's role was granted on whole tables beside asking
// and adding: the list from which any other grant stands out.
func beyondAsking() []string {
	return []string{
		"attempt delete", "calendar_address delete", "calendar_event delete", "ceremony delete", "erasure delete", "holiday delete", "leave delete", "letter delete", "measurement delete", "recording delete", "run_group delete", "session delete", "session update",
		"weather delete",
	}
}

// keeps are what the keeper may with whole tables beside removing what is somebody's:
// it looks up who did what, and counts.
func keeps() []string {
	return []string{"audit select", "tally select", "tally insert", "tally update", "erased insert"}
}

func TestNothingIsGrantedBeyondTheList(t *testing.T) {
	t.Parallel()
	b := open(t)
	grants := valuesOf[string](t, b.admin, grantsSQL)
	require.Greater(t, len(grants), 20)
	for _, grant := range grants {
		parts := strings.Fields(grant)
		require.Len(t, parts, 3, "%s: nobody may pass a right on", grant)
		table, ours := strings.CutPrefix(parts[0], "public.")
		if !ours {
			require.Equal(t, "halfhour_app", parts[1], grant)
			require.Contains(t, []string{"select", "insert", "update", "delete"}, parts[2], grant)
			continue
		}
		switch right := table + " " + parts[2]; parts[1] {
		case "halfhour_app":
			if parts[2] != "select" && parts[2] != "insert" {
				require.Contains(t, beyondAsking(), right)
			}
		case "halfhour_keeper":
			if parts[2] != "delete" {
				require.Contains(t, keeps(), right)
			}
		default:
			t.Errorf("%s: the doors read single columns, and nobody else anything", grant)
		}
	}
}

// fixedSQL is what names a row or proves something: keys, and hashes of secrets.
const fixedSQL = `select a.attname::text from pg_attribute a join pg_type y on y.oid = a.atttypid
where a.attrelid = $1::text::regclass and a.attnum > 0 and not a.attisdropped and (y.typname = 'bytea'
  or exists (select from pg_index i where i.indrelid = a.attrelid and i.indisprimary and a.attnum = any (i.indkey)))`

func TestKeysAndSecretsAreNeverChanged(t *testing.T) {
	t.Parallel()
	b := open(t)
	for _, table := range b.tables(t) {
		if slices.Contains(beyondAsking(), table+" update") {
			continue // its policy and its foreign keys keep the club
		}
		for _, column := range valuesOf[string](t, b.admin, fixedSQL, table) {
			require.False(t, value[bool](t, b, "select has_column_privilege('halfhour_app', $1::text, $2::text, 'update')", table, column), "%s.%s", table, column)
		}
	}
}

// A function that runs with another's rights is a door or a keeper's: named so, owned
// by a role that can do little else, deaf to the caller's search path, and for the
// program alone. All others run with the rights of whoever calls them.
func TestEveryFunctionThatLendsRightsIsNamed(t *testing.T) {
	t.Parallel()
	b := open(t)
	doors := valuesOf[string](t, b.admin, `select n.nspname || '.' || p.proname || ' ' || p.proowner::regrole || ' ' || coalesce(array_to_string(p.proconfig, ';'), '') || ' '
			|| has_function_privilege('public', p.oid, 'execute') || ' ' || p.provolatile::text || ' ' || l.lanname
		from pg_proc p join pg_namespace n on n.oid = p.pronamespace join pg_language l on l.oid = p.prolang
		where p.prosecdef and n.nspname !~ '^pg_' and n.nspname <> 'information_schema' order by 1`)
	require.NotEmpty(t, doors)
	for _, door := range doors {
		require.Regexp(t, `^public\.(door_[a-z]+ halfhour_door search_path=public, pg_temp false s sql|keeper_[a-z]+ halfhour_keeper search_path=public, pg_temp false [sv] plpgsql)$`, door)
	}
}

// rolesTellSQL is what a role could climb by.
const rolesTellSQL = `select rolname || ':' || concat_ws(',', case when rolsuper then 'superuser' end, case when rolcreaterole then 'createrole' end,
  case when rolcreatedb then 'createdb' end, case when rolreplication then 'replication' end, case when rolbypassrls then 'bypassrls' end,
  (select string_agg(m.roleid::regrole::text, ',') from pg_auth_members m where m.member = r.oid)) from pg_roles r where rolname ~ '^halfhour_' order by 1`

func TestTheRolesAreNobodyElse(t *testing.T) {
	t.Parallel()
	b := open(t)
	require.Equal(t, []string{"halfhour_app:", "halfhour_door:", "halfhour_keeper:"}, valuesOf[string](t, b.admin, rolesTellSQL))
	require.Zero(t, value[int](t, b, `select count(*)::int from pg_class where relowner = 'halfhour_app'::regrole`))
	require.Zero(t, value[int](t, b, `select count(*)::int from pg_namespace where has_schema_privilege('halfhour_app', oid, 'create') and nspname !~ '^pg_temp|^pg_toast_temp'`),
		"it makes nothing in any schema")
	require.Zero(t, value[int](t, b, `select count(*)::int from pg_proc p join pg_language l on l.oid = p.prolang where not l.lanpltrusted
		and p.pronamespace = any (select oid from pg_namespace where nspname !~ '^pg_' and nspname <> 'information_schema')`), "nothing runs outside the database")
}

// What the setting guards against, and what not. A value of a statement never
// becomes a statement, so that whatever is typed into the program chooses no club.
// Who could run statements of their own as the program's role would choose one: row
// security is there for the condition that was forgotten and the number that was
// another's, not for a stranger inside the program. The tokens and codes of all
// clubs stay hashes even then.
func TestWhatTheSettingGuardsAndWhatNot(t *testing.T) {
	t.Parallel()
	b, ours, theirs := two(t)
	app := b.hostile(t)
	choose := "'; select set_config('halfhour.club', '" + number(theirs.ID) + "', true); select '"
	for _, text := range []string{choose, "$1", "x'::text or true --", `\'; reset all; --`, "halfhour.club"} {
		n, err := try(t, app, number(ours.ID), "select from athlete where name = $1 or key = $1 or email = $1", text)
		require.NoError(t, err)
		require.Zero(t, n, "%q is a value", text)
		n, err = try(t, app, text, "select from athlete")
		require.True(t, err != nil || n == 0, "%q is no club", text)
	}
	_, err := app.Exec(t.Context(), "select $1::text; select set_config('halfhour.club', '1', true)", "x")
	require.Equal(t, "42601", tell(err), "two statements at once are none: %v", err) // syntax_error

	tx, err := app.Begin(t.Context())
	require.NoError(t, err)
	defer func() { require.NoError(t, tx.Rollback(t.Context())) }()
	_, err = tx.Exec(t.Context(), enterSQL, number(ours.ID))
	require.NoError(t, err)
	_, err = tx.Exec(t.Context(), enterSQL, number(theirs.ID))
	require.NoError(t, err)
	var name string
	require.NoError(t, tx.QueryRow(t.Context(), "select name from club").Scan(&name))
	require.Equal(t, theirs.Name, name, "a stranger inside the program is beyond this wall; deploy/asvs.md says so")
}
