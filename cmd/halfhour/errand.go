package main

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"halfhour.app/halfhour/internal/jobs"
	"halfhour.app/halfhour/internal/post"
)

// lettersEvery is how often it is looked whose weekly letter is due: ours. A letter
// comes so much after its hour at most.
const lettersEvery = 5 * time.Minute

// errands is what is done again and again without anybody asking. Who is to be erased
// is looked for every hour: the day comes round in every time zone, and a program that
// was off catches up. Letters are tidied after that, so that they go with whom they
// are to.
func (a *app) errands(crew *jobs.Crew, log *slog.Logger) {
	crew.Hourly("forgetting", func(ctx context.Context) error {
		return errors.Join(a.forget(ctx, log), a.tidy(ctx, log))
	})
	crew.Hourly("notes", func(ctx context.Context) error { return a.note(ctx, log) })
	crew.Every(lettersEvery, "letters", func(ctx context.Context) error { return a.letters(ctx, log) })
}

// forget erases who asked and who left long ago. The log counts, and names nobody.
func (a *app) forget(ctx context.Context, log *slog.Logger) error {
	done, err := a.privacy.Daily(ctx)
	if done.Asked+done.Left+done.Waited > 0 {
		log.InfoContext(ctx, "erased", "who_asked", done.Asked, "who_left_long_ago", done.Left, "who_never_began", done.Waited)
	}
	a.remember(ctx, log)
	return err
}

// remember keeps the list of who was erased, and erases again whom an older copy of the
// database brought back. Where that cannot be done the program goes on, says so, and
// tries again each hour.
func (a *app) remember(ctx context.Context, log *slog.Logger) {
	again, err := a.privacy.Remember(ctx)
	if again > 0 {
		log.WarnContext(ctx, "an older copy of the database had brought back people who were erased; they are erased again", "how_many", again)
	}
	if err != nil {
		log.ErrorContext(ctx, "the list of who was erased cannot be kept; an older copy of the database could bring them back", "error", err)
	}
}

// letters writes the weekly letters that are due.
func (a *app) letters(ctx context.Context, log *slog.Logger) error {
	n, err := a.post.WriteDue(ctx)
	if n > 0 {
		log.InfoContext(ctx, "weekly letters are due", "letters", n)
	}
	return err
}

// tidy removes old letters, and those in files to people who were erased.
func (a *app) tidy(ctx context.Context, log *slog.Logger) error {
	gone, err := a.post.Tidy(ctx)
	if gone != (post.Gone{}) {
		log.InfoContext(ctx, "letters removed", "too_old", gone.Rows, "files", gone.Files)
	}
	return err
}

// note writes the letters to athletes that come by the clock.
func (a *app) note(ctx context.Context, log *slog.Logger) error {
	n, err := a.post.WriteNotes(ctx)
	if n > 0 {
		log.InfoContext(ctx, "notes written to athletes", "how_many", n)
	}
	return err
}
