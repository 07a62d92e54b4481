package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

const enterByCalendarSQL = `select set_config('halfhour.club', door_calendar($1)::text, true)`

const (
	calendarOfSQL = `select d.made_at, c.fetched_on from calendar c join calendar_address d on d.club_id = c.club_id and d.calendar_id = c.calendar_id
where c.club_id = $1 and (c.coach_id = $2 or c.athlete_id = $3)`

	calendarSQL = `select s.calendar_id, s.name, s.coach_id, coalesce(c.letter_detail, ''), ` + clubColumns + `, ` + coachColumns + `, ` + athleteColumns + `
from calendar_address d
join calendar s on s.club_id = d.club_id and s.calendar_id = d.calendar_id
join club k on k.club_id = s.club_id
left join coach c on c.club_id = s.club_id and c.coach_id = s.coach_id
left join athlete a on a.club_id = s.club_id and a.athlete_id = s.athlete_id
where d.club_id = (select current_club()) and d.hash = $1 and c.left_at is null`
)

func readAddress(c *cells) calendar.Address {
	return calendar.Address{MadeAt: c.instant(), FetchedOn: c.date()}
}

// CalendarOf is the address of the actor's own calendar.
func (s *Store) CalendarOf(ctx context.Context, who roster.Actor) (calendar.Address, error) {
	a, err := askOne(ctx, s, who.Club, readAddress, calendarOfSQL, int64(who.Club), int64(who.Coach), int64(who.Athlete))
	if fault.KindOf(err) == fault.NotFound {
		return calendar.Address{}, nil
	}
	return a, err
}

// The calendar itself is made once and stays, so that its events keep their names
// whatever address opens it.
const (
	findCalendarSQL = `insert into calendar (club_id, coach_id, athlete_id) values ($1, nullif($2::bigint, 0), nullif($3::bigint, 0)) on conflict do nothing`

	dropAddressSQL = `delete from calendar_address d using calendar c
where d.club_id = $1 and c.club_id = $1 and d.calendar_id = c.calendar_id and (c.coach_id = nullif($2::bigint, 0) or c.athlete_id = nullif($3::bigint, 0)) and d.hash <> $4`

	endCalendarsSQL = `delete from calendar_address d using calendar c where d.club_id = $1 and c.club_id = $1 and d.calendar_id = c.calendar_id and c.athlete_id = $2`
)

var (
	makeAddressSQL = `
with changed as (
  insert into calendar_address (club_id, calendar_id, athlete_id, hash, made_at)
  select $1, c.calendar_id, c.athlete_id, $4, $5 from calendar c
  where c.club_id = $1 and (c.coach_id = nullif($2::bigint, 0) or c.athlete_id = nullif($3::bigint, 0))
  on conflict (club_id, calendar_id) do nothing
  returning calendar_id as id
), ` + audited("calendar.make") + `
select id from changed`

	endCalendarSQL = `
with changed as (
  delete from calendar_address d using calendar c
  where d.club_id = $1 and c.club_id = $1 and d.calendar_id = c.calendar_id and (c.coach_id = nullif($2::bigint, 0) or c.athlete_id = nullif($3::bigint, 0))
  returning d.calendar_id as id
), ` + audited("calendar.end") + `
select id from changed`
)

// MakeCalendar keeps the hash as what opens the actor's calendar. The same hash again
// touches no row, so that nothing is audited twice.
func (s *Store) MakeCalendar(ctx context.Context, who roster.Actor, hash calendar.Hash, at time.Time) error {
	b := batch(who.Club)
	b.Queue(findCalendarSQL, args(who)...)
	b.Queue(dropAddressSQL, args(who, hash[:])...)
	b.Queue(makeAddressSQL, args(who, hash[:], at)...)
	return s.send(ctx, b)
}

// EndCalendar lets nothing open the actor's calendar any more.
func (s *Store) EndCalendar(ctx context.Context, who roster.Actor) error {
	_, err := askOne(ctx, s, who.Club, readID[int64], endCalendarSQL, args(who)...)
	return err
}

func readSubscription(c *cells) calendar.Subscription {
	sub := calendar.Subscription{ID: c.integer(), Name: c.text()}
	coach := roster.CoachID(c.integer())
	sub.Detail = roster.Detail(c.text())
	sub.Club = readClub(c)
	byCoach, of := readCoach(c), readAthlete(c)
	if coach != 0 {
		sub.Coach = &byCoach
	} else {
		sub.Athlete = &of
	}
	return sub
}

// Calendar finds the one that the hash opens, in one round trip.
func (s *Store) Calendar(ctx context.Context, hash calendar.Hash) (calendar.Subscription, error) {
	var sub calendar.Subscription
	var found bool
	b := through(enterByCalendarSQL, hash[:])
	one(b, &sub, &found, readSubscription, calendarSQL, hash[:])
	err := s.send(ctx, b)
	if err == nil && !found {
		err = notFound()
	}
	return sub, err
}

const (
	lockCalendarSQL = `select c.calendar_id from calendar c where c.club_id = $1 and c.calendar_id = $2 for update`

	eventsSQL = `select e.slot, e.week, e.kind, e.on_date, e.starts_at, e.minutes, e.words, e.state, e.sequence, e.changed_at from calendar_event e
where e.club_id = $1 and e.calendar_id = $2 and e.week >= $3 order by e.slot`

	fetchedSQL = `update calendar set fetched_on = $3 where club_id = $1 and calendar_id = $2 and fetched_on is distinct from $3`

	dropEventsSQL = `delete from calendar_event e where e.club_id = $1 and e.calendar_id = $2 and e.week < $3`

	putEventSQL = `insert into calendar_event (club_id, calendar_id, slot, athlete_id, week, kind, on_date, starts_at, minutes, words, state, sequence, changed_at)
values ($1, $2, $3, nullif($4::bigint, 0), $5, $6, $7, $8, $9, $10, $11, $12, $13)
on conflict (club_id, calendar_id, slot) do update set on_date = excluded.on_date, starts_at = excluded.starts_at, minutes = excluded.minutes,
  words = excluded.words, state = excluded.state, sequence = excluded.sequence, changed_at = excluded.changed_at`
)

func readKept(c *cells) calendar.Kept {
	k := calendar.Kept{Slot: c.text(), Week: c.date(), Kind: c.text(), On: c.date(), Start: c.instant(), Minutes: int(c.integer())}
	k.Words, k.State, k.Sequence, k.Changed = c.text(), calendar.State(c.text()), int(c.integer()), c.instant()
	return k
}

// RenewCalendar changes what is kept of a calendar. The calendar's row is locked, so
// that of two programs that look at once none undoes what the other was told.
func (s *Store) RenewCalendar(ctx context.Context, sub *calendar.Subscription, first, on day.Date, change func([]calendar.Kept) []calendar.Kept) error {
	club, whose := sub.Club.ID, roster.AthleteID(0)
	if sub.Athlete != nil {
		whose = sub.Athlete.ID
	}
	return s.transact(ctx, club, func(tx pgx.Tx) error {
		if _, err := row(ctx, tx, readID[int64], lockCalendarSQL, club, sub.ID); err != nil {
			return err
		}
		kept, err := several(ctx, tx, readKept, eventsSQL, club, sub.ID, first.UTC())
		if err != nil {
			return err
		}
		there := make(map[string]calendar.Kept, len(kept))
		for _, k := range kept {
			there[k.Slot] = k
		}
		b := &pgx.Batch{}
		b.Queue(fetchedSQL, club, sub.ID, on.UTC())
		b.Queue(dropEventsSQL, club, sub.ID, first.UTC())
		for _, k := range change(kept) {
			if old, known := there[k.Slot]; known && same(old, k) {
				continue
			}
			b.Queue(putEventSQL, club, sub.ID, k.Slot, whose, k.Week.UTC(), k.Kind, k.On.UTC(), orNull(k.Start), narrow(k.Minutes), k.Words,
				string(k.State), k.Sequence, k.Changed)
		}
		return translate(tx.SendBatch(ctx, b).Close())
	})
}

// same says whether nothing has to be written: the clocks of two readings differ in
// nothing that counts.
func same(a, b calendar.Kept) bool {
	if !a.Start.Equal(b.Start) || !a.Changed.Equal(b.Changed) {
		return false
	}
	a.Start, a.Changed = b.Start, b.Changed
	return a == b
}

const phonelessSQL = `select a.athlete_id from athlete a where a.club_id = $1 and a.left_at is null and not exists (
  select from login l where l.club_id = $1 and l.athlete_id = a.athlete_id and l.ended_at is null and l.expires_at > $2)
order by a.athlete_id`

// Phoneless are the athletes as whom nobody is signed in.
func (s *Store) Phoneless(ctx context.Context, club roster.ClubID, now time.Time) ([]roster.AthleteID, error) {
	return ask(ctx, s, club, readID[roster.AthleteID], phonelessSQL, club, now)
}
