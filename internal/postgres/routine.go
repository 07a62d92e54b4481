package postgres

import (
	"context"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/warmup"
)

const (
	routineSQL = `select r.routine_id, r.before_moves, r.before_counts, r.after_moves, r.after_counts, r.at, c.name
from routine r join coach c on c.club_id = r.club_id and c.coach_id = r.coach_id
where r.club_id = $1 order by r.routine_id desc limit 1`

	movementsSQL = `select m.movement_id, m.name, m.kind, m.how, m.sides, m.timed, m.usual, m.loads, m.on_back, m.on_front, m.strains, m.hops, m.away_at
from movement m where m.club_id = $1 order by m.movement_id`

	rollerSQL = `select a.roller from athlete a where a.club_id = $1 and a.athlete_id = $2`
)

func readRoutine(c *cells) roster.Routine {
	return roster.Routine{
		ID: roster.RoutineID(c.integer()), Routine: warmup.Routine{Before: readSteps(c), After: readSteps(c)},
		At: c.instant(), By: c.text(),
	}
}

// readSteps puts movements and counts side by side.
func readSteps(c *cells) []warmup.Step {
	moves, counts := c.array(), c.array()
	if moves.n != counts.n {
		c.fail()
		return nil
	}
	steps := make([]warmup.Step, moves.n)
	for i := range steps {
		steps[i] = warmup.Step{Move: string(moves.next()), Count: int(counts.small())}
	}
	if moves.bad || counts.bad {
		c.fail()
	}
	return steps
}

// ownID is how a routine names a movement of the club's own, and a programme an
// exercise.
func ownID[T ~int64](number T) string { return "own-" + strconv.FormatInt(int64(number), 10) }

func readMovement(c *cells) roster.Movement {
	m := roster.Movement{Number: roster.MovementID(c.integer())}
	m.ID, m.Name = ownID(m.Number), c.text()
	kind, known := warmup.ParseKind(c.text())
	if m.Kind = kind; !known {
		c.fail()
	}
	m.How, m.Sides, m.Timed, m.Usual = c.text(), c.truth(), c.truth(), int(c.integer())
	loads := c.array()
	for range loads.n {
		site, known := body.ParseSite(string(loads.next()))
		if m.Loads |= site; !known {
			c.fail()
		}
	}
	for _, demand := range demands() {
		if c.truth() {
			m.Demands |= demand
		}
	}
	m.AwayAt = c.instant()
	return m
}

// demands are those of a movement in the order of its columns.
func demands() []body.Demand {
	return []body.Demand{body.OnBack, body.OnFront, body.Strains, body.Hops}
}

// repertoire queues what a club has around a session.
func repertoire(b *pgx.Batch, club roster.ClubID, into *roster.Repertoire) {
	into.Routine.Routine = warmup.Default()
	b.Queue(routineSQL, club).Query(func(rows pgx.Rows) error {
		all, err := collect(rows, readRoutine)
		if len(all) > 0 {
			into.Routine = all[0]
		}
		return err
	})
	list(b, &into.Movements, readMovement, movementsSQL, club)
}

// Repertoire is the club's newest routine and its own movements.
func (s *Store) Repertoire(ctx context.Context, club roster.ClubID) (roster.Repertoire, error) {
	var all roster.Repertoire
	b := batch(club)
	repertoire(b, club, &all)
	return all, s.send(ctx, b)
}

// RepertoireFor is the same, and whether the athlete has a roller.
func (s *Store) RepertoireFor(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (roster.Repertoire, bool, error) {
	var all roster.Repertoire
	var roller, found bool
	b := batch(club)
	repertoire(b, club, &all)
	one(b, &roller, &found, (*cells).truth, rollerSQL, club, athlete)
	if err := s.send(ctx, b); err != nil {
		return roster.Repertoire{}, false, err
	}
	if !found {
		return roster.Repertoire{}, false, notFound()
	}
	return all, roller, nil
}

// Two who edit at once come one after the other, by the club's row.
const (
	newestRoutineSQL = `select coalesce(max(r.routine_id), 0) from routine r where r.club_id = $1`
	routineOfKeySQL  = `select r.routine_id from routine r where r.club_id = $1 and r.key = $2`
)

var editRoutineSQL = `
with changed as (
  insert into routine (club_id, key, coach_id, at, before_moves, before_counts, after_moves, after_counts)
  values ($1, $4, $2, $5, $6::text[], $7::smallint[], $8::text[], $9::smallint[])
  returning routine_id as id
), ` + audited("routine.edit") + `
select id from changed`

// EditRoutine keeps another version where the newest is still the one it was made of;
// the same key again gives the ID of then.
func (s *Store) EditRoutine(ctx context.Context, who roster.Actor, of roster.RoutineID, r warmup.Routine, at time.Time, key roster.Key) (id roster.RoutineID, err error) {
	err = s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		if _, err := row(ctx, tx, readID[roster.ClubID], lockClubSQL, who.Club); err != nil {
			return err
		}
		there, again, err := rowIf(ctx, tx, readID[roster.RoutineID], routineOfKeySQL, who.Club, string(key))
		if err != nil || again {
			id = there
			return err
		}
		newest, err := row(ctx, tx, readID[roster.RoutineID], newestRoutineSQL, who.Club)
		if err != nil {
			return err
		}
		if newest != of {
			return conflict()
		}
		beforeMoves, beforeCounts := stepValues(r.Before)
		afterMoves, afterCounts := stepValues(r.After)
		id, err = row(ctx, tx, readID[roster.RoutineID], editRoutineSQL, args(who, string(key), at, beforeMoves, beforeCounts, afterMoves, afterCounts)...)
		return err
	})
	return id, err
}

func stepValues(steps []warmup.Step) (moves []string, counts []int16) {
	moves, counts = make([]string, len(steps)), make([]int16, len(steps))
	for i, s := range steps {
		moves[i], counts[i] = s.Move, narrow(s.Count)
	}
	return moves, counts
}

var (
	addMovementSQL = `
with changed as (
  insert into movement (club_id, key, coach_id, at, name, kind, how, sides, timed, usual, loads, on_back, on_front, strains, hops)
  values ($1, $4, $2, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16)
  on conflict (club_id, key) do nothing
  returning movement_id as id
), ` + audited("movement.add") + `
select id from changed`

	putAwaySQL = `
with changed as (
  update movement set away_at = $5 where club_id = $1 and movement_id = $4 and away_at is null
  returning movement_id as id
), ` + audited("movement.away") + `
select m.movement_id from movement m where m.club_id = $1 and m.movement_id = $4`

	setRollerSQL = `
with changed as (
  update athlete set roller = $5 where club_id = $1 and athlete_id = $4 and roller <> $5
  returning athlete_id as id
), ` + audited("athlete.roller") + `
select a.athlete_id from athlete a where a.club_id = $1 and a.athlete_id = $4`
)

const movementOfKeySQL = `select m.movement_id from movement m where m.club_id = $1 and m.key = $2`

// AddMovement keeps another movement; the same key again gives the number of then.
func (s *Store) AddMovement(ctx context.Context, who roster.Actor, m warmup.Move, at time.Time, key roster.Key) (roster.MovementID, error) {
	values := args(who, string(key), at, m.Name, m.Kind.String(), m.How, m.Sides, m.Timed, narrow(m.Usual), siteNames(m.Loads))
	for _, demand := range demands() {
		values = append(values, m.Demands&demand != 0)
	}
	return once[roster.MovementID](ctx, s, who.Club, addMovementSQL, values, movementOfKeySQL, who.Club, string(key))
}

// siteNames are the places one by one, as they are kept.
func siteNames(all body.Site) []string {
	names := []string{}
	for _, site := range all.Each() {
		names = append(names, site.String())
	}
	return names
}

// PutAway puts a movement away; twice is the same as once.
func (s *Store) PutAway(ctx context.Context, who roster.Actor, id roster.MovementID, at time.Time) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.MovementID], putAwaySQL, args(who, id, at)...)
	return err
}

// SetRoller says whether the athlete has a roller.
func (s *Store) SetRoller(ctx context.Context, who roster.Actor, athlete roster.AthleteID, has bool) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.AthleteID], setRollerSQL, args(who, athlete, has)...)
	return err
}
