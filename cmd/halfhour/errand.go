package main

import (
	"context"
	"log/slog"
	"time"
)

// askHourly is how often it is looked whether somebody is to be erased: the day comes
// round in every time zone, and a program that was off catches up.
const askHourly = time.Hour

// forgetting erases who asked and who left long ago, now and every hour until the
// context ends; what goes wrong is tried again with the next.
func (a *app) forgetting(ctx context.Context, log *slog.Logger) {
	tick := time.NewTicker(askHourly)
	defer tick.Stop()
	for {
		if err := a.forget(ctx, log); err != nil && ctx.Err() == nil {
			log.ErrorContext(ctx, "some people could not be erased", "error", err.Error())
		}
		select {
		case <-tick.C:
		case <-ctx.Done():
			return
		}
	}
}

// forget is the errand itself. The log counts, and names nobody.
func (a *app) forget(ctx context.Context, log *slog.Logger) error {
	done, err := a.privacy.Daily(ctx)
	if done.Asked+done.Left > 0 {
		log.InfoContext(ctx, "erased", "who_asked", done.Asked, "who_left_long_ago", done.Left)
	}
	return err
}
