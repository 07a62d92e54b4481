package postgres

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/warmup"
	"halfhour.app/halfhour/internal/weather"
	"halfhour.app/halfhour/internal/weekplan"
)

// tables are all tables of the schema but the one that counts the steps.
func (b *bench) tables(t *testing.T) []string {
	t.Helper()
	rows, err := b.admin.Query(t.Context(), `select relname::text from pg_class
		where relnamespace = 'public'::regnamespace and relkind in ('r', 'p') and relname <> 'schema_migrations' order by 1`)
	require.NoError(t, err)
	tables, err := pgx.CollectRows(rows, pgx.RowTo[string])
	require.NoError(t, err)
	require.Subset(t, tables, []string{"club", "coach", "pathway", "phase", "athlete", "session", "leave", "note", "decision", "login", "code", "attempt", "audit", "recording", "measurement", "look", "erasure", "tally", "consent", "health_check", "clearance", "passkey", "ceremony", "pin", "run_group", "holiday"})
	return tables
}

func TestEveryTableIsKeptApartByClub(t *testing.T) {
	t.Parallel()
	b := open(t)
	for _, table := range b.tables(t) {
		require.True(t, value[bool](t, b, `select relrowsecurity and relforcerowsecurity from pg_class where oid = $1::regclass`, table),
			"%s: row security is on, for its owner too", table)
		require.Equal(t, "club_id", value[string](t, b, `select a.attname::text from pg_index i
			join pg_attribute a on a.attrelid = i.indrelid and a.attnum = i.indkey[0] where i.indrelid = $1::regclass and i.indisprimary`, table),
			"%s: the club comes first in its primary key", table)
		require.Zero(t, value[int](t, b, `select count(*)::int from pg_constraint k
			join pg_attribute a on a.attrelid = k.conrelid and a.attnum = k.conkey[1]
			where k.conrelid = $1::regclass and k.contype = 'f' and a.attname not in ('club_id', 'of_club')`, table),
			"%s: and in its foreign keys", table)
		require.Equal(t, []string{"own"}, value[[]string](t, b, `select array_agg(polname::text) from pg_policy
			where polrelid = $1::regclass and polname <> 'door'`, table), "%s: one policy", table)
	}
}

// two is a database with two clubs that both have everything.
func two(t *testing.T) (b *bench, ours, theirs club) {
	t.Helper()
	b = open(t)
	clubs := []club{b.club(t, "Harbour"), b.club(t, "Hill")}
	for _, c := range clubs {
		b.fill(t, c)
	}
	return b, clubs[0], clubs[1]
}

// fill gives the club a row in every table.
func (b *bench) fill(t *testing.T, c club) roster.Athlete {
	t.Helper()
	ctx := t.Context()
	a := b.athlete(t, c, "Ana of "+c.Name)
	b.log(t, c, b.session(a, 3)) // one without a recording
	_, err := b.Attach(ctx, c.Actor, b.recording(a), b.log(t, c, b.session(a, 1)))
	require.NoError(t, err)
	_, err = b.Measure(ctx, c.Actor, b.talkTest(a))
	require.NoError(t, err)
	_, err = b.AddLeave(ctx, c.Actor, roster.Leave{Athlete: a.ID, Span: day.Span{From: today - 30, To: today - 28}}, b.key())
	require.NoError(t, err)
	_, err = b.AddNote(ctx, c.Actor, roster.Note{Athlete: a.ID, Coach: c.Coach, At: noon, Text: "runs with a friend"}, b.key())
	require.NoError(t, err)
	_, err = b.Keep(ctx, c.Actor, b.decision(c, a, roster.MoveUp, "L4"), a.Version)
	require.NoError(t, err)
	b.comeIn(t, c, a)
	_, err = b.TellWeather(ctx, roster.Actor{Club: c.ID, Athlete: a.ID}, roster.Weather{Athlete: a.ID, Air: weather.Air{Tenths: 312, Humidity: 55}, At: noon, ToldAt: noon}, b.key())
	require.NoError(t, err)
	_, err = b.AddMovement(ctx, c.Actor, ownMove(), noon, b.key())
	require.NoError(t, err)
	has, err := b.Repertoire(ctx, c.ID)
	require.NoError(t, err)
	_, err = b.EditRoutine(ctx, c.Actor, has.Routine.ID, warmup.Default(), noon, b.key())
	require.NoError(t, err)
	b.lift(t, c, a)
	_, err = b.Open(ctx, b.hash(), access.Login{Club: c.ID, Coach: c.Coach, Device: "Firefox", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	require.NoError(t, b.PutCode(ctx, c.Actor, access.Code{Hash: b.hash(), Purpose: access.AthleteLink, Club: c.ID, Athlete: a.ID, Expires: noon.Add(time.Hour)}))
	require.NoError(t, b.Write(ctx, c.Actor, post.Invitation, a.ID, "", b.key()))
	require.NoError(t, b.Compose(ctx, c.ID, b.weekly(t, c), told(a), noon))
	_, err = b.Tried(ctx, b.hash(), noon, noon)
	require.NoError(t, err)
	require.NoError(t, b.Look(ctx, c.ID, c.Coach, a.ID, privacy.Page, today, noon))
	require.NoError(t, b.AskErasure(ctx, roster.Actor{Club: c.ID, Athlete: a.ID}, a.ID, noon))
	require.NoError(t, b.Erase(ctx, c.Actor, b.athlete(t, c, "Gone from "+c.Name).ID, 2026))
	_, err = b.AddPasskey(ctx, c.Actor, b.passkey(c))
	require.NoError(t, err)
	require.NoError(t, b.BeginCeremony(ctx, b.hash(), noon, noon.Add(time.Minute)))
	_, err = b.SaveGroup(ctx, c.Actor, roster.Group{Name: "Early birds of " + c.Name, Meets: [7]readiness.Maybe{1: readiness.Some(390)}}, b.key())
	require.NoError(t, err)
	_, err = b.AddHoliday(ctx, c.Actor, roster.Holiday{Name: "Midsummer", Span: day.Span{From: today, To: today}}, b.key())
	require.NoError(t, err)
	_, err = b.AddPin(ctx, c.Actor, b.pin(a), nil, a.WeekVersion+1) // the programme above changed the week
	require.NoError(t, err)
	b.subscribe(t, c, a)
	return a
}

// pin is the athlete's wish to run on a Wednesday in place of a Tuesday.
func (b *bench) pin(a roster.Athlete) roster.Pin {
	tuesday := weekplan.Monday(today) + 1
	return roster.Pin{Athlete: a.ID, Key: b.key(), On: tuesday + 1, From: tuesday, Part: weekplan.Evening, MadeAt: noon, MadeOn: today}
}

// hostile is a connection as the program's role, on which somebody runs what they
// like.
func (b *bench) hostile(t *testing.T) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), b.url.AppURL)
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close(context.Background()) })
	return conn
}

// inClub runs a statement in a transaction that says it is for the club.
func inClub(t *testing.T, conn *pgx.Conn, club any, sql string, args ...any) (pgconn.CommandTag, error) {
	t.Helper()
	tx, err := conn.Begin(t.Context())
	require.NoError(t, err)
	defer func() { _ = tx.Rollback(context.Background()) }()
	_, err = tx.Exec(t.Context(), "select set_config('halfhour.club', $1, true)", fmt.Sprint(club))
	require.NoError(t, err)
	return tx.Exec(t.Context(), sql, args...)
}

func refused(t *testing.T, err error, code, what string, args ...any) {
	t.Helper()
	var answer *pgconn.PgError
	require.ErrorAs(t, err, &answer, append([]any{what}, args...)...)
	require.Equal(t, code, answer.Code, answer.Message)
}

const insufficientPrivilege = "42501"

func TestNothingOfAnotherClubIsSeenOrTouched(t *testing.T) {
	t.Parallel()
	b, ours, theirs := two(t)
	conn := b.hostile(t)
	for _, table := range b.tables(t) {
		if onDoorstep(table) {
			continue // on the doorstep
		}
		others := value[int](t, b, "select count(*)::int from "+table+" where club_id = $1", theirs.ID)
		require.Positive(t, others, "%s: there is something to steal", table)
		where := " where club_id = " + fmt.Sprint(theirs.ID)
		for _, sql := range []string{"select from " + table + where, "delete from " + table + where, "update " + table + " set club_id = club_id" + where} {
			tag, err := inClub(t, conn, ours.ID, sql)
			if err != nil {
				refused(t, err, insufficientPrivilege, sql)
			} else {
				require.Zero(t, tag.RowsAffected(), sql)
			}
			tag, err = conn.Exec(t.Context(), strings.TrimSuffix(sql, where)) // without saying for whom
			if err != nil {
				refused(t, err, insufficientPrivilege, sql)
			} else {
				require.Zero(t, tag.RowsAffected(), "%s, with the setting unset", sql)
			}
		}
		require.Equal(t, others, value[int](t, b, "select count(*)::int from "+table+" where club_id = $1", theirs.ID), table)
	}
}

func TestNothingIsPutIntoAnotherClub(t *testing.T) {
	t.Parallel()
	b, ours, theirs := two(t)
	conn := b.hostile(t)
	athlete := value[int64](t, b, "select athlete_id from athlete where club_id = $1", theirs.ID)
	for _, sql := range []string{
		"insert into club (club_id, name, zone) values (%[1]d, 'x', 'UTC')",
		"insert into coach (club_id, name, email) values (%[1]d, 'x', 'x@example.org')",
		"insert into pathway (club_id, name, version) values (%[1]d, 'x', 1)",
		"insert into phase (club_id, pathway_id, place, id, stage, kinds, planned_s) values (%[1]d, 1, 99, 'x', 'x', 'r', '{60}')",
		`insert into athlete (club_id, key, name, zone, sessions_a_week, heart_usable, pathway_id, phase, phase_since, joined_on)
			values (%[1]d, 'forged-key', 'x', 'UTC', 3, true, 1, 'L1', '2026-01-01', '2026-01-01')`,
		`insert into session (club_id, athlete_id, key, started_at, date, kind, phase, minutes, outcome, hot, limp, pain_asked, logged_at)
			values (%[1]d, %[2]d, 'forged-key', '2026-04-01Z', '2026-04-01', 'planned', 'L1', 30, 'in_full', false, false, false, '2026-04-01Z')`,
		"insert into leave (club_id, athlete_id, key, first_day) values (%[1]d, %[2]d, 'forged-key', '2026-01-01')",
		"insert into note (club_id, athlete_id, key, coach_id, at, text) values (%[1]d, %[2]d, 'forged-key', 1, '2026-01-01Z', 'x')",
		`insert into login (club_id, token, athlete_id, device, since, seen_at, expires_at)
			values (%[1]d, decode(repeat('ab', 32), 'hex'), %[2]d, 'x', '2026-01-01Z', '2026-01-01Z', '2027-01-01Z')`,
		"insert into code (club_id, hash, purpose, athlete_id, expires_at) values (%[1]d, decode(repeat('ab', 32), 'hex'), 'athlete', %[2]d, '2027-01-01Z')",
		"insert into audit (club_id, change) values (%[1]d, 'club.found')",
		"insert into consent (club_id, athlete_id, kind, text_version, on_date, at) values (%[1]d, %[2]d, 'adult', 1, '2026-01-01', '2026-01-01Z')",
		"insert into health_check (club_id, athlete_id, form, source, begun_at) values (%[1]d, %[2]d, 1, 'phone', '2026-01-01Z')",
		"insert into clearance (club_id, decision_id, athlete_id, given_on, given_by) values (%[1]d, 1, %[2]d, '2026-01-01', 'x')",
		`insert into recording (club_id, athlete_id, session_id, digest, format, body, reading, rules, read_at, added_at)
			values (%[1]d, %[2]d, 1, decode(repeat('ab', 32), 'hex'), 'fit', 'x', '{}', 1, '2026-04-01Z', '2026-04-01Z')`,
		`insert into passkey (club_id, coach_id, credential_id, public_key, sign_count, backup_eligible, backed_up, transports, site, name, created_at)
			values (%[1]d, 1, 'forged', 'forged', 0, false, false, '{}', 'localhost', 'x', '2026-04-01Z')`,
		"insert into letter (club_id, key, kind, athlete_id, by_coach, made_at) values (%[1]d, 'forged-key', 'invitation', %[2]d, 1, '2026-01-01Z')",
		"insert into measurement (club_id, athlete_id, key, on_date, kind, bpm, at) values (%[1]d, %[2]d, 'forged-key', '2026-01-01', 'resting', 60, '2026-01-01Z')",
		"insert into look (club_id, athlete_id, coach_id, on_date, what, first_at, last_at, times) values (%[1]d, %[2]d, 1, '2026-01-01', 'page', '2026-01-01Z', '2026-01-01Z', 1)",
		"insert into erasure (club_id, athlete_id, asked_at) values (%[1]d, %[2]d, '2026-01-01Z')",
		"insert into tally (club_id, year, erased, sessions, run_minutes, reached) values (%[1]d, 2026, 1, 0, 0, 0)",
	} {
		sql = fmt.Sprintf(sql, theirs.ID, athlete)
		_, err := inClub(t, conn, ours.ID, sql)
		refused(t, err, insufficientPrivilege, sql)
		_, err = conn.Exec(t.Context(), sql)
		refused(t, err, insufficientPrivilege, "with the setting unset: %s", sql)
	}
}

func TestARowCannotPointIntoAnotherClub(t *testing.T) {
	t.Parallel()
	b, ours, theirs := two(t)
	conn := b.hostile(t)
	athlete := value[int64](t, b, "select athlete_id from athlete where club_id = $1", theirs.ID)
	const foreignKeyViolation = "23503"
	_, err := inClub(t, conn, ours.ID, "insert into leave (club_id, athlete_id, key, first_day) values ($1, $2, 'forged-key', '2026-01-01')", ours.ID, athlete)
	refused(t, err, foreignKeyViolation, "leave for another club's athlete")
	_, err = inClub(t, conn, ours.ID, "update athlete set pathway_id = $1", theirs.Pathway)
	refused(t, err, foreignKeyViolation, "another club's pathway")
	_, err = inClub(t, conn, ours.ID, "insert into login (club_id, token, coach_id, device, since, seen_at, expires_at) values ($1, decode(repeat('ab', 32), 'hex'), $2, 'x', '2026-01-01Z', '2026-01-01Z', '2027-01-01Z')", ours.ID, theirs.Coach)
	refused(t, err, foreignKeyViolation, "a login for another club's coach")
	_, err = inClub(t, conn, ours.ID, `insert into passkey (club_id, coach_id, credential_id, public_key, sign_count, backup_eligible, backed_up, transports, site, name, created_at)
		values ($1, $2, 'forged', 'forged', 0, false, false, '{}', 'localhost', 'x', '2026-04-01Z')`, ours.ID, theirs.Coach)
	refused(t, err, foreignKeyViolation, "a passkey of another club's coach")
	_, err = inClub(t, conn, ours.ID, "insert into login (club_id, token, coach_id, passkey_id, device, since, seen_at, expires_at) select $1, decode(repeat('ab', 32), 'hex'), $2, $3, 'x', '2026-01-01Z', '2026-01-01Z', '2027-01-01Z'",
		ours.ID, ours.Coach, value[int64](t, b, "select passkey_id from passkey where club_id = $1", theirs.ID))
	refused(t, err, foreignKeyViolation, "a login opened by another club's passkey")
}

func TestForgedSettings(t *testing.T) {
	t.Parallel()
	b, ours, _ := two(t)
	conn := b.hostile(t)
	for _, forged := range []string{"", "0", "-1", "999999", " " + fmt.Sprint(ours.ID+100)} {
		tag, err := inClub(t, conn, forged, "select from athlete")
		require.NoError(t, err, "%q", forged)
		require.Zero(t, tag.RowsAffected(), "%q", forged)
	}
	for _, forged := range []string{"1 or true", "1); drop table club", "null", "*", "1,2", "9223372036854775808"} {
		_, err := inClub(t, conn, forged, "select from athlete")
		require.Error(t, err, "%q is no club", forged)
	}
	_, err := inClub(t, conn, ours.ID, "select from club")
	require.NoError(t, err)
	require.Zero(t, len(valuesOf[int64](t, conn, "select club_id from club")), "the setting ends with the transaction")
}

func valuesOf[T any](t *testing.T, conn *pgx.Conn, sql string, args ...any) []T {
	t.Helper()
	rows, err := conn.Query(t.Context(), sql, args...)
	require.NoError(t, err)
	all, err := pgx.CollectRows(rows, pgx.RowTo[T])
	require.NoError(t, err)
	return all
}

func TestTheProgramsRoleMayDoNoMoreThanItNeeds(t *testing.T) {
	t.Parallel()
	b, ours, _ := two(t)
	conn := b.hostile(t)
	for _, sql := range []string{
		"create table loot (x int)", "create schema loot", "create function f() returns int language sql as 'select 1'",
		"alter table athlete disable row level security", "drop policy own on athlete", "create policy all_of_it on athlete using (true)",
		"alter table athlete no force row level security", "drop table session", "truncate audit", "alter table session disable trigger all",
		"set role halfhour", "set role halfhour_door", "set session authorization halfhour", "alter role halfhour_app bypassrls",
		"set session_replication_role = replica", "alter function door_any() owner to halfhour_app", "create extension dblink",
		"select change from audit", "update audit set change = 'x.y'", "delete from audit", "delete from athlete", "delete from club",
		"update club set demo = true", "update pathway set name = 'x'", "delete from phase", "delete from decision", "update decision set reason = 'x'",
		"update coach set name = 'x'", "delete from coach", "update login set new_device = true", "delete from login", "update login set coach_id = 1",
		"delete from passkey", "update passkey set public_key = 'x'", "update passkey set credential_id = 'x'", "update passkey set coach_id = 1",
		"update passkey set site = 'x'", "update passkey set backup_eligible = true", "update passkey set name = 'x'", "update login set passkey_id = null",
		"update ceremony set until_at = now()", "delete from code", "update code set purpose = 'coach'", "update note set text = 'x'", "delete from note",
		"update recording set body = 'x'", "update recording set session_id = 1", "update measurement set bpm = 100", "update measurement set on_date = '2020-01-01'",
		"update look set what = 'page'", "delete from look", "update erasure set asked_at = '2020-01-01Z'", "update tally set erased = 1", "delete from tally", "update erased set erased_on = '2020-01-01'", "delete from erased",
		"update note set private = true", "set role halfhour_keeper", "alter function keeper_erase(bigint, integer) owner to halfhour_app",
		"update letter set address = 'thief@example.org'", "update letter set athlete_id = 1", "update letter set kind = 'way_in'",
		"create table river.loot (x int)", "drop table river.river_job", "alter table river.river_job add x int", "update river.river_migration set version = 1",
		"reindex table river.river_job", "truncate river.river_job",
		"copy athlete to program 'cat'", "select pg_read_file('/etc/passwd')", "select lo_import('/etc/passwd')",
		"update schema_migrations set version = 1",
	} {
		_, err := inClub(t, conn, ours.ID, sql)
		var answer *pgconn.PgError
		require.ErrorAs(t, err, &answer, sql)
		require.Contains(t, []string{insufficientPrivilege, "22023"}, answer.Code, "%s: %s", sql, answer.Message)
	}
	_, err := inClub(t, conn, ours.ID, "set local row_security = off; select * from athlete")
	require.Error(t, err)
}

func TestADoorTellsANumberForASecretAndNothingElse(t *testing.T) {
	t.Parallel()
	b, ours, _ := two(t)
	conn := b.hostile(t)
	email := value[string](t, b, "select email from coach where club_id = $1", ours.ID)
	require.Equal(t, int64(ours.ID), valuesOf[int64](t, conn, "select door_email($1)", email)[0])
	for _, sql := range []string{
		"select door_email('%')", "select door_email('')", "select door_email(null)", `select door_email(''' or true --')`,
		"select p.club_id from (select 1) x left join door_people('%') p on true", "select p.club_id from (select 1) x left join door_people('') p on true",
		"select p.club_id from (select 1) x left join door_people(null) p on true", "select door_token('')", "select door_token(null)", `select door_token('\x00')`, "select door_code('')", "select door_code(null)",
		"select s.club_id from (select 1) x left join door_stop('%') s on true", "select s.club_id from (select 1) x left join door_stop('') s on true",
		"select s.club_id from (select 1) x left join door_stop(null) s on true",
		"select door_passkey('')", "select door_passkey(null)", `select door_passkey('\x00')`, "select door_passkey('%')",
	} {
		require.Equal(t, []*int64{nil}, valuesOf[*int64](t, conn, sql), sql)
	}
	credential := value[[]byte](t, b, "select credential_id from passkey where club_id = $1", ours.ID)
	require.Equal(t, int64(ours.ID), valuesOf[int64](t, conn, "select door_passkey($1)", credential)[0])
	require.Equal(t, []*int64{nil}, valuesOf[*int64](t, conn, "select door_passkey($1)", credential[:len(credential)-1]), "a part of it is nothing")
	// Whatever the caller puts into the search path, the doors read the true tables.
	_, err := conn.Exec(t.Context(), `create temp table coach (club_id bigint, email text); insert into coach values (999, 'trap');
		create temp table club (club_id bigint); set search_path = pg_temp, public`)
	require.NoError(t, err)
	require.Equal(t, []*int64{nil}, valuesOf[*int64](t, conn, "select public.door_email('trap')"))
	require.Equal(t, []bool{true}, valuesOf[bool](t, conn, "select public.door_any()"))
}

func TestDoorsBelongToARoleThatReadsAFewColumns(t *testing.T) {
	t.Parallel()
	b := open(t)
	functions := value[[]string](t, b, `select array_agg(p.proname::text order by p.proname::text) from pg_proc p
		where p.pronamespace = 'public'::regnamespace and p.prosecdef`)
	require.Equal(t, []string{"door_any", "door_calendar", "door_clubs", "door_code", "door_email", "door_hearers", "door_letters", "door_passkey", "door_people", "door_stop", "door_token", "door_zones", "keeper_erase", "keeper_lines"}, functions)
	for _, f := range functions {
		first, _, _ := strings.Cut(f, "_")
		require.Equal(t, "halfhour_"+first, value[string](t, b, "select proowner::regrole::text from pg_proc where proname = $1", f))
		require.Equal(t, []string{"search_path=public, pg_temp"}, value[[]string](t, b, "select proconfig from pg_proc where proname = $1", f), f)
		require.False(t, value[bool](t, b, "select has_function_privilege('public', oid, 'execute') from pg_proc where proname = $1", f), f)
	}
	columns := value[[]string](t, b, `select array_agg(table_name || '.' || column_name order by table_name || '.' || column_name) from information_schema.column_privileges
		where grantee = 'halfhour_door'`)
	require.Equal(t, []string{"athlete.athlete_id", "athlete.club_id", "athlete.email", "athlete.left_at",
		"athlete.mail_gentle", "athlete.mail_monday", "athlete.mail_refused_at", "athlete.mail_stop", "athlete.zone", "calendar_address.club_id", "calendar_address.hash", "club.club_id", "club.gentle_on", "club.zone", "coach.club_id", "coach.coach_id",
		"coach.email", "coach.left_at", "coach.letter_day", "coach.letter_hour", "coach.letter_next", "coach.letter_on", "coach.mail_refused_at", "coach.mail_stop", "code.club_id", "code.hash", "login.club_id", "login.token", "passkey.club_id", "passkey.credential_id"}, columns)
	require.False(t, value[bool](t, b, "select has_schema_privilege('halfhour_door', 'public', 'create')"))
}
