package heart

import (
	"context"
	"errors"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

// Attached is what became of a file that was sent.
type Attached struct {
	Again bool             // the same file is there already: nothing was stored
	At    roster.SessionID // where it is: with Again perhaps another session than the one asked for
}

// Attach reads the file and adds it to the session: its walks are judged against
// the ceiling that holds on the session's date. Faults are fault.Invalid at file. A
// session with another recording is fault.Conflict unless replace is set, a
// recording that began more than a day from the session is fault.Conflict unless
// anyway is set.
func (s *Service) Attach(ctx context.Context, who roster.Actor, athlete roster.AthleteID, session roster.SessionID, body []byte, replace, anyway bool) (Attached, error) {
	return Attached{}, errors.ErrUnsupported
}

// Seen is the recording of a session as it was read then.
func (s *Service) Seen(ctx context.Context, who roster.Actor, athlete roster.AthleteID, session roster.SessionID) (*Seen, error) {
	return nil, errors.ErrUnsupported
}

// ReadAnew reads a recording once more, with the rules of now and the ceiling that
// holds on the session's date by what is known now.
func (s *Service) ReadAnew(ctx context.Context, who roster.Actor, athlete roster.AthleteID, session roster.SessionID) error {
	return errors.ErrUnsupported
}

// Detach removes the recording of a session and what it showed.
func (s *Service) Detach(ctx context.Context, who roster.Actor, athlete roster.AthleteID, session roster.SessionID) error {
	return errors.ErrUnsupported
}

// Pulse is everything known of the athlete's heart rate.
func (s *Service) Pulse(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (*Pulse, error) {
	return nil, errors.ErrUnsupported
}

// TalkTest keeps a guided talk test of today: its last comfortable stage sets the
// easy ceiling from today on. A test without one is fault.Invalid at stages.
func (s *Service) TalkTest(ctx context.Context, who roster.Actor, athlete roster.AthleteID, key roster.Key, stages []intensity.Stage) error {
	return errors.ErrUnsupported
}

// Measure keeps a resting rate or a measured maximum (kind, bpm and on are the
// places of faults). A maximum is for coaches only.
func (s *Service) Measure(ctx context.Context, who roster.Actor, athlete roster.AthleteID, key roster.Key, kind roster.MeasurementKind, bpm int, on day.Date) error {
	return errors.ErrUnsupported
}

// TakeBack removes a measurement that was a mistake. Sessions keep the ceiling they
// were judged with. What a coach measured only a coach takes back.
func (s *Service) TakeBack(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.MeasurementID) error {
	return errors.ErrUnsupported
}

// TakeOffer takes the peak of a recording as the measured maximum, from the
// session's date on; for coaches only. PassOver leaves it.
func (s *Service) TakeOffer(ctx context.Context, who roster.Actor, athlete roster.AthleteID, key roster.Key, recording roster.RecordingID) error {
	return errors.ErrUnsupported
}

// PassOver says that the peak of a recording is not to be offered again; for
// coaches only.
func (s *Service) PassOver(ctx context.Context, who roster.Actor, athlete roster.AthleteID, recording roster.RecordingID) error {
	return errors.ErrUnsupported
}

// SetFormula picks the formula of the predicted maximum; for coaches only.
func (s *Service) SetFormula(ctx context.Context, who roster.Actor, athlete roster.AthleteID, formula string) error {
	return errors.ErrUnsupported
}
