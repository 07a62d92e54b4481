package outdoors

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Store is what weather reads and writes. Every call is made for one club and sees
// nothing of another; not there is fault.NotFound.
type Store interface {
	// Weather is what is of a time from the first instant to before the second: the
	// club's, and the athlete's own where the athlete is not 0; the newest told first.
	Weather(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, from, to time.Time) ([]roster.Weather, error)
	// TellWeather stores it with its audit line; the same key again changes nothing and
	// gives the ID of then. What is of more than KeptDays before goes with it.
	TellWeather(ctx context.Context, who roster.Actor, w roster.Weather, key roster.Key) (roster.WeatherID, error)
	// File is the athlete with the sessions the rules read.
	File(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, asked day.Date) (roster.File, error)
	// Shelf is one version of a pathway.
	Shelf(ctx context.Context, club roster.ClubID, id roster.PathwayID) (*roster.Shelf, error)
	// Checks are the athlete's answers about health, the newest first, the draft among them.
	Checks(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.HealthCheck, error)
}
