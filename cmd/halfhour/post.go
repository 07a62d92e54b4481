package main

import (
	"context"
	"log/slog"
	"path/filepath"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/config"
	"halfhour.app/halfhour/internal/mail"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// noSender is whom letters come from that go into files.
const noSender = "halfhour@localhost"

// mailbag is how letters leave. The folder is there with a mail server as well: what
// went into it before is removed in its time.
type mailbag struct {
	smtp   *mail.SMTP // nil: letters go into files
	folder *mail.Folder
}

// newMailbag takes the mail server that is named, else the folder mail in the data
// folder. A demo writes to invented people, and so to nobody.
func newMailbag(c *config.Config, demo bool, now func() time.Time) (*mailbag, error) {
	from, err := mail.ParseFrom(noSender)
	bag := &mailbag{folder: &mail.Folder{Dir: filepath.Join(c.Data, "mail"), From: from, Now: now}}
	if err != nil || demo || !c.Mail.On() {
		return bag, err
	}
	from, err = mail.ParseFrom(c.Mail.From)
	bag.smtp = &mail.SMTP{
		Host: c.Mail.Host, Port: c.Mail.PortOr(), Security: c.Mail.Security, User: c.Mail.User, Password: c.Mail.Password.Open(), From: from, Now: now,
	}
	return bag, err
}

// carrier is whoever takes letters away.
func (b *mailbag) carrier() post.Carrier {
	if b.smtp != nil {
		return b.smtp
	}
	return b.folder
}

// tell says in the log where mail goes, and whether it can: at the start, so that
// nobody learns it from a letter that did not come. It waits for nothing.
func (b *mailbag) tell(ctx context.Context, log *slog.Logger) {
	if b.smtp == nil {
		if err := b.folder.Writable(); err != nil {
			log.WarnContext(ctx, "no letter can be sent: no mail server is named (HALFHOUR_SMTP_HOST), and they cannot be kept either", "error", err)
			return
		}
		log.InfoContext(ctx, "no mail server is named; letters go into files, which an owner reads at /mail", "folder", b.folder.Dir)
		return
	}
	go func() {
		if err := b.smtp.Try(ctx); err != nil && ctx.Err() == nil {
			log.WarnContext(ctx, "letters wait: the mail server cannot be used", "error", err)
		} else if err == nil {
			log.InfoContext(ctx, "the mail server lets us in; letters go through it", "host", b.smtp.Host, "port", b.smtp.Port)
		}
	}()
}

// newPost is letters over the store; the links in them are made by the doors.
func (a *app) newPost(b *mailbag, here string, now func() time.Time) *post.Service {
	composer := a.composer(here)
	return &post.Service{
		Store: a.store, Carrier: b.carrier(), Files: b.folder, Here: here, Now: now, Composer: composer, Previewer: composer,
		Link: func(ctx context.Context, l *post.Letter) (post.Link, error) { return linkFor(ctx, a.access, l) },
		Silence: func(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (post.Silence, error) {
			s, err := a.morning.Silence(ctx, club, athlete)
			return post.Silence{Since: s.Since, First: s.First}, err
		},
	}
}

// composer puts together the letters that are kept, from what people read in the app.
func (a *app) composer(here string) *mail.Composer {
	return &mail.Composer{
		Readers: a.store, Morning: a.morning, Here: here,
		Hearing: &mail.Hearing{Decide: a.decide, Entry: a.entry, Days: a.days, Morning: a.morning, Readers: a.store, Words: a.store, Here: here},
	}
}

// linkFor makes the one-time link of a letter.
func linkFor(ctx context.Context, doors *access.Service, l *post.Letter) (post.Link, error) {
	at, link, err := "/in/", access.Link{}, error(nil)
	switch l.Kind {
	case post.WayIn:
		link, err = doors.WayInLink(ctx, l.Club.ID, l.Coach, l.Athlete)
	case post.CoachInvitation:
		at = "/join/"
		link, err = doors.MailedInvitation(ctx, l.Club.ID, access.AsCoach)
	case post.DeputyInvitation:
		at = "/join/"
		link, err = doors.MailedInvitation(ctx, l.Club.ID, access.AsDeputy)
	case post.Invitation:
		link, err = doors.MailedAthleteLink(ctx, l.Club.ID, l.Athlete)
	case post.NewAddress:
		at = "/club/address/"
		link, err = doors.AddressLink(ctx, l.Club.ID, l.Coach, l.Address)
	case post.NewDevice, post.OldAddress:
	}
	return post.Link{Path: at + string(link.Code), Until: link.Expires}, err
}
