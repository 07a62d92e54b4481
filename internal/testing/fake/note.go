package fake

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// hears says whether the athlete is one of those who get letters of the kind.
func (s *Store) hears(a *roster.Athlete, k post.Kind) bool {
	m := s.mails(a.ID)
	wants := k == post.Monday && m.Monday || k == post.Gentle && m.Gentle && s.Gentle[a.Club].On
	return wants && a.Email != "" && a.MailRefused.IsZero() && a.LeftAt.IsZero()
}

// HearerZones are theirs.
func (s *Store) HearerZones(_ context.Context, k post.Kind) ([]string, error) {
	done, err := s.enter()
	defer done()
	var zones []string
	for _, a := range s.Athletes {
		if s.hears(&a, k) && !slices.Contains(zones, a.Zone) {
			zones = append(zones, a.Zone)
		}
	}
	return zones, err
}

// Hearers are by club and athlete.
func (s *Store) Hearers(_ context.Context, k post.Kind, zones []string, after post.Hearer, most int) ([]post.Hearer, error) {
	done, err := s.enter()
	defer done()
	var list []post.Hearer
	for _, a := range s.Athletes {
		later := a.Club > after.Club || a.Club == after.Club && a.ID > after.Athlete
		if later && s.hears(&a, k) && slices.Contains(zones, a.Zone) {
			list = append(list, post.Hearer{Club: a.Club, Athlete: a.ID, Zone: a.Zone})
		}
	}
	slices.SortFunc(list, func(a, b post.Hearer) int {
		if a.Club != b.Club {
			return int(a.Club - b.Club)
		}
		return int(a.Athlete - b.Athlete)
	})
	return list[:min(most, len(list))], err
}

// MaybeSilent are all about whom nothing was decided.
func (s *Store) MaybeSilent(_ context.Context, club roster.ClubID, of []roster.AthleteID, _, answered time.Time) ([]roster.AthleteID, error) {
	done, err := s.enter()
	defer done()
	if err == nil {
		err = s.Unplanned[club]
	}
	return slices.DeleteFunc(slices.Clone(of), func(id roster.AthleteID) bool {
		d := s.newest(id)
		return d != nil && !d.At.Before(answered)
	}), err
}

// WriteTo writes each once.
func (s *Store) WriteTo(_ context.Context, club roster.ClubID, k post.Kind, to []post.Addressed) (int, error) {
	done, err := s.enter()
	defer done()
	if err == nil {
		err = s.Unplanned[club]
	}
	before := len(s.Letters)
	for _, one := range to {
		if a := s.Athletes[one.Athlete]; err == nil && a.Arrival == roster.Here && a.Held == roster.NotHeld {
			s.write(roster.Actor{Club: club}, post.Letter{Kind: k, Athlete: one.Athlete, Week: one.Week}, one.Key)
		}
	}
	return len(s.Letters) - before, err
}
