package demo

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/outdoors"
)

// air tells the weather of the day of the run: a warm day, on which beginners go slower.
func (h *house) air(ctx context.Context) error {
	use := outdoors.Service{Store: h.Store, Now: func() time.Time { return h.now }}
	_, err := use.Tell(ctx, h.coaches[0], 0, outdoors.Typed{Temperature: "22", Humidity: "45", Place: h.place}, "demo-weather-of-the-day")
	return err
}
