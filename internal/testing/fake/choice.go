package fake

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// StopSecret is the secret of a person in the address that stops mail.
func StopSecret(coach roster.CoachID, athlete roster.AthleteID) string {
	return fmt.Sprintf("%016x%016x", int64(coach), int64(athlete))
}

// Chosen is what was chosen, else what holds from the beginning.
func (s *Store) Chosen(_ context.Context, who roster.Actor) (post.Chosen, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return post.Chosen{}, err
	}
	c := post.Chosen{Wishes: s.wishes(who.Coach)}
	if at := s.weekly(who.Coach); at >= 0 {
		c.Next = s.Weekly[at].Next
	}
	for _, l := range s.Letters {
		if l.Coach == who.Coach && l.Kind == post.Weekly {
			c.Last = max(c.Last, l.Week)
		}
	}
	return c, nil
}

// weekly is where it says when the coach's letter is due, or -1.
func (s *Store) weekly(coach roster.CoachID) int {
	return slices.IndexFunc(s.Weekly, func(d post.Due) bool { return d.Coach == coach })
}

// Choose keeps choices.
func (s *Store) Choose(_ context.Context, who roster.Actor, w roster.Wishes) error {
	return s.change(who, func() {
		was := s.wishes(who.Coach)
		if at := s.weekly(who.Coach); at >= 0 && (!was.On || was.Day != w.Day || was.Hour != w.Hour) {
			s.Weekly[at].Next = time.Time{}
		}
		s.Wishes[who.Coach] = w
	})
}

// change makes a change and writes its line.
func (s *Store) change(who roster.Actor, makes func()) error {
	done, err := s.enter()
	defer done()
	if err == nil {
		makes()
		s.Audit = append(s.Audit, who)
	}
	return err
}

// Mails are those that were wished, else those of the beginning.
func (s *Store) Mails(_ context.Context, who roster.Actor) (post.Mails, error) {
	done, err := s.enter()
	defer done()
	return s.mails(who.Athlete), err
}

func (s *Store) mails(a roster.AthleteID) post.Mails {
	if m, ok := s.Mailed[a]; ok {
		return m
	}
	return post.Mails{Decisions: true, Gentle: true}
}

// SetMails keeps wishes.
func (s *Store) SetMails(_ context.Context, who roster.Actor, m post.Mails) error {
	return s.change(who, func() { s.Mailed[who.Athlete] = m })
}

// GentleWord is the club's.
func (s *Store) GentleWord(_ context.Context, club roster.ClubID) (post.GentleWord, error) {
	done, err := s.enter()
	defer done()
	return s.Gentle[club], err
}

// SetGentleWord keeps it.
func (s *Store) SetGentleWord(_ context.Context, who roster.Actor, g post.GentleWord) error {
	return s.change(who, func() { s.Gentle[who.Club] = g })
}

// WriteNow writes a letter about the week, unless there are too many.
func (s *Store) WriteNow(_ context.Context, who roster.Actor, key roster.Key, since time.Time, most int) (bool, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return false, err
	}
	if _, there := s.keys[fmt.Sprint("letter", who.Club, key)]; there {
		return true, nil
	}
	n := 0
	for _, l := range s.Letters {
		if l.Kind == post.WeeklyNow && l.Coach == who.Coach && l.MadeAt.After(since) {
			n++
		}
	}
	if n >= most {
		return false, nil
	}
	s.write(who, post.Letter{Kind: post.WeeklyNow, Coach: who.Coach, MadeAt: since.Add(time.Hour)}, key)
	return true, nil
}

// PastLetters are those about weeks.
func (s *Store) PastLetters(_ context.Context, who roster.Actor, most int) ([]post.Past, error) {
	done, err := s.enter()
	defer done()
	var past []post.Past
	for i := range s.Letters {
		if l := &s.Letters[i]; l.Club.ID == who.Club && l.Coach == who.Coach && (l.Kind == post.Weekly || l.Kind == post.WeeklyNow) {
			past = append(past, pastOf(l))
		}
	}
	slices.SortStableFunc(past, func(a, b post.Past) int {
		return cmp.Or(b.MadeAt.Compare(a.MadeAt), cmp.Compare(b.ID, a.ID))
	})
	return past[:min(most, len(past))], err
}

func pastOf(l *Letter) post.Past {
	p := post.Past{ID: l.ID, Kind: l.Kind, Week: l.Week, MadeAt: l.MadeAt, Dropped: l.Dropped, Subject: l.Content.Subject, Parts: len(l.Content.Parts) + l.Erased}
	if l.Done && l.Dropped == "" {
		p.SentAt = l.MadeAt.Add(time.Second)
	}
	return p
}

// PastLetter is one of them.
func (s *Store) PastLetter(ctx context.Context, who roster.Actor, id roster.LetterID) (post.Past, error) {
	past, err := s.PastLetters(ctx, who, len(s.Letters))
	for _, p := range past {
		if p.ID == id {
			return p, err
		}
	}
	return post.Past{}, cmp.Or(err, notFound())
}

// Stoppable finds somebody by StopSecret.
func (s *Store) Stoppable(_ context.Context, secret string, k post.Kind) (post.Stoppable, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return post.Stoppable{}, err
	}
	for id, p := range s.People {
		if secret != StopSecret(id, 0) {
			continue
		}
		c := s.wishes(id)
		on, gets := map[post.Kind]bool{post.Weekly: c.On, post.AtOnce: c.AtOnce}[k]
		if gets {
			return post.Stoppable{Person: post.Person{Club: p.Club, Coach: id}, Club: s.Clubs[p.Club], Kind: k, On: on}, nil
		}
	}
	for id, a := range s.Athletes {
		if secret != StopSecret(0, id) || !a.LeftAt.IsZero() {
			continue
		}
		w := s.mails(id)
		on, gets := map[post.Kind]bool{post.Decided: w.Decisions, post.Monday: w.Monday, post.Gentle: w.Gentle}[k]
		if gets {
			return post.Stoppable{Person: post.Person{Club: a.Club, Athlete: id}, Club: s.Clubs[a.Club], Kind: k, On: on}, nil
		}
	}
	return post.Stoppable{}, notFound()
}

// Stop keeps whether letters come.
func (s *Store) Stop(_ context.Context, of *post.Stoppable, on bool) error {
	return s.change(roster.Actor{Club: of.Person.Club, Coach: of.Coach, Athlete: of.Athlete}, func() {
		c, w := s.wishes(of.Coach), s.mails(of.Athlete)
		switch of.Kind {
		case post.Weekly:
			c.On = on
		case post.AtOnce:
			c.AtOnce = on
		case post.Decided:
			w.Decisions = on
		case post.Monday:
			w.Monday = on
		case post.Gentle:
			w.Gentle = on
		}
		if of.Coach != 0 {
			s.Wishes[of.Coach] = c
		} else {
			s.Mailed[of.Athlete] = w
		}
	})
}
