package join_test

import (
	"context"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/internal/testing/fake"
)

// tuesday is the day of these tests where the athlete is.
const tuesday day.Date = 739720

// scene is a club with somebody invited, and what people do there.
type scene struct {
	*fake.Store
	join  *join.Service
	phone *entry.Service
	desk  *decide.Service
	read  *morning.Service
	now   time.Time
	club  roster.Club
	mara  roster.Actor // a coach
	ines  roster.Actor // the athlete
	id    roster.AthleteID
}

func newScene(t testing.TB) *scene {
	t.Helper()
	s := &scene{Store: fake.New(), now: time.Date(2026, 4, 14, 9, 0, 0, 0, time.UTC)}
	clock := func() time.Time { return s.now }
	s.join = &join.Service{Store: s.Store, Now: clock}
	s.phone = &entry.Service{Store: s.Store, Now: clock}
	s.desk = &decide.Service{Store: s.Store, Now: clock}
	s.read = &morning.Service{Store: s.Store, Now: clock}
	club, coach := s.Begin("Harbour", "mara@example.org", "")
	s.club, s.mara = club, roster.Actor{Club: club.ID, Coach: coach.ID}
	a := s.Runner(club.ID, "Ines Okafor")
	a.Arrival, a.JoinedOn, a.ArrivalSince = roster.Invited, tuesday-3, tuesday-3
	a.Phase, a.PhaseSince = pathway.Default().Phases[0].ID, tuesday-3
	s.Athletes[a.ID] = a
	s.id, s.ines = a.ID, roster.Actor{Club: club.ID, Athlete: a.ID}
	require.Equal(t, tuesday, a.Today(s.now))
	return s
}

// minors says whether the club takes people under 18.
func (s *scene) minors(taken bool) {
	club := s.Clubs[s.club.ID]
	club.Minors = taken
	s.Clubs[s.club.ID] = club
}

func (s *scene) athlete() roster.Athlete { return s.Athletes[s.id] }

// all is what a grown-up agrees to.
func all() join.Agreement {
	return join.Agreement{Kinds: []roster.ConsentKind{roster.ToKeeping, roster.ToHealth, roster.IsAdult}}
}

// well are the answers of somebody healthy of forty who walks with ease.
func well(change ...string) screening.Answers {
	a := screening.Answers{
		screening.BirthYear: {"1986"}, screening.Active: {screening.Yes}, screening.Cleared: {screening.No}, screening.Expecting: {screening.No}, screening.HurtsNow: {screening.No},
		screening.Sessions: {"4"}, screening.Times: {"monday-morning", "sunday-evening"}, screening.Resting: {"58"}, screening.Daily: {"mixed"},
		screening.Breathless: {screening.No}, screening.Endurance: {screening.Yes}, screening.WalksHalf: {screening.Yes},
		screening.RunsFew: {screening.No}, screening.Alternates: {screening.No},
	}
	for _, q := range []string{screening.Disease, screening.Signs, screening.Medicine, screening.Rhythm, screening.Injuries, screening.Operation, screening.Bone} {
		a[q] = []string{screening.None}
	}
	for i := 0; i < len(change); i += 2 {
		a[change[i]] = []string{change[i+1]}
	}
	return a
}

// part are the answers to one section.
func part(section screening.Section, a screening.Answers) screening.Answers {
	own := screening.Answers{}
	for _, q := range section.Questions {
		if given, ok := a[q.ID]; ok {
			own[q.ID] = given
		}
	}
	return own
}

// answers fills in every section that is asked.
func (s *scene) answers(t testing.TB, who roster.Actor, a screening.Answers) {
	t.Helper()
	state, err := s.join.State(context.Background(), who, s.id)
	require.NoError(t, err)
	for _, section := range state.Sections {
		require.NoError(t, s.join.Answer(context.Background(), who, s.id, section.ID, part(section.Section, a)), section.ID)
	}
}

// handIn agrees, answers and hands in.
func (s *scene) handIn(t testing.TB, a screening.Answers) {
	t.Helper()
	require.NoError(t, s.join.Agree(context.Background(), s.ines, s.id, all()))
	s.answers(t, s.ines, a)
	require.NoError(t, s.join.HandIn(context.Background(), s.ines, s.id))
}

func (s *scene) state(t testing.TB) *join.State {
	t.Helper()
	state, err := s.join.State(context.Background(), s.ines, s.id)
	require.NoError(t, err)
	return state
}

// confirm is the coach's word on what was proposed.
func (s *scene) confirm(change ...func(*join.Confirmation)) error {
	c := join.Confirmation{Phase: "L1", SessionsAWeek: 4, HeartUsable: true, Version: s.athlete().Version}
	for _, f := range change {
		f(&c)
	}
	return s.join.Confirm(context.Background(), s.mara, s.id, c)
}

// ask is a decision about the athlete as they are now.
func ask(s *scene, choice roster.Choice, c roster.Clearance) decide.Ask {
	return decide.Ask{
		Athlete: s.id, Choice: choice, Version: s.athlete().Version, Key: roster.Key("decides-" + strconv.Itoa(s.athlete().Version)),
		Reason: "a talk on the phone", Clearance: c,
	}
}

// clear records what a doctor said.
func (s *scene) clear() error {
	_, err := s.desk.Decide(context.Background(), s.mara, ask(s, roster.Cleared, roster.Clearance{GivenOn: tuesday, GivenBy: "Dr Aune", Limits: "Nothing uphill."}))
	return err
}

func (s *scene) today(t testing.TB) entry.Today {
	t.Helper()
	today, err := s.phone.Today(context.Background(), s.ines, s.id)
	require.NoError(t, err)
	return today
}

// walks tells of a walk of ten minutes.
func (s *scene) walks(kind readiness.SessionKind) error {
	_, err := s.phone.Log(context.Background(), s.ines, s.id, entry.Entry{
		Key: roster.Key("walk-key-" + strconv.Itoa(len(s.Logged))), Started: s.now.Add(-time.Hour), Kind: kind,
		Minutes: readiness.Some(10), Effort: readiness.Some(2), Talk: readiness.Chat, Outcome: readiness.InFull,
	})
	return err
}

func places(err error) []string {
	var list []string
	for _, f := range fault.FieldsOf(err) {
		list = append(list, f.Place)
	}
	return list
}

func kind(t testing.TB, want fault.Kind, err error, why ...any) {
	t.Helper()
	require.Error(t, err, why...)
	require.Equal(t, want, fault.KindOf(err), "%v", err)
}
