package enrol_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

// office is a store with one club, and the use case over it.
type office struct {
	store *fake.Store
	enrol *enrol.Service
	now   time.Time
	who   roster.Actor
}

const key roster.Key = "key-of-the-form-1"

func newOffice(t *testing.T) *office {
	t.Helper()
	o := &office{store: fake.New(), now: time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC)}
	o.enrol = &enrol.Service{Store: o.store, Now: func() time.Time { return o.now }}
	club, owner := o.store.Begin("Harbour", "mara@example.org", "")
	o.who = roster.Actor{Club: club.ID, Coach: owner.ID}
	return o
}

func ana() enrol.Person {
	return enrol.Person{Name: "Ana", BirthYear: 1985, Zone: "Europe/Lisbon", SessionsAWeek: 3, HeartUsable: true}
}

// paper is to begin with the phase, asked on paper the day before.
func paper(phase string) enrol.Start {
	return enrol.Start{OnPaper: true, Phase: phase, Paper: roster.Paper{On: day.On(2026, 4, 13), By: "Mara"}}
}

func places(err error) []string {
	var list []string
	for _, f := range fault.FieldsOf(err) {
		list = append(list, f.Place)
	}
	return list
}

func TestAdd(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	p := ana()
	p.Name, p.Email = "  <i>Ana</i> ", " Ana@Example.org"
	id, err := o.enrol.Add(ctx, o.who, p, paper("L1"), key)
	require.NoError(t, err)
	a, err := o.enrol.Athlete(ctx, o.who.Club, id)
	require.NoError(t, err)
	require.Equal(t, "<i>Ana</i>", a.Name, "kept as typed; the page escapes it")
	require.Equal(t, "ana@example.org", a.Email)
	require.Equal(t, roster.Standing{Pathway: 1, Phase: "L1", PhaseSince: day.On(2026, 4, 14)}, a.Standing)
	require.Equal(t, day.On(2026, 4, 14), a.JoinedOn)

	again, err := o.enrol.Add(ctx, o.who, p, paper("L1"), key)
	require.NoError(t, err)
	require.Equal(t, id, again, "sent twice, stored once")
	require.Len(t, o.store.Athletes, 1)
}

// The phase begins on the athlete's own date, which may be another than the
// club's.
func TestAddBeginsOnTheAthletesDate(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	o.now = time.Date(2026, 4, 14, 11, 0, 0, 0, time.UTC)
	for zone, date := range map[string]day.Date{
		"Pacific/Kiritimati": day.On(2026, 4, 15), "Pacific/Pago_Pago": day.On(2026, 4, 14), "UTC": day.On(2026, 4, 14),
	} {
		p := ana()
		p.Zone = zone
		id, err := o.enrol.Add(ctx, o.who, p, paper("B1"), key+roster.Key(zone[len(zone)-3:]))
		require.NoError(t, err)
		require.Equal(t, date, o.store.Athletes[id].PhaseSince, zone)
	}
}

func TestWhatIsRefused(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	for place, spoil := range map[string]func(*enrol.Person){
		"name":            func(p *enrol.Person) { p.Name = " " },
		"email":           func(p *enrol.Person) { p.Email = "ana" },
		"birth_year":      func(p *enrol.Person) { p.BirthYear = 2009 }, // 17 this year
		"zone":            func(p *enrol.Person) { p.Zone = "Lisbon" },
		"sessions_a_week": func(p *enrol.Person) { p.SessionsAWeek = 7 },
		"injured_on":      func(p *enrol.Person) { p.InjuredOn = day.On(2026, 4, 15) },
		"coach_word":      func(p *enrol.Person) { p.CoachWord = "bell \a" },
	} {
		p := ana()
		spoil(&p)
		_, err := o.enrol.Add(ctx, o.who, p, paper("L1"), key)
		require.Equal(t, []string{place}, places(err))
	}
	_, err := o.enrol.Add(ctx, o.who, ana(), paper("X9"), key)
	require.Equal(t, []string{"phase"}, places(err))
	_, err = o.enrol.Add(ctx, o.who, enrol.Person{BirthYear: 1899, SessionsAWeek: 1}, paper(""), key)
	require.Equal(t, []string{"name", "birth_year", "zone", "sessions_a_week", "phase"}, places(err), "all at once")
	p := enrol.Person{Zone: "UTC", Unread: []fault.Field{{Place: "sessions_a_week", Message: "a whole number, please"}}}
	_, err = o.enrol.Add(ctx, o.who, p, paper("L1"), key)
	require.Equal(t, []string{"name", "sessions_a_week"}, places(err), "together with what could not be read, each once")
	require.Equal(t, "a whole number, please", fault.FieldsOf(err)[1].Message)
	require.Empty(t, o.store.Athletes, "nothing half stored")
}

func TestWhatIsTaken(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	for i, change := range []func(*enrol.Person){
		func(p *enrol.Person) { p.BirthYear = 2008 }, // turns 18 this year
		func(p *enrol.Person) { p.BirthYear = 0 },
		func(p *enrol.Person) { p.BirthYear = 1900 },
		func(p *enrol.Person) { p.SessionsAWeek = 2 },
		func(p *enrol.Person) { p.SessionsAWeek = 6 },
		func(p *enrol.Person) { p.InjuredOn = day.On(2026, 4, 14) },
		func(p *enrol.Person) { p.HeartUsable = false },
	} {
		p := ana()
		change(&p)
		_, err := o.enrol.Add(ctx, o.who, p, paper("L2-"), key+roster.Key(rune('a'+i)))
		require.NoError(t, err, i)
	}
}

func TestChange(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	id, err := o.enrol.Add(ctx, o.who, ana(), paper("L1"), key)
	require.NoError(t, err)
	a, err := o.enrol.Athlete(ctx, o.who.Club, id)
	require.NoError(t, err)
	p := enrol.PersonOf(&a)
	p.Name, p.SessionsAWeek, p.CoachWord = "Ana B.", 4, "Slower on the hill"
	require.NoError(t, o.enrol.Change(ctx, o.who, id, a.Version, p))
	b, err := o.enrol.Athlete(ctx, o.who.Club, id)
	require.NoError(t, err)
	require.Equal(t, p, enrol.PersonOf(&b))
	require.Equal(t, a.Standing, b.Standing, "where she stands only decisions change")

	require.Equal(t, fault.Conflict, fault.KindOf(o.enrol.Change(ctx, o.who, id, a.Version, p)), "somebody else was quicker")
	p.Zone = "Lisbon"
	require.Equal(t, []string{"zone"}, places(o.enrol.Change(ctx, o.who, id, b.Version, p)))
}

func TestAnotherClubsAthleteIsNotFound(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	other, _ := o.store.Begin("Hilltop", "oto@example.org", "")
	zoe := o.store.Runner(other.ID, "Zoe")
	for what, err := range map[string]error{
		"change": o.enrol.Change(ctx, o.who, zoe.ID, 1, ana()),
		"leave":  o.enrol.Leave(ctx, o.who, zoe.ID),
		"return": o.enrol.Return(ctx, o.who, zoe.ID),
		"back":   o.enrol.Back(ctx, o.who, zoe.ID, 1, day.On(2026, 4, 14)),
		"never":  o.enrol.Never(ctx, o.who, zoe.ID, 1),
		"away":   second(o.enrol.Away(ctx, o.who, roster.Leave{Athlete: zoe.ID, Span: day.Span{From: day.On(2026, 4, 14)}}, key)),
		"note":   second(o.enrol.Note(ctx, o.who, zoe.ID, "hello", false, key)),
		"read":   second(o.enrol.Athlete(ctx, o.who.Club, zoe.ID)),
	} {
		require.Equal(t, fault.NotFound, fault.KindOf(err), what)
	}
}

func second[T any](_ T, err error) error { return err }

func TestLeavingEndsLoginsAndReturning(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	id, err := o.enrol.Add(ctx, o.who, ana(), paper("L1"), key)
	require.NoError(t, err)
	require.NoError(t, o.enrol.Leave(ctx, o.who, id))
	a, err := o.enrol.Athlete(ctx, o.who.Club, id)
	require.NoError(t, err)
	require.Equal(t, o.now, a.LeftAt)
	require.NoError(t, o.enrol.Return(ctx, o.who, id))
	a, err = o.enrol.Athlete(ctx, o.who.Club, id)
	require.NoError(t, err)
	require.Zero(t, a.LeftAt)
}

func TestAway(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	ath, err := o.enrol.Add(ctx, o.who, ana(), paper("L1"), key)
	require.NoError(t, err)
	today := day.On(2026, 4, 14)
	for _, c := range []struct {
		why    string
		span   day.Span
		reason string
		places []string
	}{
		{"no beginning", day.Span{}, "", []string{"from"}},
		{"ends before it begins", day.Span{From: today, To: today - 1}, "", []string{"to"}},
		{"two years back", day.Span{From: today - 700, To: today}, "", []string{"from"}},
		{"two years ahead", day.Span{From: today, To: today + 700}, "", []string{"to"}},
		{"strange letters", day.Span{From: today}, "sea\x00side", []string{"why"}},
		{"one day", day.Span{From: today, To: today}, "", nil},
		{"not over yet", day.Span{From: today - 3}, "illness", nil},
	} {
		_, err := o.enrol.Away(ctx, o.who, roster.Leave{Athlete: ath, Span: c.span, Why: c.reason}, key+roster.Key(c.why[:2]))
		require.Equal(t, c.places, places(err), c.why)
	}
	require.Len(t, o.store.Leaving, 2)

	id, err := o.enrol.Away(ctx, o.who, roster.Leave{Athlete: ath, Span: day.Span{From: today - 5}}, "key-of-the-form-2")
	require.NoError(t, err)
	require.Equal(t, []string{"to"}, places(o.enrol.Back(ctx, o.who, ath, id, 0)))
	require.Equal(t, []string{"to"}, places(o.enrol.Back(ctx, o.who, ath, id, today-6)), "before it began")
	require.NoError(t, o.enrol.Back(ctx, o.who, ath, id, today))
	require.Equal(t, today, o.store.Leaving[id].To)
	require.NoError(t, o.enrol.Never(ctx, o.who, ath, id))
	require.NotContains(t, o.store.Leaving, id)
}

func TestAwayByKind(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	ana, today := o.store.Runner(o.who.Club, "Ana"), day.On(2026, 4, 14)
	for _, c := range []struct {
		kind   roster.LeaveKind
		from   day.Date
		places []string
		why    string
	}{
		{"", today + 3, nil, "without a kind it is a holiday"},
		{roster.OnHoliday, today + 3, nil, "a holiday may lie ahead"},
		{roster.Ill, today + 1, []string{"from"}, "an illness cannot"},
		{roster.Injured, today + 1, []string{"from"}, "nor an injury"},
		{roster.Ill, today, nil, "today it can have begun"},
		{roster.Injured, today - 2, nil, "or some days ago"},
		{"tired", today, []string{"kind"}, "no such kind"},
		{roster.Ill, 0, []string{"from"}, "since when"},
	} {
		id, err := o.enrol.Away(ctx, o.who, roster.Leave{Athlete: ana.ID, Kind: c.kind, Span: day.Span{From: c.from}}, key+roster.Key(c.why[:3]))
		require.Equal(t, c.places, places(err), c.why)
		if err != nil {
			continue
		}
		l, err := o.enrol.Time(ctx, o.who, ana.ID, id)
		require.NoError(t, err)
		require.True(t, l.Kind.Known(), c.why)
		require.Equal(t, c.from, l.From)
	}
	require.Equal(t, today-2, o.store.Athletes[ana.ID].InjuredOn, "the injury is the athlete's")
	require.Equal(t, fault.NotFound, fault.KindOf(second(o.enrol.Time(ctx, o.who, ana.ID, 999))))
}

func TestAnAthleteNotesOwnTimesAwayOnly(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	ana, ben := o.store.Runner(o.who.Club, "Ana"), o.store.Runner(o.who.Club, "Ben")
	herself := roster.Actor{Club: o.who.Club, Athlete: ana.ID}
	span := day.Span{From: day.On(2026, 4, 14)}
	id, err := o.enrol.Away(ctx, herself, roster.Leave{Athlete: ana.ID, Span: span}, key)
	require.NoError(t, err)
	require.NoError(t, o.enrol.Back(ctx, herself, ana.ID, id, day.On(2026, 4, 16)))
	himself := roster.Actor{Club: o.who.Club, Athlete: ben.ID}
	require.Equal(t, fault.NotFound, fault.KindOf(second(o.enrol.Away(ctx, himself, roster.Leave{Athlete: ana.ID, Span: span}, key))))
	require.Equal(t, fault.NotFound, fault.KindOf(o.enrol.Back(ctx, himself, ana.ID, id, day.On(2026, 4, 16))))
	require.Equal(t, fault.NotFound, fault.KindOf(o.enrol.Never(ctx, himself, ana.ID, id)))
	require.NoError(t, o.enrol.Never(ctx, herself, ana.ID, id))
}

func TestNote(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	ath, err := o.enrol.Add(ctx, o.who, ana(), paper("L1"), key)
	require.NoError(t, err)
	require.Equal(t, []string{"text"}, places(second(o.enrol.Note(ctx, o.who, ath, " \n", false, key))))
	for range 2 {
		_, err = o.enrol.Note(ctx, o.who, ath, " Left knee,\r\nask on Friday ", false, key)
		require.NoError(t, err)
	}
	require.Len(t, o.store.Written, 1, "sent twice, stored once")
	require.Equal(t, "Left knee,\r\nask on Friday", o.store.Written[0].Text)
	require.Equal(t, o.who.Coach, o.store.Written[0].Coach)
	require.Equal(t, o.now, o.store.Written[0].At)
}

func TestTheQuestionsComeFirst(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	id, err := o.enrol.Add(ctx, o.who, ana(), enrol.Start{}, key)
	require.NoError(t, err)
	a := o.store.Athletes[id]
	require.Equal(t, []any{roster.Invited, day.On(2026, 4, 14)}, []any{a.Arrival, a.ArrivalSince})
	require.Equal(t, "B1", a.Phase, "until a coach has said where to begin")
	require.Empty(t, o.store.Checked)
	_, err = o.enrol.Add(ctx, o.who, ana(), enrol.Start{Phase: "R1", Paper: paper("").Paper}, key+"2")
	require.NoError(t, err)
	require.Equal(t, roster.Invited, o.store.Athletes[id].Arrival, "nobody said that it was asked on paper")
}

func TestAskedOnPaper(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	id, err := o.enrol.Add(ctx, o.who, ana(), paper("R1"), key)
	require.NoError(t, err)
	require.Equal(t, []any{roster.Here, "R1"}, []any{o.store.Athletes[id].Arrival, o.store.Athletes[id].Phase})
	require.Len(t, o.store.Checked, 1)
	c := o.store.Checked[0]
	require.Equal(t, []any{roster.FromPaper, day.On(2026, 4, 13), "Mara", o.now}, []any{c.Source, c.AskedOn, c.AskedBy, c.HandedAt})
	for why, c := range map[string]struct {
		on     day.Date
		by     string
		places []string
	}{
		"nothing of it":      {0, "", []string{"asked_on", "asked_by"}},
		"still to come":      {day.On(2026, 4, 15), "Mara", []string{"asked_on"}},
		"more than a year":   {day.On(2025, 4, 12), "Mara", []string{"asked_on"}},
		"by nobody":          {day.On(2026, 4, 14), " ", []string{"asked_by"}},
		"a year ago is fine": {day.On(2025, 4, 14), "Mara", nil},
	} {
		start := enrol.Start{OnPaper: true, Phase: "L1", Paper: roster.Paper{On: c.on, By: c.by}}
		_, err := o.enrol.Add(ctx, o.who, ana(), start, key+roster.Key(why[:4]))
		require.Equal(t, c.places, places(err), why)
	}
	p := ana()
	p.Unread = []fault.Field{{Place: "asked_on", Message: "a date, please"}}
	_, err = o.enrol.Add(ctx, o.who, p, enrol.Start{OnPaper: true, Phase: "L1", Paper: roster.Paper{By: "Mara"}}, key+"unread")
	require.Equal(t, []string{"asked_on"}, places(err), "once")
}

func TestAClubThatTakesMinors(t *testing.T) {
	o, ctx := newOffice(t), context.Background()
	p := ana()
	p.BirthYear = 2010
	_, err := o.enrol.Add(ctx, o.who, p, enrol.Start{}, key)
	require.Equal(t, []string{"birth_year"}, places(err))
	club := o.store.Clubs[o.who.Club]
	club.Minors = true
	o.store.Clubs[o.who.Club] = club
	id, err := o.enrol.Add(ctx, o.who, p, enrol.Start{}, key)
	require.NoError(t, err)
	a := o.store.Athletes[id]
	require.NoError(t, o.enrol.Change(ctx, o.who, id, a.Version, enrol.PersonOf(&a)))
	_, err = o.enrol.Add(ctx, o.who, p, paper("L1"), key+"2")
	require.Equal(t, []string{"birth_year"}, places(err), "a guardian's consent is not asked on paper")
}
