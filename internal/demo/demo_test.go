package demo_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/demo"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/internal/testing/fake"
)

// tuesday is an ordinary day.
var tuesday = time.Date(2026, time.April, 14, 8, 30, 0, 0, time.UTC)

func deps(m *memory, zone string) demo.Deps {
	return demo.Deps{Store: m, Hasher: &fake.Hasher{}, Random: &fake.Random{}, Zone: zone}
}

// filled is a demo in memory, and the roster of the moment.
func filled(t *testing.T, zone string, now time.Time) (*memory, *morning.Morning, demo.Guests) {
	t.Helper()
	m := newMemory()
	guests, err := demo.Fill(context.Background(), deps(m, zone), now)
	require.NoError(t, err)
	return m, m.roster(t, now), guests
}

func (m *memory) club(t *testing.T) roster.Club {
	t.Helper()
	require.Len(t, m.Clubs, 1)
	for _, c := range m.Clubs {
		return c
	}
	return roster.Club{}
}

func (m *memory) roster(t *testing.T, now time.Time) *morning.Morning {
	t.Helper()
	use := morning.Service{Store: m, Now: func() time.Time { return now }}
	seen, err := use.Roster(context.Background(), m.club(t), roster.Actor{Club: m.club(t).ID, Coach: 1}, false)
	require.NoError(t, err)
	return seen
}

func TestNothingHappensOnTheDayOfTheRunOrOutOfOrder(t *testing.T) {
	m, seen, _ := filled(t, "", tuesday)
	place, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	midnight := seen.Asked.Start(place)
	total := 0
	for id, sessions := range m.sessions {
		var before time.Time
		for i := range sessions {
			s := &sessions[i]
			total++
			require.True(t, s.LoggedAt.Before(midnight) && s.ChangedAt.Before(tuesday))
			require.False(t, s.LoggedAt.Before(s.StartedAt), "told before it was done")
			require.Equal(t, s.Date, day.Of(s.StartedAt, place))
			require.False(t, s.LoggedAt.Before(before), "told in the order of time")
			before = s.LoggedAt
		}
		for _, d := range m.decisions[id] {
			require.True(t, d.At.Before(midnight))
			require.Equal(t, d.AsOf, day.Of(d.At, place))
			require.NotEmpty(t, d.Verdict)
		}
	}
	require.Greater(t, total, 600, "about twelve weeks of a whole club")
}

func TestTheHistoryHoldsAllThatCoachesDo(t *testing.T) {
	m, _, _ := filled(t, "", tuesday)
	count, reasons, words, by := map[roster.Choice]int{}, 0, 0, map[roster.CoachID]int{}
	for _, all := range m.decisions {
		for _, d := range all {
			count[d.Choice]++
			by[d.Coach]++
			if d.Reason != "" {
				reasons++
			}
			if d.Word != "" {
				words++
			}
		}
	}
	for _, choice := range []roster.Choice{
		roster.MoveUp, roster.Hold, roster.HalfStep, roster.EaseBack, roster.Pause, roster.Resume, roster.Refer, roster.Cleared, roster.Seen,
	} {
		require.NotZero(t, count[choice], choice)
	}
	require.Greater(t, count[roster.MoveUp], count[roster.Hold], "mostly the proposal is followed")
	require.Greater(t, reasons, 5, "some depart from the proposal and say why")
	require.Greater(t, words, 50)
	require.Len(t, by, 2, "two coaches")
	require.Len(t, m.Athletes, 30)
	require.Greater(t, len(m.Written), 8)
}

// Three are coming in: one whose answers wait for a coach, one for whom a doctor is
// asked first, one who has not answered yet.
func TestNewcomersAreComingIn(t *testing.T) {
	m, seen, _ := filled(t, "", tuesday)
	var kinds []morning.ComingKind
	for _, row := range seen.Coming {
		kinds = append(kinds, row.Coming.Kind)
		require.Empty(t, m.sessions[row.Athlete.ID], row.Athlete.Name)
		require.Less(t, row.Coming.Since, seen.Asked, "nothing happens on the day of the run")
	}
	require.Equal(t, []morning.ComingKind{morning.Waiting, morning.Clearing, morning.Invited}, kinds)
	use := join.Service{Store: m, Now: func() time.Time { return tuesday }}
	waiting, err := use.Review(context.Background(), roster.Actor{Club: seen.Coming[0].Athlete.Club, Coach: 1}, seen.Coming[0].Athlete.ID)
	require.NoError(t, err)
	require.Equal(t, screening.NotNeeded, waiting.Result.Advice)
	require.False(t, waiting.HeartUsable, "a beta blocker")
	require.Equal(t, "B4", waiting.Phase, "walks with ease, and an ankle was hurt: one phase lower")
}

// Some who are here have answered the health questions, and a coach has looked; one
// came back from an injury, and the answers wait for a look. Whoever takes tablets
// that keep the pulse down has a heart rate that says nothing, as the answers say.
func TestHealthIsKnownOfSomeWhoAreHere(t *testing.T) {
	m, seen, _ := filled(t, "", tuesday)
	use := join.Service{Store: m, Now: func() time.Time { return tuesday }}
	usable, waiting := map[string]bool{}, map[string]bool{}
	for _, rows := range [][]*morning.Row{seen.Decide, seen.Steady, seen.Quiet, seen.Away} {
		for _, r := range rows {
			state, err := use.State(context.Background(), roster.Actor{Club: r.Athlete.Club, Coach: 1}, r.Athlete.ID)
			require.NoError(t, err)
			if state.Check.Source == roster.FromPaper {
				continue
			}
			require.True(t, state.Agreed, r.Athlete.Name)
			require.Equal(t, screening.NotNeeded, state.Result.Advice, r.Athlete.Name)
			require.Less(t, state.Check.HandedOn, seen.Asked, r.Athlete.Name)
			if r.Athlete.CheckSince != 0 {
				require.True(t, state.Check.SeenAt.IsZero())
				waiting[r.Athlete.Name] = state.Fresh && r.Why == morning.WhyEaseBack
				continue
			}
			require.False(t, state.Check.SeenAt.IsZero(), r.Athlete.Name)
			require.Equal(t, state.Result.Heart.Usable, r.Athlete.HeartUsable, r.Athlete.Name)
			usable[r.Athlete.Name] = r.Athlete.HeartUsable
		}
	}
	require.Equal(t, map[string]bool{"Xiomara Dekker": true}, waiting)
	require.Equal(t, map[string]bool{
		"Ilse Nakagawa": true, "Dafydd Osei": false, "Priya Vandenberg": true, "Greta Mwangi": true, "Anatoly Quispe": false,
	}, usable)
}

// Somebody is ill at home.
func TestSomebodyIsIll(t *testing.T) {
	_, seen, _ := filled(t, "", tuesday)
	var kinds []roster.LeaveKind
	for _, r := range seen.Away {
		kinds = append(kinds, r.Away.Leave)
	}
	require.Contains(t, kinds, roster.Ill)
}

func TestGuestsComeIn(t *testing.T) {
	m, seen, guests := filled(t, "", tuesday)
	require.False(t, guests.Again)
	doors := access.Service{Store: m, Hasher: &fake.Hasher{}, Random: &fake.Random{}, Now: func() time.Time { return tuesday }}
	in, err := doors.SignIn(context.Background(), access.Attempt{Email: guests.Email, Password: guests.Password})
	require.NoError(t, err)
	v, err := doors.Visitor(context.Background(), in.Token)
	require.NoError(t, err)
	require.True(t, v.IsOwner() && v.Club.Demo)
	require.Equal(t, guests.Club, v.Club.Name)

	opened, err := doors.Enter(context.Background(), guests.Link.Code, "key-of-the-form", "")
	require.NoError(t, err)
	guide := m.Athletes[opened.Login.Athlete]
	require.Equal(t, guests.Athlete, guide.Name)
	for _, r := range seen.Decide {
		require.NotEqual(t, guide.ID, r.Athlete.ID, "there is something left to do")
	}
}

// The next good session of the athlete whose link is handed out opens the gate.
func TestTheGuestsSessionOpensTheGate(t *testing.T) {
	m, _, guests := filled(t, "", tuesday)
	for _, a := range m.Athletes {
		if a.Name != guests.Athlete {
			continue
		}
		phone := entry.Service{Store: m, Now: func() time.Time { return tuesday }}
		_, err := phone.Log(context.Background(), roster.Actor{Club: a.Club, Athlete: a.ID}, a.ID, entry.Entry{
			Key: "a-guest-tries-it", Date: day.Of(tuesday, time.UTC), Clock: readiness.Some(7 * 60), Whole: true,
			Effort: readiness.Some(4), Talk: readiness.Sentence, Breath: readiness.Early, PainAsked: true,
		})
		require.NoError(t, err)
	}
	for _, r := range m.roster(t, tuesday).Decide {
		if r.Athlete.Name == guests.Athlete {
			require.Equal(t, readiness.MoveUp, r.Verdict.Action)
			return
		}
	}
	require.Fail(t, "nobody has to decide about the guest")
}

func TestAWholeDemoStaysAsItIs(t *testing.T) {
	m, _, first := filled(t, "", tuesday)
	writes, changes := m.writes, len(m.Audit)
	again, err := demo.Fill(context.Background(), deps(m, ""), tuesday.AddDate(0, 0, 3))
	require.NoError(t, err)
	require.True(t, again.Again)
	require.Equal(t, first.Athlete, again.Athlete)
	require.NotEqual(t, first.Link.Code, again.Link.Code, "the link is a fresh one")
	require.Equal(t, writes, m.writes)
	require.Len(t, m.Audit, changes+1, "the link is all that changed")
	require.Len(t, m.Athletes, 30)
}

// Whenever the filling is broken off, the next one finishes it, even days later, to
// the same club.
func TestWhatWasBrokenOffIsFinished(t *testing.T) {
	want, _, _ := filled(t, "", tuesday)
	should := want.kept()
	for _, most := range []int{1, 7, 100, 333, 700, want.writes - 1} {
		m := newMemory()
		m.most = most
		_, err := demo.Fill(context.Background(), deps(m, ""), tuesday)
		require.Equal(t, fault.Unavailable, fault.KindOf(err))
		m.most = 0
		guests, err := demo.Fill(context.Background(), deps(m, ""), tuesday.AddDate(0, 0, 2))
		require.NoError(t, err, "after %d writes", most)
		require.False(t, guests.Again)
		sameLives(t, should, m.kept())
	}
}

// sameLives asks line by line: a whole difference would fill pages.
func sameLives(t *testing.T, want, got map[string][]string) {
	t.Helper()
	require.Len(t, got, len(want))
	for name, lines := range want {
		require.Len(t, got[name], len(lines), name)
		for i := range lines {
			require.Equal(t, lines[i], got[name][i], name)
		}
	}
}

// kept is everything that is kept, by name, a line each, without the numbers given
// by chance of who was first.
func (m *memory) kept() map[string][]string {
	all := map[string][]string{}
	for id, a := range m.Athletes {
		var lines []string
		for _, s := range m.sessions[id] {
			s.ID, s.Athlete, s.Version, s.Turn, s.Lifts = 0, 0, 0, "", nil // lifts are read by themselves
			s.StartedAt, s.LoggedAt, s.ChangedAt = s.StartedAt.UTC(), s.LoggedAt.UTC(), s.ChangedAt.UTC()
			lines = append(lines, fmt.Sprintf("%+v", s))
		}
		slices.Sort(lines)
		for _, r := range m.pulses.recordings[id] {
			lines = append(lines, fmt.Sprint(r.Started.UTC(), r.AddedAt.UTC(), r.Format, r.Digest, r.Reading, r.Ceiling, r.Hard, r.Rules))
		}
		for _, n := range m.pulses.measurements[id] {
			lines = append(lines, fmt.Sprint(n.On, n.Kind, n.BPM, n.Stages))
		}
		for _, d := range m.decisions[id] {
			lines = append(lines, fmt.Sprint(d.Choice, d.AsOf, d.At.UTC(), d.To, d.Reason, d.Word))
		}
		all[a.Name] = append(lines, fmt.Sprint(a.Phase, a.PhaseSince, a.Held, a.ClearedAt.UTC(), a.JoinedOn, a.CoachWord))
	}
	return all
}

// Somebody has left and is erased before long; a note is private; whoever looks at
// Priya's page finds who looked.
func TestWhatIsKeptOfPeopleIsThereToBeSeen(t *testing.T) {
	m, _, _ := filled(t, "", tuesday)
	use := privacy.Service{Store: m, Now: func() time.Time { return tuesday }}
	marta := roster.Actor{Club: m.club(t).ID, Coach: 1}
	ending, err := use.Ending(context.Background(), marta)
	require.NoError(t, err)
	require.Len(t, ending, 1)
	require.Equal(t, "Ottoline Vieira", ending[0].Athlete.Name)
	require.True(t, ending[0].Until.After(tuesday.AddDate(0, 0, 7)), "and not so soon that nobody sees it")
	require.NotEmpty(t, m.Looked)
	require.True(t, slices.ContainsFunc(m.Written, func(n roster.Note) bool { return n.Private }))
	done, err := use.Daily(context.Background())
	require.NoError(t, err)
	require.Zero(t, done, "nobody yet")
	use.Now = func() time.Time { return tuesday.AddDate(0, 1, 0) }
	done, err = use.Daily(context.Background())
	require.NoError(t, err)
	require.Equal(t, privacy.Done{Left: 1}, done)
	again, err := demo.Fill(context.Background(), deps(m, ""), tuesday.AddDate(0, 1, 0))
	require.NoError(t, err)
	require.True(t, again.Again, "whoever was erased does not come back")
	require.Len(t, m.Athletes, 29)
}

func TestAClubOfRealPeopleIsLeftAlone(t *testing.T) {
	for name, email := range map[string]string{"another coach": "ana@example.org", "a coach of the same address": demo.Email} {
		m := newMemory()
		m.Begin("Harbour club", email, fake.HashOf("long enough"))
		_, err := demo.Fill(context.Background(), deps(m, ""), tuesday)
		require.Equal(t, fault.Conflict, fault.KindOf(err), name)
		require.NotEmpty(t, fault.MessageOf(err))
		require.Empty(t, m.Audit, name)
		require.Empty(t, m.Athletes, name)
		require.Len(t, m.People, 1, name)
	}
}

func TestAStoppedFillSaysWhere(t *testing.T) {
	m := newMemory()
	m.most = 40
	_, err := demo.Fill(context.Background(), deps(m, ""), tuesday)
	require.ErrorContains(t, err, "days before the run")
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err = demo.Fill(ctx, deps(newMemory(), ""), tuesday)
	require.ErrorIs(t, err, context.Canceled)
}

// Some train for strength: the programme was given by a coach, the sessions go on by the
// rule, and are load like any other.
func TestSomeTrainForStrength(t *testing.T) {
	m, _, _ := filled(t, "", tuesday)
	use := lift.Service{Store: m, Now: func() time.Time { return tuesday }}
	trained := 0
	for id, a := range m.Athletes {
		today, err := use.Today(context.Background(), roster.Actor{Club: a.Club, Coach: 1}, id, false)
		require.NoError(t, err)
		if !today.Has() {
			require.Empty(t, today.Lifted, a.Name)
			continue
		}
		trained++
		require.Greater(t, len(today.Lifted), 6, a.Name)
		require.NotEmpty(t, today.Lines, a.Name)
		heaviest := 0
		for _, l := range today.Lifted {
			require.NotEmpty(t, l.Lifts)
			for _, one := range l.Lifts {
				heaviest = max(heaviest, one.Grams)
			}
		}
		require.Positive(t, heaviest, a.Name)
	}
	require.Equal(t, 3, trained)
}
