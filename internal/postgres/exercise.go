package postgres

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

const exercisesSQL = `select e.exercise_id, e.name, e.pattern, e.needs, e.measure, e.sides, e.level, e.cues, e.easier, e.harder, e.caution, e.loads, e.hard,
  e.on_back, e.on_front, e.strains, e.hops, e.away_at, e.version
from exercise e where e.club_id = $1 order by e.exercise_id`

// measures are the names of what is counted, as they are kept.
func measures() []string { return []string{"weight", "reps", "hold"} }

func readExercise(c *cells) roster.OwnExercise {
	e := roster.OwnExercise{Number: roster.ExerciseID(c.integer())}
	e.ID, e.Name = ownID(e.Number), c.text()
	pattern, known := strength.ParsePattern(c.text())
	if e.Pattern = pattern; !known {
		c.fail()
	}
	e.Needs = c.gear()
	measure := c.text()
	for i, name := range measures() {
		if name == measure {
			e.Measure = strength.Measure(i)
		}
	}
	e.Sides, e.Level, e.Cues = c.truth(), int(c.integer()), c.words()
	e.Easier, e.Harder, e.Caution = c.text(), c.text(), c.text()
	for _, name := range c.words() {
		site, known := body.ParseSite(name)
		if e.Loads |= site; !known {
			c.fail()
		}
	}
	e.Hard = c.truth()
	for _, demand := range demands() {
		if c.truth() {
			e.Demands |= demand
		}
	}
	e.AwayAt, e.Version = c.instant(), int(c.integer())
	return e
}

// Exercises are the club's own, in the order in which they were added, those put away
// among them.
func (s *Store) Exercises(ctx context.Context, club roster.ClubID) ([]roster.OwnExercise, error) {
	return ask(ctx, s, club, readExercise, exercisesSQL, club)
}

var (
	addExerciseSQL = `
with changed as (
  insert into exercise (club_id, key, coach_id, at, name, pattern, needs, measure, sides, level, cues, easier, harder, caution, loads, hard,
    on_back, on_front, strains, hops)
  values ($1, $4, $2, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21)
  on conflict (club_id, key) do nothing
  returning exercise_id as id
), ` + audited("exercise.add") + `
select id from changed`

	changeExerciseSQL = `
with changed as (
  update exercise set name = $4, pattern = $5, needs = $6, measure = $7, sides = $8, level = $9, cues = $10, easier = $11, harder = $12, caution = $13,
    loads = $14, hard = $15, on_back = $16, on_front = $17, strains = $18, hops = $19, away_at = $20, version = version + 1
  where club_id = $1 and exercise_id = $21 and version = $22
  returning exercise_id as id
), ` + audited("exercise.change") + `
select id from changed`
)

const exerciseOfKeySQL = `select e.exercise_id from exercise e where e.club_id = $1 and e.key = $2`

// exerciseValues are the values of an exercise from name to hops.
func exerciseValues(e *strength.Exercise) []any {
	values := []any{
		e.Name, e.Pattern.String(), gearNames(e.Needs), measures()[min(int(e.Measure), 2)], e.Sides, narrow(e.Level), e.Cues, e.Easier, e.Harder, e.Caution,
		siteNames(e.Loads), e.Hard,
	}
	for _, demand := range demands() {
		values = append(values, e.Demands&demand != 0)
	}
	return values
}

// AddExercise keeps another exercise; the same key again gives the number of then.
func (s *Store) AddExercise(ctx context.Context, who roster.Actor, e strength.Exercise, at time.Time, key roster.Key) (roster.ExerciseID, error) {
	values := args(who, append([]any{string(key), at}, exerciseValues(&e)...)...)
	return once[roster.ExerciseID](ctx, s, who.Club, addExerciseSQL, values, exerciseOfKeySQL, who.Club, string(key))
}

// ChangeExercise replaces an exercise of the version given, else fault.Conflict.
func (s *Store) ChangeExercise(ctx context.Context, who roster.Actor, e roster.OwnExercise) error {
	values := args(who, append(exerciseValues(&e.Exercise), orNull(e.AwayAt), e.Number, e.Version)...)
	_, err := askOne(ctx, s, who.Club, readID[roster.ExerciseID], changeExerciseSQL, values...)
	return s.orConflict(0, err)
}
