package simulate_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/simulate"
)

var begin = day.On(2026, time.January, 12)

// live is so many days of somebody's life from a date on: a session every second or
// third day, a phase up every third week.
func live(p *simulate.Person, from day.Date, days int) []simulate.Account {
	road := pathway.Default()
	var all []simulate.Account
	for i := range days {
		date := from + day.Date(i)
		var a simulate.Account
		if i%7 == 0 || i%7 == 2 || i%7 == 5 {
			a = p.Session(date, road.Phases[min(4+i/12, 14)].Blocks)
		} else {
			a = p.Free(date)
		}
		if !a.Nothing {
			all = append(all, a)
		}
	}
	return all
}

func drawTemper(t *rapid.T) simulate.Temperament {
	return simulate.Temperament(rapid.IntRange(int(simulate.Steady), int(simulate.Overdoer)).Draw(t, "temperament"))
}

func TestTheSameSeedIsTheSameLife(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed, temper := rapid.Uint64().Draw(t, "seed"), drawTemper(t)
		once := live(simulate.New(seed, temper, 0.2), begin, 100)
		require.Equal(t, once, live(simulate.New(seed, temper, 0.2), begin, 100))
		require.NotEqual(t, once, live(simulate.New(seed+1, temper, 0.2), begin, 100))
	})
}

func TestAnotherBeginningShiftsNothingElse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed, temper := rapid.Uint64().Draw(t, "seed"), drawTemper(t)
		by := day.Date(rapid.IntRange(-4000, 4000).Draw(t, "by"))
		shifted := live(simulate.New(seed, temper, 0.1), begin+by, 80)
		for i := range shifted {
			shifted[i].Session.Date -= by
		}
		require.Equal(t, live(simulate.New(seed, temper, 0.1), begin, 80), shifted)
	})
}

// Ranges and contradictions are those of the rule book and of its documents.
func TestWhatIsToldKeepsToTheRuleBook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := simulate.New(rapid.Uint64().Draw(t, "seed"), drawTemper(t), rapid.Float64Range(0, 1).Draw(t, "fitness"))
		for _, a := range live(p, begin, 120) {
			checkAccount(t, &a)
			require.InDelta(t, 0.5, p.Fitness(), 0.5)
		}
	})
}

func checkAccount(t require.TestingT, a *simulate.Account) {
	s := &a.Session
	require.True(t, a.Clock >= 0 && a.Clock < 24*60)
	effort := s.Effort.Or(0)
	require.True(t, effort >= 0 && effort <= 10)
	minutes := s.Minutes.Or(0)
	require.True(t, minutes >= 0 && minutes <= 600)
	require.Len(t, a.Mornings, len(s.Pain))
	for i, p := range s.Pain {
		require.True(t, s.PainAsked && p.Site != "" && p.Score >= 0 && p.Score <= 10)
		require.True(t, a.Mornings[i] >= 0 && a.Mornings[i] <= 10)
	}
	for _, b := range s.Blocks {
		require.True(t, b.Planned >= 1 && b.Planned <= pathway.LongestBlock && b.Done >= 0 && b.Done <= b.Planned)
		settle, tapped := b.Settle.Get()
		require.True(t, settle >= 0 && settle <= int(b.Done))
		require.False(t, tapped && b.Kind == pathway.Run)
	}
	checkOutcome(t, s)
}

func checkOutcome(t require.TestingT, s *readiness.Session) {
	if s.Kind != readiness.Planned {
		require.Equal(t, readiness.NotStated, s.Outcome)
		require.True(t, s.Minutes.Known() || len(s.Blocks) > 0)
		return
	}
	switch s.Outcome {
	case readiness.Missed, readiness.CalledOff:
		require.Empty(t, s.Blocks)
	default:
		require.NotEmpty(t, s.Blocks)
		require.Contains(t, []readiness.Outcome{readiness.InFull, readiness.Shortened, readiness.StoppedForPain}, readiness.OutcomeOf(s))
	}
}

func TestTemperamentShows(t *testing.T) {
	count := func(temper simulate.Temperament) (taps, extras, efforts, sessions int) {
		for seed := range uint64(40) {
			for _, a := range live(simulate.New(seed, temper, 0.15), begin, 84) {
				if a.Session.Kind == readiness.Extra && len(a.Session.Blocks) > 0 {
					extras++
				}
				if a.Session.Kind != readiness.Planned || len(a.Session.Blocks) == 0 {
					continue
				}
				sessions++
				efforts += a.Session.Effort.Or(0)
				for _, b := range a.Session.Blocks {
					if b.Settle.Known() {
						taps++
					}
				}
			}
		}
		return taps, extras, efforts, sessions
	}
	steadyTaps, steadyExtras, steadyEffort, steadySessions := count(simulate.Steady)
	silentTaps, _, _, silentSessions := count(simulate.Silent)
	_, overExtras, _, _ := count(simulate.Overdoer)
	_, _, hurryEffort, hurrySessions := count(simulate.Hurrier)
	_, _, cautiousEffort, cautiousSessions := count(simulate.Cautious)
	require.Less(t, 10*silentTaps/silentSessions, steadyTaps/steadySessions, "the silent hardly tap")
	require.Greater(t, overExtras, 3*steadyExtras, "overdoers run on free days")
	require.Greater(t, float64(hurryEffort)/float64(hurrySessions), float64(steadyEffort)/float64(steadySessions)+0.4)
	require.Less(t, float64(cautiousEffort)/float64(cautiousSessions), float64(steadyEffort)/float64(steadySessions))
}

// From memory, the gains of beginners' programmes and the losses of a month off
// are both plain to see; the sizes here are ours.
func TestTwelveWeeksMakeFitterAndAMonthOffCosts(t *testing.T) {
	for seed := range uint64(30) {
		p := simulate.New(seed, simulate.Steady, 0.1)
		live(p, begin, 84)
		fit := p.Fitness()
		require.Greater(t, fit, 0.4)
		p.Free(begin + 84 + 35)
		require.Less(t, p.Fitness(), 0.7*fit)
	}
}

func TestAJumpOfRunningHurtsMoreOften(t *testing.T) {
	hurt := func(minutes int) int {
		n := 0
		for seed := range uint64(300) {
			p := simulate.New(seed, simulate.Steady, 0.4)
			date := begin
			for range 12 { // four weeks of twenty minutes three times a week
				date += 2 + date%2
				p.Extra(date, 20)
			}
			for range 3 {
				date += 2
				for _, pain := range p.Extra(date, minutes).Session.Pain {
					n += int(pain.Score)
				}
			}
		}
		return n
	}
	require.Greater(t, hurt(60), 2*hurt(20))
}
