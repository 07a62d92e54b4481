package decide_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Every row is a clearance as a coach fills it in, seen on Tuesday.
func TestWhatAClearanceSays(t *testing.T) {
	for _, row := range []struct {
		why    string
		given  roster.Clearance
		places []string
	}{
		{"nothing of it", roster.Clearance{}, []string{"given_on", "given_by"}},
		{"without a day", roster.Clearance{GivenBy: "Dr Aune"}, []string{"given_on"}},
		{"tomorrow's", roster.Clearance{GivenOn: tuesday + 1, GivenBy: "Dr Aune"}, []string{"given_on"}},
		{"more than a year old", roster.Clearance{GivenOn: tuesday - 367, GivenBy: "Dr Aune"}, []string{"given_on"}},
		{"a year old", roster.Clearance{GivenOn: tuesday - 366, GivenBy: "Dr Aune"}, nil},
		{"today's", roster.Clearance{GivenOn: tuesday, GivenBy: "Dr Aune"}, nil},
		{"by nobody", roster.Clearance{GivenOn: tuesday, GivenBy: " \t"}, []string{"given_by"}},
		{"by a name of a page", roster.Clearance{GivenOn: tuesday, GivenBy: strings.Repeat("x", 81)}, []string{"given_by"}},
		{"limits of a book", roster.Clearance{GivenOn: tuesday, GivenBy: "Dr Aune", Limits: strings.Repeat("x", 2001)}, []string{"limits"}},
		{"with limits", roster.Clearance{GivenOn: tuesday, GivenBy: "Dr Aune", Limits: strings.Repeat("x", 2000)}, nil},
	} {
		s := newScene(t)
		a := s.on(3, "L3")
		a.Held, a.HeldSince = roster.Referred, tuesday-3
		d, err := s.ask(3, roster.Cleared, clearedBy(row.given))
		require.Equal(t, row.places, placesOf(err), row.why)
		if row.places == nil {
			require.NoError(t, err, row.why)
			require.Equal(t, row.given, d.Clearance, row.why)
			require.Equal(t, roster.NotHeld, a.Held, row.why)
		} else {
			require.Equal(t, roster.Referred, a.Held, row.why)
		}
	}
}

func TestAClearanceBelongsToItsChoice(t *testing.T) {
	s := newScene(t)
	s.on(3, "L3", ready("L3")...)
	d, err := s.ask(3, roster.MoveUp, clearedBy(roster.Clearance{GivenOn: tuesday, GivenBy: "Dr Aune"}))
	require.NoError(t, err)
	require.Zero(t, d.Clearance, "what was typed into other fields of the form")
}

// Of a sign that the engine saw, without a coach's referral.
func TestASignIsClearedByNameToo(t *testing.T) {
	s := newScene(t)
	s.on(3, "L3", sign(readiness.Faint)...)
	_, err := s.ask(3, roster.Cleared, because("she feels well"))
	require.Equal(t, []string{"given_on", "given_by"}, placesOf(err))
}

func TestNothingIsDecidedBeforeSomebodyIsHere(t *testing.T) {
	for _, arrival := range []roster.Arrival{roster.Invited, roster.Answered, roster.Withdrawn, ""} {
		s := newScene(t)
		a := s.on(3, "L3", ready("L3")...)
		a.Arrival = arrival
		for _, choice := range []roster.Choice{roster.MoveUp, roster.Hold, roster.EaseBack, roster.Pause, roster.Refer, roster.Seen, roster.Resume} {
			_, err := s.ask(3, choice, because("why not"))
			require.Equal(t, fault.Conflict, fault.KindOf(err), "%s of somebody %s", choice, arrival)
			require.Contains(t, fault.MessageOf(err), "still coming in")
		}
		a.Held, a.HeldSince = roster.Referred, tuesday
		_, err := s.ask(3, roster.Cleared, clearedBy(roster.Clearance{GivenOn: tuesday, GivenBy: "Dr Aune"}))
		require.NoError(t, err, "a clearance is what they wait for")
		require.Equal(t, "L3", a.Phase)
	}
}

func TestWhoIsComingInIsLeftAloneWhenOthersAreSettled(t *testing.T) {
	s, picks := ripe(t)
	s.athletes[4].Arrival = roster.Answered
	settled, err := s.use.Settle(ctx, coach, roster.MoveUp, "", picks)
	require.NoError(t, err)
	require.Empty(t, settled[0].Left)
	require.Contains(t, settled[1].Left, "still coming in")
}
