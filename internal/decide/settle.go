package decide

import (
	"context"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Pick is one of several athletes whose same proposal is settled together.
type Pick struct {
	Athlete     roster.AthleteID
	Fingerprint string
	Version     int
	Key         roster.Key
}

// Settled is what became of one of them.
type Settled struct {
	Athlete  roster.AthleteID
	Name     string
	Decision roster.Decision // zero where Left says why not
	Left     string          // why the athlete was left alone; empty: settled
}

// Settle makes the same choice for several athletes. Whoever's proposal changed
// since the coach looked, or for whom the choice departs from it, is left alone
// and told; the others are settled all the same. The error is one of the store,
// with what was settled before it.
func (s *Service) Settle(ctx context.Context, who roster.Actor, choice roster.Choice, word string, picks []Pick) ([]Settled, error) {
	if who.Coach == 0 {
		return nil, fault.New(fault.Forbidden, "Only a coach decides.")
	}
	if len(picks) == 0 {
		return nil, fault.At(fault.Field{Place: "pick", Message: "please tick at least one name"})
	}
	settled := make([]Settled, 0, len(picks))
	for _, pick := range picks {
		one, err := s.settleOne(ctx, who, Ask{
			Athlete: pick.Athlete, Choice: choice, Word: word,
			Fingerprint: pick.Fingerprint, Version: pick.Version, Key: pick.Key,
		})
		if err != nil {
			return settled, err
		}
		settled = append(settled, one)
	}
	return settled, nil
}

func (s *Service) settleOne(ctx context.Context, who roster.Actor, ask Ask) (Settled, error) {
	now := s.Now()
	v, err := s.look(ctx, who, ask.Athlete, now)
	if err != nil {
		return Settled{}, err
	}
	one := Settled{Athlete: ask.Athlete, Name: v.file.Athlete.Name}
	if ask.Fingerprint == "" {
		one.Left = "The proposal was not shown."
		return one, nil
	}
	one.Decision, err = s.settle(ctx, who, v, ask, now)
	switch fault.KindOf(err) {
	case fault.Conflict, fault.Forbidden:
		one.Left = fault.MessageOf(err)
	case fault.Invalid:
		one.Left = "This one needs a look of its own: " + fault.FieldsOf(err)[0].Message + "."
	default:
		return one, err
	}
	one.Decision = roster.Decision{}
	return one, nil
}
