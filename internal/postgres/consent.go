package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/roster"
)

const consentsSQL = `select n.consent_id, n.athlete_id, n.kind, n.text_version, n.on_date, n.at, n.by_coach, n.guardian, n.withdrawn_at
from consent n where n.club_id = $1 and n.athlete_id = $2 order by n.consent_id desc`

func readConsent(c *cells) roster.Consent {
	return roster.Consent{
		ID: roster.ConsentID(c.integer()), Athlete: roster.AthleteID(c.integer()), Kind: roster.ConsentKind(c.text()), Text: int(c.integer()),
		On: c.date(), At: c.instant(), ByCoach: roster.CoachID(c.integer()), Guardian: c.text(), WithdrawnAt: c.instant(),
	}
}

// Consents of the athlete, the newest first, those taken back too.
func (s *Store) Consents(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Consent, error) {
	return ask(ctx, s, club, readConsent, consentsSQL, club, athlete)
}

var (
	agreeSQL = `
with changed as (
  insert into consent (club_id, athlete_id, kind, text_version, on_date, at, by_coach, guardian)
  values ($1, $4, $5, $6, $7, $8, nullif($9::bigint, 0), $10)
  returning consent_id as id
), ` + audited("consent.give") + `
select id from changed`

	// endConsentSQL ends those that stand of a kind; of all where none is given.
	endConsentSQL = `
with changed as (
  update consent set withdrawn_at = greatest($6, at) where club_id = $1 and athlete_id = $4 and withdrawn_at is null and ($5 = '' or kind = $5)
  returning consent_id as id
), ` + auditedAs("$7") + `
select id from changed`
)

// agree keeps consents. One that stands of the same kind ends with it.
func agree(ctx context.Context, tx pgx.Tx, who roster.Actor, consents []roster.Consent) error {
	for i := range consents {
		c := &consents[i]
		if err := endConsent(ctx, tx, who, c.Athlete, c.Kind, c.At, "consent.renew"); err != nil {
			return err
		}
		values := args(who, c.Athlete, string(c.Kind), c.Text, dateOrNull(c.On), c.At, int64(c.ByCoach), c.Guardian)
		if _, err := row(ctx, tx, readID[roster.ConsentID], agreeSQL, values...); err != nil {
			return err
		}
	}
	return nil
}

func endConsent(ctx context.Context, tx pgx.Tx, who roster.Actor, athlete roster.AthleteID, kind roster.ConsentKind, at time.Time, change string) error {
	_, err := tx.Exec(ctx, endConsentSQL, args(who, athlete, string(kind), at, change)...)
	return err
}
