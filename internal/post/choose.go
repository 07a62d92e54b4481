package post

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Chosen is what a coach chose, and what is known of the letters that come of it.
type Chosen struct {
	roster.Wishes
	Next time.Time // when the next weekly letter is due; zero: not worked out yet
	Last day.Date  // the Monday of the newest week of which there is a letter; zero: there is none
}

// Due is when the next weekly letter is due, seen from now; zero where none is wanted.
// Of a week there is one letter, whatever is chosen anew.
func (c *Chosen) Due(zone string, now time.Time) time.Time {
	if !c.On {
		return time.Time{}
	}
	if c.Next.After(now) {
		return c.Next
	}
	p := plan(Due{Zone: zone, Day: c.Day, Hour: c.Hour}, now)
	if p.WeekTo() == c.Last {
		return p.Else
	}
	return p.To
}

func check(w *roster.Wishes) error {
	var faults []fault.Field
	wrong := func(place, message string) {
		faults = append(faults, fault.Field{Place: place, Message: message})
	}
	if w.Day < 1 || w.Day > 7 {
		wrong("day", "please choose a day of the week")
	}
	if w.Hour < 0 || w.Hour > 23 {
		wrong("hour", "please choose an hour from 0 to 23")
	}
	if !w.Detail.Known() {
		wrong("detail", "please choose how much a letter tells")
	}
	return fault.At(faults...)
}

// Chosen is what the coach who asks chose.
func (s *Service) Chosen(ctx context.Context, who roster.Actor) (Chosen, error) {
	return s.Store.Chosen(ctx, who)
}

// Choose keeps what the coach wants. Faults stand at day, hour and detail.
func (s *Service) Choose(ctx context.Context, who roster.Actor, w roster.Wishes) error {
	if err := check(&w); err != nil {
		return err
	}
	return s.Store.Choose(ctx, who, w)
}

// Mails are which mail an athlete wants.
type Mails struct {
	Decisions bool // what a coach decided
	Monday    bool // the sessions of the week, on Mondays
	Gentle    bool // a word after silence, where the club sends any
}

// Mails are those of the athlete who asks.
func (s *Service) Mails(ctx context.Context, who roster.Actor) (Mails, error) {
	return s.Store.Mails(ctx, who)
}

// SetMails keeps which mail the athlete wants.
func (s *Service) SetMails(ctx context.Context, who roster.Actor, m Mails) error {
	return s.Store.SetMails(ctx, who, m)
}

// GentleWord is what a club writes to athletes of whom nothing was heard for a while.
type GentleWord struct {
	On    bool   // else nothing is written to them
	Words string // without greeting and signature; empty: OurGentleWord
}

// OurGentleWord is what such a letter says where a club has no words of its own. It
// blames nobody, and names nothing about health.
const OurGentleWord = `It has been quiet for a little while, and that is all right: weeks get full.

Your next session waits where you left off, and begins whenever you come. If another day would suit you better, or you would rather stop for now, tell me. We find what fits.`

// Text is what the letter says.
func (g *GentleWord) Text() string {
	if g.Words == "" {
		return OurGentleWord
	}
	return g.Words
}

// GentleWord is the club's.
func (s *Service) GentleWord(ctx context.Context, club roster.ClubID) (GentleWord, error) {
	return s.Store.GentleWord(ctx, club)
}

// SetGentleWord keeps it; a fault stands at gentle_words. Our own words, and none, are
// kept as none, so that they may become better.
func (s *Service) SetGentleWord(ctx context.Context, who roster.Actor, g GentleWord) error {
	g.Words = roster.Clean(g.Words)
	if m := roster.CheckText(g.Words, roster.NoteLength); m != "" {
		return fault.At(fault.Field{Place: "gentle_words", Message: m})
	}
	if g.Words == OurGentleWord {
		g.Words = ""
	}
	return s.Store.SetGentleWord(ctx, who, g)
}
