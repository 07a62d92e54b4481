package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
	"halfhour.app/halfhour/internal/weekplan"
)

const (
	pinColumns = `p.pin_id, p.athlete_id, p.key, p.kind, p.on_date, p.weekday, p.part, p.by_coach, p.insist, p.from_date, p.made_at, p.made_on, p.lifted_at, p.lifted_on, p.undone_key`

	// Wishes for dates gone by are not read, nor those that ended before.
	pinsOfOneSQL = `select ` + pinColumns + ` from pin p
where p.club_id = $1 and p.athlete_id = $2 and coalesce(p.on_date, $3) >= $3 and coalesce(p.lifted_on, $3) >= $3 order by p.pin_id`
	pinsOfAllSQL = `
select ` + pinColumns + ` from pin p where p.club_id = $1 and p.lifted_at is null and coalesce(p.on_date, 'infinity') >= $2
union all
select ` + pinColumns + ` from pin p where p.club_id = $1 and p.lifted_at is not null and p.lifted_on >= $2 and coalesce(p.on_date, $2) >= $2
order by pin_id`

	groupsSQL = `select g.run_group_id, g.name, g.meets, g.version,
  (select count(*) from athlete a where a.club_id = g.club_id and a.run_group_id = g.run_group_id and a.left_at is null)
from run_group g where g.club_id = $1 order by g.name collate "und-x-icu", g.run_group_id`

	// Which strength was hard on the legs, as far as its exercises were told: one of which
	// a set was done is among those of the library, or one of the club's own that is.
	legsSQL = `
select s.session_id, exists (
  select from unnest(l.exercises::text[]) with ordinality x (id, n)
  where (l.sets::smallint[])[x.n] > 0 and (x.id = any ($3)
    or x.id in (select 'own-' || e.exercise_id from exercise e where e.club_id = $1 and e.hard)))
from athlete a
join session s on s.club_id = a.club_id and s.athlete_id = a.athlete_id and s.kind = 'strength'
  and s.started_at >= ($2::date - 2)::timestamp at time zone 'UTC' and s.date >= $2
join lifted l on l.club_id = s.club_id and l.session_id = s.session_id
where a.club_id = $1 and `
	legsOfOneSQL = legsSQL + `a.athlete_id = $4`
	legsOfAllSQL = legsSQL + `a.left_at is null`

	// Since when there is a programme for strength.
	givenSQL      = `select p.athlete_id, min(p.at) from program p where p.club_id = $1 and `
	givenToOneSQL = givenSQL + `p.athlete_id = $2 group by p.athlete_id`
	givenToAllSQL = givenSQL + `true group by p.athlete_id`
	holidaysSQL   = `select h.holiday_id, h.first_day, h.last_day, h.name from holiday h where h.club_id = $1 and h.last_day >= $2 order by h.first_day, h.holiday_id`
)

// pinKinds and pinParts are what the columns call them.
var (
	pinKinds = map[string]weekplan.Kind{"run": weekplan.Run, "strength": weekplan.Strength, "legs": weekplan.Legs}
	pinParts = [...]string{weekplan.Any: "", weekplan.Morning: "morning", weekplan.Midday: "midday", weekplan.Evening: "evening"}
)

func kindOfPin(k weekplan.Kind) string {
	for name, kind := range pinKinds {
		if kind == k {
			return name
		}
	}
	return ""
}

func readPin(c *cells) roster.Pin {
	p := roster.Pin{
		ID: roster.PinID(c.integer()), Athlete: roster.AthleteID(c.integer()), Key: roster.Key(c.text()), Kind: pinKinds[c.text()],
		On: c.date(), Weekday: time.Weekday(c.integer() % 7),
	}
	part := c.text()
	for i, name := range pinParts {
		if name == part {
			p.Part = weekplan.Part(i)
		}
	}
	p.ByCoach, p.Insist, p.From = roster.CoachID(c.integer()), c.truth(), c.date()
	p.MadeAt, p.MadeOn, p.LiftedAt, p.LiftedOn = c.instant(), c.date(), c.instant(), c.date()
	p.Undone = roster.Key(c.text())
	return p
}

func readGroup(c *cells) roster.Group {
	g := roster.Group{ID: roster.GroupID(c.integer()), Name: c.text()}
	copy(g.Meets[:], c.numbers(nil))
	g.Version, g.People = int(c.integer()), int(c.integer())
	return g
}

func readHoliday(c *cells) roster.Holiday {
	return roster.Holiday{ID: roster.HolidayID(c.integer()), Span: day.Span{From: c.date(), To: c.date()}, Name: c.text()}
}

// strain is a session of strength, and whether it was hard on the legs.
type strain struct {
	of   roster.SessionID
	hard bool
}

func readStrain(c *cells) strain { return strain{roster.SessionID(c.integer()), c.truth()} }

// start is when an athlete was given a programme for strength first.
type start struct {
	of roster.AthleteID
	at time.Time
}

func readStart(c *cells) start { return start{roster.AthleteID(c.integer()), c.instant()} }

// Wanted are the groups and holidays of the club, and the pins of the athlete, or of
// everybody for athlete 0, with what strength was hard on the legs and since when there
// is a programme for it.
func (s *Store) Wanted(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, since day.Date) (days.Wishes, error) {
	var w days.Wishes
	var strains []strain
	var starts []start
	legs := strength.Standard().HardOnLegs()
	b := batch(club)
	if athlete == 0 {
		list(b, &w.Pins, readPin, pinsOfAllSQL, int64(club), since.UTC())
		list(b, &strains, readStrain, legsOfAllSQL, int64(club), since.UTC(), legs)
		list(b, &starts, readStart, givenToAllSQL, int64(club))
	} else {
		list(b, &w.Pins, readPin, pinsOfOneSQL, int64(club), int64(athlete), since.UTC())
		list(b, &strains, readStrain, legsOfOneSQL, int64(club), since.UTC(), legs, int64(athlete))
		list(b, &starts, readStart, givenToOneSQL, int64(club), int64(athlete))
	}
	list(b, &w.Groups, readGroup, groupsSQL, int64(club))
	list(b, &w.Holidays, readHoliday, holidaysSQL, int64(club), since.UTC())
	err := s.send(ctx, b)
	for _, one := range starts {
		if w.Given == nil {
			w.Given = make(map[roster.AthleteID]time.Time, len(starts))
		}
		w.Given[one.of] = one.at
	}
	for _, one := range strains {
		if w.Legs == nil {
			w.Legs = make(map[roster.SessionID]bool, len(strains))
		}
		w.Legs[one.of] = one.hard
	}
	return w, err
}

// The version counts up before the pin is stored, which locks the athlete's row: of
// two at once the second finds another version. A key that is there stores nothing.
var addPinSQL = `
with counted as (
  update athlete set week_version = week_version + 1
  where club_id = $1 and athlete_id = $4 and week_version = $5
    and not exists (select from pin o where o.club_id = $1 and o.athlete_id = $4 and o.key = $6)
  returning athlete_id
), lifted as (
  update pin set lifted_at = $14, lifted_on = $15 from counted
  where pin.club_id = $1 and pin.athlete_id = $4 and pin.pin_id = any ($16::bigint[]) and pin.lifted_at is null
  returning pin.pin_id
), changed as (
  insert into pin (club_id, athlete_id, key, kind, on_date, weekday, part, by_coach, insist, from_date, made_at, made_on)
  select $1, $4, $6, $7, $8, nullif($9::smallint, 0), $10, nullif($11::bigint, 0), $12, $13, $14, $15 from counted
  returning pin_id as id
), ` + audited("pin.add") + `
select id from changed`

const pinOfKeySQL = `select pin_id from pin where club_id = $1 and athlete_id = $2 and key = $3`

// AddPin stores a pin and lifts others of the athlete, if the week's version still is
// the one given, else fault.Conflict; a key used before gives the ID of then.
func (s *Store) AddPin(ctx context.Context, who roster.Actor, p roster.Pin, lifted []roster.PinID, version int) (roster.PinID, error) {
	weekday, ids := 0, make([]int64, len(lifted))
	if p.Standing() {
		weekday = (int(p.Weekday)+6)%7 + 1
	}
	for i, id := range lifted {
		ids[i] = int64(id)
	}
	var id roster.PinID
	err := s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		var found bool
		var err error
		if id, found, err = rowIf(ctx, tx, readID[roster.PinID], addPinSQL, args(who, p.Athlete, version, string(p.Key), kindOfPin(p.Kind), dateOrNull(p.On),
			weekday, pinParts[p.Part], int64(p.ByCoach), p.Insist, dateOrNull(p.From), p.MadeAt, dateOrNull(p.MadeOn), ids)...); err != nil || found {
			return err
		}
		if id, found, err = rowIf(ctx, tx, readID[roster.PinID], pinOfKeySQL, who.Club, p.Athlete, string(p.Key)); err != nil || found {
			return err
		}
		if _, err := row(ctx, tx, readAthlete, athleteSQL, who.Club, p.Athlete); err != nil {
			return err
		}
		return conflict()
	})
	return id, err
}

var liftPinSQL = `
with changed as (
  update pin set lifted_at = $6, lifted_on = $7 where club_id = $1 and athlete_id = $4 and pin_id = $5 and lifted_at is null
  returning pin_id as id
), counted as (
  update athlete set week_version = week_version + 1 where club_id = $1 and athlete_id = $4 and exists (select from changed)
), ` + audited("pin.lift") + `
select id from changed`

// LiftPin ends a pin that holds.
func (s *Store) LiftPin(ctx context.Context, who roster.Actor, p roster.Pin) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.PinID], liftPinSQL, args(who, p.Athlete, p.ID, p.LiftedAt, dateOrNull(p.LiftedOn))...)
	return err
}

// What the move had ended holds again.
var undoPinSQL = `
with counted as (
  update athlete set week_version = week_version + 1 where club_id = $1 and athlete_id = $4 and week_version = $5
  returning athlete_id
), changed as (
  update pin set lifted_at = pin.made_at, lifted_on = pin.made_on, undone_key = $7 from counted
  where pin.club_id = $1 and pin.athlete_id = $4 and pin.pin_id = $6 and pin.lifted_at is null
  returning pin.pin_id as id, pin.made_at
), again as (
  update pin set lifted_at = null, lifted_on = null from changed
  where pin.club_id = $1 and pin.athlete_id = $4 and pin.pin_id <> $6 and pin.lifted_at = changed.made_at and pin.undone_key is null
), ` + audited("pin.undo") + `
select id from changed`

// UndoPin takes a move back as if it had not been made, if the week's version still is
// the one given and the pin holds, else fault.Conflict.
func (s *Store) UndoPin(ctx context.Context, who roster.Actor, p roster.Pin, key roster.Key, version int) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.PinID], undoPinSQL, args(who, p.Athlete, version, p.ID, string(key))...)
	if fault.KindOf(err) == fault.NotFound {
		return conflict()
	}
	return err
}

var setHabitsSQL = `
with changed as (
  update athlete set available = $5, strength_week = $6, strength_legs = $7, run_group_id = nullif($8::bigint, 0), week_version = week_version + 1
  where club_id = $1 and athlete_id = $4 and ($8::bigint = 0 or exists (select from run_group g where g.club_id = $1 and g.run_group_id = $8))
  returning athlete_id as id
), ` + audited("athlete.week") + `
select id from changed`

// SetHabits replaces what of an athlete's weeks is the same each week.
func (s *Store) SetHabits(ctx context.Context, who roster.Actor, athlete roster.AthleteID, h days.Habits) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.AthleteID], setHabitsSQL, args(who, athlete, int32(h.Available), h.Strength, h.Legs, int64(h.Group))...)
	return err
}

var (
	addGroupSQL = `
with changed as (
  insert into run_group (club_id, key, name, meets) values ($1, $4, $5, $6)
  on conflict (club_id, key) do nothing
  returning run_group_id as id
), ` + audited("run_group.add") + `
select id from changed`

	changeGroupSQL = `
with changed as (
  update run_group set name = $5, meets = $6, version = version + 1 where club_id = $1 and run_group_id = $4 and version = $7
  returning run_group_id as id
), ` + audited("run_group.change") + `
select id from changed`

	removeGroupSQL = `
with changed as (
  delete from run_group where club_id = $1 and run_group_id = $4
  returning run_group_id as id
), ` + audited("run_group.remove") + `
select id from changed`
)

const groupOfKeySQL = `select run_group_id from run_group where club_id = $1 and key = $2`

// SaveGroup stores a new group, or replaces the one of its version.
func (s *Store) SaveGroup(ctx context.Context, who roster.Actor, g roster.Group, key roster.Key) (roster.GroupID, error) {
	meets := make([]*int16, len(g.Meets))
	for i, at := range g.Meets {
		meets[i] = smallOrNull(at)
	}
	if g.ID == 0 {
		return once[roster.GroupID](ctx, s, who.Club, addGroupSQL, args(who, string(key), g.Name, meets), groupOfKeySQL, who.Club, string(key))
	}
	id, err := askOne(ctx, s, who.Club, readID[roster.GroupID], changeGroupSQL, args(who, g.ID, g.Name, meets, g.Version)...)
	if fault.KindOf(err) == fault.NotFound {
		err = conflict()
	}
	return id, err
}

func smallOrNull(m readiness.Maybe) *int16 {
	n, known := m.Get()
	if !known {
		return nil
	}
	small := int16(n)
	return &small
}

// RemoveGroup takes a group away; whoever was in it is in none.
func (s *Store) RemoveGroup(ctx context.Context, who roster.Actor, id roster.GroupID) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.GroupID], removeGroupSQL, args(who, id)...)
	return err
}

var (
	addHolidaySQL = `
with changed as (
  insert into holiday (club_id, key, name, first_day, last_day) values ($1, $4, $5, $6, $7)
  on conflict (club_id, key) do nothing
  returning holiday_id as id
), ` + audited("holiday.add") + `
select id from changed`

	removeHolidaySQL = `
with changed as (
  delete from holiday where club_id = $1 and holiday_id = $4
  returning holiday_id as id
), ` + audited("holiday.remove") + `
select id from changed`
)

const holidayOfKeySQL = `select holiday_id from holiday where club_id = $1 and key = $2`

// AddHoliday keeps a holiday; the same key again gives the ID of then.
func (s *Store) AddHoliday(ctx context.Context, who roster.Actor, h roster.Holiday, key roster.Key) (roster.HolidayID, error) {
	return once[roster.HolidayID](ctx, s, who.Club, addHolidaySQL, args(who, string(key), h.Name, dateOrNull(h.From), dateOrNull(h.To)),
		holidayOfKeySQL, who.Club, string(key))
}

// RemoveHoliday takes a holiday out again.
func (s *Store) RemoveHoliday(ctx context.Context, who roster.Actor, id roster.HolidayID) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.HolidayID], removeHolidaySQL, args(who, id)...)
	return err
}
