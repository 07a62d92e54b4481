package entry_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

var tuesday = day.On(2026, 4, 14)

func TestAllOfItCopiesThePlan(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	r, err := s.log(whole(tuesday, 7*60+10))
	require.NoError(t, err)
	kept := s.sessions[0]
	require.Equal(t, r.ID, kept.ID)
	require.Equal(t, "L3", kept.Phase)
	require.Len(t, kept.Blocks, 12)
	require.Equal(t, readiness.Block{Kind: pathway.Run, Planned: 120, Done: 120}, kept.Blocks[0])
	require.Equal(t, readiness.InFull, kept.Became())
	require.Equal(t, tuesday, kept.Date)
	require.Equal(t, "2026-04-14T06:10:00Z", kept.StartedAt.UTC().Format(time.RFC3339))
	require.Zero(t, kept.ByCoach)
	require.False(t, r.Stop || r.Bone || r.Hurt || r.Again)
}

func TestACoachEntersForAnAthlete(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	s.who = roster.Actor{Club: 7, Coach: 2}
	_, err := s.log(whole(tuesday, 420))
	require.NoError(t, err)
	require.Equal(t, roster.CoachID(2), s.sessions[0].ByCoach)
}

func TestNobodyEntersForOthers(t *testing.T) {
	for name, who := range map[string]roster.Actor{
		"another athlete": {Club: 7, Athlete: 4}, "another club's coach": {Club: 8, Coach: 2}, "nobody": {},
	} {
		s := newScene(t, lisbon, "2026-04-14 08:00")
		s.who = who
		_, err := s.log(whole(tuesday, 420))
		require.Equal(t, fault.NotFound, fault.KindOf(err), name)
		require.Empty(t, s.sessions, name)
		_, err = s.use.Today(context.Background(), who, 3)
		require.Equal(t, fault.NotFound, fault.KindOf(err), name)
	}
}

// Every row is something wrong with an otherwise sound entry, and what is said at
// its field.
func TestWhatIsWrongIsSaidAtItsField(t *testing.T) {
	blocks := func(change func([]readiness.Block)) func(*entry.Entry) {
		return func(e *entry.Entry) {
			e.Whole = false
			e.Blocks = entry.Whole(pathway.Default().Phases[6].Blocks)
			change(e.Blocks)
		}
	}
	for _, row := range []struct {
		name   string
		change func(*entry.Entry)
		place  string
		says   string
	}{
		{"effort of 11", func(e *entry.Entry) { e.Effort = readiness.Some(11) }, "effort", "0 to 10"},
		{"effort below 0", func(e *entry.Entry) { e.Effort = readiness.Some(-1) }, "effort", "0 to 10"},
		{"minutes of 601", func(e *entry.Entry) { e.Minutes = readiness.Some(601) }, "minutes", "0 to 600"},
		{"five hours of a planned session", func(e *entry.Entry) { e.Minutes = readiness.Some(300) }, "minutes", "5 hours"},
		{"pain of 11", func(e *entry.Entry) { e.Pain = []readiness.Pain{{Site: "left shin", Score: 11}} }, "pain[0].score", "0 to 10"},
		{"pain nowhere", func(e *entry.Entry) { e.Pain = []readiness.Pain{{Site: " ", Score: 2}} }, "pain[0].site", "where"},
		{"one site twice", func(e *entry.Entry) {
			e.Pain = []readiness.Pain{{Site: "Left shin", Score: 1}, {Site: "left shin ", Score: 2}}
		}, "pain[1].site", "twice"},
		{"a morning yet to come", func(e *entry.Entry) {
			e.Pain = []readiness.Pain{{Site: "knee", Score: 1, NextMorning: readiness.Some(0)}}
		}, "pain[0].next_morning", "yet to come"},
		{"a block of over four hours", blocks(func(b []readiness.Block) { b[1].Done = 14401 }), "blocks[1].done_s", "4 hours"},
		{"a block below nothing", blocks(func(b []readiness.Block) { b[1].Done = -1 }), "blocks[1].done_s", "4 hours"},
		{"a block planned for nothing", blocks(func(b []readiness.Block) { b[0].Planned = 0 }), "blocks[0].planned_s", "1 second"},
		{"breath back after the walk", blocks(func(b []readiness.Block) { b[1].Settle = readiness.Some(181) }), "blocks[1].settle_s", "after the end"},
		{"breath back in a run", blocks(func(b []readiness.Block) { b[0].Settle = readiness.Some(20) }), "blocks[0].settle_s", "not in runs"},
		{"ten hours of running", blocks(func(b []readiness.Block) {
			for i := range b {
				b[i].Done = 6000
			}
		}), "blocks", "10 hours of running in one session; are the minutes right?"},
		{"one run of ten hours", blocks(func(b []readiness.Block) { b[0].Done = 36000 }), "blocks", "10 hours of running"},
		{"an hour from now", func(e *entry.Entry) { e.Clock = readiness.Some(9 * 60) }, "date", "still to come"},
		{"tomorrow", func(e *entry.Entry) { e.Date++ }, "date", "still to come"},
		{"200 days back", func(e *entry.Entry) { e.Date -= 200 }, "date", "183 days"},
		{"no day", func(e *entry.Entry) { e.Date = 0 }, "date", "the day"},
		{"no time of day", func(e *entry.Entry) { e.Clock = readiness.Some(1440) }, "clock", "time of the day"},
		{"a note without end", func(e *entry.Entry) { e.Note = strings.Repeat("ä", 2001) }, "note", "2,001 characters"},
		{"no key", func(e *entry.Entry) { e.Key = "short" }, "key", "open it again"},
		{"all of an unknown phase", func(e *entry.Entry) { e.Phase = "X9" }, "phase", "block by block"},
		{"missed, yet all of it", func(e *entry.Entry) { e.Outcome = readiness.Missed }, "outcome", "not missed"},
		{"shortened, yet all of it", func(e *entry.Entry) { e.Outcome = readiness.Shortened }, "outcome", "not shortened"},
		{"in full, yet one run left out", func(e *entry.Entry) {
			blocks(func(b []readiness.Block) { b[0].Done = 0 })(e)
			e.Outcome = readiness.InFull
		}, "outcome", "shortened"},
		{"in full, yet nothing done", func(e *entry.Entry) {
			blocks(func(b []readiness.Block) {
				for i := range b {
					b[i].Done = 0
				}
			})(e)
			e.Outcome = readiness.InFull
		}, "outcome", "missed"},
		{"neither blocks nor outcome", func(e *entry.Entry) { e.Whole = false }, "outcome", "what became"},
		{"neither blocks nor minutes", func(e *entry.Entry) { e.Whole, e.Outcome = false, readiness.InFull }, "minutes", "how many minutes"},
		{"missed with minutes", func(e *entry.Entry) {
			e.Whole, e.Outcome, e.Minutes = false, readiness.Missed, readiness.Some(12)
		}, "outcome", "not missed"},
		{"strength without minutes", func(e *entry.Entry) { e.Kind = readiness.Strength }, "minutes", "how many minutes"},
		{"what could not be read", func(e *entry.Entry) {
			e.Unread = []fault.Field{{Place: "effort", Message: "a whole number, please"}}
		}, "effort", "whole number"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t, lisbon, "2026-04-14 08:00")
			e := whole(tuesday, 420)
			e.Key = "a-good-key"
			row.change(&e)
			_, err := s.log(e)
			require.Contains(t, faultAt(t, err, row.place), row.says)
			require.Empty(t, s.sessions)
		})
	}
}

func TestEverythingWrongIsSaidAtOnce(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	e := whole(tuesday+1, 420)
	e.Effort, e.Outcome = readiness.Some(12), readiness.Missed
	_, err := s.log(e)
	require.Len(t, fault.FieldsOf(err), 3)
}

func TestWhatIsTakenWithoutAQuestion(t *testing.T) {
	for name, e := range map[string]entry.Entry{
		"missed":                    {Outcome: readiness.Missed},
		"called off":                {Outcome: readiness.CalledOff},
		"called off half-way":       {Outcome: readiness.CalledOff, Minutes: readiness.Some(12)},
		"stopped for pain":          {Outcome: readiness.StoppedForPain, Whole: true},
		"in full by minutes":        {Outcome: readiness.InFull, Minutes: readiness.Some(30)},
		"a walk outside the plan":   {Kind: readiness.Extra, Minutes: readiness.Some(600)},
		"a run outside the plan":    {Kind: readiness.Extra, Blocks: []readiness.Block{{Kind: pathway.Run, Planned: 7200, Done: 14400}}},
		"strength":                  {Kind: readiness.Strength, Minutes: readiness.Some(45), PlannedMinutes: readiness.Some(40)},
		"a rest day":                {Kind: readiness.Other, Minutes: readiness.Some(0)},
		"183 days back":             {Date: tuesday - 183, Whole: true},
		"of a phase left meanwhile": {Phase: "L2", Whole: true},
		"an old pathway's phase":    {Phase: "X9", Outcome: readiness.InFull, Minutes: readiness.Some(30)},
	} {
		t.Run(name, func(t *testing.T) {
			s := newScene(t, lisbon, "2026-04-14 20:00")
			if e.Date == 0 {
				e.Date = tuesday
			}
			_, err := s.log(e)
			require.NoError(t, err)
			require.Len(t, s.sessions, 1)
		})
	}
}

func TestSigns(t *testing.T) {
	for _, row := range []struct {
		name             string
		change           func(*entry.Entry)
		stop, bone, hurt bool
	}{
		{"chest pressure", func(e *entry.Entry) { e.Signs = []readiness.Sign{readiness.ChestPressure, readiness.ChestPressure} }, true, false, false},
		{"night pain", func(e *entry.Entry) { e.Signs = []readiness.Sign{readiness.NightPain} }, false, true, false},
		{"both", func(e *entry.Entry) { e.Signs = []readiness.Sign{readiness.HopPain, readiness.Faint} }, true, true, false},
		{"a limp", func(e *entry.Entry) { e.Limp = true }, false, false, true},
		{"pain of 6", func(e *entry.Entry) { e.Pain = []readiness.Pain{{Site: "knee", Score: 6}} }, false, false, true},
		{"pain of 5", func(e *entry.Entry) { e.Pain = []readiness.Pain{{Site: "knee", Score: 5}} }, false, false, false},
		{"stopped for pain", func(e *entry.Entry) { e.Outcome = readiness.StoppedForPain }, false, false, true},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t, lisbon, "2026-04-14 08:00")
			e := whole(tuesday, 420)
			row.change(&e)
			r, err := s.log(e)
			require.NoError(t, err)
			require.Equal(t, []bool{row.stop, row.bone, row.hurt}, []bool{r.Stop, r.Bone, r.Hurt})
			require.Len(t, s.sessions[0].Signs, len(r.Session.Signs))
		})
	}
}

func TestADoubleTapIsStoredOnce(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	e := whole(tuesday, 420)
	e.Key = "the-same-key"
	first, err := s.log(e)
	require.NoError(t, err)
	second, err := s.log(e)
	require.NoError(t, err)
	require.True(t, second.Again)
	require.Equal(t, first.ID, second.ID)
	require.Len(t, s.sessions, 1)
}

func TestTheSameMinuteIsThereAlready(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	_, err := s.log(entry.Entry{Started: s.now.Add(-time.Hour + 23*time.Second), Whole: true})
	require.NoError(t, err)
	e := whole(tuesday, 7*60)
	r, err := s.log(e)
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	require.Contains(t, fault.MessageOf(err), "there already")
	require.Equal(t, s.sessions[0].ID, r.There.ID)
	e.Kind, e.Minutes = readiness.Strength, readiness.Some(20)
	_, err = s.log(e)
	require.NoError(t, err, "another kind of training may begin in the same minute")
}

func TestAStoppedDatabaseIsSaid(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	s.down = true
	_, err := s.log(whole(tuesday, 420))
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
}

func TestMarkupAndRubbishInANote(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	e := whole(tuesday, 420)
	e.Note = " <b>slow\x00</b>\r\nand \xff warm\t"
	_, err := s.log(e)
	require.NoError(t, err)
	require.Equal(t, "<b>slow</b>\nand  warm", s.sessions[0].Note)
}

// A phone may tell of a session long after: the phase is the one it was done in.
func TestThePhaseIsTheOneItWasDoneIn(t *testing.T) {
	for _, c := range []struct{ why, present, told, kept, place string }{
		{"moved up since", "L4", "L3", "L3", ""},
		{"moved by half a step since", "L3-", "L3", "L3", ""},
		{"a half step since left", "L3", "L3-", "L3-", ""},
		{"a phase that is on the pathway no more", "L3", "short hills", "short hills", ""},
		{"not told: the present one", "L4", "", "L4", ""},
		{"a name nothing can have", "L3", strings.Repeat("x", 82), "", "phase"},
	} {
		s := newScene(t, lisbon, "2026-04-14 08:00")
		s.athlete.Phase = c.present
		e := whole(tuesday, 420)
		e.Whole, e.Phase = false, c.told
		e.Blocks = entry.Whole([]pathway.Block{{Kind: pathway.Run, Planned: 60}, {Kind: pathway.Walk, Planned: 90}})
		_, err := s.log(e)
		if c.place != "" {
			require.Contains(t, faultAt(t, err, c.place), "too long", c.why)
			continue
		}
		require.NoError(t, err, c.why)
		require.Equal(t, c.kept, s.sessions[0].Phase, c.why)
		require.Len(t, s.sessions[0].Blocks, 2, "as it was done, whatever the phase is now: %s", c.why)
		require.Equal(t, readiness.InFull, s.sessions[0].Became(), c.why)
	}
}

// The form shows the present phase, also to whoever enters a day before it began.
func TestAllOfItOfAnEarlierDayIsThePlanOfThen(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	since := s.athlete.PhaseSince
	before := roster.Standing{Pathway: 1, Phase: "L2", PhaseSince: since - 14}
	s.newest = &roster.Decision{Choice: roster.MoveUp, Before: before, After: s.athlete.Standing}
	last := whole(since-1, 420)
	last.Phase, last.Key = "L3", "key-of-the-form"
	for range 2 {
		_, err := s.log(last)
		require.NoError(t, err)
	}
	first := whole(since, 420)
	first.Phase = "L3"
	_, err := s.log(first)
	require.NoError(t, err)
	require.Len(t, s.sessions, 2)
	for i, want := range []string{"L2", "L3"} {
		require.Equal(t, want, s.sessions[i].Phase)
		require.Equal(t, entry.Whole(pathway.Default().Blocks(pathway.Default().Find(want))), s.sessions[i].Blocks)
		require.LessOrEqual(t, s.sessions[i].Version, 1, "sent twice changes nothing")
	}
}

// Whoever goes back to the form, changes something and stores it means the change.
func TestTheSameFormWithSomethingElse(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	first := whole(tuesday, 420)
	first.Key = "key-of-the-form"
	_, err := s.log(first)
	require.NoError(t, err)
	s.sessions[0].Blocks[1].Heart = readiness.Heart{Valid: readiness.Some(170), Seconds: readiness.Some(120)}
	recorded := s.sessions[0].Blocks[1].Heart

	s.now = s.now.Add(time.Minute)
	second := first
	second.Effort, second.Signs = readiness.Some(7), []readiness.Sign{readiness.ChestPressure}
	r, err := s.log(second)
	require.NoError(t, err)
	require.False(t, r.Again)
	require.True(t, r.Stop)
	require.Len(t, s.sessions, 1)
	kept := s.sessions[0]
	require.Equal(t, 7, kept.Effort.Or(0))
	require.Equal(t, 2, kept.Version)
	require.Equal(t, recorded, kept.Blocks[1].Heart, "what was recorded stays")
	require.Equal(t, []roster.Alarm{0, roster.AlarmSign}, s.alarms, "the coach hears of it")

	r, err = s.log(first)
	require.NoError(t, err)
	require.True(t, r.Again, "a late copy of the first changes nothing")
	require.True(t, r.Stop, "what is there counts")
	require.Equal(t, kept, s.sessions[0])
}

// Sent again later, what leaves the time or the phase open says the same as before.
func TestTheSameFormLater(t *testing.T) {
	for why, e := range map[string]entry.Entry{
		"no time of day: noon, or now": {Date: tuesday, Whole: true},
		"called off at the instant":    {Started: time.Date(2026, 4, 14, 7, 0, 0, 0, time.UTC), Outcome: readiness.CalledOff},
		"missed":                       {Date: tuesday, Outcome: readiness.Missed, Phase: "L3"},
	} {
		s := newScene(t, lisbon, "2026-04-14 08:00")
		e.Key = "key-of-the-form"
		_, err := s.log(e)
		require.NoError(t, err, why)
		before := s.sessions[0]
		s.now, s.athlete.Phase = s.now.Add(9*time.Hour), "L4"
		if !e.Started.IsZero() {
			e.Started = s.now
		}
		r, err := s.log(e)
		require.NoError(t, err, why)
		require.True(t, r.Again, why)
		require.Equal(t, []roster.Session{before}, s.sessions, why)
	}
}
