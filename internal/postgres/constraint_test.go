package postgres

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

func known(n int) readiness.Maybe { return readiness.Some(n) }

// TestSessionsThatCannotBe tries to store what breaks each rule of the table.
func TestSessionsThatCannotBe(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	heart := func(kind pathway.Kind, valid, seconds, low, high readiness.Maybe) func(*roster.Session) {
		return func(s *roster.Session) {
			s.Blocks = []readiness.Block{{Kind: kind, Planned: 100, Done: 100, Heart: readiness.Heart{Valid: valid, Seconds: seconds, Low: low, High: high}}}
		}
	}
	none := readiness.Maybe{}
	for _, k := range []struct {
		why, place string
		spoil      func(*roster.Session)
	}{
		{"no key", "key", func(s *roster.Session) { s.Key = "" }},
		{"a short key", "key", func(s *roster.Session) { s.Key = "abc" }},
		{"a key with a space", "key", func(s *roster.Session) { s.Key = "abc defgh" }},
		{"effort 11", "effort", func(s *roster.Session) { s.Effort = known(11) }},
		{"effort below 0", "effort", func(s *roster.Session) { s.Effort = known(-1) }},
		{"an effort no column holds", "effort", func(s *roster.Session) { s.Effort = known(1 << 20) }},
		{"more than ten hours", "minutes", func(s *roster.Session) { s.Minutes = known(601) }},
		{"planned for more than ten hours", "minutes", func(s *roster.Session) { s.PlannedMinutes = known(601) }},
		{"neither minutes nor blocks", "minutes", func(s *roster.Session) { s.Blocks, s.Minutes = nil, none }},
		{"a planned session that says nothing of itself", "outcome", func(s *roster.Session) { s.Blocks, s.Outcome = nil, readiness.NotStated }},
		{"an exposure without a phase", "phase", func(s *roster.Session) { s.Phase = "" }},
		{"a phase of a page", "phase", func(s *roster.Session) { s.Phase = fmt.Sprintf("%082d", 0) }},
		{"a date three days off", "date", func(s *roster.Session) { s.Date += 3 }},
		{"61 blocks", "blocks", func(s *roster.Session) {
			for range 60 {
				s.Blocks = append(s.Blocks, readiness.Block{Planned: 1})
			}
		}},
		{"a block planned for nothing", "planned_s", func(s *roster.Session) { s.Blocks[0].Planned = 0 }},
		{"a block planned for over two hours", "planned_s", func(s *roster.Session) { s.Blocks[0].Planned = 7201 }},
		{"a block of over four hours", "done_s", func(s *roster.Session) { s.Blocks[0].Done = 14401 }},
		{"a block done backwards", "done_s", func(s *roster.Session) { s.Blocks[0].Done = -1 }},
		{"a tap in a run", "blocks", func(s *roster.Session) { s.Blocks[0].Settle = known(10) }},
		{"a tap after the end", "blocks", func(s *roster.Session) { s.Blocks[1].Settle = known(181) }},
		{"a tap before the beginning", "settle_s", func(s *roster.Session) { s.Blocks[1].Settle = known(-1) }},
		{"more recorded than done", "blocks", heart(pathway.Walk, known(101), known(50), none, none)},
		{"more easy than recorded", "blocks", heart(pathway.Walk, known(50), known(51), none, none)},
		{"recorded without what it showed", "blocks", heart(pathway.Walk, known(50), none, none, none)},
		{"shown without a recording", "blocks", heart(pathway.Walk, none, known(50), none, none)},
		{"another ceiling without a recording", "blocks", heart(pathway.Walk, none, none, known(5), none)},
		{"on a walk a lower ceiling gives no more", "blocks", heart(pathway.Walk, known(90), known(50), known(51), known(60))},
		{"on a walk a higher ceiling gives no less", "blocks", heart(pathway.Walk, known(90), known(50), known(40), known(49))},
		{"on a run a lower ceiling gives no less", "blocks", heart(pathway.Run, known(90), known(50), known(49), known(40))},
		{"on a run a higher ceiling gives no more", "blocks", heart(pathway.Run, known(90), known(50), known(60), known(51))},
		{"pain that nobody asked about", "pain", func(s *roster.Session) { s.PainAsked, s.Pain = false, []readiness.Pain{{Site: "shin"}} }},
		{"pain of 11", "pain_score", func(s *roster.Session) { s.Pain = []readiness.Pain{{Site: "shin", Score: 11}} }},
		{"pain below 0", "pain_score", func(s *roster.Session) { s.Pain = []readiness.Pain{{Site: "shin", Score: -1}} }},
		{"a next morning of 11", "pain_score", func(s *roster.Session) { s.Pain = []readiness.Pain{{Site: "shin", NextMorning: known(11)}} }},
		{"pain nowhere", "pain_site", func(s *roster.Session) { s.Pain = []readiness.Pain{{Score: 1}} }},
		{"pain in 13 places", "pain_site", func(s *roster.Session) {
			for range 13 {
				s.Pain = append(s.Pain, readiness.Pain{Site: "shin", Score: 1})
			}
		}},
		{"a note of a book", "note", func(s *roster.Session) { s.Note = fmt.Sprintf("%02001d", 0) }},
	} {
		s := b.session(a, 1)
		k.spoil(&s)
		_, _, err := b.Log(t.Context(), c.Actor, s, 0)
		require.Equal(t, fault.Invalid, fault.KindOf(err), "%s: %v", k.why, err)
		require.Equal(t, k.place, fault.FieldsOf(err)[0].Place, k.why)
	}
	require.Zero(t, value[int](t, b, "select count(*)::int from session"))
	kept := b.log(t, c, b.session(a, 1))
	kept.Effort = known(11)
	require.Equal(t, fault.Invalid, fault.KindOf(b.Correct(t.Context(), c.Actor, kept, 0)), "corrections too")
	_, _, err := b.Log(t.Context(), c.Actor, func() roster.Session { s := b.session(a, 2); s.Note = "a\x00b"; return s }(), 0)
	require.Equal(t, fault.Invalid, fault.KindOf(err), "what is no text")
}

// TestRowsThatCannotBe asks the database itself, past all of the program's own
// care.
func TestRowsThatCannotBe(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.fill(t, c)
	conn := b.hostile(t)
	const (
		check  = "23514"
		unique = "23505"
		null   = "23502"
	)
	session := `insert into session (club_id, athlete_id, key, started_at, date, kind, phase, minutes, outcome, hot, limp, pain_asked, logged_at%[3]s)
		values (%[1]d, %[2]d, 'another-key', '2026-04-01Z', '2026-04-01', 'planned', 'L1', 30, 'in_full', false, false, true, '2026-04-01Z'%[4]s)`
	odd := func(columns, values string) string {
		return fmt.Sprintf(session, c.ID, a.ID, ", "+columns, ", "+values)
	}
	decision := func(column, value string) string {
		columns := `club_id, athlete_id, key, coach_id, at, as_of, choice, to_phase, reason, word, proposal, verdict, before_word,
			before_pathway_id, before_phase, before_phase_since, before_last_passed, before_held,
			after_pathway_id, after_phase, after_phase_since, after_last_passed, after_held`
		values := columns
		if column != "" {
			values = strings.Replace(columns, column+",", value+",", 1)
		}
		return "insert into decision (" + columns + ") select " + values + " from decision"
	}
	// recording and measurement give a new row of the table with one column as given.
	recording := func(column, value string) string {
		columns := `club_id, athlete_id, session_id, digest, format, body, reading, peak, rules, read_at, added_at,
			easy_bpm, easy_sd, easy_source, easy_formula, hard_bpm, hard_sd, hard_source, hard_formula,`
		values := strings.Replace(columns, column+",", value+",", 1)
		if column != "session_id" {
			values = strings.Replace(values, "session_id,", "(select max(session_id) from session where session_id not in (select session_id from recording)),", 1)
		}
		if column != "digest" {
			values = strings.Replace(values, "digest,", "decode(repeat('ab', 32), 'hex'),", 1)
		}
		return "insert into recording (" + strings.TrimSuffix(columns, ",") + ") select " + strings.TrimSuffix(values, ",") + " from recording"
	}
	pin := func(column, value string) string {
		columns := "club_id, athlete_id, key, kind, on_date, weekday, part, by_coach, insist, from_date, made_at, made_on,"
		values := strings.Replace(columns, " "+column+",", " "+value+",", 1)
		if column != "key" {
			values = strings.Replace(values, " key,", " 'forged-key',", 1)
		}
		return "insert into pin (" + strings.TrimSuffix(columns, ",") + ") select " + strings.TrimSuffix(values, ",") + " from pin"
	}
	passkey := func(column, value string) string {
		columns := "club_id, coach_id, credential_id, public_key, sign_count, backup_eligible, backed_up, transports, site, name, created_at"
		values := strings.Replace(columns+",", " "+column+",", " "+value+",", 1)
		if column != "credential_id" {
			values = strings.Replace(values, "credential_id,", "'another'::bytea,", 1)
		}
		return "insert into passkey (" + columns + ") select " + strings.TrimSuffix(values, ",") + " from passkey"
	}
	measurement := func(kind string, bpm int, stages, talk string) string {
		return fmt.Sprintf(`insert into measurement (club_id, athlete_id, key, on_date, kind, bpm, stage_bpm, stage_talk, at)
			values (%d, %d, 'another-key', '2026-04-01', '%s', %d, %s, %s, '2026-04-01Z')`, c.ID, a.ID, kind, bpm, stages, talk)
	}
	look := func(on, what, last, times string) string {
		return fmt.Sprintf(`insert into look (club_id, athlete_id, coach_id, on_date, what, first_at, last_at, times)
			values (%d, %d, %d, %s, %s, '2026-04-01Z', %s, %s)`, c.ID, a.ID, c.Coach, on, what, last, times)
	}
	handed := func(columns, values string) string {
		return fmt.Sprintf(`insert into health_check (club_id, athlete_id, form, begun_at, handed_at, handed_on, %s)
			values (%d, %d, 1, '2026-04-01T08:00Z', '2026-04-01T09:00Z', '2026-04-01', %s)`, columns, c.ID, a.ID, values)
	}
	tried := map[string]bool{}
	for _, k := range []struct{ code, constraint, sql string }{
		{check, "name", "update athlete set name = ''"},
		{check, "name", "update athlete set name = repeat('x', 81)"},
		{check, "zone", "update athlete set zone = ''"},
		{check, "athlete_birth_year", "update athlete set birth_year = 1899"},
		{check, "athlete_sessions_a_week", "update athlete set sessions_a_week = 7"},
		{check, "athlete_sessions_a_week", "update athlete set sessions_a_week = 1"},
		{check, "phase", "update athlete set phase = ''"},
		{check, "held", "update athlete set held = 'maybe'"},
		{check, "note", "update athlete set coach_word = repeat('x', 2001)"},
		{check, "athlete_email", "update athlete set email = repeat('x', 255)"},
		{check, "athlete_last_passed", "update athlete set last_passed = repeat('x', 82)"},
		{null, "", "update athlete set phase_since = null"},
		{unique, "athlete_key_once", `insert into athlete (club_id, key, name, zone, sessions_a_week, heart_usable, pathway_id, phase, phase_since, joined_on)
			select club_id, key, name, zone, sessions_a_week, heart_usable, pathway_id, phase, phase_since, joined_on from athlete`},
		{check, "coach_role", "update coach set owner = true, deputy = true"},
		{check, "coach_left", "update coach set left_at = now(), owner = false, password = ''"}, // the address is still there
		{check, "coach_left", "update coach set left_at = now(), email = null, owner = false, password = 'phc'"},
		{check, "coach_left", "update coach set left_at = now(), email = null, password = ''"}, // still an owner
		{check, "coach_left", "update coach set left_at = now(), email = null, password = '', owner = false, deputy = true"},
		{check, "coach_left", "update coach set email = null"},
		{check, "athlete_handed", "update athlete set handed_at = now(), handed_by = null"},
		{check, "athlete_handed", fmt.Sprintf("update athlete set handed_at = now(), handed_by = %d, coach_id = null", c.Coach)},
		{check, "login_claimed_at", "update login set claimed_at = now()"},
		{check, "coach_email", fmt.Sprintf("insert into coach (club_id, name, email) values (%d, 'x', 'X@example.org')", c.ID)},
		{check, "coach_email", fmt.Sprintf("insert into coach (club_id, name, email) values (%d, 'x', '@example.org')", c.ID)},
		{unique, "coach_email_once", fmt.Sprintf("insert into coach (club_id, name, email) select %d, 'x', email from coach", c.ID)},
		{check, "pathway_version", fmt.Sprintf("insert into pathway (club_id, name, version) values (%d, 'x', 0)", c.ID)},
		{unique, "pathway_once", "insert into pathway (club_id, name, version) select club_id, name, version from pathway"},
		{check, "phase_id", "insert into phase select club_id, pathway_id, 99, 'L9-', stage, kinds, planned_s from phase limit 1"},
		{check, "phase_blocks", "insert into phase select club_id, pathway_id, 99, 'L9', stage, 'rw', '{60}' from phase limit 1"},
		{check, "phase_half", "insert into phase select club_id, pathway_id, 99, 'L9', stage, 'r', '{60}', 'r' from phase limit 1"},
		{check, "planned_s", "insert into phase select club_id, pathway_id, 99, 'L9', stage, 'r', '{7201}' from phase limit 1"},
		{check, "planned_s", "insert into phase select club_id, pathway_id, 99, 'L9', stage, 'r', '{null}' from phase limit 1"},
		{check, "planned_s", "insert into phase select club_id, pathway_id, 99, 'L9', stage, 'rw', '{{60},{60}}' from phase limit 1"},
		{check, "blocks", "insert into phase select club_id, pathway_id, 99, 'L9', stage, 'x', '{60}' from phase limit 1"},
		{check, "phase_stage", "insert into phase select club_id, pathway_id, 99, 'L9', repeat('x', 81), 'r', '{60}' from phase limit 1"},
		{check, "phase_place", "insert into phase select club_id, pathway_id, 200, 'L9', stage, 'r', '{60}' from phase limit 1"},
		{unique, "phase_once", "insert into phase select club_id, pathway_id, 99, id, stage, 'r', '{60}' from phase limit 1"},
		{check, "kind", "update session set kind = 'dance'"},
		{check, "outcome", "update session set outcome = 'well'"},
		{check, "minutes", "update session set minutes = 601"},
		{check, "effort", "update session set effort = 11"},
		{check, "key", "update session set key = 'short'"},
		{check, "pain_score", odd("pain_site, pain_score, pain_morning", "'{shin}', '{11}', '{3}'")},
		{unique, "session_key_once", odd("note", "''") + ", " + strings.SplitN(odd("note", "''"), "values ", 2)[1]},
		{unique, "session_once", odd("note", "''") + ", " + strings.Replace(strings.SplitN(odd("note", "''"), "values ", 2)[1], "another-key", "yet-another-key", 1)},
		{check, "talk", "update session set talk = 'song'"},
		{check, "breath", "update session set breath = 'never'"},
		{check, "signs", odd("signs", "'{hiccups}'")},
		{check, "signs", odd("signs", "'{}'")},
		{check, "signs", odd("signs", "'{null}'")},
		{check, "done_s", odd("block_kinds, planned_s, done_s", "'r', '{60}', '{null}'")},
		{check, "done_s", odd("block_kinds, planned_s, done_s", "'rw', '{60,60}', '[0:1]={60,60}'")},
		{check, "settle_s", odd("block_kinds, planned_s, done_s, settle_s", "'w', '{60}', '{60}', '{{10}}'")},
		{check, "session_blocks", odd("block_kinds, planned_s, done_s", "'rw', '{60}', '{60}'")},
		{check, "session_blocks", odd("block_kinds, planned_s", "'r', '{60}'")},
		{check, "session_blocks", odd("planned_s, done_s", "'{60}', '{60}'")},
		{check, "session_blocks", odd("block_kinds, planned_s, done_s, settle_s", "'rw', '{60,60}', '{60,60}', '{null}'")},
		{check, "session_blocks", odd("block_kinds, planned_s, done_s, valid_s", "'rw', '{60,60}', '{60,60}', '{1}'")},
		{check, "session_pain", odd("pain_site, pain_score", "'{shin}', '{3}'")},
		{check, "session_pain", odd("pain_site, pain_score, pain_morning", "'{shin,knee}', '{3}', '{3}'")},
		{check, "session_pain", odd("pain_site, pain_score, pain_morning", "'{shin}', '{null}', '{3}'")},
		{check, "session_pain", odd("pain_score, pain_morning", "'{3}', '{3}'")},
		{check, "pain_site", odd("pain_site, pain_score, pain_morning", "'{}', '{}', '{}'")},
		{check, "leave_to", "update leave set last_day = first_day - 1"},
		{check, "leave_kind", fmt.Sprintf("insert into leave (club_id, athlete_id, key, first_day, kind) values (%d, %d, 'another-key', '2026-01-01', 'tired')", c.ID, a.ID)},
		{check, "leave_injured_before", "update leave set injured_before = first_day"},
		{check, "leave_why", fmt.Sprintf("insert into leave (club_id, athlete_id, key, first_day, why) values (%d, %d, 'another-key', '2026-01-01', repeat('x', 81))", c.ID, a.ID)},
		{unique, "leave_key_once", "insert into leave (club_id, athlete_id, key, first_day) select club_id, athlete_id, key, first_day from leave"},
		{check, "note_text", fmt.Sprintf("insert into note (club_id, athlete_id, key, coach_id, at, text) values (%d, %d, 'another-key', %d, now(), '')", c.ID, a.ID, c.Coach)},
		{unique, "note_key_once", "insert into note (club_id, athlete_id, key, coach_id, at, text) select club_id, athlete_id, key, coach_id, at, text from note"},
		{unique, "decision_key_once", decision("", "")},
		{check, "decision_choice", decision("choice", "'guess'")},
		{check, "decision_to_phase", decision("to_phase", "repeat('x', 82)")},
		{check, "decision_proposal", decision("proposal", "repeat('x', 201)")},
		{check, "decision_verdict", decision("verdict", "'[]'")},
		{check, "decision_undone", "update decision set undone_at = now()"},
		{check, "login_person", fmt.Sprintf("insert into login (club_id, token, device, since, seen_at, expires_at) values (%d, decode(repeat('ab', 32), 'hex'), 'x', now(), now(), now() + interval '1 day')", c.ID)},
		{check, "login_token", fmt.Sprintf("insert into login (club_id, token, coach_id, device, since, seen_at, expires_at) values (%d, 'short', %d, 'x', now(), now(), now() + interval '1 day')", c.ID, c.Coach)},
		{check, "login_expires_at", "update login set expires_at = since"},
		{unique, "login_token_once", "insert into login (club_id, token, coach_id, device, since, seen_at, expires_at) select club_id, token, coach_id, device, since, seen_at, expires_at from login"},
		{check, "code_person", fmt.Sprintf("insert into code (club_id, hash, purpose, expires_at) values (%d, decode(repeat('ab', 32), 'hex'), 'athlete', now())", c.ID)},
		{check, "code_person", fmt.Sprintf("insert into code (club_id, hash, purpose, expires_at) values (%d, decode(repeat('ab', 32), 'hex'), 'set_up', now())", c.ID)},
		{check, "code_person", fmt.Sprintf("insert into code (club_id, hash, purpose, expires_at, email) values (%d, decode(repeat('ab', 32), 'hex'), 'coach_email', now(), 'x@example.org')", c.ID)},
		{check, "code_person", fmt.Sprintf("insert into code (club_id, hash, purpose, coach_id, expires_at, email) values (%d, decode(repeat('ab', 32), 'hex'), 'coach', %d, now(), 'x@example.org')", c.ID, c.Coach)},
		{check, "code_email", fmt.Sprintf("insert into code (club_id, hash, purpose, coach_id, expires_at, email) values (%d, decode(repeat('ab', 32), 'hex'), 'coach_email', %d, now(), 'X@example.org')", c.ID, c.Coach)},
		{check, "coach_email_at", "update coach set email_at = now()"},
		{check, "code_purpose", fmt.Sprintf("insert into code (club_id, hash, purpose, expires_at) values (%d, decode(repeat('ab', 32), 'hex'), 'magic', now())", c.ID)},
		{check, "code_hash", fmt.Sprintf("insert into code (club_id, hash, purpose, expires_at) values (%d, 'short', 'coach_invite', now())", c.ID)},
		{unique, "code_hash_once", fmt.Sprintf(`insert into code (club_id, hash, purpose, athlete_id, expires_at) values (%d, '\x%x', 'athlete', %d, now())`,
			c.ID, value[[]byte](t, b, "select hash from code where club_id = 0"), a.ID)},
		{check, "login_device", fmt.Sprintf("insert into login (club_id, token, coach_id, device, since, seen_at, expires_at) values (%d, decode(repeat('ab', 32), 'hex'), %d, repeat('x', 201), now(), now(), now() + interval '1 day')", c.ID, c.Coach)},
		{check, "attempt_club_id", fmt.Sprintf("insert into attempt (club_id, key, at) values (%d, decode(repeat('ab', 32), 'hex'), now())", c.ID)},
		{check, "passkey_credential_id", passkey("credential_id", "''::bytea")},
		{check, "passkey_credential_id", passkey("credential_id", "convert_to(repeat('x', 1024), 'UTF8')")},
		{check, "passkey_public_key", passkey("public_key", "''::bytea")},
		{check, "passkey_public_key", passkey("public_key", "convert_to(repeat('x', 4097), 'UTF8')")},
		{check, "passkey_sign_count", passkey("sign_count", "-1")},
		{check, "passkey_sign_count", passkey("sign_count", "4294967296")},
		{check, "passkey_transports", passkey("transports", "array['pigeon']")},
		{check, "passkey_transports", passkey("transports", "array['usb','usb','usb','usb','usb','usb','usb']")},
		{check, "passkey_site", passkey("site", "''")},
		{check, "passkey_site", passkey("site", "repeat('x', 254)")},
		{check, "passkey_backed_up", passkey("backed_up", "true")},
		{check, "name", passkey("name", "''")},
		{unique, "passkey_credential_id_once", passkey("credential_id", "credential_id")},
		{check, "ceremony_club_id", fmt.Sprintf("insert into ceremony (club_id, hash, until_at) values (%d, decode(repeat('ab', 32), 'hex'), now())", c.ID)},
		{check, "athlete_max_formula", "update athlete set max_formula = 'guess'"},
		{check, "recording_digest", recording("digest", "'short'")},
		{check, "recording_format", recording("format", "'song'")},
		{check, "recording_body", recording("body", "''")},
		{check, "recording_body", recording("body", "convert_to(repeat('x', 1048577), 'UTF8')")},
		{check, "recording_reading", recording("reading", "'[]'")},
		{check, "recording_reading", recording("reading", "to_jsonb(repeat('x', 10))")},
		{check, "recording_reading", recording("reading", "jsonb_build_object('w', repeat('x', 2097152))")},
		{check, "recording_peak", recording("peak", "251::smallint")},
		{check, "recording_peak", recording("peak", "0::smallint")},
		{check, "recording_rules", recording("rules", "-1")},
		{check, "recording_easy", recording("easy_bpm", "null::smallint")},
		{check, "recording_easy", recording("easy_bpm", "231::smallint")},
		{check, "recording_easy", recording("easy_sd", "-1")},
		{check, "recording_easy", recording("easy_source", "'a guess'")},
		{check, "recording_easy", recording("easy_source", "'measured'") + " where easy_formula is not null"},
		{check, "recording_easy", recording("easy_formula", "null::text")},
		{check, "recording_easy", recording("easy_formula", "'guess'")},
		{check, "recording_hard", recording("hard_source", "null::text")},
		{check, "recording_hard", recording("hard_bpm", "29::smallint")},
		{check, "recording_hard", recording("hard_formula", "'guess'")},
		{unique, "recording_session_once", recording("session_id", "session_id")},
		{unique, "recording_digest_once", recording("digest", "digest")},
		{check, "measurement_kind", measurement("guess", 150, "null", "null")},
		{check, "measurement_bpm", measurement("resting", 29, "null", "null")},
		{check, "measurement_bpm", measurement("resting", 121, "null", "null")},
		{check, "measurement_bpm", measurement("max", 99, "null", "null")},
		{check, "measurement_bpm", measurement("observed", 231, "null", "null")},
		{check, "measurement_bpm", measurement("talk_test", 59, "'{59}'", "'{chat}'")},
		{check, "measurement_bpm", measurement("talk_test", 221, "'{220}'", "'{chat}'")},
		{check, "measurement_stages", measurement("talk_test", 120, "null", "null")},
		{check, "measurement_stages", measurement("talk_test", 120, "'{}'", "'{}'")},
		{check, "measurement_stages", measurement("talk_test", 120, "'{120,130}'", "'{chat}'")},
		{check, "measurement_stages", measurement("talk_test", 120, "'{120,59}'", "'{chat,words}'")},
		{check, "measurement_stages", measurement("talk_test", 120, "'{120,221}'", "'{chat,words}'")},
		{check, "measurement_stages", measurement("talk_test", 120, "'{120}'", "'{song}'")},
		{check, "measurement_stages", measurement("talk_test", 120, "'{120}'", "'{null}'")},
		{check, "measurement_stages", measurement("talk_test", 120, "'{{120}}'", "'{{chat}}'")},
		{check, "measurement_stages", measurement("talk_test", 120, "array_fill(120, array[21])", "array_fill('chat'::text, array[21])")},
		{check, "measurement_stages", measurement("resting", 60, "'{120}'", "'{chat}'")},
		{unique, "measurement_key_once", "insert into measurement (club_id, athlete_id, key, on_date, kind, bpm, at) select club_id, athlete_id, key, on_date, 'resting', 60, at from measurement"},
		{check, "club_keep_months", "update club set keep_months = 0"},
		{check, "club_keep_months", "update club set keep_months = 121"},
		{check, "look_what", look("'2026-04-01'", "'roster'", "'2026-04-01Z'", "1")},
		{check, "look_times", look("'2026-04-01'", "'page'", "'2026-04-01Z'", "0")},
		{check, "look_last_at", look("'2026-04-01'", "'page'", "'2026-03-31Z'", "1")},
		{check, "athlete_arrival", "update athlete set arrival = 'near'"},
		{check, "athlete_arrival", "update athlete set arrival = ''"},
		{check, "athlete_available", "update athlete set available = -1"},
		{check, "athlete_available", "update athlete set available = 1 << 21"},
		{check, "consent_kind", fmt.Sprintf("insert into consent (club_id, athlete_id, kind, text_version, on_date, at) values (%d, %d, 'all', 1, '2026-01-01', now())", c.ID, a.ID)},
		{check, "consent_text_version", fmt.Sprintf("insert into consent (club_id, athlete_id, kind, text_version, on_date, at) values (%d, %d, 'adult', 0, '2026-01-01', now())", c.ID, a.ID)},
		{check, "consent_guardian", fmt.Sprintf("insert into consent (club_id, athlete_id, kind, text_version, on_date, at) values (%d, %d, 'guardian', 1, '2026-01-01', now())", c.ID, a.ID)},
		{check, "consent_guardian", fmt.Sprintf("insert into consent (club_id, athlete_id, kind, text_version, on_date, at, guardian) values (%d, %d, 'adult', 1, '2026-01-01', now(), 'Bo')", c.ID, a.ID)},
		{check, "consent_guardian", fmt.Sprintf("insert into consent (club_id, athlete_id, kind, text_version, on_date, at, guardian) values (%d, %d, 'guardian', 1, '2026-01-01', now(), repeat('x', 81))", c.ID, a.ID)},
		{check, "consent_withdrawn_at", "update consent set withdrawn_at = at - interval '1 s'"},
		{unique, "consent_stands", "insert into consent (club_id, athlete_id, kind, text_version, on_date, at) select club_id, athlete_id, kind, text_version, on_date, at from consent"},
		{check, "health_check_form", "update health_check set form = 0"},
		{check, "health_check_answers", "update health_check set answers = '[]'"},
		{check, "health_check_answers", "update health_check set answers = jsonb_build_object('w', repeat('x', 65536))"},
		{check, "health_check_sections", "update health_check set sections = array_fill('x'::text, array[21])"},
		{check, "health_check_sections", "update health_check set sections = '{null}'"},
		{check, "health_check_source", "update health_check set source = 'guess'"},
		{check, "health_check_by_coach", "update health_check set by_coach = null"},
		{check, "health_check_by_coach", "update health_check set source = 'phone'"},
		{check, "health_check_asked", "update health_check set source = 'paper'"},
		{check, "health_check_asked", handed("source, asked_on, asked_by", "'phone', '2026-04-01', 'Mara'")},
		{check, "health_check_asked", handed("source, by_coach, asked_on", fmt.Sprintf("'paper', %d, '2026-04-01'", c.Coach))},
		{check, "health_check_asked", handed("source, by_coach, asked_on, asked_by", fmt.Sprintf("'paper', %d, '2026-04-01', ''", c.Coach))},
		{check, "health_check_paper", handed("source, by_coach, asked_on, asked_by, answers", fmt.Sprintf(`'paper', %d, '2026-04-01', 'Mara', '{"active": ["no"]}'`, c.Coach))},
		{check, "health_check_handed", "update health_check set handed_on = null"},
		{check, "health_check_handed", "update health_check set handed_at = begun_at - interval '1 s'"},
		{check, "health_check_why", "update health_check set why = array_fill('x'::text, array[41])"},
		{check, "health_check_why", "update health_check set why = '{null}'"},
		{check, "health_check_advised", "update health_check set advised = false"},
		{check, "health_check_advised", "update health_check set why = '{}'"},
		{check, "health_check_advised", "update health_check set handed_at = null, handed_on = null, seen_at = null, seen_by = null"},
		{check, "health_check_seen", "update health_check set seen_by = null"},
		{check, "health_check_seen", "update health_check set handed_at = null, handed_on = null, advised = false, why = '{}'"},
		{unique, "health_check_draft", fmt.Sprintf("insert into health_check (club_id, athlete_id, form, source, begun_at) select %d, %d, 1, 'phone', now() from generate_series(1, 2)", c.ID, a.ID)},
		{check, "clearance_given_by", fmt.Sprintf("insert into clearance (club_id, decision_id, athlete_id, given_on, given_by) select %d, min(decision_id), %d, '2026-01-01', '' from decision", c.ID, a.ID)},
		{check, "note", fmt.Sprintf("insert into clearance (club_id, decision_id, athlete_id, given_on, given_by, limits) select %d, min(decision_id), %d, '2026-01-01', 'x', repeat('x', 2001) from decision", c.ID, a.ID)},
		{unique, "clearance_pkey", "insert into clearance (club_id, decision_id, athlete_id, given_on, given_by) select club_id, decision_id, athlete_id, given_on, given_by from clearance"},
		{check, "letter_kind", letterTo("song", "1", "null", "null")},
		{check, "letter_address", letterTo("way_in", "null", "null", "'nobody'")},
		{check, "letter_address", letterTo("coach_invitation", "null", "null", "repeat('x', 250) || '@y.org'")},
		{check, "letter_to", letterTo("way_in", "null", "null", "null")},
		{check, "letter_to", letterTo("way_in", "null", "null", "'ana@example.org'")},
		{check, "letter_to", letterTo("way_in", "1", "1", "null")},
		{check, "letter_to", letterTo("invitation", "1", "null", "null")},
		{check, "letter_to", letterTo("coach_invitation", "null", "1", "null")},
		{check, "letter_to", letterTo("new_device", "1", "null", "null")},
		{check, "letter_dropped_for", "update letter set dropped_at = now(), dropped_for = 'a whim'"},
		{check, "letter_ended", "update letter set sent_at = now(), dropped_at = now(), dropped_for = 'late'"},
		{check, "letter_ended", "update letter set dropped_at = now()"},
		{unique, "letter_key_once", "insert into letter (club_id, key, kind, athlete_id, by_coach, made_at) select club_id, key, kind, athlete_id, by_coach, made_at from letter"},
		{check, "letter_to", letterTo("new_address", "1", "null", "null")},
		{check, "letter_to", letterTo("old_address", "null", "null", "'ana@example.org'")},
		{check, "letter_to", letterTo("weekly", "1", "null", "null")},
		{check, "letter_to", letterTo("weekly_now", "null", "1", "null")},
		{check, "letter_to", letterTo("at_once", "1", "null", "null")},
		{check, "letter_to", letterTo("at_once", "null", "1", "null")},
		{check, "letter_to", letterTo("decision", "null", "1", "null")},
		{check, "letter_to", letterTo("monday", "1", "1", "null")},
		{check, "letter_to", letterTo("gentle", "null", "1", "'ana@example.org'")},
		{check, "letter_week", "insert into letter (club_id, key, kind, coach_id, week, made_at) select club_id, 'forged-key', kind, coach_id, '2026-04-14', made_at from letter where kind = 'weekly'"},
		{unique, "", "insert into letter (club_id, key, kind, coach_id, week, made_at) select club_id, 'forged-key', kind, coach_id, week, made_at from letter where kind = 'weekly'"},
		{check, "letter_composed", "update letter set subject = null where kind = 'weekly'"},
		{check, "letter_composed", "update letter set subject = 'x' where kind <> 'weekly'"},
		{check, "letter_subject", "update letter set subject = '' where kind = 'weekly'"},
		{check, "letter_alarm", "insert into letter (club_id, key, kind, coach_id, week, alarm, made_at) select club_id, 'forged-key', kind, coach_id, week + 7, 16, made_at from letter where kind = 'weekly'"},
		{check, "letter_parts", "update letter set parts = 0 where kind = 'weekly'"},
		{check, "letter_part_place", "insert into letter_part (club_id, letter_id, place, plain, html) select club_id, letter_id, 0, '', '' from letter"},
		{check, "coach_letter_day", "update coach set letter_day = 8"},
		{check, "coach_letter_hour", "update coach set letter_hour = 24"},
		{check, "coach_letter_detail", "update coach set letter_detail = 'everything'"},
		{unique, "coach_mail_stop_once", "insert into coach (club_id, name, email, mail_stop) select club_id, 'x', 'x@example.org', mail_stop from coach"},
		{unique, "athlete_mail_stop_once", "insert into athlete (club_id, key, name, zone, sessions_a_week, heart_usable, pathway_id, phase, phase_since, joined_on, mail_stop) select club_id, 'forged-key', name, zone, sessions_a_week, heart_usable, pathway_id, phase, phase_since, joined_on, mail_stop from athlete"},
		{check, "run_group_meets", "update run_group set meets = '{}'"},
		{check, "run_group_meets", "update run_group set meets = array_fill(null::smallint, array[7])"},
		{check, "run_group_meets", "update run_group set meets = array_fill(1440::smallint, array[7])"},
		{unique, "run_group_key_once", "insert into run_group (club_id, key, name, meets) select club_id, key, name, meets from run_group"},
		{unique, "holiday_key_once", "insert into holiday (club_id, key, name, first_day, last_day) select club_id, key, name, first_day, last_day from holiday"},
		{check, "holiday_to", "insert into holiday (club_id, key, name, first_day, last_day) select club_id, 'forged-key', name, first_day, first_day - 1 from holiday"},
		{check, "athlete_strength", "update athlete set strength_week = 4"},
		{check, "athlete_legs", "update athlete set strength_week = 1, strength_legs = 2"},
		{check, "pin_kind", pin("kind", "'swim'")},
		{check, "pin_weekday", "insert into pin (club_id, athlete_id, key, kind, weekday, made_at, made_on) select club_id, athlete_id, 'forged-key', kind, 8, made_at, made_on from pin"},
		{check, "pin_part", pin("part", "'night'")},
		{unique, "pin_key_once", pin("key", "key")},
		{check, "pin_day", pin("weekday", "1")},
		{check, "pin_day", pin("on_date", "null")},
		{check, "pin_from", pin("from_date", "from_date + 7")},
		{check, "pin_insist", pin("insist", "true")},
		{check, "pin_lifted", "update pin set lifted_at = now()"},
		{check, "pin_lifted", "update pin set lifted_at = made_at - interval '1 second', lifted_on = made_on"},
		{check, "pin_undone", "update pin set undone_key = 'forged-key'"},
		{check, "change", fmt.Sprintf("insert into audit (club_id, change) values (%d, 'Ana has a sore shin')", c.ID)},
		{check, "audit_actor", fmt.Sprintf("insert into audit (club_id, coach_id, athlete_id, change) values (%d, 1, 1, 'x.y')", c.ID)},
	} {
		_, err := inClub(t, conn, c.ID, k.sql)
		var answer *pgconn.PgError
		require.ErrorAs(t, err, &answer, k.sql)
		require.Equal(t, k.code, answer.Code, "%s: %s", k.sql, answer.Message)
		if k.constraint != "" {
			require.Equal(t, k.constraint, answer.ConstraintName, k.sql)
			tried[k.constraint] = true
		}
	}
	for _, k := range slices.Concat(aroundThatCannotBe(c, a), liftThatCannotBe(), calendarThatCannotBe()) {
		_, err := inClub(t, conn, c.ID, k[1])
		var answer *pgconn.PgError
		require.ErrorAs(t, err, &answer, k[1])
		require.Equal(t, k[0], answer.ConstraintName, "%s: %s", k[1], answer.Message)
		tried[k[0]] = true
	}
	_, err := inClub(t, conn, -1, "insert into club (club_id, name, zone) values (-1, 'x', 'UTC')")
	refused(t, err, check, "a club below the doorstep")
	_, err = inClub(t, conn, 0, "insert into attempt (key, at) values ('short', now())")
	refused(t, err, check, "no hash")
	_, err = inClub(t, conn, 0, "insert into ceremony (hash, until_at) values ('short', now())")
	refused(t, err, check, "no hash")
	tried["club_id"], tried["attempt_key"], tried["ceremony_hash"] = true, true, true
	for _, k := range [][2]string{ // the program itself never writes these
		{"tally_year", "update tally set year = 1999"}, {"tally_counts", "update tally set erased = 0"},
		{"tally_counts", "update tally set reached = erased + 1"}, {"tally_counts", "update tally set sessions = -1"},
		{"erased_mark", "insert into erased (club_id, mark, erased_on) select club_id, 'short', now() from club"},
	} {
		_, err := b.admin.Exec(t.Context(), k[1])
		var answer *pgconn.PgError
		require.ErrorAs(t, err, &answer, k[1])
		require.Equal(t, k[0], answer.ConstraintName, k[1])
		tried[k[0]] = true
	}
	for _, name := range value[[]string](t, b, `select array_agg(distinct conname::text) from pg_constraint
		where connamespace = 'public'::regnamespace and contype in ('c', 'u') and conrelid <> coalesce(to_regclass('schema_migrations'), 0)`) {
		require.True(t, tried[name], "nobody tries to break %s", name)
	}
}

// letterTo is the statement that writes a letter of the kind to a coach, an athlete or
// an address.
func letterTo(kind, coach, athlete, address string) string {
	return fmt.Sprintf(`insert into letter (club_id, key, kind, coach_id, athlete_id, address, made_at) values (current_club(), 'forged-key', '%s', %s, %s, %s, now())`,
		kind, coach, athlete, address)
}

func TestWhatTheLookBackSearchesForCannotBeForged(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	s := b.session(a, 1)
	s.Limp = true
	b.log(t, c, s)
	conn := b.hostile(t)
	tx, err := conn.Begin(t.Context())
	require.NoError(t, err)
	defer func() { _ = tx.Rollback(t.Context()) }()
	require.NoError(t, enter(t.Context(), tx, c.ID))
	var stops, ran, loaded, exposed, aching bool
	require.NoError(t, tx.QueryRow(t.Context(), `update session set stops = false, ran = false, loaded = false, exposed = false, aching = true
		returning stops, ran, loaded, exposed, aching`).Scan(&stops, &ran, &loaded, &exposed, &aching))
	require.Equal(t, []bool{true, true, true, true, false}, []bool{stops, ran, loaded, exposed, aching})
}
