package demo

import (
	"context"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// told is the evening on which the athlete agrees and answers the health questions,
// where they differ from those of somebody whom nothing ails.
func told(ago int, change screening.Answers) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		l.at = l.clock(date, evening)
		return fillIn(ctx, l.asking, roster.Actor{Club: l.club.ID, Athlete: l.id}, l.id, change)
	}}
}

// read is the morning on which the coach looks at the answers.
func read(ago int) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		l.at = l.clock(date, coffee+20)
		t, err := l.asking.State(ctx, l.actor(), l.id)
		if err != nil {
			return err
		}
		return l.asking.Look(ctx, l.actor(), l.id, t.Check.ID, t.Result.Heart.Usable && !l.medicine)
	}}
}

// known adds to a story that the health questions were answered, and that the coach
// looked at the answers the next morning.
func known(s story, ago int, change screening.Answers) story {
	s.evening = append(s.evening, told(ago, change))
	s.coach = append(s.coach, read(ago-1))
	return s
}

// ill is the morning on which the athlete notes being ill.
func ill(ago int, why string) beat { return unwell(ago, roster.Ill, why) }

// hurt is the morning on which the athlete notes an injury.
func hurt(ago int, why string) beat { return unwell(ago, roster.Injured, why) }

func unwell(ago int, kind roster.LeaveKind, why string) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		l.at = l.clock(date, firstLog)
		who := roster.Actor{Club: l.club.ID, Athlete: l.id}
		id, err := l.counter.Away(ctx, who, roster.Leave{Athlete: l.id, Kind: kind, Span: day.Span{From: date}, Why: why}, l.nextKey("away"))
		l.leave = id
		l.leaves = append(l.leaves, day.Span{From: date})
		if kind == roster.Injured {
			l.standing.InjuredOn = date
		}
		return err
	}}
}

// well is the evening of the last day of what was noted last.
func well(ago int) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		l.at = l.clock(date, evening)
		l.leaves[len(l.leaves)-1].To = date
		return l.counter.Back(ctx, roster.Actor{Club: l.club.ID, Athlete: l.id}, l.id, l.leave, date)
	}}
}

// illAtHome: ill since three days ago.
func illAtHome() story {
	return story{
		from: 15, look: 14,
		coach:   []beat{looks(6)},
		athlete: append(sessions(good, 14, 12, 9, 7, 5), ill(3, "a cold with a temperature")),
	}
}

// mended: injured on the stairs, healed, and the health questions answered anew
// yesterday; the coach has yet to look.
func mended() story {
	return story{
		from: 36, look: 28,
		coach:   []beat{notes(12, "Rang: walks to work again, the stairs still hurt.")},
		athlete: append(sessions(good, 35, 33, 31, 28, 26), hurt(24, "left calf, on the stairs"), well(5)),
		evening: []beat{told(1, screening.Answers{
			screening.Injuries: {"achilles"}, screening.InjuryText: {"Pulled the left calf on the stairs. Half an hour of walking has been fine twice now."},
		})},
	}
}

// The answers of some who are here.
func tabletAnswers() screening.Answers {
	return screening.Answers{screening.Medicine: {"beta"}}
}

func kneeAnswers() screening.Answers {
	return screening.Answers{
		screening.Injuries: {"knee"}, screening.InjuryText: {"The right knee, skiing, long ago. Stairs down remind me of it."}, screening.Operation: {"leg"},
	}
}

func thinBoneAnswers() screening.Answers {
	return screening.Answers{screening.Disease: {"none"}, screening.Bone: {"osteoporosis"}, screening.Injuries: {"ankle", "back"}}
}
