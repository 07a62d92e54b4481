package privacy_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

// house is a store with one club, and the promises over it, by a clock that moves.
type house struct {
	t     *testing.T
	store *fake.Store
	use   *privacy.Service
	now   time.Time
	club  roster.Club
	coach roster.Actor
	ana   roster.Athlete
}

func newHouse(t *testing.T) *house {
	t.Helper()
	h := &house{t: t, store: fake.New(), now: time.Date(2026, time.April, 14, 6, 0, 0, 0, time.UTC)}
	h.use = &privacy.Service{Store: h.store, Now: func() time.Time { return h.now }}
	club, owner := h.store.Begin("Harbour", "mara@example.org", "")
	h.club, h.coach, h.ana = club, roster.Actor{Club: club.ID, Coach: owner.ID}, h.store.Runner(club.ID, "Ana Maria  Costa")
	return h
}

func (h *house) self() roster.Actor { return roster.Actor{Club: h.club.ID, Athlete: h.ana.ID} }

func (h *house) daily() privacy.Done {
	h.t.Helper()
	done, err := h.use.Daily(context.Background())
	require.NoError(h.t, err)
	return done
}

func TestWhoMaySeeWhatIsKept(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ben := h.store.Runner(h.club.ID, "Ben")
	other, owner := h.store.Begin("Hilltop", "oto@example.org", "")
	ivo := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", "")
	ana := h.store.Athletes[h.ana.ID]
	ana.Coach = h.coach.Coach
	h.store.Athletes[ana.ID] = ana
	for _, c := range []struct {
		why string
		who roster.Actor
		may bool
	}{
		{"the athlete", h.self(), true},
		{"the coach", h.coach, true},
		{"another coach of the club", roster.Actor{Club: h.club.ID, Coach: ivo.ID}, true},
		{"a coach who sees only own athletes, and she is another's", roster.Actor{Club: h.club.ID, Coach: ivo.ID, OwnOnly: true}, false},
		{"her own coach, who sees only own athletes", roster.Actor{Club: h.club.ID, Coach: h.coach.Coach, OwnOnly: true}, true},
		{"a deputy", roster.Actor{Club: h.club.ID, Coach: ivo.ID, Deputy: true}, false},
		{"another athlete", roster.Actor{Club: h.club.ID, Athlete: ben.ID}, false},
		{"a coach of another club", roster.Actor{Club: other.ID, Coach: owner.ID}, false},
		{"nobody", roster.Actor{}, false},
	} {
		want := fault.NotFound
		if c.may {
			want = fault.Unknown
		}
		_, err := h.use.About(ctx, c.who, h.ana.ID)
		require.Equal(t, want, fault.KindOf(err), c.why)
		_, err = h.use.Bundle(ctx, c.who, h.ana.ID)
		require.Equal(t, want, fault.KindOf(err), c.why)
		if !c.may {
			require.Equal(t, fault.NotFound, fault.KindOf(h.use.Erase(ctx, c.who, h.ana.ID, ana.Name)), c.why)
		}
	}
	require.Equal(t, fault.NotFound, fault.KindOf(h.use.Erase(ctx, h.self(), h.ana.ID, ana.Name)), "the athlete asks instead")
	require.Equal(t, fault.NotFound, fault.KindOf(h.use.Ask(ctx, h.coach)), "nobody asks in somebody's place")
	require.Equal(t, fault.NotFound, fault.KindOf(h.use.TakeBack(ctx, h.coach)))
	require.Contains(t, h.store.Athletes, h.ana.ID)
}

func TestALookIsNotedOnTheClubsDate(t *testing.T) {
	h := newHouse(t)
	h.club.Zone = "Pacific/Kiritimati" // where it is the next day already
	h.now = time.Date(2026, time.April, 14, 11, 0, 0, 0, time.UTC)
	require.NoError(t, h.use.Looked(context.Background(), h.club, h.coach.Coach, h.ana.ID, privacy.Page))
	about, err := h.use.About(context.Background(), h.self(), h.ana.ID)
	require.NoError(t, err)
	require.Len(t, about.Looks, 1)
	require.Equal(t, day.On(2026, time.April, 15), about.Looks[0].On)
	require.Equal(t, fault.NotFound, fault.KindOf(h.use.Looked(context.Background(), h.club, h.coach.Coach, 4711, privacy.Page)))
}

func TestErasingAfterSevenDays(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	asked := h.now
	require.NoError(t, h.use.Ask(ctx, h.self()))
	h.now = asked.AddDate(0, 0, 5)
	require.NoError(t, h.use.Ask(ctx, h.self()), "asked again")
	about, err := h.use.About(ctx, h.self(), h.ana.ID)
	require.NoError(t, err)
	require.Equal(t, asked, about.Asked)
	require.Equal(t, asked.AddDate(0, 0, 7), about.Erased)
	h.now = asked.AddDate(0, 0, 7).Add(-time.Second)
	require.Equal(t, privacy.Done{}, h.daily(), "a second early")
	h.now = h.now.Add(time.Second)
	require.Equal(t, privacy.Done{Asked: 1}, h.daily())
	require.NotContains(t, h.store.Athletes, h.ana.ID)
	require.Equal(t, roster.Actor{Club: h.club.ID}, h.store.Audit[len(h.store.Audit)-1], "by the program")
	require.Equal(t, privacy.Done{}, h.daily(), "worked twice, done once")
	tallies, err := h.use.Tallies(ctx, h.club.ID)
	require.NoError(t, err)
	require.Equal(t, []privacy.Tally{{Year: 2026, Erased: 1}}, tallies)
}

func TestTakingItBack(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	require.NoError(t, h.use.Ask(ctx, h.self()))
	h.now = h.now.AddDate(0, 0, 6)
	require.NoError(t, h.use.TakeBack(ctx, h.self()))
	require.NoError(t, h.use.TakeBack(ctx, h.self()), "twice is as good")
	h.now = h.now.AddDate(0, 0, 60)
	require.Equal(t, privacy.Done{}, h.daily())
	require.Contains(t, h.store.Athletes, h.ana.ID)
	require.NoError(t, h.use.Ask(ctx, h.self()), "and asking anew begins anew")
	h.now = h.now.AddDate(0, 0, 6)
	require.Equal(t, privacy.Done{}, h.daily())
}

func TestErasingAtOnceTakesTheName(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	for _, typed := range []string{"", "Ana", "Ana Maria Costa da Silva", "AnaMariaCosta"} {
		err := h.use.Erase(ctx, h.coach, h.ana.ID, typed)
		require.Equal(t, "name", fault.FieldsOf(err)[0].Place, typed)
	}
	require.Contains(t, h.store.Athletes, h.ana.ID)
	require.NoError(t, h.use.Erase(ctx, h.coach, h.ana.ID, " ana maria COSTA "))
	require.NotContains(t, h.store.Athletes, h.ana.ID)
	require.Equal(t, h.coach, h.store.Audit[len(h.store.Audit)-1])
}

// What goes wrong with one person, or in one club, keeps nobody else from being erased.
func TestOneFailureStopsNobodyElse(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ben := h.store.Runner(h.club.ID, "Ben")
	other, _ := h.store.Begin("Hilltop", "oto@example.org", "")
	zoe := h.store.Runner(other.ID, "Zoe")
	for _, a := range []roster.Athlete{h.ana, ben, zoe} {
		require.NoError(t, h.use.Ask(ctx, roster.Actor{Club: a.Club, Athlete: a.ID}))
	}
	h.store.Stuck[h.ana.ID] = true
	h.now = h.now.AddDate(0, 0, 8)
	done, err := h.use.Daily(ctx)
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
	require.Equal(t, privacy.Done{Asked: 2}, done)
	require.Contains(t, h.store.Athletes, h.ana.ID)
	delete(h.store.Stuck, h.ana.ID)
	require.Equal(t, privacy.Done{Asked: 1}, h.daily(), "the next time")
}

// leave marks that the athlete left at the instant.
func (h *house) leave(a roster.Athlete, at time.Time) {
	a.LeftAt = at
	h.store.Athletes[a.ID] = a
}

// Two years by the calendar, a month's announcement, and not a day before: with a
// clock that goes day by day.
func TestWhoLeftIsForgottenAfterAWhile(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	left := time.Date(2024, time.February, 29, 18, 0, 0, 0, time.UTC)
	h.leave(h.ana, left)
	here := h.store.Runner(h.club.ID, "Ben")
	h.now = left
	announced, gone := time.Time{}, time.Time{}
	for gone.IsZero() {
		h.now = h.now.AddDate(0, 0, 1)
		require.Less(t, h.now.Year(), 2027)
		ending, err := h.use.Ending(ctx, h.coach)
		require.NoError(t, err)
		if len(ending) > 0 && announced.IsZero() {
			announced = h.now
			require.Equal(t, h.ana.ID, ending[0].Athlete.ID)
		}
		if h.daily().Left == 1 {
			gone = h.now
		}
	}
	require.Equal(t, time.Date(2026, time.March, 1, 18, 0, 0, 0, time.UTC), gone, "there is no 29 February in 2026")
	require.Equal(t, time.Date(2026, time.January, 29, 18, 0, 0, 0, time.UTC), announced, "a month before")
	require.Contains(t, h.store.Athletes, here.ID, "who is here is never forgotten")
}

func TestAShorterTimeIsAnnouncedToo(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	h.leave(h.ana, h.now.AddDate(0, -20, 0))
	require.Equal(t, privacy.Done{}, h.daily())
	for _, months := range []int{0, -1, 121} {
		require.Equal(t, "keep_months", fault.FieldsOf(h.use.SetKeeping(ctx, h.coach, months))[0].Place)
	}
	changed := h.now
	require.NoError(t, h.use.SetKeeping(ctx, h.coach, 6))
	h.now = changed.AddDate(0, 0, 10)
	require.NoError(t, h.use.SetKeeping(ctx, h.coach, 6), "said again, nothing begins anew")
	k, err := h.use.Keeping(ctx, h.club.ID)
	require.NoError(t, err)
	require.Equal(t, privacy.Keeping{Months: 6, Since: changed}, k)
	ending, err := h.use.Ending(ctx, h.coach)
	require.NoError(t, err)
	require.Len(t, ending, 1)
	require.Equal(t, changed.AddDate(0, 1, 0), ending[0].Until)
	h.now = changed.AddDate(0, 1, 0).Add(-time.Second)
	require.Equal(t, privacy.Done{}, h.daily(), "though she left twenty months ago")
	h.now = changed.AddDate(0, 1, 0)
	require.Equal(t, privacy.Done{Left: 1}, h.daily())
}

func TestWhoComesBackStays(t *testing.T) {
	h := newHouse(t)
	h.leave(h.ana, h.now.AddDate(-2, 0, 3))
	ending, err := h.use.Ending(context.Background(), h.coach)
	require.NoError(t, err)
	require.Len(t, ending, 1)
	h.leave(h.ana, time.Time{})
	h.now = h.now.AddDate(0, 1, 0)
	require.Equal(t, privacy.Done{}, h.daily())
	require.Contains(t, h.store.Athletes, h.ana.ID)
}

// A coach who sees only own athletes reads of no others that they asked or left.
func TestWhoGoesIsToldToThoseWhoSeeThem(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ivo := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", "")
	only := roster.Actor{Club: h.club.ID, Coach: ivo.ID, OwnOnly: true}
	ana := h.store.Athletes[h.ana.ID]
	ana.Coach = h.coach.Coach
	h.leave(ana, h.now.AddDate(-2, 0, 0))
	require.NoError(t, h.use.Ask(ctx, h.self()))
	for who, seen := range map[roster.Actor]int{only: 0, h.coach: 1} {
		asking, err := h.use.Asking(ctx, who)
		require.NoError(t, err)
		require.Len(t, asking, seen)
		ending, err := h.use.Ending(ctx, who)
		require.NoError(t, err)
		require.Len(t, ending, seen)
	}
}

func TestAStoppedDatabaseIsSaid(t *testing.T) {
	h := newHouse(t)
	h.store.Down = context.DeadlineExceeded
	_, err := h.use.Daily(context.Background())
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
	_, err = h.use.Bundle(context.Background(), h.coach, h.ana.ID)
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
	_, err = h.use.About(context.Background(), h.coach, h.ana.ID)
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
}
