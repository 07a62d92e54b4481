package postgres

import (
	"context"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// check is one that a coach filled in with the athlete beside them, handed in and
// looked at.
func (b *bench) check(c club, a roster.Athlete) roster.HealthCheck {
	return roster.HealthCheck{
		Athlete: a.ID, Form: 1, Answers: map[string][]string{"signs": {"chest", "faint"}, "injury_text": {"a <b>fall</b>, \"years\" ago"}},
		Sections: []string{"health", "bones"}, Source: roster.FromCoach, ByCoach: c.Coach, BegunAt: noon.Add(-time.Hour), HandedAt: noon, HandedOn: today,
		Advised: true, Why: []string{"You know one of the signs."}, SeenAt: noon.Add(time.Minute), SeenBy: c.Coach,
	}
}

// comeIn gives the athlete everything that coming in leaves behind.
func (b *bench) comeIn(t *testing.T, c club, a roster.Athlete) {
	t.Helper()
	now := func() roster.Athlete {
		a, err := b.Athlete(t.Context(), c.ID, a.ID)
		require.NoError(t, err)
		return a
	}
	consent := roster.Consent{Athlete: a.ID, Kind: roster.ToHealth, Text: 1, On: today, At: noon, ByCoach: c.Coach}
	require.NoError(t, b.Move(t.Context(), c.Actor, join.Move{Change: "athlete.agree", Athlete: now(), Consents: []roster.Consent{consent}}))
	require.NoError(t, b.Move(t.Context(), c.Actor, join.Move{Change: "athlete.answer", Athlete: now(), Check: b.check(c, a)}))
	d := b.decision(c, now(), roster.Cleared, "L4")
	d.Clearance = roster.Clearance{GivenOn: today, GivenBy: "Dr Aune", Limits: "Nothing uphill."}
	_, err := b.Keep(t.Context(), c.Actor, d, now().Version)
	require.NoError(t, err)
}

// scenery is coming in over the database, at noon of the tests' day.
type scenery struct {
	*bench
	home club
	join *join.Service
	id   roster.AthleteID
	ines roster.Actor
}

func newScenery(t *testing.T) *scenery {
	t.Helper()
	b := open(t)
	c := b.club(t, "Harbour")
	a := roster.Athlete{
		Name: "Ines", Zone: "Europe/Lisbon", SessionsAWeek: 3, HeartUsable: true, JoinedOn: today - 3, Arrival: roster.Invited,
		Standing: roster.Standing{Pathway: c.Pathway, Phase: "B1", PhaseSince: today - 3},
	}
	id, err := b.Add(t.Context(), c.Actor, a, roster.HealthCheck{}, b.key())
	require.NoError(t, err)
	s := &scenery{bench: b, home: c, id: id, ines: roster.Actor{Club: c.ID, Athlete: id}}
	s.join = &join.Service{Store: b.Store, Now: func() time.Time { return noon }}
	return s
}

// answers agrees and answers everything, so that it can be handed in.
func (s *scenery) answers(t *testing.T, sign string) {
	t.Helper()
	agreement := join.Agreement{Kinds: []roster.ConsentKind{roster.ToKeeping, roster.ToHealth, roster.IsAdult}}
	require.NoError(t, s.join.Agree(t.Context(), s.ines, s.id, agreement))
	state, err := s.join.State(t.Context(), s.ines, s.id)
	require.NoError(t, err)
	for _, section := range state.Sections {
		a := screening.Answers{}
		for _, q := range section.Questions {
			switch {
			case q.ID == screening.BirthYear:
				a[q.ID] = []string{"1986"}
			case q.ID == screening.Signs:
				a[q.ID] = []string{sign}
			case q.ID == screening.Sessions:
				a[q.ID] = []string{"4"}
			case q.ID == screening.Resting:
				a[q.ID] = []string{"58"}
			case q.ID == screening.Times:
				a[q.ID] = []string{"monday-morning", "sunday-evening"}
			case q.Kind == screening.Many:
				a[q.ID] = []string{screening.None}
			case q.Kind == screening.One:
				a[q.ID] = []string{q.Options[len(q.Options)-1].Value}
			}
			if q.Kind == screening.One && q.ID != screening.Sessions && q.ID != screening.Daily {
				a[q.ID] = []string{screening.No}
			}
		}
		require.NoError(t, s.join.Answer(t.Context(), s.ines, s.id, section.ID, a), section.ID)
	}
}

func (s *scenery) confirmation(t *testing.T) join.Confirmation {
	t.Helper()
	a, err := s.Athlete(t.Context(), s.home.ID, s.id)
	require.NoError(t, err)
	return join.Confirmation{Phase: "B1", SessionsAWeek: 4, HeartUsable: true, Version: a.Version}
}

func (s *scenery) audited(t *testing.T, change string) int {
	t.Helper()
	return value[int](t, s.bench, "select count(*)::int from audit where change = $1", change)
}

func TestComingInIsKept(t *testing.T) {
	t.Parallel()
	s := newScenery(t)
	s.answers(t, "faint")
	require.NoError(t, s.join.HandIn(t.Context(), s.ines, s.id))
	state, err := s.join.State(t.Context(), s.ines, s.id)
	require.NoError(t, err)
	c := state.Check
	require.Equal(t, []string{"faint"}, c.Answers[screening.Signs])
	require.Equal(t, []any{true, state.Result.Why, roster.FromPhone, noon, today}, []any{c.Advised, c.Why, c.Source, c.HandedAt, c.HandedOn})
	require.Len(t, c.Sections, len(state.Sections))
	a := state.Athlete
	require.Equal(t, []any{roster.Answered, today, today, roster.Referred}, []any{a.Arrival, a.ArrivalSince, a.CheckSince, a.Held})
	require.Equal(t, 1, s.audited(t, "athlete.answer"))
	require.Equal(t, 1, s.audited(t, "athlete.refer"), "that running is stopped has a line of its own")
	require.Equal(t, 1, s.audited(t, "check.hand_in"))
	require.Equal(t, 8, s.audited(t, "check.answer"))
	require.Equal(t, 3, s.audited(t, "consent.give"))

	d := s.decision(s.home, a, roster.Cleared, "B1")
	d.After.Held, d.After.HeldSince, d.After.ClearedOn, d.After.ClearedAt = roster.NotHeld, 0, today, noon
	d.Clearance = roster.Clearance{GivenOn: today - 1, GivenBy: "Dr Aune", Limits: "Nothing uphill."}
	d.ID, err = s.Keep(t.Context(), s.home.Actor, d, a.Version)
	require.NoError(t, err)
	kept, err := s.Decision(t.Context(), s.home.ID, d.ID)
	require.NoError(t, err)
	require.Equal(t, d.Clearance, kept.Clearance)
	file, err := s.File(t.Context(), s.home.ID, s.id, today)
	require.NoError(t, err)
	require.Equal(t, &d.Clearance, file.Cleared)
	require.NoError(t, s.Undo(t.Context(), s.home.Actor, d.ID, noon))
	file, err = s.File(t.Context(), s.home.ID, s.id, today)
	require.NoError(t, err)
	require.Nil(t, file.Cleared, "a clearance that was taken back holds nothing")
	d.Key = s.key()
	d.ID, err = s.Keep(t.Context(), s.home.Actor, d, file.Athlete.Version)
	require.NoError(t, err)

	require.NoError(t, s.join.Confirm(t.Context(), s.home.Actor, s.id, s.confirmation(t)))
	a, err = s.Athlete(t.Context(), s.home.ID, s.id)
	require.NoError(t, err)
	require.Equal(t, []any{roster.Here, today, today, 1986, 4}, []any{a.Arrival, a.JoinedOn, a.PhaseSince, a.BirthYear, a.SessionsAWeek})
	require.Zero(t, a.CheckSince)
	require.True(t, a.Available.At(time.Monday, roster.Morning) && a.Available.At(time.Sunday, roster.Evening) && !a.Available.At(time.Monday, roster.Midday))
	measured, err := s.Measurements(t.Context(), s.home.ID, s.id)
	require.NoError(t, err)
	require.Len(t, measured, 1)
	require.Equal(t, []any{roster.RestMeasured, 58}, []any{measured[0].Kind, int(measured[0].BPM)})
	checks, err := s.Checks(t.Context(), s.home.ID, s.id)
	require.NoError(t, err)
	require.Equal(t, []any{s.home.Coach, "Owner of Harbour", noon}, []any{checks[0].SeenBy, checks[0].SeenName, checks[0].SeenAt})
	require.Equal(t, 1, s.audited(t, "athlete.confirm"))
	kind(t, fault.Conflict, s.Undo(t.Context(), s.home.Actor, d.ID, noon), "what came before is not taken back any more")
}

func TestAskedOnPaperIsKept(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := roster.Athlete{
		Name: "Ines", Zone: "UTC", SessionsAWeek: 3, JoinedOn: today, Arrival: roster.Here,
		Standing: roster.Standing{Pathway: c.Pathway, Phase: "R1", PhaseSince: today},
	}
	asked := roster.HealthCheck{AskedOn: today - 2, AskedBy: "Mara", HandedAt: noon}
	key := b.key()
	id, err := b.Add(t.Context(), c.Actor, a, asked, key)
	require.NoError(t, err)
	again, err := b.Add(t.Context(), c.Actor, a, asked, key)
	require.NoError(t, err)
	require.Equal(t, id, again)
	checks, err := b.Checks(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Len(t, checks, 1, "sent twice, stored once")
	require.Equal(t, roster.HealthCheck{
		ID: checks[0].ID, Athlete: id, Form: 1, Answers: map[string][]string{}, Source: roster.FromPaper, ByCoach: c.Coach, By: "Owner of Harbour",
		AskedOn: today - 2, AskedBy: "Mara", BegunAt: noon, HandedAt: noon, HandedOn: today, SeenAt: noon, SeenBy: c.Coach, SeenName: "Owner of Harbour", Version: 1,
	}, checks[0])
}

func TestTakingTheConsentBackIsKept(t *testing.T) {
	t.Parallel()
	s := newScenery(t)
	s.answers(t, screening.None)
	require.NoError(t, s.join.Withdraw(t.Context(), s.ines, s.id))
	consents, err := s.Consents(t.Context(), s.home.ID, s.id)
	require.NoError(t, err)
	require.Len(t, consents, 3)
	for i := range consents {
		require.Equal(t, noon, consents[i].WithdrawnAt)
	}
	require.Equal(t, 3, s.audited(t, "consent.withdraw"))
	require.Equal(t, 1, s.audited(t, "athlete.withdraw"))
}

func TestWhoeverHurriesHandsInOnce(t *testing.T) {
	t.Parallel()
	s := newScenery(t)
	s.answers(t, "faint")
	require.Equal(t, map[fault.Kind]int{fault.Unknown: 8}, atOnce(t, 8, func() error {
		return s.join.HandIn(context.Background(), s.ines, s.id)
	}))
	require.Equal(t, 1, s.audited(t, "check.hand_in"))
	require.Equal(t, 1, s.audited(t, "athlete.answer"))
	require.Equal(t, 1, value[int](t, s.bench, "select count(*)::int from health_check"))
}

func TestTwoTapsBeginOneDraft(t *testing.T) {
	t.Parallel()
	s := newScenery(t)
	require.NoError(t, s.join.Agree(t.Context(), s.ines, s.id, join.Agreement{Kinds: []roster.ConsentKind{roster.ToKeeping, roster.ToHealth, roster.IsAdult}}))
	n := atOnce(t, 8, func() error {
		return s.join.Answer(context.Background(), s.ines, s.id, screening.Bones, screening.Answers{screening.Bone: {screening.None}})
	})
	require.Positive(t, n[fault.Unknown])
	require.Equal(t, 8, n[fault.Unknown]+n[fault.Conflict], "%v", n)
	require.Equal(t, 1, value[int](t, s.bench, "select count(*)::int from health_check"))
}

// Two coaches with the same page in front of them: the second is told.
func TestTwoCoachesConfirm(t *testing.T) {
	t.Parallel()
	s := newScenery(t)
	s.answers(t, screening.None)
	require.NoError(t, s.join.HandIn(t.Context(), s.ines, s.id))
	invitation := s.code(t, access.Code{Purpose: access.CoachInvite, Club: s.home.ID})
	second, err := s.Join(t.Context(), invitation, noon, roster.Coach{Name: "Kim", Email: "kim@example.org"}, "phc")
	require.NoError(t, err)
	coaches := []roster.Actor{s.home.Actor, {Club: s.home.ID, Coach: second}}
	c, turn := s.confirmation(t), atomic.Int32{}
	n := atOnce(t, 2, func() error {
		i := turn.Add(1) - 1
		mine := c
		mine.Phase = [...]string{"B1", "B2"}[i]
		return s.join.Confirm(context.Background(), coaches[i], s.id, mine)
	})
	require.Equal(t, map[fault.Kind]int{fault.Unknown: 1, fault.Conflict: 1}, n)
	require.Equal(t, 1, s.audited(t, "athlete.confirm"))
	a, err := s.Athlete(t.Context(), s.home.ID, s.id)
	require.NoError(t, err)
	checks, err := s.Checks(t.Context(), s.home.ID, s.id)
	require.NoError(t, err)
	require.Equal(t, map[roster.CoachID]string{s.home.Coach: "B1", second: "B2"}[checks[0].SeenBy], a.Phase, "the one whose word it was")
}

// Handing in anew while a coach confirms: either the coach was first, or looks again.
func TestAnswersComeInWhileACoachConfirms(t *testing.T) {
	t.Parallel()
	s := newScenery(t)
	s.answers(t, screening.None)
	require.NoError(t, s.join.HandIn(t.Context(), s.ines, s.id))
	c := s.confirmation(t)
	s.answers(t, "chest")
	turn := atomic.Int32{}
	n := atOnce(t, 2, func() error {
		if turn.Add(1) == 1 {
			return s.join.Confirm(context.Background(), s.home.Actor, s.id, c)
		}
		return s.join.HandIn(context.Background(), s.ines, s.id)
	})
	a, err := s.Athlete(t.Context(), s.home.ID, s.id)
	require.NoError(t, err)
	if a.Arrival == roster.Here {
		require.Subset(t, []int{1, 2}, []int{n[fault.Unknown]})
	} else {
		require.Equal(t, map[fault.Kind]int{fault.Unknown: 1, fault.Conflict: 1}, n)
		require.Equal(t, roster.Referred, a.Held)
	}
}

func TestAMoveIsAllOrNothing(t *testing.T) {
	t.Parallel()
	s := newScenery(t)
	a, err := s.Athlete(t.Context(), s.home.ID, s.id)
	require.NoError(t, err)
	m := join.Move{
		Change: "athlete.agree", Athlete: a, Check: s.check(s.home, a),
		Consents: []roster.Consent{{Athlete: a.ID, Kind: roster.IsAdult, Text: 1, On: today, At: noon}, {Athlete: a.ID, Kind: "all", Text: 1, On: today, At: noon}},
	}
	kind(t, fault.Invalid, s.Move(t.Context(), s.ines, m))
	m.Consents = m.Consents[:1]
	m.Athlete.Version++
	kind(t, fault.Conflict, s.Move(t.Context(), s.ines, m), "another version of the athlete")
	m.Athlete.Version--
	m.Check.ID, m.Check.Version = 1, 9
	kind(t, fault.Conflict, s.Move(t.Context(), s.ines, m), "a check that is not there")
	m.Check.ID = 0
	hill := s.home
	hill.Actor.Club = s.club(t, "Hill").ID
	kind(t, fault.NotFound, s.Move(t.Context(), hill.Actor, m), "from another club")
	for _, table := range []string{"consent", "health_check"} {
		require.Zero(t, value[int](t, s.bench, "select count(*)::int from "+table), table)
	}
	require.NoError(t, s.Move(t.Context(), s.ines, m))
	kind(t, fault.NotFound, s.SaveDraft(t.Context(), hill.Actor, roster.HealthCheck{Athlete: a.ID, Form: 1, Source: roster.FromPhone, BegunAt: noon}))
}
