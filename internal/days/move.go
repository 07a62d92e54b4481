package days

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// Shift is the wish to have one session of a week on another day of it, or at another
// time.
type Shift struct {
	Key    roster.Key
	Kind   weekplan.Kind // Run also where the sessions are walks
	From   day.Date      // where it is now; before today: it was missed
	To     day.Date      // in the same week
	Part   weekplan.Part // Any: whichever is best
	Insist bool          // a coach's only: whatever gives way
}

// Moved is what became of it.
type Moved struct {
	Refused weekplan.Rule     // why it cannot be, and then nothing is changed; NoRule: it is moved
	Again   bool              // it had been sent before: nothing was done twice
	Changes []weekplan.Change // what is elsewhere now, the session itself first; empty where Again
}

// changedMeanwhile says that somebody else was quicker.
func changedMeanwhile(cause error) error {
	return &fault.Error{
		Kind: fault.Conflict, Cause: cause,
		Message: "The week has changed meanwhile, so nothing was moved. Look at it as it is now, and move again if you still want to.",
	}
}

// Move puts a session on another day. Whoever acts for an athlete does so as a coach,
// whose wish weighs more. What cannot be is refused with its reason, which is no
// error. Errors are invalid, at to, and conflict where the week has changed meanwhile.
func (s *Service) Move(ctx context.Context, who roster.Actor, athlete roster.AthleteID, x Shift) (Moved, error) {
	if x.To == 0 || x.From == 0 || x.Kind > weekplan.Legs || weekplan.Monday(x.To) != weekplan.Monday(x.From) {
		return Moved{}, fault.At(fault.Field{Place: "to", Message: "please choose a day of the same week"})
	}
	w, err := s.Week(ctx, who, athlete, weekplan.Monday(x.To))
	if err != nil {
		return Moved{}, err
	}
	if x.Kind == weekplan.Walk {
		x.Kind = weekplan.Run
	}
	if again, err := s.again(ctx, who, &w, x.Key); again || err != nil {
		return Moved{Again: again}, err
	}
	if !w.Open() {
		return Moved{Refused: weekplan.DayOff}, nil
	}
	if last := w.undoes(&x, who); last != nil {
		err := s.Store.UndoPin(ctx, who, *last, x.Key, w.Athlete.WeekVersion)
		if fault.KindOf(err) == fault.Conflict {
			err = changedMeanwhile(err)
		}
		return Moved{Changes: []weekplan.Change{{Kind: x.Kind, From: x.From, To: x.To}}}, err
	}
	p := roster.Pin{
		Athlete: athlete, Key: x.Key, Kind: x.Kind, On: x.To, Part: x.Part, ByCoach: who.Coach, Insist: x.Insist && who.Coach != 0,
		From: x.From, MadeAt: w.after(s.Now()), MadeOn: w.Today,
	}
	moved, err := weekplan.Move(&w.asked, shiftOf(&p))
	switch {
	case fault.KindOf(err) == fault.Conflict:
		return Moved{}, changedMeanwhile(err)
	case err != nil:
		return Moved{}, err
	case moved.Refused != weekplan.NoRule:
		return Moved{Refused: moved.Refused}, nil
	}
	_, err = s.Store.AddPin(ctx, who, p, w.single(x.Kind, x.From), w.Athlete.WeekVersion)
	if fault.KindOf(err) == fault.Conflict {
		return Moved{}, changedMeanwhile(err)
	}
	return Moved{Changes: moved.Changes}, err
}

// undoes is the move that the shift takes back: the newest wish of all, made today by
// the same side, the other way round. Then the week is as it was before, in all of its
// sessions. Nil: it takes back nothing.
func (w *Week) undoes(x *Shift, who roster.Actor) *roster.Pin {
	for i := range w.Pins {
		p := &w.Pins[i]
		if p.MadeAt.Equal(w.newest) && p.MadeOn == w.Today && p.Kind == x.Kind && p.From == x.To && p.On == x.From &&
			(p.ByCoach != 0) == (who.Coach != 0) && x.Part == weekplan.Any {
			return p
		}
	}
	return nil
}

// after is the instant as it is kept: after all wishes before, whatever the clock did,
// since their order counts.
func (w *Week) after(now time.Time) time.Time {
	now = now.Truncate(time.Microsecond)
	if !now.After(w.newest) {
		now = w.newest.Add(time.Microsecond)
	}
	return now
}

// single are the wishes for one date and kind that a move from there ends; wishes for
// the weekday stay, since a move is for one week.
func (w *Week) single(k weekplan.Kind, on day.Date) []roster.PinID {
	var list []roster.PinID
	for i := range w.Pins {
		if p := &w.Pins[i]; p.Kind == k && p.On == on {
			list = append(list, p.ID)
		}
	}
	return list
}

// again says whether a wish with the key was kept before.
func (s *Service) again(ctx context.Context, who roster.Actor, w *Week, key roster.Key) (bool, error) {
	wishes, err := s.Store.Wanted(ctx, who.Club, w.Athlete.ID, reach(s.Now()))
	return slices.ContainsFunc(wishes.Pins, func(p roster.Pin) bool { return p.Key == key || p.Undone == key }), err
}

// Fixed is the wish to have a kind of session on a weekday from now on.
type Fixed struct {
	Key     roster.Key
	Kind    weekplan.Kind
	Weekday time.Weekday
	Part    weekplan.Part
}

// Pin keeps a wish for a weekday; one for the same kind and weekday by the same side
// is replaced. The same key again gives the ID of then.
func (s *Service) Pin(ctx context.Context, who roster.Actor, athlete roster.AthleteID, f Fixed) (roster.PinID, error) {
	if f.Kind > weekplan.Legs || f.Weekday < time.Sunday || f.Weekday > time.Saturday || f.Part > weekplan.Evening {
		return 0, fault.At(fault.Field{Place: "weekday", Message: "please choose a session and a day"})
	}
	w, err := s.Week(ctx, who, athlete, 0)
	if err != nil {
		return 0, err
	}
	if f.Kind == weekplan.Walk {
		f.Kind = weekplan.Run
	}
	p := roster.Pin{
		Athlete: athlete, Key: f.Key, Kind: f.Kind, Weekday: f.Weekday, Part: f.Part, ByCoach: who.Coach,
		MadeAt: w.after(s.Now()), MadeOn: w.Today,
	}
	var lifted []roster.PinID
	for i := range w.Pins {
		if o := &w.Pins[i]; o.Standing() && o.Kind == p.Kind && o.Weekday == p.Weekday && o.By() == p.By() && o.Key != p.Key {
			lifted = append(lifted, o.ID)
		}
	}
	id, err := s.Store.AddPin(ctx, who, p, lifted, w.Athlete.WeekVersion)
	if fault.KindOf(err) == fault.Conflict {
		err = changedMeanwhile(err)
	}
	return id, err
}

// Unpin ends a wish, so that the session finds its own day. What a coach fixed an
// athlete cannot end: that is fault.Forbidden. One that ended already is no error.
func (s *Service) Unpin(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.PinID) error {
	w, err := s.Week(ctx, who, athlete, 0)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(w.Pins, func(p roster.Pin) bool { return p.ID == id })
	if i < 0 {
		return nil
	}
	p := w.Pins[i]
	if p.ByCoach != 0 && who.Coach == 0 {
		return fault.New(fault.Forbidden, "Your coach has fixed this day. Ask your coach, or move the session.")
	}
	p.LiftedAt, p.LiftedOn = w.after(s.Now()), w.Today
	err = s.Store.LiftPin(ctx, who, p)
	if fault.KindOf(err) == fault.NotFound {
		return nil
	}
	return err
}

// Choice is what moving a session to a day of the week would come to.
type Choice struct {
	On      day.Date
	Refused weekplan.Rule         // why it cannot be; NoRule: it can
	Insist  bool                  // it cannot unless a coach insists, who may
	Costs   []weekplan.Compromise // what would give way that does not yet
	Changes []weekplan.Change     // what would be elsewhere, the session itself first
}

// Choices are what moving the session to each day of its week would come to, from
// Monday on; where it is now that is nothing. Conflict where it is not there.
func (w *Week) Choices(who roster.Actor, k weekplan.Kind, from day.Date) ([]Choice, error) {
	if k == weekplan.Walk {
		k = weekplan.Run
	}
	var list []Choice
	for i := range w.Days {
		p := roster.Pin{Kind: k, On: w.Monday + day.Date(i), From: from, ByCoach: who.Coach}
		c, err := w.choice(&p)
		if err == nil && c.Refused != weekplan.NoRule && who.Coach != 0 {
			p.Insist = true
			insisted, err := w.choice(&p)
			if err == nil && insisted.Refused == weekplan.NoRule {
				c.Insist, c.Costs, c.Changes = true, insisted.Costs, insisted.Changes
			}
		}
		if err != nil {
			return nil, changedMeanwhile(err)
		}
		list = append(list, c)
	}
	return list, nil
}

func (w *Week) choice(p *roster.Pin) (Choice, error) {
	c := Choice{On: p.On}
	if !w.Open() {
		c.Refused = weekplan.DayOff
		return c, nil
	}
	moved, err := weekplan.Move(&w.asked, shiftOf(p))
	if err != nil {
		return c, err
	}
	if c.Refused = moved.Refused; c.Refused == weekplan.NoRule {
		c.Changes = moved.Changes
		for _, o := range moved.Plan.Compromises {
			if !slices.Contains(w.Compromises, o) {
				c.Costs = append(c.Costs, o)
			}
		}
	}
	return c, nil
}
