package demo_test

import (
	"cmp"
	"context"
	"slices"
	"sync"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

// memory keeps everything in memory, with the promises of the stores as far as a
// demo and the roster ask for them.
type memory struct {
	*fake.Store
	mu        sync.Mutex
	sessions  map[roster.AthleteID][]roster.Session
	decisions map[roster.AthleteID][]roster.Decision
	last      int
	writes    int // sessions and decisions stored
	most      int // writes that are taken before the store goes down; 0: no end
	shelf     *roster.Shelf
	pulses    pulses
}

func newMemory() *memory {
	return &memory{
		Store: fake.New(), sessions: map[roster.AthleteID][]roster.Session{}, decisions: map[roster.AthleteID][]roster.Decision{},
		pulses: pulses{recordings: map[roster.AthleteID][]roster.Recording{}, measurements: map[roster.AthleteID][]roster.Measurement{}},
		shelf:  &roster.Shelf{ID: 1, Name: "Half an hour", Version: 1, Pathway: *pathway.Default()},
	}
}

// write counts one, or says that the store is down.
func (m *memory) write() error {
	if m.most > 0 && m.writes >= m.most {
		return fault.New(fault.Unavailable, "")
	}
	m.writes++
	return nil
}

func (m *memory) Shelf(context.Context, roster.ClubID, roster.PathwayID) (*roster.Shelf, error) {
	return m.shelf, nil
}

func (m *memory) Shelves(context.Context, roster.ClubID) (map[roster.PathwayID]*roster.Shelf, error) {
	return map[roster.PathwayID]*roster.Shelf{1: m.shelf}, nil
}

func (m *memory) File(ctx context.Context, club roster.ClubID, id roster.AthleteID, _ day.Date) (roster.File, error) {
	a, err := m.Athlete(ctx, club, id)
	if err != nil {
		return roster.File{}, err
	}
	leaves, err := m.Leaves(ctx, club, id)
	if err != nil {
		return roster.File{}, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	f := roster.File{Athlete: a, Sessions: slices.Clone(m.sessions[id])}
	f.Leave = append(f.Leave, leaves...)
	if all := m.decisions[id]; len(all) > 0 {
		f.Newest = &all[len(all)-1]
	}
	return f, nil
}

func (m *memory) Files(ctx context.Context, club roster.ClubID, asked day.Date) ([]roster.File, error) {
	var files []roster.File
	for id, a := range m.Athletes {
		if a.Club != club || !a.LeftAt.IsZero() {
			continue
		}
		f, err := m.File(ctx, club, id, asked)
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	slices.SortFunc(files, func(a, b roster.File) int { return cmp.Compare(a.Athlete.Name, b.Athlete.Name) })
	return files, nil
}

func (m *memory) Sessions(_ context.Context, _ roster.ClubID, id roster.AthleteID) ([]roster.Session, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	all := m.newestFirst(id)
	for i := range all { // they are read by themselves
		all[i].Turn, all[i].Lifts = "", nil
	}
	return all, nil
}

func (m *memory) newestFirst(id roster.AthleteID) []roster.Session {
	all := slices.Clone(m.sessions[id])
	slices.SortFunc(all, func(a, b roster.Session) int { return b.StartedAt.Compare(a.StartedAt) })
	return all
}

func (m *memory) Session(_ context.Context, _ roster.ClubID, athlete roster.AthleteID, id roster.SessionID) (roster.Session, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, s := range m.sessions[athlete] {
		if s.ID == id {
			s.Pain = slices.Clone(s.Pain)
			return s, nil
		}
	}
	return roster.Session{}, fault.New(fault.NotFound, "")
}

func (m *memory) Log(_ context.Context, _ roster.Actor, s roster.Session, _ roster.Alarm) (roster.SessionID, bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, o := range m.sessions[s.Athlete] {
		if o.Key == s.Key {
			return o.ID, true, nil
		}
		if o.Kind == s.Kind && o.StartedAt.Equal(s.StartedAt) {
			return 0, false, fault.New(fault.Conflict, "")
		}
	}
	if err := m.write(); err != nil {
		return 0, false, err
	}
	m.last++
	s.ID, s.Version = roster.SessionID(m.last), 1
	m.sessions[s.Athlete] = append(m.sessions[s.Athlete], s)
	return s.ID, false, nil
}

// Strength is that of the fake, with what was done of the sessions kept here.
func (m *memory) Strength(ctx context.Context, club roster.ClubID, id roster.AthleteID) (roster.Strength, error) {
	all, err := m.Store.Strength(ctx, club, id)
	if err != nil {
		return all, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, s := range m.newestFirst(id) {
		if len(s.Lifts) > 0 {
			all.Lifted = append(all.Lifted, roster.Lifted{Session: s.ID, Date: s.Date, StartedAt: s.StartedAt, Turn: s.Turn, Lifts: s.Lifts, Pain: s.Pain})
		}
	}
	return all, nil
}

func (m *memory) Correct(_ context.Context, _ roster.Actor, s roster.Session, _ roster.Alarm) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i, o := range m.sessions[s.Athlete] {
		if o.ID == s.ID && o.Version == s.Version {
			s.Version++
			m.sessions[s.Athlete][i] = s
			return nil
		}
	}
	return fault.New(fault.Conflict, "")
}

func (m *memory) Delete(context.Context, roster.Actor, roster.AthleteID, roster.SessionID, int) error {
	return fault.New(fault.Forbidden, "a demo deletes nothing")
}

func (m *memory) Keep(ctx context.Context, who roster.Actor, d roster.Decision, version int) (roster.DecisionID, error) {
	a, err := m.Athlete(ctx, who.Club, d.Athlete)
	if err != nil {
		return 0, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if a.Version != version {
		return 0, fault.New(fault.Conflict, "")
	}
	if err := m.write(); err != nil {
		return 0, err
	}
	m.last++
	d.ID, d.Coach = roster.DecisionID(m.last), who.Coach
	m.decisions[d.Athlete] = append(m.decisions[d.Athlete], d)
	return d.ID, m.settle(who, a, d)
}

// settle puts the athlete where the decision leads.
func (m *memory) settle(who roster.Actor, a roster.Athlete, d roster.Decision) error {
	a.Standing = d.After
	if d.Word != "" {
		a.CoachWord = d.Word
	}
	return m.Change(context.Background(), who, a)
}

func (m *memory) Decision(context.Context, roster.ClubID, roster.DecisionID) (roster.Decision, error) {
	return roster.Decision{}, fault.New(fault.NotFound, "")
}

func (m *memory) Undo(context.Context, roster.Actor, roster.DecisionID, time.Time) error {
	return fault.New(fault.Forbidden, "a demo takes nothing back")
}

func (m *memory) Decisions(_ context.Context, _ roster.ClubID, id roster.AthleteID) ([]roster.Decision, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	all := slices.Clone(m.decisions[id])
	slices.Reverse(all)
	return all, nil
}

func (m *memory) Since(context.Context, roster.ClubID, time.Time) ([]roster.Decision, error) {
	return nil, nil
}

func (m *memory) Notes(context.Context, roster.ClubID, roster.AthleteID) ([]roster.Note, error) {
	return m.Written, nil
}
