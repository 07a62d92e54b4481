package heart

import (
	"context"
	"slices"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

// offers are the peaks above the maximum that was thought on the session's date,
// the newest session first. A measurement made since that is as high speaks for
// itself; whose heart rate is not usable is offered nothing (rule 4.4).
func offers(a *roster.Athlete, measured []roster.Measurement, recordings []roster.Recording) []Offer {
	if !a.HeartUsable {
		return nil
	}
	var all []Offer
	for i := range recordings {
		r := &recordings[i]
		peak := intensity.BPM(r.Reading.Peak)
		if r.PassedBy || peak < lowestMax || peak > highestMax {
			continue
		}
		thought, inATest, ok := personOn(a, measured, r.On).Max()
		if !ok || peak.Milli() <= thought || overtaken(measured, r, peak) {
			continue
		}
		all = append(all, Offer{
			Recording: r.ID, Session: r.Session, Date: r.On, Peak: peak, Expected: thought.Floor(), Measured: inATest,
		})
	}
	return all
}

// overtaken says whether a maximum as high was measured after the recording.
func overtaken(measured []roster.Measurement, r *roster.Recording, peak intensity.BPM) bool {
	return slices.ContainsFunc(measured, func(m roster.Measurement) bool {
		return (m.Kind == roster.MaxMeasured || m.Kind == roster.MaxObserved) && m.On > r.On && m.BPM >= peak
	})
}

// TakeOffer takes the peak of a recording as the measured maximum, from the
// session's date on; for coaches only. One that is not offered any more is
// fault.Conflict.
func (s *Service) TakeOffer(ctx context.Context, who roster.Actor, athlete roster.AthleteID, key roster.Key, recording roster.RecordingID) error {
	a, err := s.coached(ctx, who, athlete)
	if err != nil {
		return err
	}
	if err := fault.At(checkKey(key)...); err != nil {
		return err
	}
	measured, recordings, err := s.evidence(ctx, who.Club, athlete)
	if err != nil {
		return err
	}
	if slices.ContainsFunc(measured, func(m roster.Measurement) bool { return m.Key == key }) {
		return nil // sent twice
	}
	if !slices.ContainsFunc(recordings, func(r roster.Recording) bool { return r.ID == recording }) {
		return fault.New(fault.NotFound, "")
	}
	all := offers(&a, measured, recordings)
	i := slices.IndexFunc(all, func(o Offer) bool { return o.Recording == recording })
	if i < 0 {
		return fault.New(fault.Conflict, "This heart rate is not above the maximum any more, or it was passed over.")
	}
	_, err = s.Store.Measure(ctx, who, roster.Measurement{
		Athlete: athlete, Key: key, On: all[i].Date, Kind: roster.MaxObserved, BPM: all[i].Peak, At: s.Now(), ByCoach: who.Coach,
	})
	return err
}

// PassOver says that the peak of a recording is not to be offered again; for
// coaches only.
func (s *Service) PassOver(ctx context.Context, who roster.Actor, athlete roster.AthleteID, recording roster.RecordingID) error {
	if _, err := s.coached(ctx, who, athlete); err != nil {
		return err
	}
	return s.Store.PassOver(ctx, who, athlete, recording)
}

// evidence is everything measured and recorded of the athlete.
func (s *Service) evidence(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Measurement, []roster.Recording, error) {
	measured, err := s.Store.Measurements(ctx, club, athlete)
	if err != nil {
		return nil, nil, err
	}
	recordings, err := s.Store.Recordings(ctx, club, athlete)
	return measured, recordings, err
}

// Pulse is everything known of the athlete's heart rate.
func (s *Service) Pulse(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (*Pulse, error) {
	a, err := s.athlete(ctx, who, athlete)
	if err != nil {
		return nil, err
	}
	measured, recordings, err := s.evidence(ctx, who.Club, athlete)
	if err != nil {
		return nil, err
	}
	today := a.Today(s.Now())
	c := ceilingsOn(&a, measured, today)
	pulse := &Pulse{
		Athlete: a, Today: today, Easy: c.easy, Hard: c.hard,
		History: history(&a, measured, today), Measurements: slices.Clone(measured), Offers: offers(&a, measured, recordings),
	}
	slices.Reverse(pulse.Measurements)
	pulse.Recorded = make(map[roster.SessionID]bool, len(recordings))
	for i := range recordings {
		pulse.Recorded[recordings[i].Session] = true
	}
	return pulse, nil
}
