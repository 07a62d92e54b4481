package entry_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// fake keeps one athlete in memory, with the promises of the Store.
type fake struct {
	athlete  roster.Athlete
	leave    []roster.Leave
	newest   *roster.Decision
	cleared  *roster.Clearance
	sessions []roster.Session
	alarms   []roster.Alarm // what came with each logging and correction
	interfer func(*fake)    // runs once, before the next correction
	down     bool
}

func (f *fake) Shelf(context.Context, roster.ClubID, roster.PathwayID) (*roster.Shelf, error) {
	return &roster.Shelf{ID: 1, Name: "Half an hour", Version: 1, Pathway: *pathway.Default()}, nil
}

func (f *fake) File(_ context.Context, club roster.ClubID, athlete roster.AthleteID, _ day.Date) (roster.File, error) {
	if f.down {
		return roster.File{}, fault.New(fault.Unavailable, "")
	}
	if club != f.athlete.Club || athlete != f.athlete.ID {
		return roster.File{}, fault.New(fault.NotFound, "")
	}
	return roster.File{Athlete: f.athlete, Sessions: slices.Clone(f.sessions), Leave: f.leave, Newest: f.newest, Cleared: f.cleared}, nil
}

func (f *fake) Sessions(context.Context, roster.ClubID, roster.AthleteID) ([]roster.Session, error) {
	all := slices.Clone(f.sessions)
	slices.SortFunc(all, func(a, b roster.Session) int { return b.StartedAt.Compare(a.StartedAt) })
	return all, nil
}

func (f *fake) find(id roster.SessionID) int {
	return slices.IndexFunc(f.sessions, func(s roster.Session) bool { return s.ID == id })
}

func (f *fake) Session(_ context.Context, _ roster.ClubID, _ roster.AthleteID, id roster.SessionID) (roster.Session, error) {
	if i := f.find(id); i >= 0 {
		return f.sessions[i], nil
	}
	return roster.Session{}, fault.New(fault.NotFound, "")
}

func (f *fake) Log(_ context.Context, _ roster.Actor, s roster.Session, alarm roster.Alarm) (roster.SessionID, bool, error) {
	for _, o := range f.sessions {
		if o.Key == s.Key {
			return o.ID, true, nil
		}
	}
	if f.twin(s) {
		return 0, false, fault.New(fault.Conflict, "")
	}
	s.ID = roster.SessionID(len(f.sessions) + 1)
	s.Version = 1
	f.sessions = append(f.sessions, s)
	f.alarms = append(f.alarms, alarm)
	return s.ID, false, nil
}

func (f *fake) twin(s roster.Session) bool {
	return slices.ContainsFunc(f.sessions, func(o roster.Session) bool {
		return o.ID != s.ID && o.Kind == s.Kind && o.StartedAt.Equal(s.StartedAt)
	})
}

func (f *fake) Correct(_ context.Context, _ roster.Actor, s roster.Session, alarm roster.Alarm) error {
	if f.interfer != nil {
		f.interfer(f)
		f.interfer = nil
	}
	i := f.find(s.ID)
	if i < 0 {
		return fault.New(fault.NotFound, "")
	}
	if f.sessions[i].Version != s.Version || f.twin(s) {
		return fault.New(fault.Conflict, "")
	}
	s.Version++
	f.sessions[i] = s
	f.alarms = append(f.alarms, alarm)
	return nil
}

func (f *fake) Delete(_ context.Context, _ roster.Actor, _ roster.AthleteID, id roster.SessionID, version int) error {
	i := f.find(id)
	if i < 0 {
		return fault.New(fault.NotFound, "")
	}
	if f.sessions[i].Version != version {
		return fault.New(fault.Conflict, "")
	}
	f.sessions = slices.Delete(f.sessions, i, i+1)
	return nil
}

// scene is the athlete on L3 of the default pathway in Lisbon, asked about at an
// instant.
type scene struct {
	*fake
	use *entry.Service
	now time.Time
	who roster.Actor
}

const lisbon = "Europe/Lisbon"

func newScene(t *testing.T, zone, now string) *scene {
	t.Helper()
	place, err := time.LoadLocation(zone)
	require.NoError(t, err)
	at, err := time.ParseInLocation("2006-01-02 15:04", now, place)
	require.NoError(t, err)
	s := &scene{now: at, who: roster.Actor{Club: 7, Athlete: 3}}
	s.fake = &fake{athlete: roster.Athlete{
		ID: 3, Club: 7, Name: "Ines Okafor", Zone: zone, SessionsAWeek: 3, HeartUsable: true, JoinedOn: day.On(2026, 1, 5), Arrival: roster.Here,
		Standing: roster.Standing{Pathway: 1, Phase: "L3", PhaseSince: day.Of(at, place) - 8, LastPassed: "L2"},
	}}
	s.use = &entry.Service{Store: s.fake, Now: func() time.Time { return s.now }}
	return s
}

func (s *scene) log(e entry.Entry) (entry.Result, error) {
	if e.Key == "" {
		e.Key = roster.Key(fmt.Sprintf("key-of-entry-%d", len(s.sessions)))
	}
	return s.use.Log(context.Background(), s.who, s.athlete.ID, e)
}

// whole is all of a planned session at a time of day.
func whole(date day.Date, minutes int) entry.Entry {
	return entry.Entry{
		Date: date, Clock: readiness.Some(minutes), Whole: true, Effort: readiness.Some(4),
		Talk: readiness.Sentence, Breath: readiness.Early, PainAsked: true,
	}
}

// faultAt asserts that exactly the one field is wrong, and gives what is said.
func faultAt(t *testing.T, err error, place string) string {
	t.Helper()
	require.Equal(t, fault.Invalid, fault.KindOf(err), "%v", err)
	fields := fault.FieldsOf(err)
	require.Len(t, fields, 1, "%v", fields)
	require.Equal(t, place, fields[0].Place)
	return fields[0].Message
}
