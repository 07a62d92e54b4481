package demo_test

import (
	"context"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/demo"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
	"halfhour.app/halfhour/internal/testing/pgtest"
)

func TestMain(m *testing.M) { os.Exit(pgtest.Main(m, postgres.Migrate)) }

func store(t testing.TB, now time.Time) *postgres.Store {
	t.Helper()
	db, err := postgres.Open(t.Context(), pgtest.New(t).AppURL, postgres.Options{Now: func() time.Time { return now }})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	return db.Store()
}

func inDatabase(s *postgres.Store) demo.Deps {
	return demo.Deps{Store: s, Hasher: &fake.Hasher{}, Random: &fake.Random{}}
}

// The real store: everybody is where the stories say, everything stored can be
// read again and is what a store in memory holds, and a second run changes nothing.
func TestADatabaseIsFilled(t *testing.T) {
	s := store(t, tuesday)
	deps := inDatabase(s)
	guests, err := demo.Fill(t.Context(), deps, tuesday)
	require.NoError(t, err)
	club := clubOf(t, s)
	require.Equal(t, guests.Club, club.Name)

	use := morning.Service{Store: s, Now: func() time.Time { return tuesday }}
	seen, err := use.Roster(t.Context(), club, roster.Actor{Club: club.ID, Coach: 1}, false)
	require.NoError(t, err)
	require.Equal(t, told, found(seen))

	want, _, _ := filled(t, "", tuesday)
	sameLives(t, want.kept(), inMemoryOf(t, s, club, seen).kept())
	again, err := demo.Fill(t.Context(), deps, tuesday.AddDate(0, 0, 1))
	require.NoError(t, err)
	require.True(t, again.Again)
}

func clubOf(t testing.TB, s *postgres.Store) roster.Club {
	t.Helper()
	known, err := s.ByEmail(t.Context(), demo.Email)
	require.NoError(t, err)
	club, err := s.Club(t.Context(), known.Club)
	require.NoError(t, err)
	return club
}

// inMemoryOf reads everything back, as the page of each athlete does.
func inMemoryOf(t *testing.T, s *postgres.Store, club roster.Club, seen *morning.Morning) *memory {
	t.Helper()
	m := newMemory()
	use := morning.Service{Store: s, Now: func() time.Time { return tuesday }}
	for _, rows := range [][]*morning.Row{seen.Decide, seen.Steady, seen.Quiet, seen.Away, seen.Coming} {
		for _, r := range rows {
			require.Equal(t, r.Print, m.recall(t, s, &use, club, r.Athlete.ID).Print, "the roster and the page agree")
		}
	}
	gone, err := s.Gone(t.Context(), club.ID)
	require.NoError(t, err)
	for _, a := range gone {
		m.recall(t, s, &use, club, a.ID)
	}
	return m
}

// recall puts one athlete into memory as the page reads them.
func (m *memory) recall(t *testing.T, s *postgres.Store, use *morning.Service, club roster.Club, id roster.AthleteID) *morning.Portrait {
	t.Helper()
	p, err := use.Athlete(t.Context(), club.ID, id)
	require.NoError(t, err)
	m.Athletes[id] = *p.Athlete
	m.pulses.recordings[id], err = s.Recordings(t.Context(), club.ID, id)
	require.NoError(t, err)
	slices.Reverse(m.pulses.recordings[id])
	m.pulses.measurements[id], err = s.Measurements(t.Context(), club.ID, id)
	require.NoError(t, err)
	for i := range p.Sessions {
		m.sessions[id] = append(m.sessions[id], p.Sessions[len(p.Sessions)-1-i])
	}
	for i := range p.Decisions {
		m.decisions[id] = append(m.decisions[id], p.Decisions[len(p.Decisions)-1-i])
	}
	return p
}

// BenchmarkFill is a whole demo in an empty database, but for the hashing of its two
// passwords.
func BenchmarkFill(b *testing.B) {
	for b.Loop() {
		b.StopTimer()
		s := store(b, tuesday)
		b.StartTimer()
		if _, err := demo.Fill(context.Background(), inDatabase(s), tuesday); err != nil {
			b.Fatal(err)
		}
	}
}
