package entry_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

func places(err error) []string {
	var list []string
	for _, f := range fault.FieldsOf(err) {
		list = append(list, f.Place)
	}
	return list
}

// walked is an extra session with the blocks.
func walked(date int, blocks ...readiness.Block) entry.Entry {
	return entry.Entry{
		Date: tuesday, Clock: readiness.Some(date), Kind: readiness.Extra, Minutes: readiness.Some(10), Effort: readiness.Some(2),
		Talk: readiness.Chat, Blocks: blocks,
	}
}

// Every row is somebody who is not here, or is: the way, whether a session is
// planned, and which sessions are taken.
func TestHowFarSomebodyHasComeIn(t *testing.T) {
	walk := readiness.Block{Kind: pathway.Walk, Planned: 600, Done: 600}
	run := readiness.Block{Kind: pathway.Run, Planned: 60, Done: 60}
	for _, row := range []struct {
		why     string
		arrival roster.Arrival
		held    roster.Held
		way     entry.Way
		walk    bool // an extra walk is taken
	}{
		{"nothing answered yet", roster.Invited, roster.NotHeld, entry.Invited, false},
		{"nobody ever said", "", roster.NotHeld, entry.Invited, false},
		{"answered: a first walk may be told of", roster.Answered, roster.NotHeld, entry.Answered, true},
		{"a doctor's word is waited for", roster.Answered, roster.Referred, entry.Clearance, false},
		{"referred before the answers are in", roster.Invited, roster.Referred, entry.Invited, false},
		{"the consent was taken back", roster.Withdrawn, roster.NotHeld, entry.Withdrawn, false},
		{"taken back while referred", roster.Withdrawn, roster.Referred, entry.Withdrawn, false},
		{"here, and referred: what was done is told of all the same", roster.Here, roster.Referred, entry.Referred, true},
		{"here", roster.Here, roster.NotHeld, entry.Going, true},
	} {
		t.Run(row.why, func(t *testing.T) {
			s := newScene(t, lisbon, "2026-04-14 18:00")
			s.athlete.Arrival, s.athlete.Held, s.athlete.HeldSince = row.arrival, row.held, tuesday
			today := s.today(t)
			require.Equal(t, row.way, today.Way)
			require.Equal(t, row.way == entry.Going, len(today.Plan) > 0)

			_, err := s.log(walked(600, walk))
			taken := func(err error, want bool, what string) {
				if want {
					require.NoError(t, err, what)
				} else {
					require.Equal(t, []string{"kind"}, places(err), what)
				}
			}
			taken(err, row.walk, "a walk")
			here := row.arrival == roster.Here
			_, err = s.log(walked(660, walk, run))
			taken(err, here, "a walk with a run in it")
			_, err = s.log(whole(tuesday-1, 420))
			taken(err, here, "a planned session")
			_, err = s.log(entry.Entry{Date: tuesday, Kind: readiness.Strength, Minutes: readiness.Some(20)})
			taken(err, here, "strength")
		})
	}
}

// What was told of cannot be made into something that is not taken.
func TestAFirstWalkIsNotCorrectedIntoARun(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 18:00")
	s.athlete.Arrival = roster.Answered
	kept, err := s.log(walked(600))
	require.NoError(t, err)
	e := whole(tuesday, 600)
	_, err = s.use.Correct(t.Context(), s.who, 3, kept.ID, 1, e)
	require.Equal(t, []string{"kind"}, places(err))
	e = walked(600)
	e.Effort = readiness.Some(3)
	_, err = s.use.Correct(t.Context(), s.who, 3, kept.ID, 1, e)
	require.NoError(t, err)
}

func TestNothingNewIsKeptAfterTheConsentWasTakenBack(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-13 18:00")
	e := whole(tuesday-1, 420)
	e.Pain = []readiness.Pain{{Site: "shin", Score: 2}}
	kept, err := s.log(e)
	require.NoError(t, err)
	s.now = s.now.Add(24 * time.Hour)
	require.NotEmpty(t, s.today(t).FollowUps)
	s.athlete.Arrival = roster.Withdrawn
	require.Empty(t, s.today(t).FollowUps, "nothing more is asked")
	_, err = s.use.NextMorning(t.Context(), s.who, s.athlete.ID, kept.ID, []entry.Morning{{Site: "shin", Score: readiness.Some(1)}})
	require.Equal(t, []string{"next_morning"}, places(err))
	require.NoError(t, func() error { _, err := s.use.Delete(t.Context(), s.who, s.athlete.ID, kept.ID, 1); return err }(), "taking away is always possible")
}

func TestTheLimitsOfAClearance(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	require.Empty(t, s.today(t).Limits.Limits)
	s.cleared = &roster.Clearance{GivenOn: tuesday - 3, GivenBy: "Dr Aune"}
	require.Equal(t, roster.Clearance{}, s.today(t).Limits, "cleared without limits: nothing to keep to")
	s.cleared.Limits = "Nothing uphill."
	require.Equal(t, *s.cleared, s.today(t).Limits)
}
