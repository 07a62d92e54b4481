package postgres

import (
	"context"
	"encoding/binary"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

const (
	programSQL = `select p.program_id, p.athlete_id, p.a_week, p.names, p.sizes, p.exercises, p.patterns, p.sets, p.low, p.high, p.reserve, p.at, p.coach_id, c.name
from program p join coach c on c.club_id = p.club_id and c.coach_id = p.coach_id
where p.club_id = $1 and p.athlete_id = $2 order by p.program_id desc limit 1`

	kitSQL = `select k.athlete_id, k.has, k.weights, k.least, k.most, k.step, k.at from kit k where k.club_id = $1 and k.athlete_id = $2`

	// Only what is of kind strength is read: a session may have been corrected into
	// another one.
	liftedSQL = `select l.session_id, s.date, s.started_at, l.turn, l.exercises, l.stood_for, l.grams, l.reserve, l.sets, l.counts, s.pain_site, s.pain_score, s.pain_morning
from lifted l join session s on s.club_id = l.club_id and s.session_id = l.session_id
where l.club_id = $1 and l.athlete_id = $2 and s.kind = 'strength' order by s.started_at desc, l.session_id desc`
)

func readProgram(c *cells) roster.Program {
	p := roster.Program{ID: roster.ProgramID(c.integer()), Athlete: roster.AthleteID(c.integer())}
	p.AWeek = int(c.integer())
	names, sizes, exercises, patterns := c.words(), c.smalls(), c.words(), c.words()
	sets, low, high, reserve := c.smalls(), c.smalls(), c.smalls(), c.smalls()
	at := 0
	for i, name := range names {
		s := strength.Session{Name: name}
		for range sizes[i] {
			if at >= len(exercises) {
				c.fail()
				return p
			}
			s.Slots = append(s.Slots, strength.Slot{
				Exercise: exercises[at], Patterns: parsePatterns(patterns[at]),
				Target: strength.Target{Sets: sets[at], Low: low[at], High: high[at], Reserve: reserve[at]},
			})
			at++
		}
		p.Sessions = append(p.Sessions, s)
	}
	p.At, p.ByCoach, p.By = c.instant(), roster.CoachID(c.integer()), c.text()
	return p
}

// parsePatterns reads names with blanks between; what is no pattern any more is left
// out.
func parsePatterns(names string) []strength.Pattern {
	var all []strength.Pattern
	for _, name := range strings.Fields(names) {
		if p, known := strength.ParsePattern(name); known {
			all = append(all, p)
		}
	}
	return all
}

// smalls is a smallint[] without nulls.
func (c *cells) smalls() []int {
	a := c.array()
	all := make([]int, a.n)
	for i := range all {
		all[i] = int(a.small())
	}
	if a.bad {
		c.fail()
	}
	return all
}

// integers is an integer[] without nulls; nil where it is empty.
func (c *cells) integers() []int {
	a := c.array()
	var all []int
	for range a.n {
		cell := a.next()
		if len(cell) != 4 {
			c.fail()
			return nil
		}
		all = append(all, int(int32(binary.BigEndian.Uint32(cell))))
	}
	return all
}

func readKit(c *cells) roster.Kit {
	return roster.Kit{
		Athlete: roster.AthleteID(c.integer()), Has: c.gear(),
		Rack: strength.Rack{List: c.integers(), Least: int(c.integer()), Most: int(c.integer()), Step: int(c.integer())}, At: c.instant(),
	}
}

// gear is a set of things by their names.
func (c *cells) gear() strength.Gear {
	var all strength.Gear
	for _, name := range c.words() {
		thing, known := strength.ParseGear(name)
		if all |= thing; !known {
			c.fail()
		}
	}
	return all
}

// gearNames are the things one by one, as they are kept.
func gearNames(g strength.Gear) []string {
	names := []string{}
	for _, thing := range g.Things() {
		names = append(names, thing.String())
	}
	return names
}

func readLifted(c *cells) roster.Lifted {
	l := roster.Lifted{Session: roster.SessionID(c.integer()), Date: c.date(), StartedAt: c.instant(), Turn: c.text()}
	exercises, stood, grams, reserve := c.words(), c.words(), c.integers(), c.numbers(nil)
	sets, counts := c.smalls(), c.smalls()
	at := 0
	for i, id := range exercises {
		n := sets[i]
		if at+n > len(counts) {
			c.fail()
			return l
		}
		l.Lifts = append(l.Lifts, roster.Lift{Exercise: id, For: stood[i], Grams: grams[i], Reserve: reserve[i], Sets: counts[at : at+n : at+n]})
		at += n
	}
	l.Pain = readPains(c)
	return l
}

// readPains puts sites, scores and those of the morning after side by side.
func readPains(c *cells) []readiness.Pain {
	sites, scores, mornings := c.words(), c.smalls(), c.numbers(nil)
	var all []readiness.Pain
	for i, site := range sites {
		all = append(all, readiness.Pain{Site: site, Score: int8(scores[i]), NextMorning: mornings[i]})
	}
	return all
}

// Strength is everything kept of the athlete's strength training.
func (s *Store) Strength(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (roster.Strength, error) {
	all := roster.Strength{Kit: roster.UsualKit()}
	var kit roster.Kit
	var given, told bool
	b := batch(club)
	one(b, &all.Program, &given, readProgram, programSQL, club, athlete)
	one(b, &kit, &told, readKit, kitSQL, club, athlete)
	list(b, &all.Lifted, readLifted, liftedSQL, club, athlete)
	list(b, &all.Own, readExercise, exercisesSQL, club)
	err := s.send(ctx, b)
	if told {
		all.Kit = kit
	}
	return all, err
}

const (
	newestProgramSQL = `select coalesce(max(p.program_id), 0) from program p where p.club_id = $1 and p.athlete_id = $2`
	programOfKeySQL  = `select p.program_id from program p where p.club_id = $1 and p.athlete_id = $2 and p.key = $3`
)

var giveSQL = `
with changed as (
  insert into program (club_id, athlete_id, key, coach_id, at, a_week, names, sizes, exercises, patterns, sets, low, high, reserve)
  values ($1, $4, $5, $2, $6, $7, $8::text[], $9::smallint[], $10::text[], $11::text[], $12::smallint[], $13::smallint[], $14::smallint[], $15::smallint[])
  returning program_id as id
), ` + audited("program.give") + `
select id from changed`

// strengthWeekSQL lets the weeks have as much strength as the programme asks for.
var strengthWeekSQL = `
with changed as (
  update athlete set strength_week = $5, strength_legs = $6, week_version = week_version + 1
  where club_id = $1 and athlete_id = $4 and (strength_week, strength_legs) is distinct from ($5, $6)
  returning athlete_id as id
), ` + audited("athlete.week") + `
select id from changed`

// GiveProgram keeps another version where the newest is still the one it was made of;
// the same key again gives the number of then. Two at once come one after the other, by
// the athlete's row.
func (s *Store) GiveProgram(ctx context.Context, who roster.Actor, of roster.ProgramID, p roster.Program, key roster.Key) (id roster.ProgramID, err error) {
	err = s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		if _, err := row(ctx, tx, readAthlete, lockAthleteSQL, who.Club, p.Athlete); err != nil {
			return err
		}
		there, again, err := rowIf(ctx, tx, readID[roster.ProgramID], programOfKeySQL, who.Club, p.Athlete, string(key))
		if err != nil || again {
			id = there
			return err
		}
		newest, err := row(ctx, tx, readID[roster.ProgramID], newestProgramSQL, who.Club, p.Athlete)
		if err != nil {
			return err
		}
		if newest != of {
			return conflict()
		}
		if id, err = row(ctx, tx, readID[roster.ProgramID], giveSQL, args(who, programValues(&p, key)...)...); err != nil {
			return err
		}
		week, legs := 0, 0
		if len(p.Sessions) > 0 {
			week, legs = p.AWeek, p.Hard
		}
		_, err = tx.Exec(ctx, strengthWeekSQL, args(who, p.Athlete, int16(week), int16(legs))...)
		return err
	})
	return id, err
}

func programValues(p *roster.Program, key roster.Key) []any {
	names, sizes, exercises, patterns := []string{}, []int16{}, []string{}, []string{}
	sets, low, high, reserve := []int16{}, []int16{}, []int16{}, []int16{}
	for _, session := range p.Sessions {
		names, sizes = append(names, session.Name), append(sizes, narrow(len(session.Slots)))
		for _, slot := range session.Slots {
			var may []string
			for _, pattern := range slot.Patterns {
				may = append(may, pattern.String())
			}
			exercises, patterns = append(exercises, slot.Exercise), append(patterns, strings.Join(may, " "))
			t := slot.Target
			sets, low, high, reserve = append(sets, narrow(t.Sets)), append(low, narrow(t.Low)), append(high, narrow(t.High)), append(reserve, narrow(t.Reserve))
		}
	}
	return []any{p.Athlete, string(key), p.At, narrow(p.AWeek), names, sizes, exercises, patterns, sets, low, high, reserve}
}

var setKitSQL = `
with changed as (
  insert into kit (club_id, athlete_id, has, weights, least, most, step, at) values ($1, $4, $5, $6, $7, $8, $9, $10)
  on conflict (club_id, athlete_id) do update set has = $5, weights = $6, least = $7, most = $8, step = $9, at = $10
  returning athlete_id as id
), ` + audited("athlete.kit") + `
select id from changed`

// SetKit says what the athlete has; the last word holds.
func (s *Store) SetKit(ctx context.Context, who roster.Actor, k roster.Kit) error {
	weights := []int32{}
	for _, grams := range k.Rack.List {
		weights = append(weights, int32(grams))
	}
	_, err := askOne(ctx, s, who.Club, readID[roster.AthleteID], setKitSQL,
		args(who, k.Athlete, gearNames(k.Has), weights, k.Rack.Least, k.Rack.Most, k.Rack.Step, k.At)...)
	return err
}

// liftSQL keeps what was done with a session of the key, if that is there; once.
const liftSQL = `
insert into lifted (club_id, athlete_id, session_id, turn, exercises, stood_for, grams, reserve, sets, counts)
select s.club_id, s.athlete_id, s.session_id, $4, $5::text[], $6::text[], $7::integer[], $8::smallint[], $9::smallint[], $10::smallint[]
from session s where s.club_id = $1 and s.athlete_id = $2 and s.key = $3
on conflict (club_id, session_id) do nothing`

// lifted are the values of liftSQL.
func lifted(club roster.ClubID, kept *roster.Session) []any {
	return append([]any{club, kept.Athlete, string(kept.Key), kept.Turn}, liftValues(kept.Lifts)...)
}

func liftValues(lifts []roster.Lift) []any {
	exercises, stood, grams := []string{}, []string{}, []int32{}
	reserve, sets, counts := []*int16{}, []int16{}, []int16{}
	for _, l := range lifts {
		exercises, stood, grams = append(exercises, l.Exercise), append(stood, l.For), append(grams, int32(l.Grams))
		reserve, sets = append(reserve, small(l.Reserve)), append(sets, narrow(len(l.Sets)))
		for _, n := range l.Sets {
			counts = append(counts, narrow(n))
		}
	}
	return []any{exercises, stood, grams, reserve, sets, counts}
}

var (
	relifted = `
with changed as (
  update session set changed_at = $7, version = version + 1
  where club_id = $1 and athlete_id = $4 and session_id = $5 and version = $6 and kind = 'strength'
  returning session_id as id
), ` + audited("session.correct") + `
select id from changed`

	reliftSQL = `
insert into lifted (club_id, athlete_id, session_id, exercises, stood_for, grams, reserve, sets, counts)
values ($1, $2, $3, $4::text[], $5::text[], $6::integer[], $7::smallint[], $8::smallint[], $9::smallint[])
on conflict (club_id, session_id) do update set exercises = $4, stood_for = $5, grams = $6, reserve = $7, sets = $8, counts = $9`
)

// Relift replaces what was done in a strength session whose version still is the one
// given, else fault.Conflict; the version counts up.
func (s *Store) Relift(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, version int, lifts []roster.Lift, at time.Time) error {
	return s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		_, found, err := rowIf(ctx, tx, readID[roster.SessionID], relifted, args(who, athlete, id, version, at)...)
		if err != nil {
			return err
		}
		if !found {
			return fault.New(fault.Conflict, "")
		}
		_, err = tx.Exec(ctx, reliftSQL, append([]any{who.Club, athlete, id}, liftValues(lifts)...)...)
		return err
	})
}
