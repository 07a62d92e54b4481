package roster

import (
	"time"

	"halfhour.app/halfhour/internal/day"
)

// Today is the athlete's own date at the instant.
func (a *Athlete) Today(now time.Time) day.Date { return day.Of(now, a.Place()) }

// eastmost is how far the earliest clocks on earth are ahead of UTC.
const eastmost = 14 * time.Hour

// Latest is the latest date that anybody on earth has at the instant. Asking a
// store up to it leaves out nothing of today, whatever the athlete's zone is.
func Latest(now time.Time) day.Date { return day.Of(now.Add(eastmost), time.UTC) }
