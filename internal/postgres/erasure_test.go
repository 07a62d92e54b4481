package postgres

import (
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// notAbout are the tables without a column athlete_id, and why nothing in them leads
// to an athlete. A new table belongs here or has such a column.
func notAbout() map[string]string {
	return map[string]string{
		"attempt":  "counts attempts under a fingerprint of an address; nobody knows whose, and they go after a while",
		"ceremony": "is a question to a passkey, under a fingerprint, for five minutes; only coaches have passkeys",
		"club":     "is the club",
		"holiday":  "is everybody's", "run_group": "is everybody's; who is in it stands with each athlete",
		"coach": "is a coach", "passkey": "is a coach's",
		"exercise": "is the club's own exercise, with the coach who added it",
		"movement": "is the club's own movement, with the coach who added it",
		"pathway":  "is everybody's", "phase": "is everybody's",
		"routine": "is what the club does before and after a session, with the coach who edited it",
		"tally":   "counts people who are gone, without a name",
		"erased":  "holds fingerprints of random secrets that were erased with the people, by which nobody can be named",
	}
}

func TestEveryTableIsAboutAthletesOrSaysWhyNot(t *testing.T) {
	t.Parallel()
	b := open(t)
	reasons := notAbout()
	for _, table := range b.tables(t) {
		if value[bool](t, b, "select exists (select from information_schema.columns where table_schema = 'public' and table_name = $1 and column_name = 'athlete_id')", table) {
			require.NotContains(t, reasons, table)
			continue
		}
		require.NotEmpty(t, reasons[table], "%s: give it a column athlete_id, or say here why nothing in it leads to an athlete", table)
	}
}

// Marks are what no row holds by itself.
const (
	markWord   = "zzq-unmistakable-"
	markSmall  = 31313
	markNumber = 1313131313
	markDate   = "1789-07-14"
)

// loosen takes away whatever keeps a column from holding any value, in the database
// of this test alone.
func (b *bench) loosen(t *testing.T) {
	t.Helper()
	for _, sql := range valuesOf[string](t, b.admin, `select case when contypid <> 0
		then format('alter domain %s drop constraint %I', contypid::regtype, conname) else format('alter table %s drop constraint %I', conrelid::regclass, conname) end
		from pg_constraint where connamespace = 'public'::regnamespace and contype = 'c'`) {
		_, err := b.admin.Exec(t.Context(), sql)
		require.NoError(t, err, sql)
	}
}

// marksSQL gives, for every column of a table that holds something of a person, the
// value that marks it; columns by which rows belong together are left alone.
const marksSQL = `
select c.column_name::text || ' = ' || case
  when c.data_type in ('text', 'character varying') then format('%L || ctid::text', $2::text || c.table_name || '.' || c.column_name || '-')
  when c.data_type = 'ARRAY' and c.udt_name = '_text' then format('array[%L]', $2::text || c.table_name || '.' || c.column_name)
  when c.data_type = 'ARRAY' and c.udt_name in ('_int2', '_int4', '_int8') then format('array[%s]', $3::int)
  when c.data_type = 'jsonb' then format('jsonb_build_object(''deep'', jsonb_build_array(%L))', $2::text || c.table_name || '.' || c.column_name)
  when c.data_type = 'bytea' then format('convert_to(%L || ctid::text, ''UTF8'')', $2::text || c.table_name || '.' || c.column_name || '-')
  when c.data_type = 'smallint' then $3::int::text
  when c.data_type in ('integer', 'bigint', 'numeric', 'double precision', 'real') then $4::bigint::text
  when c.data_type = 'date' then format('%L', $5::text)
  when c.data_type like 'timestamp%%' then format('%L', $5::text || ' 01:02:03.456Z')
  when c.data_type = 'boolean' then null
  else 'a column of type ' || c.data_type || ' that the test does not know' end
from information_schema.columns c
where c.table_schema = 'public' and c.table_name = $1 and c.is_generated = 'NEVER' and c.is_identity = 'NO'
  and c.data_type <> 'boolean'
  and not exists (select from pg_constraint k join pg_attribute a on a.attrelid = k.conrelid and a.attnum = any (k.conkey)
    where k.conrelid = c.table_name::regclass and k.contype = 'f' and a.attname = c.column_name)
order by c.ordinal_position`

// mark puts what no row holds by itself into every column of every row about the
// athlete, and gives the columns.
func (b *bench) mark(t *testing.T, a roster.Athlete) (marked []string) {
	t.Helper()
	for _, table := range b.about(t) {
		sets := valuesOf[string](t, b.admin, marksSQL, table, markWord, markSmall, markNumber, markDate)
		_, err := b.admin.Exec(t.Context(), "alter table "+table+" disable trigger user")
		require.NoError(t, err)
		if len(sets) == 0 {
			continue
		}
		tag, err := b.admin.Exec(t.Context(), "update "+table+" set "+strings.Join(sets, ", ")+" where athlete_id = $1", a.ID)
		require.NoError(t, err, "%s: %v", table, sets)
		require.Positive(t, tag.RowsAffected(), "%s: fill gives the athlete a row in it", table)
		_, err = b.admin.Exec(t.Context(), "alter table "+table+" enable trigger user")
		require.NoError(t, err)
		for _, set := range sets {
			column, _, _ := strings.Cut(set, " ")
			marked = append(marked, table+"."+column)
		}
	}
	return marked
}

// about are the tables with rows about athletes, but for the audit lines, which hold
// numbers alone.
func (b *bench) about(t *testing.T) []string {
	t.Helper()
	return valuesOf[string](t, b.admin, `select c.table_name::text from information_schema.columns c join pg_class r on r.oid = c.table_name::regclass and r.relkind = 'r'
		where c.table_schema = 'public' and c.column_name = 'athlete_id' and c.table_name <> 'audit' order by 1`)
}

// dump is everything in the database, row by row.
func (b *bench) dump(t *testing.T) string {
	t.Helper()
	var all strings.Builder
	for _, table := range append(b.tables(t), "schema_migrations") {
		for _, row := range valuesOf[string](t, b.admin, "select x::text from "+table+" x") {
			fmt.Fprintln(&all, table, row)
		}
	}
	return all.String()
}

// traces are what of the marks is found in a text.
func traces(text string) (found []string) {
	for _, mark := range []string{markWord, hex.EncodeToString([]byte(markWord)), fmt.Sprint(markSmall), fmt.Sprint(markNumber), markDate} {
		if strings.Contains(text, mark) {
			found = append(found, mark)
		}
	}
	return found
}

// Whatever is kept of somebody, in whichever column, is nowhere in the database when
// the person has been erased; and of everybody else everything is there as before.
func TestNothingOfAnErasedAthleteIsLeft(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, neighbours := b.club(t, "Harbour"), b.club(t, "Hill")
	b.fill(t, neighbours)
	b.fill(t, c) // somebody else in the club
	a := b.fill(t, c)
	_, err := b.Open(t.Context(), b.hash(), access.Login{Club: c.ID, Athlete: a.ID, Device: "Firefox", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	b.loosen(t)
	marked := b.mark(t, a)
	require.Greater(t, len(marked), 100, "columns are marked")
	before := b.dump(t)
	require.Len(t, traces(before), 5, "the marks are there to be found")
	for _, column := range marked {
		if kind := value[string](t, b, "select data_type::text from information_schema.columns where table_schema = 'public' and table_name || '.' || column_name = $1", column); kind == "text" || kind == "jsonb" {
			require.Contains(t, before, markWord+column)
		}
	}
	rows := strings.Split(before, "\n")
	theirs := slices.DeleteFunc(slices.Clone(rows), func(row string) bool { return len(traces(row)) > 0 })

	require.NoError(t, b.Erase(t.Context(), c.Actor, a.ID, 2026))

	after := b.dump(t)
	require.Empty(t, traces(after))
	for _, table := range b.about(t) {
		require.Zero(t, value[int](t, b, "select count(*)::int from "+table+" where athlete_id = $1", a.ID), table)
	}
	left := strings.Split(after, "\n")
	for _, row := range theirs {
		if !strings.HasPrefix(row, "tally ") {
			require.Contains(t, left, row, "a row about somebody else is there as before")
		}
	}
	require.Len(t, left, len(theirs)+2, "and the two lines that say that somebody was erased: that it was done, and the mark")
	require.Equal(t, "athlete.erase", value[string](t, b, "select change::text from audit order by audit_id desc limit 1"))
	require.Equal(t, fault.NotFound, fault.KindOf(b.Erase(t.Context(), c.Actor, a.ID, 2026)), "a second time there is nobody")
	_, err = b.Athlete(t.Context(), c.ID, a.ID)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestWhatIsCountedOfTheErased(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	arrived, new := b.athlete(t, c, "Ana"), b.athlete(t, c, "Ben")
	b.log(t, c, b.session(arrived, 5)) // six runs of two minutes
	whole := b.session(arrived, 3)
	whole.Blocks = []readiness.Block{{Kind: pathway.Run, Planned: 1800, Done: 1800}}
	b.log(t, c, whole)
	walk := b.session(new, 2)
	walk.Blocks = []readiness.Block{{Kind: pathway.Walk, Planned: 1800, Done: 1800}}
	b.log(t, c, walk)
	require.NoError(t, b.Erase(t.Context(), c.Actor, arrived.ID, 2026))
	tallies, err := b.Tallies(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, []privacy.Tally{{Year: 2026, Erased: 1, Sessions: 2, RunMinutes: 42, Reached: 1}}, tallies)
	require.NoError(t, b.Erase(t.Context(), c.Actor, new.ID, 2026))
	last := b.athlete(t, c, "Cleo")
	require.NoError(t, b.Erase(t.Context(), c.Actor, last.ID, 2027))
	tallies, err = b.Tallies(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, []privacy.Tally{
		{Year: 2026, Erased: 2, Sessions: 3, RunMinutes: 42, Reached: 1}, {Year: 2027, Erased: 1},
	}, tallies)
}

// Somebody who runs what they like as the program, for one club, erases nobody of
// another and reads no line about them.
func TestTheKeeperServesOneClub(t *testing.T) {
	t.Parallel()
	b, ours, theirs := two(t)
	conn := b.hostile(t)
	victim := value[int64](t, b, "select athlete_id from athlete where club_id = $1", theirs.ID)
	held := b.dump(t)
	for _, club := range []any{ours.ID, 0, -1, ""} {
		for _, sql := range []string{"select keeper_erase($1, 2026)", "select keeper_lines($1)"} {
			tag, err := inClub(t, conn, club, sql, victim)
			require.NoError(t, err, sql)
			require.Zero(t, tag.RowsAffected(), "%s for club %v", sql, club)
		}
	}
	for _, sql := range []string{"select keeper_erase($1, 2026)", "select keeper_lines($1)"} {
		tag, err := conn.Exec(t.Context(), sql, victim)
		require.NoError(t, err)
		require.Zero(t, tag.RowsAffected(), "%s without saying for which club", sql)
	}
	// Whatever the caller puts into the search path, the true tables are meant.
	_, err := conn.Exec(t.Context(), `create temp table athlete (club_id bigint, athlete_id bigint, version int);
		create temp table pg_class (oid oid); set search_path = pg_temp, public`)
	require.NoError(t, err)
	tag, err := inClub(t, conn, ours.ID, "select public.keeper_erase($1, 2026)", victim)
	require.NoError(t, err)
	require.Zero(t, tag.RowsAffected())
	require.Equal(t, held, b.dump(t))
	for _, role := range []string{"halfhour_keeper", "halfhour_door"} {
		require.False(t, value[bool](t, b, "select rolsuper or rolbypassrls or rolcanlogin from pg_roles where rolname = $1", role))
	}
	_, err = conn.Exec(t.Context(), "set role halfhour_keeper")
	refused(t, err, insufficientPrivilege, "the program becomes the keeper")
}

// The keeper may remove and count, and read nothing that anybody wrote.
func TestTheKeeperReadsNoWords(t *testing.T) {
	t.Parallel()
	b := open(t)
	columns := valuesOf[string](t, b.admin, `select p.table_name || '.' || p.column_name from information_schema.column_privileges p
		join information_schema.columns c using (table_schema, table_name, column_name)
		where p.grantee = 'halfhour_keeper' and p.privilege_type = 'SELECT' and c.data_type in ('text', 'jsonb', 'bytea') order by 1`)
	require.Equal(t, []string{"audit.change", "session.block_kinds", "session.kind"}, columns)
	require.Equal(t, []string{"athlete.version", "tally.club_id", "tally.erased", "tally.reached", "tally.run_minutes", "tally.sessions", "tally.year"},
		valuesOf[string](t, b.admin, `select table_name || '.' || column_name from information_schema.column_privileges
			where grantee = 'halfhour_keeper' and privilege_type = 'UPDATE' order by 1`))
}

func TestAskingToBeErasedAndTakingItBack(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	who := roster.Actor{Club: c.ID, Athlete: a.ID}
	asked, err := b.Asked(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Zero(t, asked)
	require.NoError(t, b.AskErasure(t.Context(), who, a.ID, noon))
	require.NoError(t, b.AskErasure(t.Context(), who, a.ID, noon.Add(time.Hour)))
	asking, err := b.Asking(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, []privacy.Asking{{Athlete: a.ID, Name: "Ana", At: noon}}, asking, "the first time stays")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'erasure.ask' and athlete_id = $1", a.ID))
	require.NoError(t, b.TakeBackErasure(t.Context(), who, a.ID))
	require.Equal(t, fault.NotFound, fault.KindOf(b.TakeBackErasure(t.Context(), who, a.ID)))
	asking, err = b.Asking(t.Context(), c.ID)
	require.NoError(t, err)
	require.Empty(t, asking)
}

// Whoever held a link or a login of somebody who is gone comes in nowhere.
func TestNobodyComesInAsTheErased(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	token, code := b.hash(), b.hash()
	_, err := b.Open(t.Context(), token, access.Login{Club: c.ID, Athlete: a.ID, Device: "Firefox", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	require.NoError(t, b.PutCode(t.Context(), c.Actor, access.Code{Hash: code, Purpose: access.AthleteLink, Club: c.ID, Athlete: a.ID, Expires: noon.Add(time.Hour)}))
	require.NoError(t, b.Erase(t.Context(), c.Actor, a.ID, 2026))
	_, err = b.Visitor(t.Context(), token, noon)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = b.Peek(t.Context(), code)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

// The program erases by itself only while the reason holds, and no later change of
// mind is overrun.
func TestErasingByItselfLooksOnceMore(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, ctx := b.club(t, "Harbour"), t.Context()
	asked, left := b.athlete(t, c, "Ana"), b.athlete(t, c, "Ben")
	self := roster.Actor{Club: c.ID, Athlete: asked.ID}
	require.NoError(t, b.AskErasure(ctx, self, asked.ID, noon))
	require.NoError(t, b.TakeBackErasure(ctx, self, asked.ID))
	kind(t, fault.NotFound, b.EraseDue(ctx, c.ID, asked.ID, 2026, privacy.Reason{Asked: noon}), "taken back")
	require.NoError(t, b.AskErasure(ctx, self, asked.ID, noon.Add(time.Hour)))
	kind(t, fault.NotFound, b.EraseDue(ctx, c.ID, asked.ID, 2026, privacy.Reason{Asked: noon}), "and asked again: seven days from then")
	require.NoError(t, b.Leave(ctx, c.Actor, left.ID, noon))
	require.NoError(t, b.Leave(ctx, c.Actor, left.ID, time.Time{}))
	kind(t, fault.NotFound, b.EraseDue(ctx, c.ID, left.ID, 2026, privacy.Reason{Left: noon}), "came back")
	_, err := b.Store.Athlete(ctx, c.ID, left.ID)
	require.NoError(t, err)

	require.NoError(t, b.Leave(ctx, c.Actor, left.ID, noon))
	require.NoError(t, b.EraseDue(ctx, c.ID, asked.ID, 2026, privacy.Reason{Asked: noon.Add(time.Hour)}))
	require.NoError(t, b.EraseDue(ctx, c.ID, left.ID, 2026, privacy.Reason{Left: noon}))
	require.Equal(t, 0, value[int](t, b, "select count(*)::int from athlete where club_id = $1", c.ID))
	require.Equal(t, 2, value[int](t, b, "select erased::int from tally where club_id = $1", c.ID))
}

func TestHowLongPeopleAreKept(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	k, err := b.Keeping(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, privacy.UsuallyKept, k.Months)
	require.WithinDuration(t, time.Now(), k.Since, time.Hour, "by the clock of the database")
	waiting := k.WaitingSince
	require.WithinDuration(t, time.Now(), waiting, time.Hour)
	require.NoError(t, b.SetKeeping(t.Context(), c.Actor, privacy.Keeping{Months: 6, Since: noon}))
	k, err = b.Keeping(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, privacy.Keeping{Months: 6, Since: noon, WaitingSince: waiting}, k)
	clubs, err := b.EveryClub(t.Context())
	require.NoError(t, err)
	require.Equal(t, []roster.ClubID{c.ID}, clubs)
}

// Somebody logs on the phone while a coach erases: the one waits for the other, and
// nothing is left either way.
func TestErasingWhileSomebodyLogs(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	sessions := make([]roster.Session, 24)
	for i := range sessions {
		sessions[i] = b.session(a, i+1)
	}
	logged := make(chan error)
	for _, s := range sessions {
		go func() {
			_, _, err := b.Log(t.Context(), roster.Actor{Club: c.ID, Athlete: a.ID}, s, 0)
			logged <- err
		}()
	}
	require.NoError(t, <-logged, "one is there already")
	require.NoError(t, b.Erase(t.Context(), c.Actor, a.ID, 2026))
	for range len(sessions) - 1 {
		if err := <-logged; err != nil {
			require.Contains(t, []fault.Kind{fault.NotFound, fault.Conflict}, fault.KindOf(err), err)
		}
	}
	require.Zero(t, value[int](t, b, "select count(*)::int from session"))
	require.Zero(t, value[int](t, b, "select count(*)::int from athlete"))
}

// A row that clings to somebody, in a table that nobody thought of, stops erasing: all
// stays, and it is a fault of the program, never taken for somebody who is not there.
func TestErasingIsAllOrNothing(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.fill(t, c)
	_, err := b.admin.Exec(t.Context(), "create table clinging (club_id bigint, whose bigint, foreign key (club_id, whose) references athlete)")
	require.NoError(t, err)
	_, err = b.admin.Exec(t.Context(), "insert into clinging values ($1, $2)", c.ID, a.ID)
	require.NoError(t, err)
	before := b.dump(t)
	err = b.Erase(t.Context(), c.Actor, a.ID, 2026)
	require.ErrorContains(t, err, "could not be erased")
	require.Equal(t, fault.Unknown, fault.KindOf(err))
	require.Equal(t, before, b.dump(t))
}
