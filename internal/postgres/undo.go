package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/roster"
)

const (
	decidedSQL = `select ` + decisionColumns + withoutClearance + `, null::text, d.before_word, exists (select from decision n
  where n.club_id = d.club_id and n.athlete_id = d.athlete_id and n.decision_id > d.decision_id and n.undone_at is null)
from decision d join coach c on c.club_id = d.club_id and c.coach_id = d.coach_id
where d.club_id = $1 and d.decision_id = $2`

	athleteOfDecisionSQL = `select athlete_id from decision where club_id = $1 and decision_id = $2`
)

var undoSQL = `
with changed as (
  update decision set undone_at = $5, undone_by = $2 where club_id = $1 and decision_id = $4
  returning decision_id as id
), ` + audited("decision.undo") + `
select id from changed`

// decided is a decision with what undoing it needs to know.
type decided struct {
	roster.Decision
	wordBefore string
	followed   bool // a newer one stands
}

func readDecided(c *cells) decided {
	return decided{Decision: readDecision(c), wordBefore: c.text(), followed: c.truth()}
}

// Undo takes the decision back if it is the athlete's newest that stands and
// nothing moved since. The coach's word that it replaced comes back with it,
// unless another was written meanwhile.
func (s *Store) Undo(ctx context.Context, who roster.Actor, id roster.DecisionID, at time.Time) error {
	return s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		athlete, err := row(ctx, tx, readID[roster.AthleteID], athleteOfDecisionSQL, who.Club, id)
		if err != nil {
			return err
		}
		a, err := row(ctx, tx, readAthlete, lockAthleteSQL, who.Club, athlete)
		if err != nil {
			return err
		}
		d, err := row(ctx, tx, readDecided, decidedSQL, who.Club, id)
		switch {
		case err != nil:
			return err
		case !d.UndoneAt.IsZero():
			return nil
		case d.followed, a.Standing != d.After:
			return conflict()
		}
		if _, err := row(ctx, tx, readID[roster.DecisionID], undoSQL, args(who, id, at)...); err != nil {
			return err
		}
		word := a.CoachWord
		if d.Word != "" && word == d.Word {
			word = d.wordBefore
		}
		if err := stand(ctx, tx, who.Club, a.ID, &d.Before, word); err != nil {
			return err
		}
		return s.tellUndone(ctx, tx, who, &d.Decision)
	})
}
