package postgres

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weather"
)

const weatherSQL = `select w.weather_id, w.athlete_id, w.tenths, w.humidity, w.shade, w.at, w.told_at, w.by_coach, c.name
from weather w left join coach c on c.club_id = w.club_id and c.coach_id = w.by_coach
where w.club_id = $1 and (w.athlete_id is null or w.athlete_id = $2) and w.at >= $3 and w.at < $4
order by w.told_at desc, w.weather_id desc`

func readWeather(c *cells) roster.Weather {
	return roster.Weather{
		ID: roster.WeatherID(c.integer()), Athlete: roster.AthleteID(c.integer()),
		Air: weather.Air{Tenths: int(c.integer()), Humidity: int(c.integer()), Shade: c.truth()},
		At:  c.instant(), ToldAt: c.instant(), ByCoach: roster.CoachID(c.integer()), By: c.text(),
	}
}

// Weather is what is of a time: the club's, and the athlete's own; the newest told
// first.
func (s *Store) Weather(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, from, to time.Time) ([]roster.Weather, error) {
	return ask(ctx, s, club, readWeather, weatherSQL, club, athlete, from, to)
}

// What is old goes with what is new: nobody reads it any more.
var tellWeatherSQL = `
with changed as (
  insert into weather (club_id, athlete_id, key, at, told_at, tenths, humidity, shade, by_coach)
  values ($1, nullif($4::bigint, 0), $5, $6, $7, $8, nullif($9::smallint, 0), $10, nullif($11::bigint, 0))
  on conflict (club_id, athlete_id, key) do nothing
  returning weather_id as id
), gone as (
  delete from weather w where w.club_id = $1 and (w.athlete_id is null or w.athlete_id = $4) and w.at < $12 and exists (select from changed)
), ` + audited("weather.tell") + `
select id from changed`

const weatherOfKeySQL = `select w.weather_id from weather w where w.club_id = $1 and w.athlete_id is not distinct from nullif($2::bigint, 0) and w.key = $3`

// TellWeather keeps what was typed; the same key again gives the ID of then.
func (s *Store) TellWeather(ctx context.Context, who roster.Actor, w roster.Weather, key roster.Key) (roster.WeatherID, error) {
	old := w.ToldAt.AddDate(0, 0, -outdoors.KeptDays)
	values := args(who, int64(w.Athlete), string(key), w.At, w.ToldAt, int16(w.Tenths), int16(w.Humidity), w.Shade, int64(w.ByCoach), old)
	return once[roster.WeatherID](ctx, s, who.Club, tellWeatherSQL, values, weatherOfKeySQL, who.Club, int64(w.Athlete), string(key))
}
