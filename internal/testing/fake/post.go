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

var (
	_ post.Store   = (*Store)(nil)
	_ post.Readers = (*Store)(nil)
)

// Letter is one letter as it is kept here; nobody sends it but the test.
type Letter struct {
	post.Letter
	Dropped post.Why
	Content post.Content
	Erased  int // parts of it that went with whom they were about
}

// Send adds a letter of any kind, as if another use case had written it.
func (s *Store) Send(l post.Letter) roster.LetterID {
	s.mu.Lock()
	defer s.mu.Unlock()
	l.ID = roster.LetterID(s.next())
	s.Letters = append(s.Letters, Letter{Letter: l})
	return l.ID
}

// AskWayIn notes the people who have the address, nobody included.
func (s *Store) AskWayIn(_ context.Context, email string) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	var people []post.Person
	for _, p := range s.People {
		if p.Email == email {
			people = append(people, post.Person{Club: p.Club, Coach: p.ID})
		}
	}
	for _, a := range s.Athletes {
		if a.Email != "" && a.Email == email && a.LeftAt.IsZero() {
			people = append(people, post.Person{Club: a.Club, Athlete: a.ID})
		}
	}
	s.AskedIn = append(s.AskedIn, people)
	return nil
}

// Write keeps a letter.
func (s *Store) Write(_ context.Context, who roster.Actor, k post.Kind, to roster.AthleteID, address string, key roster.Key) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if to != 0 {
		if _, err := s.athlete(who.Club, to); err != nil {
			return err
		}
	}
	l := post.Letter{Kind: k, Athlete: to, Address: address, By: s.People[who.Coach].Name}
	if k == post.NewAddress {
		l.Coach = who.Coach
	}
	s.write(who, l, key)
	return nil
}

func (s *Store) write(who roster.Actor, l post.Letter, key roster.Key) {
	id, again := s.once("letter", who.Club, key)
	if again {
		return
	}
	l.ID, l.Club = roster.LetterID(id), s.Clubs[who.Club]
	s.Letters = append(s.Letters, Letter{Letter: l})
	s.Audit = append(s.Audit, who)
}

// WaysIn keeps a letter for each.
func (s *Store) WaysIn(_ context.Context, people []post.Person, key roster.Key) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	for i, p := range people {
		s.write(roster.Actor{Club: p.Club}, post.Letter{Kind: post.WayIn, Coach: p.Coach, Athlete: p.Athlete}, roster.Key(fmt.Sprintf("%s-%d", key, i)))
	}
	return nil
}

// Letter gives one letter, with what is known of the person now.
func (s *Store) Letter(_ context.Context, club roster.ClubID, id roster.LetterID) (post.Letter, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return post.Letter{}, err
	}
	at := s.letter(club, id)
	if at < 0 {
		return post.Letter{}, notFound()
	}
	l := s.Letters[at].Letter
	if a, ok := s.Athletes[l.Athlete]; ok && a.LeftAt.IsZero() && l.Coach == 0 {
		l.Name, l.Address, l.Refused, l.Stop = a.Name, a.Email, !a.MailRefused.IsZero(), StopSecret(0, a.ID)
	}
	if p, ok := s.People[l.Coach]; ok {
		l.Name, l.Present, l.Refused, l.Stop = p.Name, p.Email, !p.MailRefused.IsZero(), StopSecret(p.ID, 0)
		l.Address = cmp.Or(l.Address, p.Email)
	}
	c, w := s.wishes(l.Coach), s.mails(l.Athlete)
	on, may := map[post.Kind]bool{
		post.Weekly: c.On, post.AtOnce: c.AtOnce, post.Decided: w.Decisions, post.Monday: w.Monday, post.Gentle: w.Gentle && s.Gentle[club].On,
	}[l.Kind]
	l.Unwanted = may && !on
	return l, nil
}

// Reader is a coach as letters know one.
func (s *Store) Reader(_ context.Context, club roster.ClubID, coach roster.CoachID) (post.Reader, error) {
	done, err := s.enter()
	defer done()
	p, ok := s.People[coach]
	if err == nil && (!ok || p.Club != club) {
		err = notFound()
	}
	return post.Reader{Club: s.Clubs[club], Coach: p.Coach, Wishes: s.wishes(coach), Stop: StopSecret(coach, 0)}, err
}

// wishes are what the coach wants: what was said, else what everybody gets at first.
func (s *Store) wishes(coach roster.CoachID) roster.Wishes {
	if w, told := s.Wishes[coach]; told {
		return w
	}
	return roster.Wishes{On: true, Day: 7, Hour: 18, Detail: roster.Initials, AtOnce: true}
}

// Compose keeps what stands in a letter, once.
func (s *Store) Compose(_ context.Context, club roster.ClubID, id roster.LetterID, c post.Content, at time.Time) error {
	done, err := s.enter()
	defer done()
	if i := s.letter(club, id); err == nil && i >= 0 && s.Letters[i].ComposedAt.IsZero() {
		s.Letters[i].ComposedAt, s.Letters[i].Content = at, c
	}
	return err
}

// Content is what is kept of a letter.
func (s *Store) Content(_ context.Context, club roster.ClubID, id roster.LetterID) (post.Content, error) {
	done, err := s.enter()
	defer done()
	if i := s.letter(club, id); err == nil && i >= 0 {
		return s.Letters[i].Content, nil
	}
	return post.Content{}, err
}

// Due are those of Weekly whose time has come.
func (s *Store) Due(_ context.Context, at time.Time, after post.Due, most int) ([]post.Due, error) {
	done, err := s.enter()
	defer done()
	var due []post.Due
	for _, d := range s.Weekly {
		if d.Next.After(at) || d.Club < after.Club || d.Club == after.Club && d.Coach <= after.Coach || len(due) == most {
			continue
		}
		due = append(due, d)
	}
	return due, err
}

// Plan writes letters and moves their coaches on.
func (s *Store) Plan(_ context.Context, club roster.ClubID, plans []post.Plan) (int, error) {
	done, err := s.enter()
	defer done()
	if err != nil || s.Unplanned[club] != nil {
		return 0, cmp.Or(err, s.Unplanned[club])
	}
	before := len(s.Letters)
	for _, p := range plans {
		at := slices.Index(s.Weekly, p.Due)
		if at < 0 {
			continue
		}
		if p.Week != 0 {
			s.write(roster.Actor{Club: club}, post.Letter{Kind: post.Weekly, Coach: p.Coach, Week: p.Week}, roster.Key(fmt.Sprintf("weekly-%d-%s", p.Coach, p.Week)))
		}
		s.Weekly[at].Next = p.To
	}
	return len(s.Letters) - before, nil
}

// letter is the place of a letter, or -1.
func (s *Store) letter(club roster.ClubID, id roster.LetterID) int {
	for i := range s.Letters {
		if s.Letters[i].ID == id && s.Letters[i].Club.ID == club {
			return i
		}
	}
	return -1
}

// Sent notes that the letter was sent.
func (s *Store) Sent(_ context.Context, club roster.ClubID, id roster.LetterID) error {
	return s.end(club, id, "", "")
}

// Drop notes that it will not be.
func (s *Store) Drop(_ context.Context, club roster.ClubID, id roster.LetterID, why post.Why) error {
	return s.end(club, id, why, "")
}

// Refuse is Drop because the address was refused.
func (s *Store) Refuse(_ context.Context, club roster.ClubID, id roster.LetterID, address string) error {
	return s.end(club, id, post.Refused, address)
}

func (s *Store) end(club roster.ClubID, id roster.LetterID, why post.Why, refused string) error {
	done, err := s.enter()
	defer done()
	if at := s.letter(club, id); err == nil && at >= 0 && !s.Letters[at].Done {
		s.Letters[at].Done, s.Letters[at].Dropped = true, why
		if a, ok := s.Athletes[s.Letters[at].Athlete]; ok && refused != "" && a.Email == refused && s.Letters[at].Coach == 0 {
			a.MailRefused = s.Letters[at].MadeAt
			s.Athletes[a.ID] = a
		}
		if p, ok := s.People[s.Letters[at].Coach]; ok && refused != "" && p.Email == refused {
			p.MailRefused = s.Letters[at].MadeAt
			s.People[p.ID] = p
		}
	}
	return err
}

// ForgetLetters removes old ones.
func (s *Store) ForgetLetters(_ context.Context, club roster.ClubID, before, weekly time.Time) (int, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	all := len(s.Letters)
	s.Letters = slices.DeleteFunc(s.Letters, func(l Letter) bool {
		if l.Kind == post.Weekly {
			return l.Club.ID == club && l.MadeAt.Before(weekly)
		}
		return l.Club.ID == club && l.MadeAt.Before(before)
	})
	return all - len(s.Letters), nil
}

// LettersThere are those that were not removed.
func (s *Store) LettersThere(_ context.Context, club roster.ClubID, of []roster.LetterID) ([]post.Stamp, error) {
	done, err := s.enter()
	defer done()
	var there []post.Stamp
	for _, id := range of {
		if at := s.letter(club, id); at >= 0 {
			there = append(there, post.Stamp{ID: id, MadeAt: s.Letters[at].MadeAt})
		}
	}
	return there, err
}
