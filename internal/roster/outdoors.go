package roster

import (
	"time"

	"halfhour.app/halfhour/internal/weather"
)

// WeatherID is unique within a club and never used again; 0 is none.
type WeatherID int64

// Weather is what somebody typed of the weather at one place and hour.
type Weather struct {
	ID      WeatherID
	Athlete AthleteID // who typed it for the own way; 0: it is the club's
	weather.Air
	At      time.Time // the hour that it is of
	ToldAt  time.Time
	ByCoach CoachID // who typed the club's; 0: the athlete
	By      string  // the coach's name
}

// Own says whether the athlete typed it, and not a coach for the club.
func (w *Weather) Own() bool { return w.Athlete != 0 }
