package postgres

import (
	"context"
	"encoding/json"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

const checksSQL = `select h.check_id, h.athlete_id, h.form, h.fresh, h.answers::text, h.sections, h.source, h.by_coach, b.name, h.asked_on, h.asked_by,
  h.begun_at, h.handed_at, h.handed_on, h.advised, h.why, h.seen_at, h.seen_by, s.name, h.version
from health_check h left join coach b on b.club_id = h.club_id and b.coach_id = h.by_coach
  left join coach s on s.club_id = h.club_id and s.coach_id = h.seen_by
where h.club_id = $1 and h.athlete_id = $2 order by h.check_id desc`

func readCheck(c *cells) roster.HealthCheck {
	return roster.HealthCheck{
		ID: roster.CheckID(c.integer()), Athlete: roster.AthleteID(c.integer()), Form: int(c.integer()), Fresh: c.truth(), Answers: c.answers(),
		Sections: c.words(), Source: roster.Source(c.text()), ByCoach: roster.CoachID(c.integer()), By: c.text(), AskedOn: c.date(), AskedBy: c.text(),
		BegunAt: c.instant(), HandedAt: c.instant(), HandedOn: c.date(), Advised: c.truth(), Why: c.words(),
		SeenAt: c.instant(), SeenBy: roster.CoachID(c.integer()), SeenName: c.text(), Version: int(c.integer()),
	}
}

// words is a text[] without nulls; nil where it is empty.
func (c *cells) words() []string {
	var words []string
	a := c.array()
	for range a.n {
		words = append(words, string(a.next()))
	}
	if a.bad {
		c.fail()
	}
	return words
}

// answers is an object of lists of texts.
func (c *cells) answers() map[string][]string {
	answers := map[string][]string{}
	if json.Unmarshal(c.next(), &answers) != nil {
		c.fail()
	}
	return answers
}

// Checks of the athlete, the newest first, the draft among them.
func (s *Store) Checks(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.HealthCheck, error) {
	return ask(ctx, s, club, readCheck, checksSQL, club, athlete)
}

var (
	addCheckSQL = `
with changed as (
  insert into health_check (club_id, athlete_id, form, fresh, answers, sections, source, by_coach, handed_at, handed_on, advised, why, seen_at, seen_by,
    begun_at, asked_on, asked_by)
  values ($1, $4, $5, $6, $7::text::jsonb, $8, $9, nullif($10::bigint, 0), $11, $12, $13, $14, $15, nullif($16::bigint, 0), $18, $19, $20)
  returning check_id as id
), ` + auditedAs("$17") + `
select id from changed`

	changeCheckSQL = `
with changed as (
  update health_check set form = $5, fresh = $6, answers = $7::text::jsonb, sections = $8, source = $9, by_coach = nullif($10::bigint, 0),
    handed_at = $11, handed_on = $12, advised = $13, why = $14, seen_at = $15, seen_by = nullif($16::bigint, 0), version = version + 1
  where club_id = $1 and athlete_id = $4 and check_id = $18 and version = $19
  returning check_id as id
), ` + auditedAs("$17") + `
select id from changed`
)

// changeOf is what the audit calls a check that came to be as it is.
func changeOf(c *roster.HealthCheck) string {
	switch {
	case c.Source == roster.FromPaper:
		return "check.paper"
	case !c.SeenAt.IsZero():
		return "check.look"
	case !c.Draft():
		return "check.hand_in"
	}
	return "check.answer"
}

// checkStatement stores a check: a new one, or in place of the one of its version.
func checkStatement(who roster.Actor, c *roster.HealthCheck) (sql string, values []any, err error) {
	answers := []byte("{}")
	if len(c.Answers) > 0 {
		if answers, err = json.Marshal(c.Answers); err != nil {
			return "", nil, err
		}
	}
	values = args(who, c.Athlete, c.Form, c.Fresh, string(answers), textsOf(c.Sections), string(c.Source), int64(c.ByCoach), orNull(c.HandedAt),
		dateOrNull(c.HandedOn), c.Advised, textsOf(c.Why), orNull(c.SeenAt), int64(c.SeenBy), changeOf(c))
	if c.ID == 0 {
		return addCheckSQL, append(values, c.BegunAt, dateOrNull(c.AskedOn), textOrNull(c.AskedBy)), nil
	}
	return changeCheckSQL, append(values, c.ID, c.Version), nil
}

// textsOf is a list for a column that is never null.
func textsOf(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// SaveDraft stores a draft if there is none yet, or in place of the one of its
// version; else it is fault.Conflict.
func (s *Store) SaveDraft(ctx context.Context, who roster.Actor, c roster.HealthCheck) error {
	sql, values, err := checkStatement(who, &c)
	if err != nil {
		return err
	}
	_, err = askOne(ctx, s, who.Club, readID[roster.CheckID], sql, values...)
	if c.ID != 0 && fault.KindOf(err) == fault.NotFound {
		return conflict()
	}
	return err
}

// keepCheck is SaveDraft inside a transaction, for checks of every sort.
func keepCheck(ctx context.Context, tx pgx.Tx, who roster.Actor, c *roster.HealthCheck) error {
	sql, values, err := checkStatement(who, c)
	if err != nil {
		return err
	}
	_, err = row(ctx, tx, readID[roster.CheckID], sql, values...)
	if c.ID != 0 && fault.KindOf(err) == fault.NotFound {
		return conflict()
	}
	return err
}
