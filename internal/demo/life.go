package demo

import (
	"context"
	"math/rand/v2"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/simulate"
)

// life is one athlete's time in the club, day by day. What the use cases give back
// is all it knows of what is kept.
type life struct {
	*house
	*member
	id       roster.AthleteID
	body     *simulate.Person
	chance   *rand.Rand // of everything but the body
	road     *roster.Shelf
	standing roster.Standing
	sessions []readiness.Session
	leaves   []day.Span
	leave    roster.LeaveID // what was noted last
	newest   *roster.Decision
	made     map[roster.Key]roster.Decision // before the filling was broken off
	sore     []sore                         // what is asked about tomorrow morning
	keys     int
	at       time.Time // now, as the use cases see it

	phone    *entry.Service
	desk     *decide.Service
	counter  *enrol.Service
	pulse    *heart.Service
	promises *privacy.Service
	asking   *join.Service
	strong   *lift.Service
}

// sore is a session with pain of which the next morning is not told yet.
type sore struct {
	id       roster.SessionID
	place    int // in sessions
	mornings []int
}

// live lives the person's days from joining to the day before the run.
func (h *house) live(ctx context.Context, m *member) error {
	l, err := h.begin(ctx, m)
	if err != nil {
		return err
	}
	for date := h.today - day.Date(m.joined); date < h.today; date++ {
		err := ctx.Err()
		if err == nil {
			err = l.day(ctx, date)
		}
		if err != nil {
			return &tripped{who: m.name, ago: int(h.today - date), cause: err}
		}
	}
	return nil
}

// begin takes the person in.
func (h *house) begin(ctx context.Context, m *member) (*life, error) {
	l := &life{
		house: h, member: m, body: simulate.New(m.seed(), m.temper, m.fitness),
		chance: rand.New(rand.NewPCG(m.seed(), 7)), made: map[roster.Key]roster.Decision{},
	}
	now := func() time.Time { return l.at }
	l.phone = &entry.Service{Store: h.Store, Now: now}
	l.desk = &decide.Service{Store: h.Store, Now: now}
	l.counter = &enrol.Service{Store: h.Store, Now: now}
	l.pulse = &heart.Service{Store: h.Store, Now: now}
	l.promises = &privacy.Service{Store: h.Store, Now: now}
	l.asking = &join.Service{Store: h.Store, Now: now}
	l.strong = &lift.Service{Store: h.Store, Now: now}
	var err error
	if l.id, err = h.add(ctx, m); err != nil {
		return nil, err
	}
	return l, l.read(ctx)
}

// read looks up how the person stands. In a club that is being finished the
// standing is that of joining, not that of now.
func (l *life) read(ctx context.Context) error {
	a, err := l.Store.Athlete(ctx, l.club.ID, l.id)
	if err != nil {
		return err
	}
	l.road, err = l.Store.Shelf(ctx, l.club.ID, a.Pathway)
	if err != nil {
		return err
	}
	l.standing = roster.Standing{Pathway: a.Pathway, Phase: l.start, PhaseSince: a.JoinedOn}
	if l.fresh {
		return nil
	}
	all, err := l.Store.Decisions(ctx, l.club.ID, l.id)
	for _, d := range all {
		l.made[d.Key] = d
	}
	return err
}

// day is one day: how it feels this morning, what the coach does, what the athlete
// does.
func (l *life) day(ctx context.Context, date day.Date) error {
	ago := int(l.today - date)
	if err := l.wake(ctx, date); err != nil {
		return err
	}
	if _, err := l.beats(ctx, l.story.coach, date); err != nil {
		return err
	}
	if ago >= l.story.look && (l.newest == nil || l.newest.AsOf != date) {
		if err := l.look(ctx, date); err != nil {
			return err
		}
	}
	told, err := l.beats(ctx, l.story.athlete, date)
	if err == nil && !told && ago > l.story.from {
		err = l.usual(ctx, date)
	}
	if err == nil {
		err = l.lifts(ctx, date)
	}
	if err == nil {
		_, err = l.beats(ctx, l.story.evening, date)
	}
	return err
}

// beats lets happen what the story tells of the day.
func (l *life) beats(ctx context.Context, all []beat, date day.Date) (told bool, err error) {
	for _, b := range all {
		if b.ago != int(l.today-date) {
			continue
		}
		told = true
		if err := b.do(ctx, l, date); err != nil {
			return told, err
		}
	}
	return told, nil
}

// usual is a day left to chance: a session where one is due, else a free day.
func (l *life) usual(ctx context.Context, date day.Date) error {
	if l.stopped(date) {
		return nil
	}
	if !strings.Contains(l.days, string(rune('0'+int(l.today-date)%7))) {
		return l.log(ctx, date, l.body.Free(date))
	}
	return l.log(ctx, date, l.body.Session(date, l.plan()))
}

// plan is the session of the present phase.
func (l *life) plan() []pathway.Block {
	return l.road.Blocks(l.road.Find(l.standing.Phase))
}

// stopped says that the phone prescribes nothing today.
func (l *life) stopped(date day.Date) bool {
	if l.standing.Held != roster.NotHeld {
		return true
	}
	v := l.assess(date)
	return v.Action == readiness.Refer || v.Action == readiness.Pause
}

// assess asks the engine about the person on a day.
func (l *life) assess(date day.Date) readiness.Verdict {
	s := &l.standing
	h := readiness.History{
		AsOf: date, Place: l.place, HeartUsable: !l.medicine, Pathway: &l.road.Pathway,
		Phase: s.Phase, PhaseSince: s.PhaseSince, LastPassed: s.LastPassed, SessionsAWeek: l.week,
		ClearedOn: s.ClearedOn, ClearedAt: s.ClearedAt, InjuredOn: s.InjuredOn,
		Leave: l.leaves, Sessions: l.sessions,
	}
	return readiness.Assess(&h)
}

// nextKey is a key that nobody used before.
func (l *life) nextKey(what string) roster.Key {
	l.keys++
	return l.key(what, l.keys)
}
