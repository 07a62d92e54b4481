package morning_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// weekly asks as mara, for everybody.
func (s *scene) weekly(t *testing.T, asOf day.Date) *morning.Weekly {
	t.Helper()
	w, err := s.use.Weekly(context.Background(), club, mara, true, asOf)
	require.NoError(t, err)
	return w
}

// moves keeps a decision, so many days ago at nine in the evening, and puts the
// athlete where it leads.
func (s *scene) moves(f *roster.File, ago day.Date, choice roster.Choice, to string) *roster.Decision {
	f = &s.files[f.Athlete.ID-1] // where it is by now
	d := roster.Decision{
		ID: roster.DecisionID(len(s.decisions) + 1), Athlete: f.Athlete.ID, By: "Mara", Choice: choice, To: to,
		At: s.now.Add(-time.Duration(ago) * 24 * time.Hour), Before: f.Athlete.Standing, After: f.Athlete.Standing,
	}
	if d.After.Phase != to {
		d.After.Phase, d.After.PhaseSince = to, tuesday-ago
	}
	f.Athlete.Standing = d.After
	f.Newest = &d
	s.decisions = append([]roster.Decision{d}, s.decisions...)
	return &s.decisions[0]
}

func TestTheWeekIsSorted(t *testing.T) {
	s := newScene()
	s.add("Ana signs", "L3", done("L3", 1, signed(readiness.Faint)))
	s.add("Bo hurts", "L3", done("L3", 1, hurts("knee", 6)))
	s.add("Cy back", "L3", done("L3", 16))
	s.add("Dee ready", "L3", ready("L3")...)
	s.add("Ed arrived", "R7", ready("R7")...)
	s.add("Flo stalls", "L3", weeks("L3", 3, hard(7))...).Athlete.PhaseSince = tuesday - 30
	s.add("Gus jumps", "L3", append(weeks("L3", 6), done("L3", 0, hard(9)), done("L3", 2, hard(9)), done("L3", 3, hard(9)))...)
	s.add("Hal aches", "L3", done("L3", 1, hurts("knee", 4)))
	s.add("Ida quiet", "L3", done("L3", 9))
	s.add("Jo away", "L3", done("L3", 1)).Leave = []roster.Leave{{Span: day.Span{From: tuesday - 1}}}
	s.add("Kim steady", "L3", done("L3", 1))
	s.arriving("Lou answered", roster.Answered, tuesday-1)
	w := s.weekly(t, 0)
	require.Equal(t, []string{"Ana signs", "Bo hurts", "Cy back"}, names(w.Stop))
	require.Equal(t, []string{"Dee ready", "Ed arrived"}, names(w.Ready))
	require.Equal(t, []string{"Flo stalls"}, names(w.Stalling))
	require.Equal(t, []string{"Gus jumps"}, names(w.Jumped))
	require.Equal(t, []string{"Hal aches"}, names(w.Other))
	require.Equal(t, []string{"Ida quiet"}, names(w.Morning.Quiet))
	require.Equal(t, []string{"Jo away"}, names(w.Morning.Away))
	require.Equal(t, []string{"Kim steady"}, names(w.Morning.Steady))
	require.Equal(t, []string{"Lou answered"}, names(w.Morning.Coming))
	require.Equal(t, s.roster(t).Decide[0].Verdict.Sentence(), w.Stop[0].Sentence, "the roster's own words")
}

// Who moved is who was decided about after the letter before, whatever hour it went.
func TestWhoMovedInSevenDays(t *testing.T) {
	s := newScene()
	ana, bo, cy, dee := s.add("Ana", "L2"), s.add("Bo", "L3"), s.add("Cy", "L3"), s.add("Dee", "L3")
	s.moves(cy, 8, roster.MoveUp, "L4")
	s.moves(bo, 7, roster.MoveUp, "L4")
	s.moves(bo, 6, roster.EaseBack, "L3")
	s.moves(dee, 3, roster.Hold, "L3")
	s.moves(dee, 2, roster.MoveUp, "L4").UndoneAt = s.now
	s.moves(ana, 1, roster.MoveUp, "L3")
	s.decisions = append(s.decisions, roster.Decision{Athlete: 99, Choice: roster.MoveUp, At: s.now, After: roster.Standing{Phase: "L4"}})
	w := s.weekly(t, 0)
	var moved []string
	for _, m := range w.Moved {
		moved = append(moved, m.Row.Athlete.Name+" "+string(m.Decision.Choice))
	}
	require.Equal(t, []string{"Ana move_up", "Bo ease_back"}, moved)
	require.Equal(t, s.now.Add(-7*24*time.Hour), w.From.UTC())
	s.now = s.now.Add(-time.Nanosecond)
	require.Len(t, s.weekly(t, 0).Moved, 3, "a moment earlier the one of the Tuesday before was news")
}

func TestOverAClockChangeTheWeekIsSevenDates(t *testing.T) {
	s := newScene()
	s.now = time.Date(2026, 3, 29, 17, 0, 0, 0, time.UTC) // 18:00 in Lisbon, where the clocks went forward that morning
	require.Equal(t, time.Date(2026, 3, 22, 18, 0, 0, 0, time.UTC), s.weekly(t, 0).From.UTC())
}

// A letter of a day that is past says what one of then would have said.
func TestAPastDayIsTakenBack(t *testing.T) {
	s := newScene()
	sessions := append(ready("L3"), done("L4", 0, hurts("knee", 6)))
	ana := s.add("Ana", "L3", sessions...)
	ana.Athlete.JoinedOn = tuesday - 70
	s.moves(ana, 0, roster.MoveUp, "L4")
	s.moves(ana, 0, roster.Pause, "L4").After.Held = roster.Paused
	ana.Athlete.Held = roster.Paused
	s.add("Bo", "L3").Athlete.JoinedOn = tuesday
	cy := s.add("Cy", "L3", ready("L3")...)
	s.now = s.now.Add(-24 * time.Hour)
	held := s.roster(t).Row(cy.Athlete.ID).Print
	s.now = s.now.Add(24 * time.Hour)
	s.moves(cy, 1, roster.Hold, "L3").Proposal = held
	s.moves(cy, 0, roster.MoveUp, "L4")
	s.arriving("Dee", roster.Here, tuesday, done("B1", 0)).JoinedOn = tuesday - 3

	w := s.weekly(t, tuesday-1)
	require.Equal(t, tuesday-1, w.Morning.Asked)
	require.Equal(t, []string{"Ana"}, names(w.Ready))
	require.Equal(t, "L3", w.Ready[0].Athlete.Phase)
	require.Equal(t, roster.NotHeld, w.Ready[0].Athlete.Held)
	require.Equal(t, []string{"Dee"}, names(w.Morning.Coming), "taken in on the day after")
	require.Equal(t, []string{"Cy"}, names(w.Morning.Steady), "held then")
	require.Equal(t, morning.NextDecided, w.Morning.Steady[0].Next.Kind)
	require.Empty(t, w.Moved)
	require.Len(t, w.Morning.Rows(), 3, "Bo was not there yet")

	now := s.weekly(t, tuesday+400)
	require.Equal(t, s.now, now.At, "a day that is not over is now")
	require.Len(t, now.Morning.Rows(), 4)
	require.Len(t, now.Moved, 3)
}

func TestWhoseAthletesTheLetterIsAbout(t *testing.T) {
	s := newScene()
	s.add("Everybody's", "L3", ready("L3")...)
	s.add("Mara's", "L3", ready("L3")...).Athlete.Coach = 2
	s.add("Other's", "L3", ready("L3")...).Athlete.Coach = 9
	w, err := s.use.Weekly(context.Background(), club, mara, false, 0)
	require.NoError(t, err)
	require.Equal(t, []string{"Everybody's", "Mara's"}, names(w.Ready))
	require.Equal(t, 1, w.Morning.Others)
	require.Len(t, s.weekly(t, 0).Ready, 3)
	blind := mara
	blind.OwnOnly = true
	w, err = s.use.Weekly(context.Background(), club, blind, true, 0)
	require.NoError(t, err)
	require.Equal(t, []string{"Everybody's", "Mara's"}, names(w.Ready))
	require.Zero(t, w.Morning.Others, "of whom somebody does not see nothing is said")
}

func TestWhatIsNews(t *testing.T) {
	for _, row := range []struct {
		name string
		news bool
		put  func(s *scene)
	}{
		{"nobody", false, func(*scene) {}},
		{"going steadily", false, func(s *scene) { s.add("A", "L3", done("L3", 1)) }},
		{"ready", true, func(s *scene) { s.add("A", "L3", ready("L3")...) }},
		{"moved", true, func(s *scene) { s.moves(s.add("A", "L3", done("L3", 1)), 1, roster.MoveUp, "L4") }},
		{"silent since this week", true, func(s *scene) { s.add("A", "L3", done("L3", 8)) }},
		{"silent a week ago already", false, func(s *scene) { s.add("A", "B1", done("B1", 14)).Athlete.PhaseSince = tuesday - 20 }},
		{"silent since the start", true, func(s *scene) { s.add("A", "L3").Athlete.PhaseSince = tuesday - 8 }},
		{"invited", false, func(s *scene) { s.arriving("A", roster.Invited, tuesday) }},
		{"the answers are in", true, func(s *scene) { s.arriving("A", roster.Answered, tuesday) }},
	} {
		s := newScene()
		row.put(s)
		require.Equal(t, row.news, s.weekly(t, 0).News(), row.name)
	}
}

func TestAStoppedDatabaseIsSaidOfTheWeekToo(t *testing.T) {
	s := newScene()
	s.down = true
	_, err := s.use.Weekly(context.Background(), club, mara, true, 0)
	require.Error(t, err)
}
