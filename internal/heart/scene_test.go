package heart_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
	"halfhour.app/halfhour/internal/trace"
)

// scene is a club in Lisbon with a coach and two athletes, at noon of a Tuesday.
type scene struct {
	*fake.Store
	use            *heart.Service
	now            time.Time
	club           roster.Club
	athlete, other roster.Athlete
	mine, coach    roster.Actor
	files          map[string]heart.File // what the bodies of files are read as
	reads          int
	keys           int
}

func newScene(t *testing.T) *scene {
	t.Helper()
	place, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	s := &scene{Store: fake.New(), now: time.Date(2026, 4, 14, 12, 0, 0, 0, place), files: map[string]heart.File{}}
	var coach roster.Coach
	s.club, coach = s.Begin("Harbour", "kim@example.org", "")
	s.athlete, s.other = s.Runner(s.club.ID, "Ana"), s.Runner(s.club.ID, "Bo")
	s.athlete.BirthYear, s.athlete.JoinedOn = 1985, day.On(2026, 1, 5)
	s.Athletes[s.athlete.ID] = s.athlete
	s.mine = roster.Actor{Club: s.club.ID, Athlete: s.athlete.ID}
	s.coach = roster.Actor{Club: s.club.ID, Coach: coach.ID}
	s.use = &heart.Service{Store: s.Store, Now: func() time.Time { return s.now }, Read: s.read}
	return s
}

func (s *scene) read(body []byte) (heart.File, error) {
	s.reads++
	if f, ok := s.files[string(body)]; ok {
		return f, nil
	}
	return heart.File{}, fault.At(fault.Field{Place: "file", Message: "nothing we know"})
}

func (s *scene) key() roster.Key {
	s.keys++
	return roster.Key(fmt.Sprintf("key-of-test-%d", s.keys))
}

// plan is L3: six times two minutes of running and three of walking, after a walk.
func plan() []pathway.Block {
	blocks := []pathway.Block{{Kind: pathway.Walk, Planned: 300}}
	for range 6 {
		blocks = append(blocks, pathway.Block{Kind: pathway.Run, Planned: 120}, pathway.Block{Kind: pathway.Walk, Planned: 180})
	}
	return blocks
}

// session logs one so many days before today at seven in the morning, and gives it
// as it is kept.
func (s *scene) session(t *testing.T, ago int, change func(*roster.Session)) roster.Session {
	t.Helper()
	date := day.Of(s.now, s.athlete.Place()) - day.Date(ago)
	one := roster.Session{Athlete: s.athlete.ID, Key: s.key(), LoggedAt: s.now}
	one.Session = readiness.Session{
		StartedAt: date.Start(s.athlete.Place()).Add(7 * time.Hour), Date: date, Kind: readiness.Planned, Phase: "L3",
		Outcome: readiness.InFull, Breath: readiness.Early, Blocks: entry.Whole(plan()),
	}
	if change != nil {
		change(&one)
	}
	id, _, err := s.Log(context.Background(), s.mine, one, 0)
	require.NoError(t, err)
	return s.kept(t, id)
}

func (s *scene) kept(t *testing.T, id roster.SessionID) roster.Session {
	t.Helper()
	one, err := s.Session(context.Background(), s.club.ID, s.athlete.ID, id)
	require.NoError(t, err)
	return one
}

// beats are the heart rates of the plan, one a second: towards run or walk in a
// minute or so, as first-order kinetics have it, give or take a beat.
func beats(plan []pathway.Block, run, walk float64) trace.Recording {
	var r trace.Recording
	rate, noise := walk, rand.New(rand.NewPCG(1, 2))
	for _, b := range plan {
		target := walk
		if b.Kind == pathway.Run {
			target = run
		}
		for range b.Planned {
			rate += (target - rate) / 25
			r.Samples = append(r.Samples, trace.Sample{
				At: int32(len(r.Samples)), BPM: int16(math.Round(rate + noise.NormFloat64())), Speed: trace.Unknown, Steps: trace.Unknown,
			})
		}
	}
	return r
}

// file makes a body that is read as a recording of the session's plan.
func (s *scene) file(name string, of roster.Session, run, walk float64) []byte {
	r := beats(plan(), run, walk)
	r.Start = of.StartedAt
	s.files[name] = heart.File{Format: "fit", Recording: r}
	return []byte(name)
}

func (s *scene) attach(t *testing.T, of roster.Session, body []byte) {
	t.Helper()
	done, err := s.use.Attach(context.Background(), s.mine, s.athlete.ID, of.ID, body, false, false)
	require.NoError(t, err)
	require.Equal(t, heart.Attached{At: of.ID}, done)
}

// measured keeps a measurement past the use case.
func (s *scene) measured(t *testing.T, kind roster.MeasurementKind, bpm intensity.BPM, on day.Date) {
	t.Helper()
	_, err := s.Store.Measure(context.Background(), s.coach, roster.Measurement{
		Athlete: s.athlete.ID, Key: s.key(), On: on, Kind: kind, BPM: bpm, At: s.now, ByCoach: s.coach.Coach,
	})
	require.NoError(t, err)
}

func kind(t *testing.T, want fault.Kind, err error, why ...any) {
	t.Helper()
	require.Equal(t, want, fault.KindOf(err), append([]any{"%v", err}, why...)...)
}

// places are the fields at which something is wrong.
func places(err error) []string {
	var all []string
	for _, f := range fault.FieldsOf(err) {
		all = append(all, f.Place)
	}
	return all
}
