package postgres

import (
	"context"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

const (
	measurementsSQL = `select m.measurement_id, m.athlete_id, m.key, m.on_date, m.kind, m.bpm, m.stage_bpm, m.stage_talk, m.at, m.by_coach, c.name
from measurement m left join coach c on c.club_id = m.club_id and c.coach_id = m.by_coach
where m.club_id = $1 and m.athlete_id = $2 order by m.on_date, m.at, m.measurement_id`

	measurementOfKeySQL = `select measurement_id from measurement where club_id = $1 and athlete_id = $2 and key = $3`
)

func readMeasurement(c *cells) roster.Measurement {
	return roster.Measurement{
		ID: roster.MeasurementID(c.integer()), Athlete: roster.AthleteID(c.integer()), Key: roster.Key(c.text()), On: c.date(),
		Kind: roster.MeasurementKind(c.text()), BPM: intensity.BPM(c.integer()), Stages: c.stages(),
		At: c.instant(), ByCoach: roster.CoachID(c.integer()), By: c.text(),
	}
}

// stages puts the two columns of a talk test side by side.
func (c *cells) stages() []intensity.Stage {
	rates, answers := c.numbers(nil), c.array()
	if len(rates) != answers.n {
		c.fail()
		return nil
	}
	var stages []intensity.Stage
	for _, rate := range rates {
		talk, known := intensity.ParseTalk(string(answers.next()))
		if !known {
			c.fail()
		}
		stages = append(stages, intensity.Stage{Rate: intensity.BPM(rate.Or(0)), Talk: talk})
	}
	return stages
}

// stageValues are the two columns of a talk test; both are null where there are no
// stages.
func stageValues(stages []intensity.Stage) []any {
	if len(stages) == 0 {
		return []any{nil, nil}
	}
	rates, answers := make([]*int16, len(stages)), make([]string, len(stages))
	for i, stage := range stages {
		answers[i] = stage.Talk.String()
		if stage.Rate != 0 {
			rate := narrow(int(stage.Rate))
			rates[i] = &rate
		}
	}
	return []any{rates, answers}
}

// Measurements of the athlete, the oldest date first; of one date in the order in
// which they were stored.
func (s *Store) Measurements(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Measurement, error) {
	return ask(ctx, s, club, readMeasurement, measurementsSQL, club, athlete)
}

var (
	measureSQL = `
with changed as (
  insert into measurement (club_id, athlete_id, key, on_date, kind, bpm, stage_bpm, stage_talk, at, by_coach)
  values ($1, $4, $5, $6, $7, $8, $9, $10, $11, nullif($12::bigint, 0))
  on conflict (club_id, athlete_id, key) do nothing
  returning measurement_id as id
), ` + audited("measurement.add") + `
select id from changed`

	unmeasureSQL = `
with changed as (
  delete from measurement where club_id = $1 and athlete_id = $4 and measurement_id = $5
  returning measurement_id as id
), ` + audited("measurement.remove") + `
select id from changed`

	formulaSQL = `
with changed as (
  update athlete set max_formula = $5, version = version + 1 where club_id = $1 and athlete_id = $4
  returning athlete_id as id
), ` + audited("athlete.formula") + `
select id from changed`
)

// Measure stores a measurement; the same key again gives the ID of then.
func (s *Store) Measure(ctx context.Context, who roster.Actor, m roster.Measurement) (roster.MeasurementID, error) {
	return once[roster.MeasurementID](ctx, s, who.Club, measureSQL, measureValues(who, &m), measurementOfKeySQL, who.Club, m.Athlete, string(m.Key))
}

func measureValues(who roster.Actor, m *roster.Measurement) []any {
	values := args(who, m.Athlete, string(m.Key), dateOrNull(m.On), string(m.Kind), narrow(int(m.BPM)))
	return append(append(values, stageValues(m.Stages)...), m.At, int64(m.ByCoach))
}

// Unmeasure takes one back; fault.NotFound where it is not there.
func (s *Store) Unmeasure(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.MeasurementID) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.MeasurementID], unmeasureSQL, args(who, athlete, id)...)
	return err
}

// SetFormula picks the formula of the predicted maximum, by its name in documents.
func (s *Store) SetFormula(ctx context.Context, who roster.Actor, athlete roster.AthleteID, formula string) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.AthleteID], formulaSQL, args(who, athlete, formula)...)
	return err
}
