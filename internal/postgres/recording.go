package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// What a recording takes up: an hour at one sample a second is about 4 kB of the
// table with its indexes (1.7 kB of them the recording, the rest what was read in
// it), and about 10 kB where speed and steps were written down too (6.5 kB of them
// the recording). TestAnHourTakesUpLittleOfTheTable measures it.

// recordingColumns are those of a recording, as readRecording reads them; the body
// comes after them.
const (
	recordingColumns = `r.recording_id, r.athlete_id, r.session_id, s.date, r.digest, r.format, r.started_at, r.reading::text,
  r.easy_bpm, r.easy_sd, r.easy_source, r.easy_formula, r.hard_bpm, r.hard_sd, r.hard_source, r.hard_formula,
  r.rules, r.read_at, r.added_at, r.by_coach, r.passed_over`

	recordingSQL = `select ` + recordingColumns + `, r.body
from recording r join session s on s.club_id = r.club_id and s.session_id = r.session_id
where r.club_id = $1 and r.athlete_id = $2 and r.session_id = $3`

	recordingsSQL = `select ` + recordingColumns + `, null::bytea
from recording r join session s on s.club_id = r.club_id and s.session_id = r.session_id
where r.club_id = $1 and r.athlete_id = $2 order by s.started_at desc, r.recording_id desc`
)

func readRecording(c *cells) roster.Recording {
	r := roster.Recording{ID: roster.RecordingID(c.integer()), Athlete: roster.AthleteID(c.integer()), Session: roster.SessionID(c.integer()), On: c.date()}
	if n := copy(r.Digest[:], c.next()); n != len(r.Digest) {
		c.fail()
	}
	r.Format, r.Started, r.Reading = c.text(), c.instant(), c.reading()
	r.Ceiling, r.Hard = readCeiling(c), readCeiling(c)
	r.Rules, r.ReadAt, r.AddedAt = int(c.integer()), c.instant(), c.instant()
	r.ByCoach, r.PassedBy = roster.CoachID(c.integer()), c.truth()
	if body := c.next(); body != nil {
		r.Body = append([]byte(nil), body...)
	}
	return r
}

// Recording is that of a session, with its body, or fault.NotFound.
func (s *Store) Recording(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, session roster.SessionID) (roster.Recording, error) {
	return askOne(ctx, s, club, readRecording, recordingSQL, club, athlete, session)
}

// Recordings are all of the athlete, the newest session first, without bodies.
func (s *Store) Recordings(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Recording, error) {
	return ask(ctx, s, club, readRecording, recordingsSQL, club, athlete)
}

var (
	insertRecordingSQL = `
with changed as (
  insert into recording (club_id, athlete_id, session_id, digest, format, started_at, body, added_at, by_coach, passed_over,
    reading, peak, easy_bpm, easy_sd, easy_source, easy_formula, hard_bpm, hard_sd, hard_source, hard_formula, rules, read_at)
  values ($1, $4, $5, $6, $7, $8, $9, $10, nullif($11::bigint, 0), $12,
    $13::text::jsonb, nullif($14::smallint, 0), $15, $16, $17, $18, $19, $20, $21, $22, $23, $24)
  returning recording_id as id
), ` + audited("recording.attach") + `
select id from changed`

	rereadRecordingSQL = `
with changed as (
  update recording set reading = $7::text::jsonb, peak = nullif($8::smallint, 0), easy_bpm = $9, easy_sd = $10, easy_source = $11, easy_formula = $12,
    hard_bpm = $13, hard_sd = $14, hard_source = $15, hard_formula = $16, rules = $17, read_at = $18
  where club_id = $1 and athlete_id = $4 and session_id = $5 and recording_id = $6
  returning recording_id as id
), ` + audited("recording.read") + `
select id from changed`

	removeRecordingSQL = `
with changed as (
  delete from recording where club_id = $1 and athlete_id = $4 and session_id = $5
  returning recording_id as id
), ` + audited("recording.remove") + `
select id from changed`

	passOverSQL = `
with changed as (
  update recording set passed_over = true where club_id = $1 and athlete_id = $4 and recording_id = $5
  returning recording_id as id
), ` + audited("recording.pass_over") + `
select id from changed`
)

// showSQL writes what a recording shows into the blocks of a session, if nobody
// corrected it since. Until the transaction ends nobody else can.
const showSQL = `
update session set valid_s = $5::smallint[], heart_s = $6::smallint[], heart_low_s = $7::smallint[], heart_high_s = $8::smallint[],
  version = version + 1
where club_id = $1 and athlete_id = $2 and session_id = $3 and version = $4
returning session_id`

// show writes the figures of the session's blocks, or is fault.Conflict where the
// session is not there in this version.
func (s *Store) show(ctx context.Context, tx pgx.Tx, club roster.ClubID, kept *roster.Session) error {
	values := append([]any{club, kept.Athlete, kept.ID, kept.Version}, blockValues(kept.Blocks)[4:]...)
	return s.orConflict(row(ctx, tx, readID[roster.SessionID], showSQL, values...))
}

// Attach stores the recording in place of the one that the session had, and what it
// shows in the session's blocks. A recording with an ID is there already: its
// reading is written anew. A session of another version, or a file that the
// athlete has attached elsewhere, is fault.Conflict.
func (s *Store) Attach(ctx context.Context, who roster.Actor, r roster.Recording, kept roster.Session) (roster.RecordingID, error) {
	text, err := readingText(&r.Reading)
	if err != nil {
		return 0, err
	}
	read := append([]any{text, narrow(r.Reading.Peak)}, ceilingValues(r.Ceiling)...)
	read = append(append(read, ceilingValues(r.Hard)...), r.Rules, r.ReadAt)
	id := r.ID
	err = s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		if err := s.show(ctx, tx, who.Club, &kept); err != nil {
			return err
		}
		if r.ID != 0 {
			_, err := row(ctx, tx, readID[roster.RecordingID], rereadRecordingSQL, append(args(who, kept.Athlete, kept.ID, r.ID), read...)...)
			return err
		}
		if err := remove(ctx, tx, who, &kept); fault.KindOf(err) != fault.NotFound && err != nil {
			return err
		}
		values := args(who, kept.Athlete, kept.ID, r.Digest[:], r.Format, orNull(r.Started), r.Body, r.AddedAt, int64(r.ByCoach), r.PassedBy)
		id, err = row(ctx, tx, readID[roster.RecordingID], insertRecordingSQL, append(values, read...)...)
		return err
	})
	return id, err
}

// Detach removes the recording of the session, and what it showed of the blocks.
func (s *Store) Detach(ctx context.Context, who roster.Actor, athlete roster.AthleteID, kept roster.Session) error {
	kept.Athlete, kept.Blocks = athlete, nil
	return s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		if err := s.show(ctx, tx, who.Club, &kept); err != nil {
			return err
		}
		return remove(ctx, tx, who, &kept)
	})
}

// remove takes away the recording of the session, or is fault.NotFound.
func remove(ctx context.Context, tx pgx.Tx, who roster.Actor, kept *roster.Session) error {
	_, err := row(ctx, tx, readID[roster.RecordingID], removeRecordingSQL, args(who, kept.Athlete, kept.ID)...)
	return err
}

// PassOver says that the peak of a recording is not to be offered again.
func (s *Store) PassOver(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.RecordingID) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.RecordingID], passOverSQL, args(who, athlete, id)...)
	return err
}
