package demo_test

import (
	"context"
	"slices"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// pulses is what the memory keeps of hearts.
type pulses struct {
	recordings   map[roster.AthleteID][]roster.Recording
	measurements map[roster.AthleteID][]roster.Measurement
}

func (m *memory) Recording(_ context.Context, _ roster.ClubID, id roster.AthleteID, session roster.SessionID) (roster.Recording, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, r := range m.pulses.recordings[id] {
		if r.Session == session {
			return r, nil
		}
	}
	return roster.Recording{}, fault.New(fault.NotFound, "")
}

func (m *memory) Recordings(_ context.Context, _ roster.ClubID, id roster.AthleteID) ([]roster.Recording, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	all := slices.Clone(m.pulses.recordings[id])
	slices.Reverse(all)
	return all, nil
}

func (m *memory) Attach(ctx context.Context, who roster.Actor, r roster.Recording, s roster.Session) (roster.RecordingID, error) {
	m.mu.Lock()
	if err := m.write(); err != nil {
		m.mu.Unlock()
		return 0, err
	}
	m.last++
	r.ID, r.On = roster.RecordingID(m.last), s.Date
	m.pulses.recordings[r.Athlete] = append(m.pulses.recordings[r.Athlete], r)
	m.mu.Unlock()
	return r.ID, m.Correct(ctx, who, s, 0)
}

func (m *memory) Detach(context.Context, roster.Actor, roster.AthleteID, roster.Session) error {
	return fault.New(fault.Forbidden, "a demo takes nothing away")
}

func (m *memory) Measurements(_ context.Context, _ roster.ClubID, id roster.AthleteID) ([]roster.Measurement, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.pulses.measurements[id]), nil
}

func (m *memory) Measure(_ context.Context, _ roster.Actor, n roster.Measurement) (roster.MeasurementID, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, o := range m.pulses.measurements[n.Athlete] {
		if o.Key == n.Key {
			return o.ID, nil
		}
	}
	if err := m.write(); err != nil {
		return 0, err
	}
	m.last++
	n.ID = roster.MeasurementID(m.last)
	m.pulses.measurements[n.Athlete] = append(m.pulses.measurements[n.Athlete], n)
	return n.ID, nil
}

func (m *memory) Unmeasure(context.Context, roster.Actor, roster.AthleteID, roster.MeasurementID) error {
	return fault.New(fault.Forbidden, "a demo takes nothing back")
}

func (m *memory) PassOver(context.Context, roster.Actor, roster.AthleteID, roster.RecordingID) error {
	return fault.New(fault.Forbidden, "a demo passes nothing over")
}

func (m *memory) SetFormula(context.Context, roster.Actor, roster.AthleteID, string) error {
	return fault.New(fault.Forbidden, "a demo picks no formula")
}
