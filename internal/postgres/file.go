package postgres

import (
	"context"
	"slices"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// How far the rules look back. A file holds the sessions
//
//   - of the last 70 days, or since the phase began, or since the first session
//     after the newest clearance, or told only after it, that keeps a pause or a
//     referral (rule 6.7), whichever is the longest;
//   - and of those before, one by one: the newest with load, the newest run
//     and the newest walk outside the plan (rules 8.2, 9.4); and the newest three
//     that rule 6.3 reads, so that a row of three which reaches over the border is
//     seen, and an ache in the newest three of somebody long silent.
//
// What was missed or called off before that is not in it, so neither is its phase
// or a small pain told with it; and a missing effort is filled with the median of
// the sessions in the file (rule 8.1).
//
// All of it is found through indexes that older history does not make slower.
// A session's date is never more than two off its start in UTC, so that the index
// by start serves the dates as well; and one that started later may be dated up to
// four days earlier.
const (
	reachSQL = `
with reach as (
  select a.athlete_id, w.since, o.older
  from athlete a
  cross join lateral (
    select least($2::date - 70, a.phase_since, (
      select s.date - 4 from session s
      where s.club_id = $1 and s.athlete_id = a.athlete_id and s.stops and s.date <= $2
        and s.started_at > coalesce(a.cleared_at, (a.cleared_on - 2)::timestamp at time zone 'UTC', '-infinity')
        and (a.cleared_at is not null or s.date > coalesce(a.cleared_on, '-infinity'))
      order by s.started_at limit 1), (
      select s.date - 4 from session s
      where s.club_id = $1 and s.athlete_id = a.athlete_id and s.stops and s.date <= $2
        and s.by_coach is null and s.logged_at > a.cleared_at
      order by s.started_at limit 1)) as since
    offset 0) w
  cross join lateral (
    select array[
      (select s.session_id from session s
        where s.club_id = $1 and s.athlete_id = a.athlete_id and s.loaded
          and s.started_at < (w.since + 2)::timestamp at time zone 'UTC' and s.date < w.since
        order by s.started_at desc limit 1),
      (select s.session_id from session s
        where s.club_id = $1 and s.athlete_id = a.athlete_id and s.ran
          and s.started_at < (w.since + 2)::timestamp at time zone 'UTC' and s.date < w.since
        order by s.started_at desc limit 1),
      (select s.session_id from session s
        where s.club_id = $1 and s.athlete_id = a.athlete_id and s.strolled
          and s.started_at < (w.since + 2)::timestamp at time zone 'UTC' and s.date < w.since
        order by s.started_at desc limit 1)
    ] || array(select s.session_id from session s
      where s.club_id = $1 and s.athlete_id = a.athlete_id and s.kind = 'planned' and (s.exposed or s.aching)
        and s.started_at < (w.since + 2)::timestamp at time zone 'UTC' and s.date < w.since
      order by s.started_at desc limit 3) as older
    offset 0) o
  where a.club_id = $1 and `

	reachedSQL = `
)
select ` + sessionColumns + `
from reach r cross join lateral (
  select * from session x where x.club_id = $1 and x.session_id = any (r.older)
  union all
  select * from session x
  where x.club_id = $1 and x.athlete_id = r.athlete_id
    and x.started_at >= (r.since - 2)::timestamp at time zone 'UTC' and x.date between r.since and $2
  offset 0) s`

	filesSQL    = reachSQL + `a.left_at is null` + reachedSQL
	fileSQL     = reachSQL + `a.athlete_id = $3` + reachedSQL
	presentSQL  = `select ` + athleteColumns + ` from athlete a where a.club_id = $1 and a.left_at is null order by a.name collate "und-x-icu", a.athlete_id`
	allLeaveSQL = `select ` + leaveColumns + ` from leave l
where l.club_id = $1 order by l.athlete_id, l.first_day, l.leave_id`
	ownLeaveSQL = `select ` + leaveColumns + ` from leave l
where l.club_id = $1 and l.athlete_id = $2 order by l.first_day, l.leave_id`
)

// Files are all athletes who have not left, by name, each with the sessions the
// rules read for the day asked about.
func (s *Store) Files(ctx context.Context, club roster.ClubID, asked day.Date) ([]roster.File, error) {
	f := filing{asked: asked}
	b := batch(club)
	b.Queue(presentSQL, int64(club)).Query(f.athletes)
	b.Queue(filesSQL, int64(club), asked.UTC()).Query(f.sessions)
	b.Queue(allLeaveSQL, int64(club)).Query(f.leave)
	b.Queue(newestOfAllSQL, int64(club)).Query(f.newest)
	if err := s.send(ctx, b); err != nil {
		return nil, err
	}
	return f.files, nil
}

// File is the same for one athlete, who may have left; fault.NotFound where there
// is none.
func (s *Store) File(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, asked day.Date) (roster.File, error) {
	f := filing{asked: asked}
	b := batch(club)
	b.Queue(athleteSQL, int64(club), int64(athlete)).Query(f.athletes)
	b.Queue(fileSQL, int64(club), asked.UTC(), int64(athlete)).Query(f.sessions)
	b.Queue(ownLeaveSQL, int64(club), int64(athlete)).Query(f.leave)
	b.Queue(newestOfOneSQL, int64(club), int64(athlete)).Query(f.newest)
	var cleared roster.Clearance
	var isCleared bool
	one(b, &cleared, &isCleared, readClearance, newestClearanceSQL, int64(club), int64(athlete))
	if err := s.send(ctx, b); err != nil {
		return roster.File{}, err
	}
	if len(f.files) == 0 {
		return roster.File{}, notFound()
	}
	if isCleared {
		f.files[0].Cleared = &cleared
	}
	return f.files[0], nil
}

// filing puts the rows of several statements into the athletes' files.
type filing struct {
	asked day.Date
	files []roster.File
	at    map[roster.AthleteID]int
}

func (f *filing) athletes(rows pgx.Rows) error {
	all, err := collect(rows, readAthlete)
	if err != nil {
		return err
	}
	f.files, f.at = make([]roster.File, len(all)), make(map[roster.AthleteID]int, len(all))
	for i := range all {
		f.files[i].Athlete = all[i]
		f.at[all[i].ID] = i
	}
	return nil
}

// of is the file of an athlete; nil for one who came or left between two
// statements.
func (f *filing) of(id roster.AthleteID) *roster.File {
	if i, ok := f.at[id]; ok {
		return &f.files[i]
	}
	return nil
}

// usualSessions is how many sessions an athlete's file has, about.
const usualSessions = 48

// sessions files the sessions. Those of one athlete come one after another, so a
// file is a piece of all that was read.
func (f *filing) sessions(rows pgx.Rows) error {
	all, err := readSessions(rows, make([]roster.Session, 0, usualSessions*len(f.files)))
	if err != nil {
		return err
	}
	for begun, i := 0, 1; i <= len(all); i++ {
		if i < len(all) && all[i].Athlete == all[begun].Athlete {
			continue
		}
		if to := f.of(all[begun].Athlete); to != nil && to.Sessions == nil {
			to.Sessions = all[begun:i:i]
		} else if to != nil {
			to.Sessions = append(to.Sessions, all[begun:i]...)
		}
		begun = i
	}
	for i := range f.files {
		inOrder(f.files[i].Sessions)
	}
	return nil
}

// inOrder puts the oldest first; most come so.
func inOrder(sessions []roster.Session) {
	for i := 1; i < len(sessions); i++ {
		if before(&sessions[i], &sessions[i-1]) < 0 {
			slices.SortFunc(sessions, func(a, b roster.Session) int { return before(&a, &b) })
			return
		}
	}
}

func before(a, b *roster.Session) int {
	if n := a.StartedAt.Compare(b.StartedAt); n != 0 {
		return n
	}
	return int(a.Kind) - int(b.Kind)
}

func (f *filing) leave(rows pgx.Rows) error {
	all, err := collect(rows, readLeave)
	for i := range all {
		if to := f.of(all[i].Athlete); to != nil {
			to.Leave = append(to.Leave, all[i])
		}
	}
	return err
}

func (f *filing) newest(rows pgx.Rows) error {
	all, err := collect(rows, readDecision)
	for i := range all {
		if to := f.of(all[i].Athlete); to != nil {
			to.Newest = &all[i]
		}
	}
	return err
}
