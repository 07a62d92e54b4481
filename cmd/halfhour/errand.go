package main

import (
	"context"
	"log/slog"

	"halfhour.app/halfhour/internal/jobs"
)

// errands is what is done again and again without anybody asking. Who is to be erased
// is looked for every hour: the day comes round in every time zone, and a program that
// was off catches up.
func (a *app) errands(crew *jobs.Crew, log *slog.Logger) {
	crew.Hourly("forgetting", func(ctx context.Context) error { return a.forget(ctx, log) })
}

// forget erases who asked and who left long ago. The log counts, and names nobody.
func (a *app) forget(ctx context.Context, log *slog.Logger) error {
	done, err := a.privacy.Daily(ctx)
	if done.Asked+done.Left > 0 {
		log.InfoContext(ctx, "erased", "who_asked", done.Asked, "who_left_long_ago", done.Left)
	}
	return err
}
