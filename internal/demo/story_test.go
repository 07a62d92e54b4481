package demo_test

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/readiness"
)

// place is where somebody stands on the roster, and what the engine says.
type place struct {
	list   string
	action readiness.Action
	flags  readiness.Flag // all of them
	cause  readiness.Cause
}

// told is what the stories promise for the day of the run.
var told = map[string]place{
	"Adaeze Lindholm":   {"decide", readiness.Refer, readiness.FlagWarning, 0},
	"Tomasz Achterberg": {"decide", readiness.Pause, readiness.FlagPain, 0},
	"Marisol Keating":   {"decide", readiness.EaseBack, readiness.FlagPain, 0},
	"Ravi Sundqvist":    {"decide", readiness.EaseBack, readiness.FlagIrregular | readiness.FlagLearning | readiness.FlagHealthCheck | readiness.FlagMixed, 0},
	"Zsófia Amankwah":   {"decide", readiness.Stay, readiness.FlagReady | readiness.FlagLoadJump | readiness.FlagBackToBack, readiness.CauseUnplanned},
	"Callum Petrakis":   {"decide", readiness.Stay, readiness.FlagLoadJump | readiness.FlagMixed, readiness.CauseHarder},
	"Hinemoa Varga":     {"decide", readiness.HalfStep, readiness.FlagStalling, readiness.CauseRecovery},
	"Youssef Tremblay":  {"decide", readiness.MoveUp, readiness.FlagReady, 0},
	"Ilse Nakagawa":     {"decide", readiness.MoveUp, readiness.FlagReady, 0},
	"Bongani Faulkner":  {"decide", readiness.Arrived, readiness.FlagArrived, 0},
	"Eun-ji Carvalho":   {"steady", readiness.Stay, readiness.FlagReady | readiness.FlagLoadJump, readiness.CauseLonger},
	"Dafydd Osei":       {"steady", readiness.Stay, readiness.FlagStalling, readiness.CauseEffort},
	"Leyla Bergstrand":  {"steady", readiness.Stay, readiness.FlagIrregular, 0},
	"Mateus O'Rourke":   {"steady", readiness.Stay, 0, 0},
	"Priya Vandenberg":  {"steady", readiness.Stay, 0, 0},
	"Sione Halloran":    {"steady", readiness.Stay, 0, 0},
	"Greta Mwangi":      {"steady", readiness.Stay, 0, 0},
	"Anatoly Quispe":    {"steady", readiness.Stay, 0, 0},
	"Noor Whitcombe":    {"steady", readiness.Stay, readiness.FlagUnproven, 0},
	"Kaito Ferreira":    {"quiet", readiness.Stay, readiness.FlagQuiet, 0},
	"Agnieszka Bello":   {"quiet", readiness.Stay, readiness.FlagQuiet, 0},
	"Desmond Yilmaz":    {"away", readiness.Stay, 0, 0},
	"Freya Castellanos": {"away", readiness.Refer, readiness.FlagWarning, 0},
	"Tadhg Morisaki":    {"away", readiness.Stay, 0, 0},
	"Xiomara Dekker":    {"decide", readiness.EaseBack, readiness.FlagIrregular | readiness.FlagHealthCheck, 0},
	"Lwazi Hartmann":    {"steady", readiness.Stay, readiness.FlagLearning, 0},
}

// found is where everybody is.
func found(m *morning.Morning) map[string]place {
	all := map[string]place{}
	for list, rows := range map[string][]*morning.Row{"decide": m.Decide, "steady": m.Steady, "quiet": m.Quiet, "away": m.Away} {
		for _, r := range rows {
			v := &r.Verdict
			all[r.Athlete.Name] = place{list, v.Action, v.Flags, max(v.Stalling, v.Load.Why)}
		}
	}
	return all
}

func TestTheDayOfTheRunHasEverythingTheEngineSays(t *testing.T) {
	_, seen, _ := filled(t, "", tuesday)
	require.Equal(t, told, found(seen))
	var actions []readiness.Action
	var flags readiness.Flag
	for _, p := range told {
		actions = append(actions, p.action)
		flags |= p.flags
	}
	for a := readiness.Refer; a <= readiness.Arrived; a++ {
		require.Contains(t, actions, a)
	}
	require.Equal(t, 2*readiness.FlagHealthCheck-1, flags, "every flag there is")
}

func TestWhatComesNextIsSaidInManyWays(t *testing.T) {
	_, seen, _ := filled(t, "", tuesday)
	var next []morning.NextKind
	for _, r := range seen.Steady {
		next = append(next, r.Next.Kind)
	}
	for _, kind := range []morning.NextKind{
		morning.NextDecided, morning.NextFirst, morning.NextUnproven, morning.NextGate, morning.NextSooner, morning.NextFull,
	} {
		require.Contains(t, next, kind)
	}
	stages := map[string]int{}
	for _, rows := range [][]*morning.Row{seen.Decide, seen.Steady, seen.Quiet, seen.Away} {
		for _, r := range rows {
			stages[r.Shelf.Phases[r.Rung.Phase()].Stage]++
		}
	}
	require.Len(t, stages, 3, "people on every stage")
}

// The stories hold on whichever day and at whichever hour the demo is run.
func TestTheStoriesHoldOnAnyDay(t *testing.T) {
	for _, at := range days(t) {
		_, seen, _ := filled(t, at.Location().String(), at)
		require.Equal(t, told, found(seen), "%s", at)
	}
}

// days are the days on which calendars and clocks do something, and a few others.
func days(t *testing.T) []time.Time {
	t.Helper()
	var all []time.Time
	add := func(zone, first string, days, step int, hours ...int) {
		place, err := time.LoadLocation(zone)
		require.NoError(t, err)
		at, err := time.ParseInLocation(time.DateOnly, first, place)
		require.NoError(t, err)
		for i := 0; i < days; i += step {
			hour := hours[i/step%len(hours)]
			all = append(all, time.Date(at.Year(), at.Month(), at.Day()+i, hour, 59*(hour%2), 1, 0, place))
		}
	}
	add("Europe/Lisbon", "2026-03-28", 24, 3, 0, 9, 23)     // clocks go forward on the 29th
	add("Europe/Lisbon", "2026-10-24", 24, 3, 0, 1, 12, 23) // and back on the 25th
	add("Europe/Lisbon", "2028-02-28", 4, 1, 0, 23)         // a leap day
	add("Europe/Lisbon", "2026-12-30", 6, 1, 23, 0)         // week 53 and a new year
	add("Pacific/Auckland", "2026-04-04", 4, 1, 0, 23)      // the other half of the earth
	add("Pacific/Auckland", "2026-09-26", 4, 1, 0, 23)
	add("Australia/Lord_Howe", "2026-04-04", 3, 1, 8) // by half an hour
	add("America/St_Johns", "2026-03-08", 3, 1, 0, 23)
	random := rand.New(rand.NewPCG(1, 2))
	for range 6 {
		all = append(all, time.Unix(1_700_000_000+random.Int64N(400_000_000), 0).UTC())
	}
	return slices.Clip(all)
}
