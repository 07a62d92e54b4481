package demo

import (
	"context"
	"maps"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// arrival is somebody invented who is still coming in.
type arrival struct {
	member
	answered int               // days ago; 0: not yet
	change   screening.Answers // where the answers differ from those of somebody whom nothing ails
}

// arrivals are one of each kind: invited, answered with nothing against it, and
// answered so that a doctor is asked first. Their numbers follow those of the cast.
func arrivals() []arrival {
	list := []arrival{
		{member: member{name: "Tindra Okpara", joined: 3}},
		{member: member{name: "Gustavo Nyström", coach: 1, joined: 4}, answered: 1, change: screening.Answers{
			screening.BirthYear: {"1979"}, screening.Medicine: {"beta"}, screening.Injuries: {"ankle"},
			screening.InjuryText: {"Twisted it on the stairs four years ago. It only complains on cobbles."},
		}},
		{member: member{name: "Rahel Pemberton", joined: 6}, answered: 2, change: screening.Answers{
			screening.BirthYear: {"1967"}, screening.Disease: {"diabetes2"}, screening.Cleared: {"no"},
			screening.Breathless: {"yes"}, screening.WalksHalf: {"no"}, screening.Bone: {"osteoporosis"},
		}},
	}
	for i := range list {
		list[i].number = len(cast()) + i + 1
	}
	return list
}

// wellAnswers are those of somebody whom nothing ails and who walks with ease.
func wellAnswers() screening.Answers {
	return screening.Answers{
		screening.BirthYear: {"1988"}, screening.Height: {"171"}, screening.Weight: {"74"},
		screening.Active: {"no"}, screening.Disease: {"none"}, screening.Cleared: {"no"}, screening.Signs: {"none"},
		screening.Medicine: {"none"}, screening.Rhythm: {"none"}, screening.Expecting: {"no"},
		screening.Injuries: {"none"}, screening.HurtsNow: {"no"}, screening.Operation: {"none"}, screening.Bone: {"none"},
		screening.Sessions: {"3"}, screening.Times: {"tuesday-evening", "thursday-evening", "sunday-morning"}, screening.Resting: {"66"},
		screening.Daily: {"sitting"}, screening.Breathless: {"no"}, screening.Endurance: {"yes"}, screening.WalksHalf: {"yes"},
		screening.RunsFew: {"no"}, screening.Alternates: {"no"},
	}
}

// comeIn invites everybody who is still coming in and lets them answer as far as
// they got.
func (h *house) comeIn(ctx context.Context) error {
	for _, one := range arrivals() {
		id, err := h.invite(ctx, &one)
		if err == nil && one.answered > 0 {
			err = h.answer(ctx, &one, id)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// invite takes the person in by the questions; again gives the same ID.
func (h *house) invite(ctx context.Context, one *arrival) (roster.AthleteID, error) {
	at := h.clock(h.today-day.Date(one.joined), 10*60)
	use := enrol.Service{Store: h.Store, Now: func() time.Time { return at }}
	person := enrol.Person{Name: one.name, Email: one.email(), Zone: h.Zone, SessionsAWeek: 3, HeartUsable: true}
	return use.Add(ctx, h.coaches[one.coach], person, enrol.Start{}, one.key("joins", 0))
}

// answer agrees and answers on the phone, on an evening, once.
func (h *house) answer(ctx context.Context, one *arrival, id roster.AthleteID) error {
	at := h.clock(h.today-day.Date(one.answered), 19*60+20)
	use := join.Service{Store: h.Store, Now: func() time.Time { return at }}
	who := roster.Actor{Club: h.club.ID, Athlete: id}
	return fillIn(ctx, &use, who, id, one.change)
}

// fillIn agrees and answers all questions that are asked, where they differ from
// those of somebody whom nothing ails; once.
func fillIn(ctx context.Context, use *join.Service, who roster.Actor, id roster.AthleteID, change screening.Answers) error {
	t, err := use.State(ctx, who, id)
	if err != nil || t.Check != nil && t.Check.Source != roster.FromPaper {
		return err
	}
	agreed := join.Agreement{Kinds: []roster.ConsentKind{roster.ToKeeping, roster.ToHealth, roster.IsAdult}}
	if err := use.Agree(ctx, who, id, agreed); err != nil {
		return err
	}
	answers := wellAnswers()
	maps.Copy(answers, change)
	for _, section := range t.Sections {
		if err := use.Answer(ctx, who, id, section.ID, answers); err != nil {
			return err
		}
	}
	return use.HandIn(ctx, who, id)
}
