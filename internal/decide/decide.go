// Package decide is what a coach does with a verdict: follow it or not, one
// athlete at a time or several with the same proposal, and take it back.
package decide

import (
	"bytes"
	"context"
	"time"

	"halfhour.app/halfhour/internal/document"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Service makes decisions. Now is the clock.
type Service struct {
	Store Store
	Now   func() time.Time
}

// Ask is a decision as the coach asks for it.
type Ask struct {
	Athlete     roster.AthleteID
	Choice      roster.Choice
	To          string           // a phase, where the coach picks one; empty: where the choice leads by itself
	Reason      string           // needed where it departs from the proposal
	Clearance   roster.Clearance // needed where a referral ends: given_on, given_by, limits
	Word        string           // to the athlete; empty: the last one stays
	Fingerprint string           // of the proposal the coach saw; empty: not compared
	Version     int              // of the athlete as the coach saw them
	Key         roster.Key       // made with the form
}

// view is an athlete as the engine and the coach see them now.
type view struct {
	file    roster.File
	shelf   *roster.Shelf
	history readiness.History
	verdict readiness.Verdict
}

// Decide carries out one decision and gives it as it is kept. Faults of single
// fields are fault.Invalid; a proposal that changed since the coach saw it, or an
// athlete that somebody else changed, is fault.Conflict.
func (s *Service) Decide(ctx context.Context, who roster.Actor, ask Ask) (roster.Decision, error) {
	if who.Coach == 0 {
		return roster.Decision{}, fault.New(fault.Forbidden, "Only a coach decides.")
	}
	now := s.Now()
	v, err := s.look(ctx, who, ask.Athlete, now)
	if err != nil {
		return roster.Decision{}, err
	}
	return s.settle(ctx, who, v, ask, now)
}

// look reads an athlete whom the actor sees, and asks the engine.
func (s *Service) look(ctx context.Context, who roster.Actor, athlete roster.AthleteID, now time.Time) (*view, error) {
	file, err := s.Store.File(ctx, who.Club, athlete, roster.Latest(now))
	if err != nil {
		return nil, err
	}
	if !who.Sees(&file.Athlete) {
		return nil, fault.New(fault.NotFound, "")
	}
	shelf, err := s.Store.Shelf(ctx, who.Club, file.Athlete.Pathway)
	if err != nil {
		return nil, err
	}
	if shelf.Find(file.Athlete.Phase) == pathway.NoRung {
		return nil, fault.New(fault.NotFound, "The phase of "+file.Athlete.Name+" is not on the pathway any more.")
	}
	v := &view{file: file, shelf: shelf}
	v.history = v.file.History(&shelf.Pathway, v.file.Athlete.Today(now))
	v.verdict = readiness.Assess(&v.history)
	return v, nil
}

// settle checks the decision against what is seen now, and keeps it.
func (s *Service) settle(ctx context.Context, who roster.Actor, v *view, ask Ask, now time.Time) (roster.Decision, error) {
	a := &v.file.Athlete
	if again := v.file.Newest; again != nil && ask.Key != "" && again.Key == ask.Key {
		if again.Choice == ask.Choice && (ask.To == "" || ask.To == again.To) {
			return *again, nil // the same form, sent twice
		}
		return roster.Decision{}, fault.New(fault.Conflict, "From this page it was decided otherwise already. Please look again.")
	}
	if !a.LeftAt.IsZero() {
		return roster.Decision{}, fault.New(fault.Conflict, a.Name+" has left the club.")
	}
	if err := arrived(a, ask.Choice); err != nil {
		return roster.Decision{}, err
	}
	proposal := v.verdict.Fingerprint()
	if ask.Fingerprint != "" && ask.Fingerprint != proposal {
		return roster.Decision{}, fault.New(fault.Conflict, "Something new came in about "+a.Name+", and the proposal changed. Please look again.")
	}
	ask.Reason, ask.Word, ask.Clearance = roster.Clean(ask.Reason), roster.Clean(ask.Word), tidy(ask)
	if who.Deputy && !DeputyMay(ask.Choice, v.verdict.Action) {
		return roster.Decision{}, errDeputy()
	}
	after, err := v.after(ask, now)
	if err != nil {
		return roster.Decision{}, err
	}
	if who.Deputy && !v.asFarAs(ask.Choice, after.Phase) {
		return roster.Decision{}, errDeputy()
	}
	d := roster.Decision{
		Athlete: a.ID, Coach: who.Coach, At: now, AsOf: v.history.AsOf, Choice: ask.Choice, To: after.Phase,
		Reason: ask.Reason, Word: ask.Word, Clearance: ask.Clearance, Proposal: proposal, Before: a.Standing, After: after, Key: ask.Key,
	}
	if d.Verdict, err = s.document(ctx, who.Club, v); err != nil {
		return roster.Decision{}, err
	}
	d.ID, err = s.Store.Keep(ctx, who, d, ask.Version)
	if fault.KindOf(err) == fault.Conflict {
		err = &fault.Error{Kind: fault.Conflict, Cause: err, Message: "Somebody else changed something about " + a.Name + " meanwhile. Please look again."}
	}
	return d, err
}

// document is the verdict as it stands, in the form the rule book gives it. When
// thirty minutes may come is told from all sessions since the start (rule 11).
func (s *Service) document(ctx context.Context, club roster.ClubID, v *view) ([]byte, error) {
	all, err := s.Store.Sessions(ctx, club, v.file.Athlete.ID)
	if err != nil {
		return nil, err
	}
	whole := v.file
	whole.Sessions = all
	h := whole.History(&v.shelf.Pathway, v.history.AsOf)
	var out bytes.Buffer
	err = document.Write(&out, &v.verdict, readiness.Arrival(&h, &v.verdict))
	return out.Bytes(), err
}

// Undo takes back the newest decision about an athlete; taken back already is no
// error. Where something was decided or changed since, it is fault.Conflict.
func (s *Service) Undo(ctx context.Context, who roster.Actor, id roster.DecisionID) (roster.Decision, error) {
	if who.Coach == 0 {
		return roster.Decision{}, fault.New(fault.Forbidden, "Only a coach decides.")
	}
	d, err := s.Store.Decision(ctx, who.Club, id)
	if err != nil {
		return roster.Decision{}, err
	}
	if err := s.mayUndo(ctx, who, &d); err != nil {
		return roster.Decision{}, err
	}
	err = s.Store.Undo(ctx, who, id, s.Now())
	if fault.KindOf(err) == fault.Conflict {
		err = &fault.Error{Kind: fault.Conflict, Cause: err, Message: "Something was decided since, so this can no longer be taken back."}
	}
	return d, err
}
