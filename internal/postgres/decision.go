package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/roster"
)

// decisionColumns are those of a decision, as readDecision reads them; the
// verdict comes after them.
const (
	decisionColumns = `d.athlete_id, d.decision_id, d.coach_id, c.name, d.at, d.as_of, d.choice, d.to_phase, d.reason, d.word, d.proposal, d.key,
  d.undone_at, d.before_pathway_id, d.before_phase, d.before_phase_since, d.before_last_passed, d.before_held, d.before_held_since,
  d.before_cleared_on, d.before_cleared_at, d.before_injured_on, d.after_pathway_id, d.after_phase, d.after_phase_since,
  d.after_last_passed, d.after_held, d.after_held_since, d.after_cleared_on, d.after_cleared_at, d.after_injured_on`

	// clearanceColumns come after them, where what was cleared is read as well.
	clearanceColumns = `, l.given_on, l.given_by, l.limits`
	clearanceJoin    = ` left join clearance l on l.club_id = d.club_id and l.decision_id = d.decision_id`
	withoutClearance = `, null::date, null::text, null::text`

	newestOfOneSQL = `select ` + decisionColumns + withoutClearance + `, null::text
from decision d join coach c on c.club_id = d.club_id and c.coach_id = d.coach_id
where d.club_id = $1 and d.athlete_id = $2 and d.undone_at is null order by d.decision_id desc limit 1`

	newestOfAllSQL = `select ` + decisionColumns + withoutClearance + `, null::text
from athlete a cross join lateral (
  select * from decision x where x.club_id = $1 and x.athlete_id = a.athlete_id and x.undone_at is null
  order by x.decision_id desc limit 1) d
join coach c on c.club_id = $1 and c.coach_id = d.coach_id
where a.club_id = $1 and a.left_at is null`

	decisionSQL = `select ` + decisionColumns + clearanceColumns + `, d.verdict::text
from decision d join coach c on c.club_id = d.club_id and c.coach_id = d.coach_id` + clearanceJoin + `
where d.club_id = $1 and d.decision_id = $2`

	decisionsSQL = `select ` + decisionColumns + clearanceColumns + `, d.verdict::text
from decision d join coach c on c.club_id = d.club_id and c.coach_id = d.coach_id` + clearanceJoin + `
where d.club_id = $1 and d.athlete_id = $2 order by d.decision_id desc`

	sinceSQL = `select ` + decisionColumns + withoutClearance + `, null::text
from decision d join coach c on c.club_id = d.club_id and c.coach_id = d.coach_id
where d.club_id = $1 and d.at >= $2 and d.undone_at is null order by d.at desc, d.decision_id desc`
)

func readDecision(c *cells) roster.Decision {
	d := roster.Decision{
		Athlete: roster.AthleteID(c.integer()), ID: roster.DecisionID(c.integer()), Coach: roster.CoachID(c.integer()), By: c.text(),
		At: c.instant(), AsOf: c.date(), Choice: roster.Choice(c.text()), To: c.text(), Reason: c.text(), Word: c.text(),
		Proposal: c.text(), Key: roster.Key(c.text()), UndoneAt: c.instant(), Before: readStanding(c), After: readStanding(c),
		Clearance: readClearance(c),
	}
	if verdict := c.next(); verdict != nil {
		d.Verdict = append([]byte(nil), verdict...)
	}
	return d
}

func readClearance(c *cells) roster.Clearance {
	return roster.Clearance{GivenOn: c.date(), GivenBy: c.text(), Limits: c.text()}
}

// Decision is one decision of the club, or fault.NotFound.
func (s *Store) Decision(ctx context.Context, club roster.ClubID, id roster.DecisionID) (roster.Decision, error) {
	return askOne(ctx, s, club, readDecision, decisionSQL, club, id)
}

// Decisions are all decisions about the athlete, the newest first, undone ones too.
func (s *Store) Decisions(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Decision, error) {
	return ask(ctx, s, club, readDecision, decisionsSQL, club, athlete)
}

// Since are the decisions of the club made at the instant or later that stand, the
// newest first, without their verdicts.
func (s *Store) Since(ctx context.Context, club roster.ClubID, at time.Time) ([]roster.Decision, error) {
	return ask(ctx, s, club, readDecision, sinceSQL, club, at)
}

const (
	// lockAthleteSQL waits for whoever else changes the athlete, and keeps others
	// waiting until the end of the transaction. Sessions may be logged meanwhile.
	lockAthleteSQL = `select ` + athleteColumns + ` from athlete a where a.club_id = $1 and a.athlete_id = $2 for no key update`

	decisionOfKeySQL = `select decision_id, undone_at from decision where club_id = $1 and athlete_id = $2 and key = $3`
)

var keepSQL = `
with changed as (
  insert into decision (club_id, athlete_id, key, coach_id, at, as_of, choice, to_phase, reason, word, proposal, verdict, before_word,
    before_pathway_id, before_phase, before_phase_since, before_last_passed, before_held, before_held_since, before_cleared_on,
    before_cleared_at, before_injured_on, after_pathway_id, after_phase, after_phase_since, after_last_passed, after_held,
    after_held_since, after_cleared_on, after_cleared_at, after_injured_on)
  values ($1, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23, $24, $25, $26, $27, $28,
    $29, $30, $31, $32, $33)
  returning decision_id as id
), ` + audited("decision.keep") + `
select id from changed`

const (
	clearSQL = `insert into clearance (club_id, decision_id, athlete_id, given_on, given_by, limits) values ($1, $2, $3, $4, $5, $6)`

	// newestClearanceSQL is the newest one whose decision stands.
	newestClearanceSQL = `select l.given_on, l.given_by, l.limits
from clearance l join decision d on d.club_id = l.club_id and d.decision_id = l.decision_id
where l.club_id = $1 and l.athlete_id = $2 and d.undone_at is null order by l.decision_id desc limit 1`
)

// clearDecision keeps what was said by whoever cleared somebody, with the decision.
func clearDecision(ctx context.Context, tx pgx.Tx, club roster.ClubID, id roster.DecisionID, d *roster.Decision) error {
	l := &d.Clearance
	if *l == (roster.Clearance{}) {
		return nil
	}
	_, err := tx.Exec(ctx, clearSQL, club, id, d.Athlete, dateOrNull(l.GivenOn), l.GivenBy, l.Limits)
	return err
}

const standSQL = `
update athlete set pathway_id = $3, phase = $4, phase_since = $5, last_passed = $6, held = $7, held_since = $8, cleared_on = $9,
  cleared_at = $10, injured_on = $11, coach_word = $12, version = version + 1
where club_id = $1 and athlete_id = $2`

// keptOnce is what is there under a key.
type keptOnce struct {
	id       roster.DecisionID
	undoneAt time.Time
}

func readKeptOnce(c *cells) keptOnce {
	return keptOnce{readID[roster.DecisionID](c), c.instant()}
}

// Keep stores the decision and what follows from it, a letter to the athlete included. Two coaches at once come one
// after the other, and the second finds the version changed.
func (s *Store) Keep(ctx context.Context, who roster.Actor, d roster.Decision, version int) (roster.DecisionID, error) {
	var id roster.DecisionID
	err := s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		a, err := row(ctx, tx, readAthlete, lockAthleteSQL, who.Club, d.Athlete)
		if err != nil {
			return err
		}
		kept, again, err := rowIf(ctx, tx, readKeptOnce, decisionOfKeySQL, who.Club, d.Athlete, string(d.Key))
		switch {
		case err != nil:
			return err
		case again && kept.undoneAt.IsZero():
			id = kept.id
			return nil
		case again || a.Version != version: // taken back meanwhile, or changed
			return conflict()
		}
		word := a.CoachWord
		values := args(who, d.Athlete, string(d.Key), d.Coach, d.At, dateOrNull(d.AsOf), string(d.Choice), d.To, d.Reason, d.Word,
			d.Proposal, string(d.Verdict), word)
		values = append(append(values, standingValues(&d.Before)...), standingValues(&d.After)...)
		if id, err = row(ctx, tx, readID[roster.DecisionID], keepSQL, values...); err != nil {
			return err
		}
		if err := clearDecision(ctx, tx, who.Club, id, &d); err != nil {
			return err
		}
		if d.Word != "" {
			word = d.Word
		}
		if err := stand(ctx, tx, who.Club, d.Athlete, &d.After, word); err != nil {
			return err
		}
		return s.tell(ctx, tx, who, id, &d)
	})
	return id, err
}

// stand puts the athlete where the standing says.
func stand(ctx context.Context, tx pgx.Tx, club roster.ClubID, athlete roster.AthleteID, at *roster.Standing, word string) error {
	values := append([]any{club, athlete}, standingValues(at)...)
	_, err := tx.Exec(ctx, standSQL, append(values, word)...)
	return err
}
