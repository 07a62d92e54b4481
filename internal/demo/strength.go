package demo

import (
	"context"
	"math/rand/v2"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

// gym is somebody's strength training; the zero value is none.
type gym struct {
	template string
	from     int           // days ago it was given
	days     string        // as those of the running: digits 0 to 6, days ago modulo 7
	rack     strength.Rack // zero: nobody told
	begins   int           // grams of the first weight
}

// lifts is what of strength happens on the day: it is given, told what there is, or done.
// It has its own chances and keys, so that the rest of the life stays as it is.
func (l *life) lifts(ctx context.Context, date day.Date) error {
	ago := int(l.today - date)
	switch {
	case l.gym.template == "" || ago > l.gym.from:
		return nil
	case ago == l.gym.from:
		return l.equip(ctx, date)
	case !strings.Contains(l.gym.days, digit(ago)) || l.stopped(date):
		return nil
	}
	l.at = l.clock(date, evening)
	who := roster.Actor{Club: l.club.ID, Athlete: l.id}
	t, err := l.strong.Today(ctx, who, l.id, strings.Contains(l.days, digit(ago-1)))
	if err != nil || t.Way != lift.Open {
		return err
	}
	chance := rand.New(rand.NewPCG(l.seed(), uint64(ago)))
	e := entry.Entry{
		Key: l.key("lift", ago), Date: date, Clock: readiness.Some(evening - 45 - chance.IntN(20)), Kind: readiness.Strength, Turn: t.Turn,
		Minutes: readiness.Some(22 + chance.IntN(6)), PlannedMinutes: readiness.Some(25), Effort: readiness.Some(2 + chance.IntN(2)), PainAsked: true,
	}
	for i := range t.Lines {
		e.Lifts = append(e.Lifts, l.liftOf(&t.Lines[i], chance))
	}
	done, err := l.phone.Log(ctx, who, l.id, e)
	if fault.KindOf(err) == fault.Conflict {
		return nil // told by hand already, to the minute
	}
	l.sessions = append(l.sessions, done.Session.Session)
	return err
}

func digit(ago int) string { return string(rune('0' + ago%7)) }

// equip is the day on which the coach gives the programme.
func (l *life) equip(ctx context.Context, date day.Date) error {
	l.at = l.clock(date, coffee+50)
	p, _ := lift.TemplateOf(l.gym.template)
	if err := l.strong.Give(ctx, l.actor(), l.id, 0, p, nil, l.key("gym", l.gym.from)); err != nil && fault.KindOf(err) != fault.Conflict {
		return err
	}
	if len(l.gym.rack.List) == 0 {
		return nil
	}
	who := roster.Actor{Club: l.club.ID, Athlete: l.id}
	return l.strong.Equip(ctx, who, l.id, roster.Kit{Has: strength.Dumbbells, Rack: l.gym.rack}, nil)
}

// liftOf is one exercise as somebody does it: mostly what was asked for, now and then a
// repetition more or less.
func (l *life) liftOf(line *lift.Line, chance *rand.Rand) roster.Lift {
	one := roster.Lift{Exercise: line.Exercise.ID, For: line.For, Grams: line.Next.Grams}
	if one.Grams == 0 && line.Exercise.Needs&strength.Dumbbells != 0 {
		one.Grams = l.gym.begins
	}
	for range line.Next.Target.Sets {
		one.Sets = append(one.Sets, max(line.Count+chance.IntN(4)-1, 1))
	}
	if chance.IntN(3) > 0 {
		one.Reserve = readiness.Some(2 + chance.IntN(2))
	}
	return one
}
