package demo

import (
	"context"
	"fmt"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/simulate"
)

// Times of day in minutes after midnight. The coaches look early, so whoever runs
// before that logs it after.
const (
	waking    = 6*60 + 45
	coffee    = 8 * 60
	firstLog  = 8*60 + 40
	afterWork = 17*60 + 50
	evening   = 21*60 + 10
)

// tripped says where a life could not go on.
type tripped struct {
	who   string
	ago   int
	cause error
}

// Error names the person and the day.
func (t *tripped) Error() string {
	return fmt.Sprintf("demo: %s, %d days before the run: %v", t.who, t.ago, t.cause)
}

// Unwrap gives the cause.
func (t *tripped) Unwrap() error { return t.cause }

// log tells what was done, as a phone does some minutes after it ended.
func (l *life) log(ctx context.Context, date day.Date, a simulate.Account) error {
	if a.Nothing {
		return nil
	}
	if l.newest != nil && l.newest.AsOf == date && a.Clock < firstLog {
		a.Clock = afterWork // whoever waits for the coach's word runs after it
	}
	e := l.entry(&a)
	e.Key, e.Date, e.Note = l.nextKey("log"), date, l.remark(&a)
	e.WarmUp, e.CoolDown = l.around(date)
	l.at = l.logged(date, &a)
	who := roster.Actor{Club: l.club.ID, Athlete: l.id}
	done, err := l.phone.Log(ctx, who, l.id, e)
	if err != nil {
		return err
	}
	if len(a.Session.Pain) > 0 {
		l.sore = append(l.sore, sore{done.ID, len(l.sessions), a.Mornings})
	}
	l.sessions = append(l.sessions, done.Session.Session)
	return l.record(ctx, date, &done.Session, len(l.sessions)-1)
}

// entry is the account as a phone sends it.
func (l *life) entry(a *simulate.Account) entry.Entry {
	s := &a.Session
	e := entry.Entry{
		Clock: readiness.Some(a.Clock), Kind: s.Kind, Outcome: s.Outcome, Minutes: s.Minutes, PlannedMinutes: s.PlannedMinutes,
		Effort: s.Effort, Talk: s.Talk, Breath: s.Breath, Hot: s.Hot, Limp: s.Limp, PainAsked: s.PainAsked, Pain: s.Pain, Signs: s.Signs,
	}
	if s.Kind != readiness.Planned {
		e.Blocks = s.Blocks
		return e
	}
	e.Phase = l.standing.Phase
	if e.Whole = whole(s.Blocks); !e.Whole {
		e.Blocks = s.Blocks
	}
	return e
}

// around is what is told of the warm-up and the cool-down: mostly done, now and then left
// out, often not told. It leaves everything else to the same chance as before.
func (l *life) around(date day.Date) (warm, cool roster.Around) {
	told := [...]roster.Around{roster.AroundDone, roster.AroundDone, roster.AroundNotTold, roster.AroundDone, roster.AroundSkipped, roster.AroundNotTold, roster.AroundDone}
	n := int(date) + int(l.seed()%7)
	return told[n%len(told)], told[(3*n+1)%len(told)]
}

// whole says that all was done as planned and nothing was tapped, so that one
// button says it.
func whole(blocks []readiness.Block) bool {
	for _, b := range blocks {
		if b.Done != b.Planned || b.Settle.Known() {
			return false
		}
	}
	return len(blocks) > 0
}

// logged is when the account is sent.
func (l *life) logged(date day.Date, a *simulate.Account) time.Time {
	seconds := 0
	for _, b := range a.Session.Blocks {
		seconds += int(b.Done)
	}
	ended := a.Clock + seconds/60 + a.Session.Minutes.Or(0)
	return l.clock(date, max(ended+3+l.chance.IntN(30), firstLog+l.chance.IntN(20)))
}

// wake tells how yesterday's pain feels this morning. The silent do not.
func (l *life) wake(ctx context.Context, date day.Date) error {
	asked := l.sore
	l.sore = nil
	if l.temper == simulate.Silent {
		return nil
	}
	l.at = l.clock(date, waking)
	for _, s := range asked {
		pains := l.sessions[s.place].Pain
		told := make([]entry.Morning, len(pains))
		for i, p := range pains {
			told[i] = entry.Morning{Site: p.Site, Score: readiness.Some(s.mornings[i])}
		}
		who := roster.Actor{Club: l.club.ID, Athlete: l.id}
		done, err := l.phone.NextMorning(ctx, who, l.id, s.id, told)
		if err != nil {
			return err
		}
		l.sessions[s.place] = done.Session.Session
	}
	return nil
}

// away notes a time away that begins some days from the date.
func (l *life) away(ctx context.Context, date day.Date, in, days int, why string) error {
	l.at = l.clock(date, coffee+30)
	span := day.Span{From: date + day.Date(in), To: date + day.Date(in+days-1)}
	_, err := l.counter.Away(ctx, l.actor(), roster.Leave{Athlete: l.id, Span: span, Why: why}, l.nextKey("away"))
	l.leaves = append(l.leaves, span)
	return err
}

// note keeps a coach's note, written on the athlete's page.
func (l *life) note(ctx context.Context, date day.Date, text string, private bool) error {
	if err := l.opened(ctx, date); err != nil {
		return err
	}
	_, err := l.counter.Note(ctx, l.actor(), l.id, text, private, l.nextKey("note"))
	return err
}

// opened says that the coach opened the athlete's page. Where the filling was broken
// off it may be counted twice.
func (l *life) opened(ctx context.Context, date day.Date) error {
	l.at = l.clock(date, coffee+40)
	return l.promises.Looked(ctx, l.club, l.actor().Coach, l.id, privacy.Page)
}

// actor is the person's coach.
func (l *life) actor() roster.Actor { return l.coaches[l.member.coach] }
