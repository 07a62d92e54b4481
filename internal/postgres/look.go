package postgres

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
)

const (
	// A look is written after a page was shown, many times a day: nobody waits for
	// the disk. The last half second of looks is lost where the power fails.
	unhurriedSQL = `select set_config('synchronous_commit', 'off', true)`

	lookSQL = `insert into look as l (club_id, athlete_id, coach_id, on_date, what, first_at, last_at, times)
values ($1, $2, $3, $4, $5, $6, $6, 1)
on conflict (club_id, athlete_id, coach_id, on_date, what) do update
  set last_at = greatest(l.last_at, excluded.last_at), times = l.times + 1`

	looksSQL = `select l.coach_id, c.name, l.on_date, l.what, l.first_at, l.last_at, l.times
from look l join coach c on c.club_id = l.club_id and c.coach_id = l.coach_id
where l.club_id = $1 and l.athlete_id = $2 order by l.on_date desc, c.name collate "und-x-icu", l.coach_id, l.what`
)

// Look notes that a coach looked at something of the athlete.
func (s *Store) Look(ctx context.Context, club roster.ClubID, coach roster.CoachID, athlete roster.AthleteID, what privacy.What, on day.Date, at time.Time) error {
	b := batch(club)
	b.Queue(unhurriedSQL)
	b.Queue(lookSQL, club, athlete, coach, dateOrNull(on), string(what), at)
	return s.send(ctx, b)
}

func readLook(c *cells) privacy.Look {
	return privacy.Look{
		Coach: roster.CoachID(c.integer()), By: c.text(), On: c.date(), What: privacy.What(c.text()),
		First: c.instant(), Last: c.instant(), Times: int(c.integer()),
	}
}

// Looks at the athlete, the newest day first.
func (s *Store) Looks(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]privacy.Look, error) {
	return ask(ctx, s, club, readLook, looksSQL, club, athlete)
}
