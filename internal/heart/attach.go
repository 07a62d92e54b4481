package heart

import (
	"context"
	"crypto/sha256"
	"fmt"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// Attached is what became of a file that was sent.
type Attached struct {
	Again bool             // the same file is there already: nothing was stored
	At    roster.SessionID // where it is: with Again perhaps another session than the one asked for
}

// farOff is how far a recording may begin from its session without a question.
const farOff = 24 * time.Hour

// Attach reads the file and adds it to the session: its walks are judged against
// the ceiling that holds on the session's date. Faults are fault.Invalid at file. A
// session with another recording is fault.Conflict unless replace is set, a
// recording that began more than a day from the session is fault.Conflict unless
// anyway is set; the fields of that fault are named replace and anyway.
func (s *Service) Attach(ctx context.Context, who roster.Actor, athlete roster.AthleteID, session roster.SessionID, body []byte, replace, anyway bool) (Attached, error) {
	a, err := s.athlete(ctx, who, athlete)
	if err != nil {
		return Attached{}, err
	}
	if err := here(&a); err != nil {
		return Attached{}, err
	}
	if _, err := s.Store.Session(ctx, who.Club, athlete, session); err != nil {
		return Attached{}, err
	}
	digest := sha256.Sum256(body)
	all, err := s.Store.Recordings(ctx, who.Club, athlete)
	if err != nil {
		return Attached{}, err
	}
	if there, again := sent(all, digest); again {
		return there, nil
	}
	file, err := s.read(body)
	if err != nil {
		return Attached{}, err
	}
	fresh := roster.Recording{
		Athlete: athlete, Session: session, Digest: digest, Format: file.Format, Started: file.Recording.Start,
		Body: trace.Pack(&file.Recording), AddedAt: s.Now(), ByCoach: who.Coach,
	}
	var result Attached
	err = whileCorrected(func() (err error) {
		result, err = s.attach(ctx, who, &a, fresh, &file.Recording, replace, anyway)
		return err
	})
	if err != nil {
		return Attached{}, err
	}
	return result, nil
}

// sent says where the file of this digest is, if it is among the recordings.
func sent(all []roster.Recording, digest [32]byte) (there Attached, again bool) {
	i := slices.IndexFunc(all, func(r roster.Recording) bool { return r.Digest == digest })
	if i < 0 {
		return Attached{}, false
	}
	return Attached{Again: true, At: all[i].Session}, true
}

// read reads a file that holds heart rate.
func (s *Service) read(body []byte) (File, error) {
	file, err := s.Read(body)
	if err != nil {
		return File{}, err
	}
	if !slices.ContainsFunc(file.Recording.Samples, func(one trace.Sample) bool { return one.BPM > 0 }) {
		return File{}, fault.At(fault.Field{Place: "file", Message: "there is no heart rate in this file; was the strap or the sensor on?"})
	}
	return file, nil
}

// attach puts a recording to the session as it is now, if nothing is to be asked
// first. The session is read before anything else: whatever is attached to it
// afterwards changes its version.
func (s *Service) attach(ctx context.Context, who roster.Actor, a *roster.Athlete, r roster.Recording, recorded *trace.Recording, replace, anyway bool) (Attached, error) {
	session, err := s.Store.Session(ctx, who.Club, a.ID, r.Session)
	if err != nil {
		return Attached{}, err
	}
	all, err := s.Store.Recordings(ctx, who.Club, a.ID)
	if err != nil {
		return Attached{}, err
	}
	if there, again := sent(all, r.Digest); again {
		return there, nil
	}
	taken := slices.ContainsFunc(all, func(o roster.Recording) bool { return o.Session == session.ID })
	if err := questions(a, &session, r.Started, taken && !replace, !anyway); err != nil {
		return Attached{}, err
	}
	return Attached{At: session.ID}, s.judge(ctx, who, a, session, r, recorded)
}

// questions are those that have to be answered before a recording is attached:
// whether it shall take the place of the one that is there, and whether it is the
// right one.
func questions(a *roster.Athlete, session *roster.Session, started time.Time, taken, asked bool) error {
	e := fault.Error{Kind: fault.Conflict}
	if apart := started.Sub(session.StartedAt).Abs(); asked && !started.IsZero() && apart > farOff {
		e.Message = fmt.Sprintf("This recording began on %s, the session on %s. Does it belong here?",
			inWords(day.Of(started, a.Place())), inWords(day.Of(session.StartedAt, a.Place())))
		e.Fields = append(e.Fields, fault.Field{Place: "anyway", Message: "the recording is of another day"})
	}
	if taken {
		if e.Message != "" {
			e.Message += " "
		}
		e.Message += "This session has another recording already. Shall the new one take its place?"
		e.Fields = append(e.Fields, fault.Field{Place: "replace", Message: "another recording is there already"})
	}
	if len(e.Fields) == 0 {
		return nil
	}
	return &e
}

func inWords(d day.Date) string { return d.UTC().Format("2 January 2006") }

// judge reads a recording against the plan of the session and the ceilings of its
// date, and stores it with what it shows.
func (s *Service) judge(ctx context.Context, who roster.Actor, a *roster.Athlete, session roster.Session, r roster.Recording, recorded *trace.Recording) error {
	measured, err := s.Store.Measurements(ctx, who.Club, a.ID)
	if err != nil {
		return err
	}
	p, err := s.planOf(ctx, who.Club, a, &session)
	if err != nil {
		return err
	}
	c := ceilingsOn(a, measured, session.Date)
	marked := *recorded
	marked.Marks = p.marks(recorded.Marks, len(session.Blocks))
	r.Reading = trace.Read(&marked, p.blocks, c.forTrace())
	shown := p.show(session, &r.Reading, c)
	r.Reading.Rates = nil
	r.Ceiling, r.Hard, r.Rules, r.ReadAt = c.easy, c.hard, trace.Rules, s.Now()
	_, err = s.Store.Attach(ctx, who, r, shown)
	return withoutFields(err)
}

// withoutFields marks a conflict as one of the store, not as a question.
func withoutFields(err error) error {
	if fault.KindOf(err) == fault.Conflict {
		return fault.Wrap(fault.Conflict, err)
	}
	return err
}
