package postgres

import (
	"cmp"
	"context"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

const (
	leaveColumns = `l.leave_id, l.athlete_id, l.kind, l.first_day, l.last_day, l.why`

	leavesSQL = `select ` + leaveColumns + ` from leave l
where l.club_id = $1 and l.athlete_id = $2 order by l.first_day desc, l.leave_id desc`
)

func readLeave(c *cells) roster.Leave {
	return roster.Leave{
		ID: roster.LeaveID(c.integer()), Athlete: roster.AthleteID(c.integer()), Kind: roster.LeaveKind(c.text()),
		Span: day.Span{From: c.date(), To: c.date()}, Why: c.text(),
	}
}

// Leaves are the athlete's times away, the newest first.
func (s *Store) Leaves(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Leave, error) {
	return ask(ctx, s, club, readLeave, leavesSQL, club, athlete)
}

// An injury is the athlete's too, unless a later one is known.
var addLeaveSQL = `
with changed as (
  insert into leave (club_id, athlete_id, key, first_day, last_day, why, kind, injured_before)
  values ($1, $4, $5, $6, $7, $8, $9, (select a.injured_on from athlete a where a.club_id = $1 and a.athlete_id = $4 and $9 = 'injury'))
  on conflict (club_id, athlete_id, key) do nothing
  returning leave_id as id
), hurt as (
  update athlete set injured_on = $6, version = version + 1
  where club_id = $1 and athlete_id = $4 and $9 = 'injury' and (injured_on is null or injured_on < $6) and exists (select from changed)
), ` + audited("leave.add") + `
select id from changed`

const leaveOfKeySQL = `select leave_id from leave where club_id = $1 and athlete_id = $2 and key = $3`

// AddLeave stores a time away, a holiday where it has no kind; the same key again
// gives the ID of then. The first day of an injury becomes the athlete's InjuredOn,
// unless that is later.
func (s *Store) AddLeave(ctx context.Context, who roster.Actor, l roster.Leave, key roster.Key) (roster.LeaveID, error) {
	values := args(who, l.Athlete, string(key), dateOrNull(l.From), dateOrNull(l.To), l.Why, string(cmp.Or(l.Kind, roster.OnHoliday)))
	return once[roster.LeaveID](ctx, s, who.Club, addLeaveSQL, values, leaveOfKeySQL, who.Club, l.Athlete, string(key))
}

var endLeaveSQL = `
with changed as (
  update leave set last_day = $6 where club_id = $1 and athlete_id = $4 and leave_id = $5
  returning leave_id as id
), ` + audited("leave.end") + `
select id from changed`

// EndLeave sets the last day away.
func (s *Store) EndLeave(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.LeaveID, last day.Date) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.LeaveID], endLeaveSQL, args(who, athlete, id, dateOrNull(last))...)
	return err
}

// With an injury goes what it made of the athlete: the newest that is still noted,
// or was known before it, is the athlete's again. Whatever was noted after it
// remembers that one too.
var removeLeaveSQL = `
with changed as (
  delete from leave where club_id = $1 and athlete_id = $4 and leave_id = $5
  returning leave_id as id, kind, first_day, injured_before
), later as (
  update leave l set injured_before = changed.injured_before from changed
  where l.club_id = $1 and l.athlete_id = $4 and l.leave_id <> $5 and changed.kind = 'injury' and l.injured_before = changed.first_day
), healed as (
  update athlete a set version = a.version + 1, injured_on = greatest(changed.injured_before,
    (select max(l.first_day) from leave l where l.club_id = $1 and l.athlete_id = $4 and l.leave_id <> $5 and l.kind = 'injury'))
  from changed
  where a.club_id = $1 and a.athlete_id = $4 and changed.kind = 'injury' and a.injured_on = changed.first_day
), ` + audited("leave.remove") + `
select id from changed`

// RemoveLeave takes a time away out again, and an injury with it.
func (s *Store) RemoveLeave(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.LeaveID) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.LeaveID], removeLeaveSQL, args(who, athlete, id)...)
	return err
}

const notesSQL = `select n.note_id, n.athlete_id, n.coach_id, c.name, n.at, n.text, n.private
from note n join coach c on c.club_id = n.club_id and c.coach_id = n.coach_id
where n.club_id = $1 and n.athlete_id = $2 order by n.at desc, n.note_id desc`

func readNote(c *cells) roster.Note {
	return roster.Note{
		ID: roster.NoteID(c.integer()), Athlete: roster.AthleteID(c.integer()), Coach: roster.CoachID(c.integer()),
		By: c.text(), At: c.instant(), Text: c.text(), Private: c.truth(),
	}
}

// Notes are the coaches' notes about the athlete, the newest first.
func (s *Store) Notes(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Note, error) {
	return ask(ctx, s, club, readNote, notesSQL, club, athlete)
}

var addNoteSQL = `
with changed as (
  insert into note (club_id, athlete_id, key, coach_id, at, text, private) values ($1, $4, $5, $6, $7, $8, $9)
  on conflict (club_id, athlete_id, key) do nothing
  returning note_id as id
), ` + audited("note.add") + `
select id from changed`

const noteOfKeySQL = `select note_id from note where club_id = $1 and athlete_id = $2 and key = $3`

// AddNote keeps a coach's note; the same key again gives the ID of then.
func (s *Store) AddNote(ctx context.Context, who roster.Actor, n roster.Note, key roster.Key) (roster.NoteID, error) {
	values := args(who, n.Athlete, string(key), n.Coach, n.At, n.Text, n.Private)
	return once[roster.NoteID](ctx, s, who.Club, addNoteSQL, values, noteOfKeySQL, who.Club, n.Athlete, string(key))
}

// dateOrNull is a date for a column; nil where there is none.
func dateOrNull(d day.Date) any {
	if d == 0 {
		return nil
	}
	return d.UTC()
}
