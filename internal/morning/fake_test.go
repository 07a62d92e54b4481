package morning_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// fake keeps a club in memory, athletes by name.
type fake struct {
	files     []roster.File
	decisions []roster.Decision // the newest first
	leaves    []roster.Leave
	notes     []roster.Note
	shelves   map[roster.PathwayID]*roster.Shelf
	down      bool
}

func (f *fake) Shelves(context.Context, roster.ClubID) (map[roster.PathwayID]*roster.Shelf, error) {
	if f.down {
		return nil, fault.New(fault.Unavailable, "")
	}
	return f.shelves, nil
}

func (f *fake) Files(context.Context, roster.ClubID, day.Date) ([]roster.File, error) {
	return slices.Clone(f.files), nil
}

func (f *fake) File(_ context.Context, club roster.ClubID, id roster.AthleteID, _ day.Date) (roster.File, error) {
	for _, file := range f.files {
		if file.Athlete.ID == id && file.Athlete.Club == club {
			return file, nil
		}
	}
	return roster.File{}, fault.New(fault.NotFound, "")
}

func (f *fake) Sessions(_ context.Context, club roster.ClubID, id roster.AthleteID) ([]roster.Session, error) {
	file, err := f.File(context.Background(), club, id, 0)
	all := slices.Clone(file.Sessions)
	slices.SortFunc(all, func(a, b roster.Session) int { return b.StartedAt.Compare(a.StartedAt) })
	return all, err
}

func (f *fake) Decisions(context.Context, roster.ClubID, roster.AthleteID) ([]roster.Decision, error) {
	return f.decisions, nil
}

func (f *fake) Since(_ context.Context, _ roster.ClubID, at time.Time) ([]roster.Decision, error) {
	var list []roster.Decision
	for _, d := range f.decisions {
		if !d.At.Before(at) && d.UndoneAt.IsZero() {
			list = append(list, d)
		}
	}
	return list, nil
}

func (f *fake) Leaves(context.Context, roster.ClubID, roster.AthleteID) ([]roster.Leave, error) {
	return f.leaves, nil
}

func (f *fake) Notes(context.Context, roster.ClubID, roster.AthleteID) ([]roster.Note, error) {
	return f.notes, nil
}

func (f *fake) Gone(context.Context, roster.ClubID) ([]roster.Athlete, error) { return nil, nil }

// scene is a club in Lisbon on Tuesday 14 April 2026 at nine in the evening.
type scene struct {
	*fake
	use *morning.Service
	now time.Time
}

var (
	tuesday = day.On(2026, 4, 14)
	mara    = roster.Actor{Club: 7, Coach: 2}
	club    = roster.Club{ID: 7, Name: "Riverside Beginners", Zone: "Europe/Lisbon"}
)

func newScene() *scene {
	s := &scene{now: time.Date(2026, 4, 14, 20, 0, 0, 0, time.UTC)}
	s.fake = &fake{shelves: map[roster.PathwayID]*roster.Shelf{
		1: {ID: 1, Name: "Half an hour", Version: 1, Pathway: *pathway.Default()},
	}}
	s.use = &morning.Service{Store: s.fake, Now: func() time.Time { return s.now }}
	return s
}

// add puts an athlete on a phase, for ten days now.
func (s *scene) add(name, phase string, sessions ...roster.Session) *roster.File {
	s.files = append(s.files, roster.File{
		Athlete: roster.Athlete{
			ID: roster.AthleteID(len(s.files) + 1), Club: 7, Name: name, Zone: "Europe/Lisbon", SessionsAWeek: 3,
			HeartUsable: true, Version: 1, JoinedOn: tuesday - 70, Arrival: roster.Here, ArrivalSince: tuesday - 70,
			Standing: roster.Standing{Pathway: 1, Phase: phase, PhaseSince: tuesday - 10, LastPassed: ""},
		},
		Sessions: sessions,
	})
	return &s.files[len(s.files)-1]
}

func (s *scene) roster(t *testing.T) *morning.Morning {
	t.Helper()
	m, err := s.use.Roster(context.Background(), club, mara, false)
	require.NoError(t, err)
	require.Equal(t, len(s.files), len(m.Decide)+len(m.Steady)+len(m.Quiet)+len(m.Away)+len(m.Coming), "nobody is lost")
	return m
}

func names(rows []*morning.Row) []string {
	list := []string{}
	for _, r := range rows {
		list = append(list, r.Athlete.Name)
	}
	return list
}

type change func(*roster.Session)

// done is the phase's session, in full and easy, at seven some days ago.
func done(phase string, ago day.Date, changes ...change) roster.Session {
	p := pathway.Default()
	date := tuesday - ago
	start := date.UTC().Add(7 * time.Hour)
	s := roster.Session{Version: 1, LoggedAt: start.Add(time.Hour), Session: readiness.Session{
		StartedAt: start, Date: date, Phase: phase, Effort: readiness.Some(4),
		Talk: readiness.Sentence, Breath: readiness.Early, PainAsked: true,
	}}
	for _, b := range p.Blocks(p.Find(phase)) {
		s.Blocks = append(s.Blocks, readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)})
	}
	for _, f := range changes {
		f(&s)
	}
	return s
}

// every is the phase's session on each of the days ago.
func every(phase string, ago []day.Date, changes ...change) []roster.Session {
	var sessions []roster.Session
	for _, n := range ago {
		sessions = append(sessions, done(phase, n, changes...))
	}
	return sessions
}

func ready(phase string) []roster.Session { return every(phase, []day.Date{6, 4, 1}) }

func hurts(site string, score int) change {
	return func(s *roster.Session) { s.Pain = append(s.Pain, readiness.Pain{Site: site, Score: int8(score)}) }
}

func signed(sign readiness.Sign) change {
	return func(s *roster.Session) { s.Signs = []readiness.Sign{sign} }
}

// taps puts the same settle time onto every walk after a run.
func taps(seconds int) change {
	return func(s *roster.Session) {
		for i := 1; i < len(s.Blocks); i += 2 {
			s.Blocks[i].Settle = readiness.Some(seconds)
		}
	}
}

// hard rates the session with an effort.
func hard(effort int) change { return func(s *roster.Session) { s.Effort = readiness.Some(effort) } }
