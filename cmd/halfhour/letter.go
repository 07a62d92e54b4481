package main

import (
	"context"
	"errors"
	"fmt"

	"halfhour.app/halfhour/internal/config"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/mail"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/roster"
)

// letterCommand prints a coach's weekly letter. It works beside a Halfhour that is
// running, and sends nothing.
type letterCommand struct {
	Coach string    `required:"" placeholder:"EMAIL" help:"The coach's e-mail address."`
	Week  civilDate `required:"" placeholder:"DATE" help:"A day of the week, such as 2026-11-15."`
	HTML  bool      `name:"html" help:"As HTML, not as plain text."`
}

// civilDate is a date on the command line.
type civilDate struct{ day.Date }

// UnmarshalText reads a date written as 2006-01-02.
func (d *civilDate) UnmarshalText(text []byte) (err error) {
	if d.Date, err = day.Parse(string(text)); err != nil {
		return errors.New("please give a date such as 2026-11-15")
	}
	return nil
}

// Run prints it.
func (l letterCommand) Run(ctx context.Context, o outside, c *config.Config) error {
	d, err := reachDatabase(ctx, c, o.logger(c))
	if err != nil {
		return err
	}
	return errors.Join(l.reach(ctx, o, c, d), d.stop(context.WithoutCancel(ctx)))
}

// reach opens the database and prints the letter.
func (l letterCommand) reach(ctx context.Context, o outside, c *config.Config, d *database) error {
	db, err := postgres.Open(ctx, d.app, postgres.Options{Connections: 2, Now: o.now})
	if err != nil {
		return err
	}
	defer db.Close()
	store := db.Store()
	coach, err := store.ByEmail(ctx, roster.LowerEmail(l.Coach))
	if fault.KindOf(err) == fault.NotFound {
		return fmt.Errorf("no coach signs in with %s", l.Coach)
	}
	if err != nil {
		return err
	}
	composer := &mail.Composer{Readers: store, Morning: &morning.Service{Store: store, Now: o.now}, Here: origin(c, c.Listen)}
	past := pastLetters{Post: &post.Service{Store: store, Now: o.now}, Composer: composer}
	return l.print(ctx, o, past, roster.Actor{Club: coach.Club, Coach: coach.Coach})
}

// pastLetters finds the letter of a week.
type pastLetters struct {
	Post     *post.Service
	Composer *mail.Composer
}

// print writes the letter to standard output, and to standard error what it is.
func (l letterCommand) print(ctx context.Context, o outside, p pastLetters, who roster.Actor) error {
	c, about, err := p.of(ctx, who, post.WeekOf(l.Week.Date))
	if err != nil {
		return err
	}
	fmt.Fprintln(o.err, about)
	text := "Subject: " + c.Subject + "\n\n" + c.Plain()
	if l.HTML {
		text = c.HTML()
	}
	_, err = fmt.Fprint(o.out, text)
	return err
}

// of is what was sent for the week that begins on the Monday, else what would be
// written: as things stand, or stood at the end of that week.
func (p pastLetters) of(ctx context.Context, who roster.Actor, monday day.Date) (*post.Content, string, error) {
	past, err := p.Post.Past(ctx, who)
	if err != nil {
		return nil, "", err
	}
	for _, letter := range past {
		if letter.Kind != post.Weekly || letter.Week != monday || letter.SentAt.IsZero() {
			continue
		}
		_, content, err := p.Post.SentLetter(ctx, who, letter.ID)
		return &content, "This is the letter as it was sent on " + letter.SentAt.UTC().Format("2 January 2006, 15:04 UTC") + ".", err
	}
	content, err := p.Composer.Preview(ctx, who.Club, who.Coach, monday+6)
	return content, "No letter was sent for the week from " + monday.String() + "; this is what it would say.", err
}
