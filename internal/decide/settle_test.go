package decide_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// ripe is three athletes whose gates are open, as a coach sees them.
func ripe(t *testing.T) (*scene, []decide.Pick) {
	s := newScene(t)
	picks := make([]decide.Pick, 3)
	for i, name := range []string{"Aoife Brennan", "Jonah Petrie", "Yuki Arai"} {
		id := roster.AthleteID(i + 3)
		s.on(id, "L3", ready("L3")...).Name = name
		d, err := s.ask(id, roster.Seen, func(a *decide.Ask) { a.Key = roster.Key("looked-" + name) })
		require.NoError(t, err)
		picks[i] = decide.Pick{Athlete: id, Fingerprint: d.Proposal, Version: 2, Key: roster.Key("settle-" + name)}
	}
	s.decisions = nil
	return s, picks
}

func TestSettleSeveral(t *testing.T) {
	s, picks := ripe(t)
	settled, err := s.use.Settle(ctx, coach, roster.MoveUp, "On we go.", picks)
	require.NoError(t, err)
	require.Len(t, settled, 3)
	for i, one := range settled {
		require.Empty(t, one.Left)
		require.Equal(t, "L4", s.athletes[picks[i].Athlete].Phase)
		require.Equal(t, "On we go.", s.athletes[picks[i].Athlete].CoachWord)
		require.NotZero(t, one.Decision.ID)
	}
	again, err := s.use.Settle(ctx, coach, roster.MoveUp, "On we go.", picks)
	require.NoError(t, err)
	require.Equal(t, settled[0].Decision.ID, again[0].Decision.ID, "sent twice, settled once")
	require.Len(t, s.decisions, 3)
}

func TestOneOfSeveralChanged(t *testing.T) {
	s, picks := ripe(t)
	s.sessions[4] = append(s.sessions[4], done("L3", 0, func(s *roster.Session) { s.Limp = true }))
	settled, err := s.use.Settle(ctx, coach, roster.MoveUp, "", picks)
	require.NoError(t, err)
	require.Empty(t, settled[0].Left)
	require.Equal(t, "Jonah Petrie", settled[1].Name)
	require.Contains(t, settled[1].Left, "Jonah Petrie")
	require.Zero(t, settled[1].Decision)
	require.Empty(t, settled[2].Left)
	require.Equal(t, []string{"L4", "L3", "L4"}, []string{s.athletes[3].Phase, s.athletes[4].Phase, s.athletes[5].Phase})
}

func TestOneOfSeveralWasDecidedMeanwhile(t *testing.T) {
	s, picks := ripe(t)
	picks[2].Version = 1
	settled, err := s.use.Settle(ctx, coach, roster.MoveUp, "", picks)
	require.NoError(t, err)
	require.Contains(t, settled[2].Left, "Yuki Arai")
	require.Equal(t, "L3", s.athletes[5].Phase)
}

func TestSeveralAreNeverSettledAgainstTheProposal(t *testing.T) {
	s, picks := ripe(t)
	settled, err := s.use.Settle(ctx, coach, roster.Hold, "", picks)
	require.NoError(t, err)
	for _, one := range settled {
		require.Contains(t, one.Left, "a look of its own")
	}
	require.Empty(t, s.decisions)
	picks[0].Fingerprint = ""
	settled, err = s.use.Settle(ctx, coach, roster.MoveUp, "", picks[:1])
	require.NoError(t, err)
	require.NotEmpty(t, settled[0].Left)
}

func TestNobodyTicked(t *testing.T) {
	_, err := newScene(t).use.Settle(ctx, coach, roster.MoveUp, "", nil)
	faultAt(t, err, "pick")
}

func TestTheStoreStopsHalfWay(t *testing.T) {
	s, picks := ripe(t)
	s.down = 4
	settled, err := s.use.Settle(ctx, coach, roster.MoveUp, "", picks)
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
	require.Len(t, settled, 1, "what was settled before is told")
}
