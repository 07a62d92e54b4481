package join_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

func TestWhatHasToBeAgreedTo(t *testing.T) {
	const keeping, health, adult, guardian = string(roster.ToKeeping), string(roster.ToHealth), string(roster.IsAdult), string(roster.Guardian)
	for _, c := range []struct {
		why    string
		minors bool
		ticked string
		name   string
		places []string
	}{
		{"nothing", false, "", "", []string{keeping, health, adult}},
		{"all but the age", false, "keeping health", "", []string{adult}},
		{"all but health", false, "keeping adult", "", []string{health}},
		{"everything", false, "keeping health adult", "", nil},
		{"a guardian where only adults are taken", false, "keeping health guardian", "Bo", []string{guardian}},
		{"a guardian", true, "keeping health guardian", "Bo Okafor", nil},
		{"a guardian without a name", true, "keeping health guardian", "  ", []string{guardian}},
		{"a guardian with a name that cannot be one", true, "keeping health guardian", strings.Repeat("x", 81), []string{guardian}},
		{"grown-up and not", true, "keeping health adult guardian", "Bo", []string{guardian}},
		{"neither", true, "keeping health", "Bo", []string{adult}},
		{"what nobody asks", false, "keeping health adult everything", "", nil},
	} {
		s, ctx := newScene(t), context.Background()
		s.minors(c.minors)
		g := join.Agreement{Guardian: c.name}
		for _, kind := range strings.Fields(c.ticked) {
			g.Kinds = append(g.Kinds, roster.ConsentKind(kind))
		}
		err := s.join.Agree(ctx, s.ines, s.id, g)
		require.Equal(t, c.places, places(err), c.why)
		require.Equal(t, c.places == nil, s.state(t).Agreed, c.why)
		if c.places != nil {
			require.Empty(t, s.Agreed, "%s: none or all", c.why)
			continue
		}
		require.Len(t, s.Agreed, 3, c.why)
		require.NoError(t, s.join.Agree(ctx, s.ines, s.id, g), "sent twice")
		require.Len(t, s.Agreed, 3, c.why)
	}
}

func TestAConsentIsKeptAsItWasGiven(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	s.minors(true)
	minor := join.Agreement{Kinds: []roster.ConsentKind{roster.ToKeeping, roster.ToHealth, roster.Guardian}, Guardian: " Bo Okafor "}
	require.NoError(t, s.join.Agree(ctx, s.mara, s.id, minor))
	require.Equal(t, roster.Consent{
		ID: s.Agreed[2].ID, Athlete: s.id, Kind: roster.Guardian, Text: join.TextVersion, On: tuesday, At: s.now, ByCoach: s.mara.Coach, Guardian: "Bo Okafor",
	}, s.Agreed[2])
	require.Empty(t, s.Agreed[0].Guardian)
	for i := range s.Agreed {
		s.Agreed[i].Text = join.TextVersion - 1
	}
	require.False(t, s.state(t).Agreed, "the words changed since: asked again")
	require.NoError(t, s.join.Agree(ctx, s.mara, s.id, minor))
	require.True(t, s.state(t).Agreed)
	require.Len(t, s.state(t).Consents, 3, "the old ones end")
	s.minors(false)
	require.False(t, s.state(t).Agreed, "the club takes grown-ups only now")
}

func TestTheTextsSayWhatIsAskedFor(t *testing.T) {
	for _, minors := range []bool{false, true} {
		seen := map[roster.ConsentKind]bool{}
		for _, text := range join.Texts(minors) {
			require.False(t, seen[text.Kind])
			seen[text.Kind] = true
			require.NotEmpty(t, text.Title)
			require.NotEmpty(t, text.Points)
			require.NotEmpty(t, text.Tick)
			require.NotContains(t, strings.Join(text.Points, " ")+text.Tick, "!")
		}
		require.Equal(t, minors, seen[roster.Guardian])
		require.True(t, seen[roster.ToKeeping] && seen[roster.ToHealth] && seen[roster.IsAdult])
	}
}

func TestMinors(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	young := well(screening.BirthYear, "2010", screening.Guardian, "Bo Okafor")
	require.NoError(t, s.join.Agree(ctx, s.ines, s.id, all()))
	you := s.state(t).Sections[0].Section
	require.NotEmpty(t, places(s.join.Answer(ctx, s.ines, s.id, you.ID, part(you, well(screening.BirthYear, "2010")))), "the club takes grown-ups only")

	s.minors(true)
	s.answers(t, s.ines, young)
	require.Equal(t, []string{screening.BirthYear}, places(s.join.HandIn(ctx, s.ines, s.id)), "somebody who said to be grown up")
	require.NoError(t, s.join.Agree(ctx, s.ines, s.id, join.Agreement{Kinds: []roster.ConsentKind{roster.Guardian}, Guardian: "Bo Okafor"}))
	require.NoError(t, s.join.HandIn(ctx, s.ines, s.id))
	require.NoError(t, s.confirm())
	require.Equal(t, 2010, s.athlete().BirthYear)
}

func TestTakingTheConsentBack(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	s.handIn(t, well())
	require.NoError(t, s.confirm())
	require.NotEmpty(t, s.today(t).Plan)
	require.NoError(t, s.walks(readiness.Planned))
	s.now = s.now.AddDate(0, 0, 3)
	require.NoError(t, s.join.Withdraw(ctx, s.ines, s.id))
	version := s.athlete().Version
	require.NoError(t, s.join.Withdraw(ctx, s.ines, s.id), "twice is once")
	require.Equal(t, version, s.athlete().Version)

	require.Equal(t, []any{roster.Withdrawn, tuesday + 3}, []any{s.athlete().Arrival, s.athlete().ArrivalSince})
	require.Empty(t, s.state(t).Consents)
	today := s.today(t)
	require.Equal(t, entry.Withdrawn, today.Way)
	require.Empty(t, today.Plan)
	require.Equal(t, []string{"kind"}, places(s.walks(readiness.Planned)))
	require.Equal(t, []string{"kind"}, places(s.walks(readiness.Extra)))
	require.Error(t, s.confirm())
	require.Error(t, s.join.HandIn(ctx, s.ines, s.id))
	m, err := s.read.Roster(ctx, s.club, s.mara, false)
	require.NoError(t, err)
	require.Equal(t, morning.Coming{Kind: morning.Withdrawn, Since: tuesday + 3}, m.Row(s.id).Coming, "the coach is told")
	require.Len(t, m.Coming, 1)

	require.NoError(t, s.join.Agree(ctx, s.ines, s.id, all()))
	require.Equal(t, entry.Answered, s.today(t).Way, "given again: the answers are there, and the coach looks once more")
	review, err := s.join.Review(ctx, s.mara, s.id)
	require.NoError(t, err)
	require.Equal(t, "L1", review.Phase)
	s.now = s.now.AddDate(0, 0, 1)
	require.NoError(t, s.confirm())
	a := s.athlete()
	require.Equal(t, []any{roster.Here, tuesday, tuesday}, []any{a.Arrival, a.JoinedOn, a.PhaseSince}, "whoever trained here goes on from there")
}

// Whoever was in the club before there were questions has no consent and no answers.
func TestTakingBackWhatWasNeverAsked(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	a := s.athlete()
	a.Arrival = roster.Here
	s.Athletes[s.id] = a
	require.NoError(t, s.join.Withdraw(ctx, s.ines, s.id))
	require.Equal(t, entry.Withdrawn, s.today(t).Way)
	require.NoError(t, s.join.Agree(ctx, s.ines, s.id, all()))
	require.Equal(t, entry.Invited, s.today(t).Way, "the questions come now")
}
