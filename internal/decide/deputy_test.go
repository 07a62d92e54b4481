package decide_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

var deputy = roster.Actor{Club: 7, Coach: 5, Deputy: true}

// Every action the engine may propose with every choice: what a deputy may, a row
// an action.
func TestWhatADeputyMay(t *testing.T) {
	choices := []roster.Choice{roster.Refer, roster.Pause, roster.EaseBack, roster.Hold, roster.Seen, roster.HalfStep, roster.MoveUp, roster.Resume, roster.Cleared}
	for _, row := range []struct {
		action readiness.Action
		may    []roster.Choice
	}{
		{readiness.Refer, choices[:1:1]},
		{readiness.Pause, choices[:2]},
		{readiness.EaseBack, choices[:3]},
		{readiness.Stay, choices[:5]},
		{readiness.HalfStep, choices[:6]},
		{readiness.MoveUp, choices[:7]},
		{readiness.Arrived, choices[:5]},
	} {
		may := row.may
		if row.action == readiness.Refer {
			may = choices[:2] // a pause stops running as well, and the referral stays proposed
		}
		for _, c := range choices {
			require.Equal(t, contains(may, c), decide.DeputyMay(c, row.action), "%s where %v is proposed", c, row.action)
		}
	}
}

func contains(list []roster.Choice, c roster.Choice) bool {
	for _, one := range list {
		if one == c {
			return true
		}
	}
	return false
}

func (s *scene) by(who roster.Actor, id roster.AthleteID, choice roster.Choice, change ...func(*decide.Ask)) (roster.Decision, error) {
	ask := decide.Ask{Athlete: id, Choice: choice, Version: s.athletes[id].Version, Key: roster.Key("key-of-" + string(choice))}
	for _, f := range change {
		f(&ask)
	}
	return s.use.Decide(ctx, who, ask)
}

func TestADeputyDecidesWhatIsProposed(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", ready("L3")...)
	_, err := s.by(deputy, 3, roster.MoveUp, to("R1"), because("She is quick."))
	require.Equal(t, fault.Forbidden, fault.KindOf(err), "further than proposed")
	d, err := s.by(deputy, 3, roster.MoveUp)
	require.NoError(t, err)
	require.Equal(t, "L4", a.Phase)
	require.Equal(t, deputy.Coach, d.Coach)
	_, err = s.use.Undo(ctx, deputy, d.ID)
	require.NoError(t, err, "and takes it back")
	require.Equal(t, "L3", a.Phase)

	_, err = s.by(deputy, 3, roster.EaseBack, because("She limped after the session."))
	require.NoError(t, err, "more careful than proposed")
	require.Equal(t, "L2", a.Phase)
}

func TestADeputyStopsRunningAndDoesNotLetItBegin(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", ready("L3")...)
	paused, err := s.by(deputy, 3, roster.Pause, because("Her knee."))
	require.NoError(t, err)
	require.Equal(t, roster.Paused, a.Held)
	_, err = s.use.Undo(ctx, deputy, paused.ID)
	require.Equal(t, fault.Forbidden, fault.KindOf(err), "that would let running begin again")
	for _, choice := range []roster.Choice{roster.Resume, roster.Cleared} {
		_, err = s.by(deputy, 3, choice, because("The doctor said so."))
		require.Equal(t, fault.Forbidden, fault.KindOf(err), choice)
	}
	_, err = s.by(deputy, 3, roster.Refer, because("It swells."))
	require.NoError(t, err)
	require.Equal(t, roster.Referred, a.Held)
	_, err = s.use.Undo(ctx, deputy, s.decisions[len(s.decisions)-1].ID)
	require.Equal(t, fault.Forbidden, fault.KindOf(err))
	_, err = s.use.Undo(ctx, coach, s.decisions[len(s.decisions)-1].ID)
	require.NoError(t, err, "a coach does")
}

func TestADeputyTakesBackNothingThatACoachDecided(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", ready("L3")...)
	d, err := s.ask(3, roster.EaseBack, because("She sleeps badly."))
	require.NoError(t, err)
	_, err = s.use.Undo(ctx, deputy, d.ID)
	require.Equal(t, fault.Forbidden, fault.KindOf(err))
	require.Equal(t, "L2", a.Phase)
}

// Where several are settled together, whoever needs a coach is left alone.
func TestADeputySettlesSeveral(t *testing.T) {
	s, picks := ripe(t)
	s.on(4, "L3", done("L3", 1))
	settled, err := s.use.Settle(ctx, deputy, roster.MoveUp, "", []decide.Pick{picks[0], {Athlete: 4, Fingerprint: "x", Version: 1, Key: "settle-the-other"}})
	require.NoError(t, err)
	require.Empty(t, settled[0].Left)
	require.NotEmpty(t, settled[1].Left)
	settled, err = s.use.Settle(ctx, deputy, roster.Cleared, "", picks[2:])
	require.NoError(t, err)
	require.Contains(t, settled[0].Left, "for a coach")
}

func TestWhoSeesOnlyOwnAthletesDecidesAboutNobodyElse(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", ready("L3")...)
	own := coach
	own.OwnOnly = true
	d, err := s.by(own, 3, roster.MoveUp)
	require.NoError(t, err, "nobody's athlete is everybody's")
	a.Coach = 9
	_, err = s.use.Undo(ctx, own, d.ID)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = s.by(own, 3, roster.Hold)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = s.use.Settle(ctx, own, roster.Hold, "", []decide.Pick{{Athlete: 3, Fingerprint: "x", Version: 2, Key: "settle-her-now"}})
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	require.Equal(t, "L4", a.Phase)
	a.Coach = own.Coach
	_, err = s.use.Undo(ctx, own, d.ID)
	require.NoError(t, err)
}
