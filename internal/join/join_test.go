package join_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

func TestFromTheInvitationToTheFirstSession(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	state := s.state(t)
	require.False(t, state.Agreed)
	require.Equal(t, screening.You, state.Next)
	require.Equal(t, entry.Invited, s.today(t).Way)
	kind(t, fault.Conflict, s.join.Answer(ctx, s.ines, s.id, screening.You, part(state.Sections[0].Section, well())), "first the consent")

	require.NoError(t, s.join.Agree(ctx, s.ines, s.id, all()))
	require.True(t, s.state(t).Agreed)
	s.answers(t, s.ines, well())
	state = s.state(t)
	require.True(t, state.Draft)
	require.Empty(t, state.Next, "nothing is left to answer")
	require.Nil(t, state.Check)
	require.Equal(t, roster.Invited, s.athlete().Arrival, "not before it is handed in")

	require.NoError(t, s.join.HandIn(ctx, s.ines, s.id))
	state = s.state(t)
	require.False(t, state.Draft)
	require.Equal(t, screening.NotNeeded, state.Result.Advice)
	require.Equal(t, "L1", state.Result.Start.Phase)
	require.Equal(t, roster.FromPhone, state.Check.Source)
	a := s.athlete()
	require.Equal(t, []any{roster.Answered, tuesday, tuesday, roster.NotHeld}, []any{a.Arrival, a.ArrivalSince, a.CheckSince, a.Held})
	require.Equal(t, entry.Answered, s.today(t).Way)
	require.Empty(t, s.today(t).Plan)

	review, err := s.join.Review(ctx, s.mara, s.id)
	require.NoError(t, err)
	require.Equal(t, "L1", review.Phase)
	require.NotEmpty(t, review.Reasons)
	require.Equal(t, 4, review.SessionsAWeek)
	require.True(t, review.HeartUsable)
	require.NoError(t, s.confirm(func(c *join.Confirmation) { c.Phase, c.HeartUsable = "L2", false }))
	a = s.athlete()
	require.Equal(t, roster.Standing{Pathway: 1, Phase: "L2", PhaseSince: tuesday}, a.Standing)
	require.Equal(t, []any{roster.Here, tuesday, day.Date(0), 1986, 4, false, tuesday},
		[]any{a.Arrival, a.ArrivalSince, a.CheckSince, a.BirthYear, a.SessionsAWeek, a.HeartUsable, a.JoinedOn})
	require.Equal(t, roster.Available(0).With(time.Monday, roster.Morning).With(time.Sunday, roster.Evening), a.Available)
	require.Len(t, s.Measured, 1)
	require.Equal(t, []any{roster.RestMeasured, tuesday, 58}, []any{s.Measured[0].Kind, s.Measured[0].On, int(s.Measured[0].BPM)})
	require.Equal(t, s.mara.Coach, s.state(t).Check.SeenBy)
	require.Equal(t, entry.Going, s.today(t).Way)
	require.NotEmpty(t, s.today(t).Plan)
}

// The phase begins where the athlete is, which may be another day than the club's.
func TestTheBeginningIsOnTheAthletesDate(t *testing.T) {
	s := newScene(t)
	a := s.athlete()
	a.Zone = "Pacific/Kiritimati"
	s.Athletes[s.id] = a
	s.now = time.Date(2026, 4, 14, 11, 0, 0, 0, time.UTC) // the fifteenth there
	s.handIn(t, well())
	require.NoError(t, s.confirm())
	require.Equal(t, []day.Date{tuesday + 1, tuesday + 1, tuesday + 1}, []day.Date{s.athlete().PhaseSince, s.athlete().JoinedOn, s.athlete().ArrivalSince})
}

func TestASectionIsAnsweredAgain(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	require.NoError(t, s.join.Agree(ctx, s.ines, s.id, all()))
	answer := func(section string, a screening.Answers) error { return s.join.Answer(ctx, s.ines, s.id, section, a) }
	require.NoError(t, answer(screening.Pregnancy, screening.Answers{screening.Expecting: {screening.Born}, screening.BornWeeks: {" 20 "}}))
	require.NoError(t, answer(screening.Pregnancy, screening.Answers{screening.Expecting: {screening.No}, screening.BornWeeks: {"20"}}))
	state := s.state(t)
	require.Equal(t, screening.Answers{screening.Expecting: {screening.No}}, state.Answers, "what is not asked any more is gone")
	require.NoError(t, answer(screening.Bones, screening.Answers{screening.Bone: {"thin"}, screening.Expecting: {screening.Pregnant}}))
	require.Equal(t, screening.Answers{screening.Expecting: {screening.No}, screening.Bone: {"thin"}}, s.state(t).Answers, "only the section's own")
	require.Len(t, s.Checked, 1, "one draft")
	require.Equal(t, []string{screening.Pregnancy, screening.Bones}, s.Checked[0].Sections)

	require.Equal(t, []string{screening.Bone}, places(answer(screening.Bones, screening.Answers{screening.Bone: {"glass"}})))
	require.Equal(t, []string{"shoe_size"}, places(answer(screening.Bones, screening.Answers{screening.Bone: {"thin"}, "shoe_size": {"43"}})))
	kind(t, fault.NotFound, answer("nothing", screening.Answers{}))
	require.Equal(t, []string{"thin"}, s.state(t).Answers[screening.Bone], "a fault changes nothing")
}

func TestWhatIsHandedInIsWhole(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	require.NoError(t, s.join.Agree(ctx, s.ines, s.id, all()))
	require.Len(t, places(s.join.HandIn(ctx, s.ines, s.id)), 8, "every section is open")
	state := s.state(t)
	for _, section := range state.Sections[1:] {
		require.NoError(t, s.join.Answer(ctx, s.ines, s.id, section.ID, part(section.Section, well())))
	}
	require.Equal(t, []string{screening.You}, places(s.join.HandIn(ctx, s.ines, s.id)))
	require.Equal(t, screening.You, s.state(t).Next)
	require.NoError(t, s.join.Answer(ctx, s.ines, s.id, screening.You, part(state.Sections[0].Section, well())))
	require.NoError(t, s.join.HandIn(ctx, s.ines, s.id))
	before := s.athlete()
	require.NoError(t, s.join.HandIn(ctx, s.ines, s.id), "sent twice")
	require.Equal(t, before, s.athlete())
	require.Len(t, s.Checked, 1)
}

func TestADoctorsWordComesFirst(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	s.handIn(t, well(screening.Signs, "faint"))
	a := s.athlete()
	require.Equal(t, []any{roster.Answered, roster.Referred, tuesday}, []any{a.Arrival, a.Held, a.HeldSince})
	state := s.state(t)
	require.True(t, state.Open)
	require.Equal(t, screening.StopAndClearance, state.Result.Advice)
	require.True(t, state.Check.Advised)
	require.Equal(t, state.Result.Why, state.Check.Why, "the reason is kept as it stood")
	require.Equal(t, entry.Clearance, s.today(t).Way)
	require.Equal(t, []string{"kind"}, places(s.walks(readiness.Extra)), "no first walk either")

	kind(t, fault.Conflict, s.confirm())
	require.Contains(t, fault.MessageOf(s.confirm()), "clearance is still open")
	kind(t, fault.Conflict, s.join.Asked(ctx, s.mara, s.id, roster.Paper{On: tuesday, By: "Mara"}, join.Confirmation{Phase: "L1", SessionsAWeek: 3, Version: s.athlete().Version}))
	require.NoError(t, s.clear())
	require.Equal(t, entry.Answered, s.today(t).Way)
	require.Empty(t, s.today(t).Plan, "cleared is not yet confirmed")
	require.NoError(t, s.confirm())
	today := s.today(t)
	require.Equal(t, entry.Going, today.Way)
	require.Equal(t, "Nothing uphill.", today.Limits.Limits, "the athlete reads what to keep to")
}

// A newcomer who is only to ask a doctor first waits on the roster like everybody who
// is coming in.
func TestWhichAnswersAreToldAtOnce(t *testing.T) {
	for _, k := range []struct {
		answers screening.Answers
		here    bool // answers anew
		want    roster.Alarm
		why     string
	}{
		{well(), false, 0, "nothing to ask a doctor about"},
		{well(screening.Disease, "heart"), false, 0, "to ask a doctor before the first step"},
		{well(screening.Signs, "faint"), false, roster.AlarmAnswers, "a sign to stop for"},
		{well(), true, 0, "still well"},
		{well(screening.Disease, "heart"), true, roster.AlarmAnswers, "somebody who runs is to stop and ask"},
	} {
		s := newScene(t)
		if k.here {
			s.handIn(t, well())
			require.NoError(t, s.confirm())
			s.now = s.now.AddDate(0, 2, 0)
			s.answers(t, s.ines, k.answers)
			require.NoError(t, s.join.HandIn(context.Background(), s.ines, s.id))
		} else {
			s.handIn(t, k.answers)
		}
		require.Equal(t, k.want, s.Alarmed[len(s.Alarmed)-1], k.why)
	}
}

// A stop sign in the first walk is a referral too.
func TestAStopSignInTheFirstWalk(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	s.handIn(t, well())
	_, err := s.phone.Log(ctx, s.ines, s.id, entry.Entry{
		Key: "the-first-walk", Started: s.now.Add(-time.Hour), Kind: readiness.Extra, Minutes: readiness.Some(10), Signs: []readiness.Sign{readiness.ChestPressure},
	})
	require.NoError(t, err)
	require.Equal(t, entry.StopSigned, s.today(t).Way)
	kind(t, fault.Conflict, s.confirm())
	m, err := s.read.Roster(ctx, s.club, s.mara, false)
	require.NoError(t, err)
	require.Equal(t, morning.Clearing, m.Row(s.id).Coming.Kind)
	require.NoError(t, s.clear())
	require.NoError(t, s.confirm())
}

func TestTheFirstWalk(t *testing.T) {
	s := newScene(t)
	require.Equal(t, []string{"kind"}, places(s.walks(readiness.Extra)), "not before the answers")
	s.handIn(t, well())
	require.Nil(t, s.state(t).Walk)
	require.Equal(t, []string{"kind"}, places(s.walks(readiness.Planned)), "nothing is planned")
	require.Equal(t, []string{"kind"}, places(s.walks(readiness.Strength)))
	require.NoError(t, s.walks(readiness.Extra))
	walk := s.state(t).Walk
	require.Equal(t, []any{readiness.Chat, readiness.Some(2)}, []any{walk.Talk, walk.Effort})
	require.NoError(t, s.confirm(), "a walk outside the plan leaves a newcomer a newcomer")
	require.Equal(t, tuesday, s.athlete().JoinedOn)
	require.Nil(t, s.state(t).Walk, "the coach's turn is over")
}

func TestWhatIsRefusedOfAConfirmation(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	kind(t, fault.Conflict, s.confirm(), "before the answers are in")
	s.handIn(t, well())
	require.Equal(t, []string{"phase", "sessions_a_week"}, places(s.confirm(func(c *join.Confirmation) { c.Phase, c.SessionsAWeek = "X9", 7 })))
	require.Equal(t, []string{"sessions_a_week"}, places(s.confirm(func(c *join.Confirmation) { c.SessionsAWeek = 1 })))
	kind(t, fault.Conflict, s.confirm(func(c *join.Confirmation) { c.Version-- }), "somebody changed something since")
	kind(t, fault.Forbidden, s.join.Confirm(ctx, s.ines, s.id, join.Confirmation{Phase: "L1", SessionsAWeek: 3}), "not by oneself")
	gone := s.athlete()
	gone.LeftAt = s.now
	s.Athletes[s.id] = gone
	kind(t, fault.Conflict, s.confirm(), "whoever left")
	gone.LeftAt = time.Time{}
	s.Athletes[s.id] = gone
	require.Equal(t, roster.Answered, s.athlete().Arrival)

	version := func(v int) func(*join.Confirmation) { return func(c *join.Confirmation) { c.Version = v } }
	seen := s.athlete().Version
	require.NoError(t, s.confirm(version(seen)))
	require.NoError(t, s.confirm(version(seen)), "the same form, sent twice")
	require.Len(t, s.Measured, 1)
	kind(t, fault.Conflict, s.confirm(version(seen), func(c *join.Confirmation) { c.Phase = "L3" }), "something else, too late")
	require.Equal(t, "L1", s.athlete().Phase)
}

func TestWhoMayWhat(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	other := s.Runner(s.club.ID, "Ben")
	hill, coach := s.Begin("Hill", "kim@example.org", "")
	deputy := s.mara
	deputy.Deputy = true
	for who, c := range map[string]struct {
		actor roster.Actor
		want  fault.Kind
	}{
		"another athlete":      {roster.Actor{Club: s.club.ID, Athlete: other.ID}, fault.NotFound},
		"another club's coach": {roster.Actor{Club: hill.ID, Coach: coach.ID}, fault.NotFound},
		"nobody":               {roster.Actor{}, fault.NotFound},
		"a deputy":             {deputy, fault.Forbidden},
	} {
		_, err := s.join.State(ctx, c.actor, s.id)
		kind(t, c.want, err, who)
		kind(t, c.want, s.join.Agree(ctx, c.actor, s.id, all()), who)
		kind(t, c.want, s.join.Withdraw(ctx, c.actor, s.id), who)
		kind(t, c.want, s.join.Answer(ctx, c.actor, s.id, screening.You, well()), who)
		kind(t, c.want, s.join.HandIn(ctx, c.actor, s.id), who)
	}
	_, err := s.join.Review(ctx, s.ines, s.id)
	kind(t, fault.Forbidden, err, "one's own answers are on one's own pages")
	for _, who := range []roster.Actor{deputy, s.ines} {
		_, err := s.join.Review(ctx, who, s.id)
		kind(t, fault.Forbidden, err)
		kind(t, fault.Forbidden, s.join.Asked(ctx, who, s.id, roster.Paper{}, join.Confirmation{}))
		kind(t, fault.Forbidden, s.join.Look(ctx, who, s.id, 1, true))
	}
}

func TestTheStoreIsAway(t *testing.T) {
	s, ctx := newScene(t), context.Background()
	s.Down = context.DeadlineExceeded
	kind(t, fault.Unavailable, s.join.Agree(ctx, s.ines, s.id, all()))
	kind(t, fault.Unavailable, s.confirm())
}
