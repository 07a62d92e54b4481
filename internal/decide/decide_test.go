package decide_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

func TestMovingUpAsProposed(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", ready("L3")...)
	before := a.Standing
	d, err := s.ask(3, roster.MoveUp, func(ask *decide.Ask) { ask.Word = " Well settled.\x00 " })
	require.NoError(t, err)
	require.Equal(t, "L4", a.Phase)
	require.Equal(t, tuesday, a.PhaseSince)
	require.Equal(t, "L3", a.LastPassed)
	require.Equal(t, "Well settled.", a.CoachWord)
	require.Equal(t, []string{"L4", ""}, []string{d.To, d.Reason})
	require.Equal(t, before, d.Before)
	require.Equal(t, a.Standing, d.After)
	require.Equal(t, tuesday, d.AsOf)
	require.NotEmpty(t, d.Proposal)
	var doc map[string]any
	require.NoError(t, json.Unmarshal(d.Verdict, &doc))
	require.Equal(t, "move_up", doc["action"])
	require.Equal(t, "L4", doc["to_phase"])
	require.NotNil(t, doc["arrival"])
}

func TestThePhaseBeginsOnTheAthletesDate(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", ready("L3")...)
	a.Zone = "Pacific/Kiritimati"
	s.now = time.Date(2026, 4, 14, 23, 0, 0, 0, time.UTC)
	_, err := s.ask(3, roster.MoveUp)
	require.NoError(t, err)
	require.Equal(t, tuesday+1, a.PhaseSince)
}

// Every row is a choice that nothing proposes, and where it leads with a reason.
func TestDepartures(t *testing.T) {
	for _, row := range []struct {
		name     string
		phase    string
		sessions []roster.Session
		choice   roster.Choice
		to       string
		leads    string
	}{
		{"hold though ready", "L3", ready("L3"), roster.Hold, "", "L3"},
		{"ease back though ready", "L3", ready("L3"), roster.EaseBack, "", "L2"},
		{"ease back two phases", "L3", ready("L3"), roster.EaseBack, "L1", "L1"},
		{"ease back to a half step", "L3", ready("L3"), roster.EaseBack, "L3-", "L3-"},
		{"ease back from a half step", "L3-", nil, roster.EaseBack, "", "L2"},
		{"half step though ready", "L3", ready("L3"), roster.HalfStep, "", "L3-"},
		{"two phases up", "L3", ready("L3"), roster.MoveUp, "R1", "R1"},
		{"up though the gate is shut", "L3", nil, roster.MoveUp, "", "L4"},
		{"up from a half step", "L3-", nil, roster.MoveUp, "", "L3"},
		{"pause without pain", "L3", ready("L3"), roster.Pause, "", "L3"},
		{"refer without a sign", "L3", ready("L3"), roster.Refer, "", "L3"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t)
			a := s.on(3, row.phase, row.sessions...)
			_, err := s.ask(3, row.choice, to(row.to))
			require.Contains(t, faultAt(t, err, "reason"), "say why")
			require.Empty(t, s.decisions)
			require.Equal(t, row.phase, a.Phase)
			d, err := s.ask(3, row.choice, to(row.to), because("I saw her run on Sunday."))
			require.NoError(t, err)
			require.Equal(t, row.leads, d.To)
			require.Equal(t, row.leads, a.Phase)
			require.Equal(t, "I saw her run on Sunday.", d.Reason)
		})
	}
}

func TestWhatNeedsNoReason(t *testing.T) {
	for name, row := range map[string]struct {
		sessions []roster.Session
		choice   roster.Choice
	}{
		"hold where the engine says stay":  {nil, roster.Hold},
		"seen where the engine says stay":  {nil, roster.Seen},
		"seen where the gate is open":      {ready("L3"), roster.Seen},
		"refer for a stop sign":            {sign(readiness.ChestPressure), roster.Refer},
		"pause for a limp":                 {limping(), roster.Pause},
		"move up where the engine says so": {ready("L3"), roster.MoveUp},
	} {
		s := newScene(t)
		s.on(3, "L3", row.sessions...)
		_, err := s.ask(3, row.choice)
		require.NoError(t, err, name)
	}
}

func TestNothingMovesWithHoldAndSeen(t *testing.T) {
	for _, choice := range []roster.Choice{roster.Hold, roster.Seen} {
		s := newScene(t)
		a := s.on(3, "L3")
		before := a.Standing
		d, err := s.ask(3, choice)
		require.NoError(t, err)
		require.Equal(t, before, a.Standing)
		require.Equal(t, "L3", d.To)
		require.Equal(t, 2, a.Version)
	}
}

func TestHalfStepsLeaveThePhasePassedAlone(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3-")
	a.LastPassed = "L2"
	_, err := s.ask(3, roster.MoveUp, because("enough"))
	require.NoError(t, err)
	require.Equal(t, "L2", a.LastPassed, "L3 itself is not passed yet")
}

func TestChoicesThatCannotBe(t *testing.T) {
	for _, row := range []struct {
		name   string
		phase  string
		held   roster.Held
		seen   []roster.Session
		choice roster.Choice
		to     string
		place  string
		says   string
	}{
		{"up from the last phase", "R7", "", nil, roster.MoveUp, "", "choice", "last phase"},
		{"up to a lower phase", "L3", "", nil, roster.MoveUp, "L2", "to", "above"},
		{"up to nowhere", "L3", "", nil, roster.MoveUp, "X9", "to", "not on the pathway"},
		{"back from the first", "B1", "", nil, roster.EaseBack, "", "choice", "first phase"},
		{"back to a higher phase", "L3", "", nil, roster.EaseBack, "L4", "to", "below"},
		{"back to nowhere", "L3", "", nil, roster.EaseBack, "X9", "to", "not on the pathway"},
		{"a half step of a half step", "L3-", "", nil, roster.HalfStep, "", "choice", "no half step"},
		{"a half step where there is none", "B1", "", nil, roster.HalfStep, "", "choice", "no half step"},
		{"resume what runs", "L3", "", nil, roster.Resume, "", "choice", "not stopped"},
		{"clear what runs", "L3", "", nil, roster.Cleared, "", "choice", "not stopped"},
		{"resume a referral", "L3", roster.Referred, nil, roster.Resume, "", "choice", "clearance"},
		{"resume a stop sign", "L3", "", sign(readiness.Faint), roster.Resume, "", "choice", "clearance"},
		{"up while paused", "L3", roster.Paused, nil, roster.MoveUp, "", "choice", "pause has to end"},
		{"hold while referred", "L3", roster.Referred, nil, roster.Hold, "", "choice", "cleared"},
		{"up in spite of a stop sign", "L3", "", sign(readiness.Faint), roster.MoveUp, "", "choice", "cleared"},
		{"up in spite of a limp", "L3", "", limping(), roster.MoveUp, "", "choice", "pause has to end"},
		{"a referral made a pause", "L3", roster.Referred, nil, roster.Pause, "", "choice", "cleared"},
		{"resume to nowhere", "L3", roster.Paused, nil, roster.Resume, "X9", "to", "not on the pathway"},
		{"nothing", "L3", "", nil, "", "", "choice", "choose"},
		{"something unheard of", "L3", "", nil, "promote", "", "choice", "choose"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t)
			a := s.on(3, row.phase, row.seen...)
			a.Held = row.held
			_, err := s.ask(3, row.choice, to(row.to), because("a reason"))
			require.Contains(t, faultAt(t, err, row.place), row.says)
			require.Empty(t, s.decisions)
		})
	}
}

func TestWordsThatAreTooLong(t *testing.T) {
	s := newScene(t)
	s.on(3, "L3")
	_, err := s.ask(3, roster.Hold, because(strings.Repeat("ä", 2001)))
	faultAt(t, err, "reason")
	_, err = s.ask(3, roster.Hold, func(a *decide.Ask) { a.Word = strings.Repeat("ä", 2001) })
	faultAt(t, err, "word")
}

func sign(sign readiness.Sign) []roster.Session {
	return []roster.Session{done("L3", 1, func(s *roster.Session) { s.Signs = []readiness.Sign{sign} })}
}

func limping() []roster.Session {
	return []roster.Session{done("L3", 1, func(s *roster.Session) { s.Limp = true })}
}

func TestPauseAndResume(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", limping()...)
	_, err := s.ask(3, roster.Pause)
	require.NoError(t, err)
	require.Equal(t, roster.Paused, a.Held)
	require.Equal(t, tuesday, a.HeldSince)
	require.Equal(t, "L3", a.Phase)
	s.now = s.now.Add(3 * 24 * time.Hour)
	_, err = s.ask(3, roster.Pause)
	require.NoError(t, err)
	require.Equal(t, tuesday, a.HeldSince, "paused since then")
	s.now = s.now.Add(time.Hour)
	_, err = s.ask(3, roster.Resume)
	require.NoError(t, err)
	require.Equal(t, roster.NotHeld, a.Held)
	require.Zero(t, a.HeldSince)
	require.Equal(t, tuesday+3, a.ClearedOn)
	require.True(t, a.ClearedAt.Equal(s.now))
	require.Equal(t, "L3", a.Phase)
	require.Equal(t, tuesday-10, a.PhaseSince)
}

// Where running begins again follows from the days without it (rule 9.4).
func TestWhereToBeginAfterAPause(t *testing.T) {
	for _, row := range []struct {
		days  int
		to    string
		leads string
	}{
		{12, "", "L3"},
		{13, "", "L2"}, // the last run was one day before the pause
		{20, "", "L1"},
		{27, "", "L1"},
		{55, "", "B1"},
		{55, "L1", "L1"},
		{0, "L4", "L4"},
	} {
		s := newScene(t)
		a := s.on(3, "L3", limping()...)
		a.Held, a.HeldSince = roster.Paused, tuesday
		s.now = s.now.Add(time.Duration(row.days) * 24 * time.Hour)
		d, err := s.ask(3, roster.Resume, to(row.to))
		require.NoError(t, err)
		require.Equal(t, row.leads, a.Phase, "after %d days", row.days)
		require.Equal(t, row.leads, d.To)
		if row.leads != "L3" {
			require.Equal(t, tuesday+day.Date(row.days), a.PhaseSince)
		}
	}
}

// A limp that was told only after the last clearance is cleared like any other.
func TestWhereToBeginAfterAPauseToldLate(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", limping()...)
	for i := range s.sessions[3] {
		s.sessions[3][i].LoggedAt = s.now
	}
	a.ClearedOn, a.ClearedAt = tuesday, s.now.Add(-time.Minute)
	s.now = s.now.Add(13 * 24 * time.Hour)
	_, err := s.ask(3, roster.MoveUp)
	require.Contains(t, faultAt(t, err, "choice"), "pause")
	d, err := s.ask(3, roster.Resume, because("He told me of it before I cleared him."))
	require.NoError(t, err)
	require.Equal(t, "L2", d.To, "two weeks without a run")
}

func TestReferAndClear(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", sign(readiness.ChestPressure)...)
	_, err := s.ask(3, roster.Seen)
	faultAt(t, err, "reason")
	_, err = s.ask(3, roster.Refer)
	require.NoError(t, err)
	require.Equal(t, roster.Referred, a.Held)
	_, err = s.ask(3, roster.Seen, func(a *decide.Ask) { a.Key = "another-key" })
	require.NoError(t, err, "once referred, looking needs no reason")
	s.now = s.now.Add(2 * 24 * time.Hour)
	_, err = s.ask(3, roster.Cleared, because("They said it is fine."))
	require.Equal(t, []string{"given_on", "given_by"}, placesOf(err), "words alone clear nobody")
	given := roster.Clearance{GivenOn: tuesday + 1, GivenBy: "  Dr Aune ", Limits: "Nothing uphill\nuntil May."}
	d, err := s.ask(3, roster.Cleared, clearedBy(given))
	require.NoError(t, err)
	require.Equal(t, roster.Clearance{GivenOn: tuesday + 1, GivenBy: "Dr Aune", Limits: "Nothing uphill\nuntil May."}, d.Clearance)
	require.Equal(t, d.Clearance, s.decisions[len(s.decisions)-1].Clearance, "kept with the decision")
	require.Equal(t, roster.NotHeld, a.Held)
	require.Equal(t, tuesday+2, a.ClearedOn)
	a.Held = roster.Paused
	_, err = s.ask(3, roster.Cleared, because("the physiotherapist"), func(a *decide.Ask) { a.Key = "third-key" })
	require.NoError(t, err, "a pause may end with a clearance too")
}

// After an injury, and after eight weeks, a clearance is what the way back waits for
// (rule 9.4); it says where to begin by itself.
func TestClearingAfterAnInjuryOrALongTime(t *testing.T) {
	given := roster.Clearance{GivenOn: tuesday, GivenBy: "Mara, walked half an hour with her"}
	for _, row := range []struct {
		name  string
		days  int // since the last run
		hurt  bool
		phase string
		to    string
		leads string
	}{
		{"injured", 9, true, "L3", "", "L3"},
		{"injured, begun anew already", 9, true, "B1", "", "B1"},
		{"injured, and the coach says where", 9, true, "L3", "L1", "L1"},
		{"eight weeks", 56, false, "L3", "", "B1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t)
			a := s.on(3, row.phase, done("L3", day.Date(row.days)))
			if row.hurt {
				a.InjuredOn = tuesday - 4
			}
			_, err := s.ask(3, roster.Cleared)
			require.Equal(t, []string{"given_on", "given_by"}, placesOf(err), "somebody has to have said so")
			d, err := s.ask(3, roster.Cleared, clearedBy(given), to(row.to))
			require.NoError(t, err, "without a reason: it is what is asked for")
			require.Equal(t, row.leads, a.Phase)
			require.Equal(t, tuesday, a.ClearedOn)
			require.Equal(t, given, d.Clearance)
		})
	}
	s := newScene(t)
	s.on(3, "L3", done("L3", 55))
	_, err := s.ask(3, roster.Cleared, clearedBy(given))
	require.Contains(t, faultAt(t, err, "choice"), "nothing to end", "a day less, and nothing waits for it")
}

// placesOf are where the faults stand.
func placesOf(err error) []string {
	var places []string
	for _, f := range fault.FieldsOf(err) {
		places = append(places, f.Place)
	}
	return places
}

func TestClearingWhatTheCoachNeverStopped(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", limping()...)
	_, err := s.ask(3, roster.Resume)
	faultAt(t, err, "reason")
	_, err = s.ask(3, roster.Resume, because("She stumbled over a root; no limp since."))
	require.NoError(t, err)
	require.Equal(t, tuesday, a.ClearedOn)
}

func TestTheProposalChangedSince(t *testing.T) {
	s := newScene(t)
	s.on(3, "L3", ready("L3")...)
	d, err := s.ask(3, roster.Seen)
	require.NoError(t, err)
	saw := func(a *decide.Ask) { a.Fingerprint, a.Key = d.Proposal, "a-later-key" }
	s.sessions[3] = append(s.sessions[3], done("L3", 0, func(s *roster.Session) { s.Limp = true }))
	_, err = s.ask(3, roster.MoveUp, saw)
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	require.Contains(t, fault.MessageOf(err), "Ines Okafor")
	require.Len(t, s.decisions, 1)
	s.sessions[3] = s.sessions[3][:3]
	_, err = s.ask(3, roster.MoveUp, saw)
	require.NoError(t, err)
}

func TestTwoCoachesDecide(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", ready("L3")...)
	old := func(ask *decide.Ask) { ask.Version, ask.Key = 1, "the-second-coach" }
	_, err := s.ask(3, roster.MoveUp)
	require.NoError(t, err)
	_, err = s.ask(3, roster.Seen, old)
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	require.Contains(t, fault.MessageOf(err), "look again")
	require.Equal(t, "L4", a.Phase)
}

func TestADoubleTapDecidesOnce(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", ready("L3")...)
	print := func(ask *decide.Ask) { ask.Key, ask.Version = "the-same-key", 1 }
	first, err := s.ask(3, roster.MoveUp, print)
	require.NoError(t, err)
	second, err := s.ask(3, roster.MoveUp, print)
	require.NoError(t, err)
	require.Equal(t, first.ID, second.ID)
	require.Equal(t, "L4", a.Phase)
	require.Len(t, s.decisions, 1)

	_, err = s.ask(3, roster.Hold, print, because("he is tired"))
	require.Equal(t, fault.Conflict, fault.KindOf(err), "back to the page, and decided otherwise")
	require.Contains(t, fault.MessageOf(err), "otherwise already")
	_, err = s.use.Undo(ctx, coach, first.ID)
	require.NoError(t, err)
	_, err = s.ask(3, roster.MoveUp, print)
	require.Equal(t, fault.Conflict, fault.KindOf(err), "what was taken back is not decided by an old page")
	require.Equal(t, "L3", a.Phase)
}

func TestWhoDecides(t *testing.T) {
	s := newScene(t)
	s.on(3, "L3", ready("L3")...)
	_, err := s.use.Decide(ctx, roster.Actor{Club: 7, Athlete: 3}, decide.Ask{Athlete: 3, Choice: roster.MoveUp})
	require.Equal(t, fault.Forbidden, fault.KindOf(err))
	_, err = s.use.Settle(ctx, roster.Actor{Club: 7, Athlete: 3}, roster.MoveUp, "", nil)
	require.Equal(t, fault.Forbidden, fault.KindOf(err))
	_, err = s.use.Undo(ctx, roster.Actor{Club: 7, Athlete: 3}, 1)
	require.Equal(t, fault.Forbidden, fault.KindOf(err))
	_, err = s.use.Decide(ctx, roster.Actor{Club: 8, Coach: 2}, decide.Ask{Athlete: 3, Choice: roster.MoveUp})
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	s.athletes[3].LeftAt = s.now
	_, err = s.ask(3, roster.MoveUp)
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	require.Contains(t, fault.MessageOf(err), "has left")
}

func TestUndo(t *testing.T) {
	s := newScene(t)
	a := s.on(3, "L3", ready("L3")...)
	before := a.Standing
	d, err := s.ask(3, roster.MoveUp)
	require.NoError(t, err)
	_, err = s.use.Undo(ctx, coach, d.ID)
	require.NoError(t, err)
	require.Equal(t, before, a.Standing)
	require.Equal(t, s.now, s.decisions[0].UndoneAt)
	_, err = s.use.Undo(ctx, coach, d.ID)
	require.NoError(t, err, "taken back already is no error")
	_, err = s.use.Undo(ctx, coach, 99)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestWhatWasDecidedSinceCannotBeUndone(t *testing.T) {
	s := newScene(t)
	s.on(3, "L3", ready("L3")...)
	first, err := s.ask(3, roster.MoveUp)
	require.NoError(t, err)
	_, err = s.ask(3, roster.Hold)
	require.NoError(t, err)
	_, err = s.use.Undo(ctx, coach, first.ID)
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	require.Contains(t, fault.MessageOf(err), "no longer")
}
