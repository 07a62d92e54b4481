package morning_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// weeks are sessions of a phase on three days a week for so many weeks,
// the newest one day ago.
func weeks(phase string, n int, changes ...change) []roster.Session {
	var ago []day.Date
	for w := range n {
		ago = append(ago, day.Date(7*w+1), day.Date(7*w+3), day.Date(7*w+5))
	}
	return every(phase, ago, changes...)
}

// everything is a club with everything in it that a morning can bring.
func everything() *scene {
	s := newScene()
	s.add("Arrived", "R7", ready("R7")...)
	s.add("Eased", "L3", append(weeks("L3", 1), done("L3", 0, hard(9)), done("L3", 2, hard(9)))...).Sessions[0].Effort = readiness.Some(9)
	s.add("Irregular", "L3", every("L3", []day.Date{20, 12, 5})...).Athlete.PhaseSince = tuesday - 30
	jumped := s.add("Jumped", "L3", append(weeks("L3", 6), done("L3", 0, func(s *roster.Session) {
		s.Kind, s.Phase, s.Blocks = readiness.Extra, "", []readiness.Block{{Kind: pathway.Run, Planned: 3600, Done: 3600}}
	}))...)
	jumped.Athlete.PhaseSince = tuesday - 42
	s.add("Leaving", "L3", ready("L3")...).Leave = []roster.Leave{{Span: day.Span{From: tuesday - 1, To: tuesday + 6}}}
	s.add("Paining", "L3", done("L3", 1, hurts("knee", 4)))
	s.add("Paused", "L3", done("L3", 1, hurts("knee", 7)))
	held := s.add("Pausing already", "L3", done("L3", 9, hurts("knee", 7)))
	held.Athlete.Held, held.Athlete.HeldSince = roster.Paused, tuesday-8
	s.add("Quiet", "L3", done("L3", 9))
	s.add("Ready", "L3", ready("L3")...)
	s.add("Referred", "L3", done("L3", 1, signed(readiness.ChestPressure)))
	s.add("Stalling", "L3", weeks("L3", 3, func(s *roster.Session) { s.Breath = readiness.Late })...).Athlete.PhaseSince = tuesday - 22
	s.add("Steady", "L3", done("L3", 1))
	return s
}

func TestEverybodyIsInOneList(t *testing.T) {
	m := everything().roster(t)
	require.Equal(t, tuesday, m.Asked)
	require.Equal(t, []string{"Referred", "Paused", "Eased", "Jumped", "Stalling", "Paining", "Ready", "Arrived", "Irregular"}, names(m.Decide))
	require.Equal(t, []string{"Steady"}, names(m.Steady))
	require.Equal(t, []string{"Quiet"}, names(m.Quiet))
	require.Equal(t, []string{"Leaving", "Pausing already"}, names(m.Away))
	for _, r := range m.Decide {
		require.NotEmpty(t, r.Sentence, r.Athlete.Name)
	}
}

func TestWhatIsProposed(t *testing.T) {
	m := everything().roster(t)
	for name, want := range map[string]morning.Proposal{
		"Referred":  {First: roster.Refer, Second: roster.Cleared},
		"Paused":    {First: roster.Pause, Second: roster.Refer},
		"Eased":     {First: roster.EaseBack, To: "L2", Second: roster.Hold},
		"Jumped":    {First: roster.Hold, Second: roster.Seen},
		"Stalling":  {First: roster.HalfStep, To: "L3-", Second: roster.Hold},
		"Paining":   {First: roster.Hold, Second: roster.Pause},
		"Ready":     {First: roster.MoveUp, To: "L4", Second: roster.Hold},
		"Arrived":   {First: roster.Hold},
		"Irregular": {First: roster.Seen},
	} {
		i := slices.Index(names(m.Decide), name)
		require.GreaterOrEqual(t, i, 0, name)
		require.Equal(t, want, m.Decide[i].Proposal, name)
		require.False(t, m.Decide[i].Departs(want.First), name)
	}
}

func TestPainThatHasClearedStopsNobody(t *testing.T) {
	s := newScene()
	s.add("Ines", "L3", append(ready("L3"), done("L3", 8, hurts("knee", 4)))...)
	r := s.roster(t).Decide[0]
	require.True(t, r.Verdict.Flags.Has(readiness.FlagPain))
	require.Equal(t, morning.WhyMoveUp, r.Why)
	require.Equal(t, roster.MoveUp, r.Proposal.First)
}

func TestTheSameReasonGoesByName(t *testing.T) {
	s := newScene()
	for _, name := range []string{"Aoife", "Bram", "Cleo"} {
		s.add(name, "L3", ready("L3")...)
	}
	s.add("Dara", "L3", done("L3", 1, signed(readiness.NightPain)))
	require.Equal(t, []string{"Dara", "Aoife", "Bram", "Cleo"}, names(s.roster(t).Decide))
}

// decides puts a decision on the newest proposal of the only athlete.
func decides(t *testing.T, s *scene, choice roster.Choice, at time.Time) {
	t.Helper()
	m := s.roster(t)
	rows := slices.Concat(m.Decide, m.Steady, m.Quiet, m.Away)
	s.files[0].Newest = &roster.Decision{ID: 1, Choice: choice, At: at, Proposal: rows[0].Print}
}

// Every row is a decision on the same proposal, and whether it still answers it.
func TestWhatADecisionAnswers(t *testing.T) {
	pain := []roster.Session{done("L3", 1, hurts("knee", 4))}
	for _, row := range []struct {
		name     string
		sessions []roster.Session
		choice   roster.Choice
		days     int // ago
		answers  bool
	}{
		{"held today", ready("L3"), roster.Hold, 0, true},
		{"held six days ago", every("L3", []day.Date{11, 9, 6}), roster.Hold, 6, true},
		{"held seven days ago", every("L3", []day.Date{12, 10, 8}), roster.Hold, 7, false},
		{"seen today", ready("L3"), roster.Seen, 0, true},
		{"pain seen", pain, roster.Seen, 0, true},
		{"pain held", pain, roster.Hold, 0, true},
		{"pain eased back for something else", pain, roster.EaseBack, 0, false},
		{"a stop only seen", []roster.Session{done("L3", 1, signed(readiness.Faint))}, roster.Seen, 0, false},
		{"a limp only held", []roster.Session{done("L3", 1, func(s *roster.Session) { s.Limp = true })}, roster.Hold, 0, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene()
			s.add("Ines", "L3", row.sessions...).Athlete.PhaseSince = tuesday - 20
			decides(t, s, row.choice, s.now.Add(-time.Duration(row.days)*24*time.Hour))
			m := s.roster(t)
			if !row.answers {
				require.Len(t, m.Decide, 1)
				return
			}
			require.Len(t, m.Steady, 1)
			require.Equal(t, morning.NextDecided, m.Steady[0].Next.Kind)
		})
	}
}

// Answers to the health questions are looked at before anybody moves up, and never
// before what is more urgent.
func TestAnswersAboutHealthAreLookedAt(t *testing.T) {
	for _, row := range []struct {
		name     string
		sessions []roster.Session
		why      morning.Why
	}{
		{"going steadily", []roster.Session{done("L3", 1)}, morning.WhyAnswered},
		{"ready to move up", ready("L3"), morning.WhyAnswered},
		{"eight weeks away", []roster.Session{done("L3", 60)}, morning.WhyEaseBack},
		{"a sign", []roster.Session{done("L3", 1, signed(readiness.Faint))}, morning.WhyRefer},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene()
			s.add("Ines", "L3", row.sessions...).Athlete.CheckSince = tuesday
			decides(t, s, roster.Seen, s.now)
			m := s.roster(t)
			require.Equal(t, row.why, m.Rows()[0].Why)
			if row.why == morning.WhyAnswered {
				require.Len(t, m.Decide, 1, "no decision answers it, looking does")
			}
		})
	}
}

// Somebody back on the first phase after a long time waits for a clearance, and no
// longer once it was given.
func TestAClearanceAnswersTheHealthCheck(t *testing.T) {
	for _, row := range []struct {
		name             string
		cleared, injured day.Date
		decide           bool
	}{
		{"nobody has looked", 0, 0, true},
		{"cleared before the eight weeks were over", tuesday - 5, 0, true},
		{"cleared on the day they were", tuesday - 4, 0, false},
		{"cleared, then injured", tuesday - 4, tuesday - 2, true},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene()
			a := &s.add("Ines", "B1", done("L3", 60)).Athlete
			a.ClearedOn, a.InjuredOn, a.PhaseSince = row.cleared, row.injured, tuesday-1
			m := s.roster(t)
			require.Equal(t, morning.WhyHealthCheck, m.Rows()[0].Why)
			require.Equal(t, row.decide, len(m.Decide) == 1)
			require.Equal(t, roster.Cleared, m.Rows()[0].Proposal.First)
		})
	}
}

func TestANewSessionAsksAgain(t *testing.T) {
	s := newScene()
	s.add("Ines", "L3", ready("L3")...)
	decides(t, s, roster.Hold, s.now)
	require.Empty(t, s.roster(t).Decide)
	s.files[0].Sessions[0].ChangedAt = s.now.Add(time.Minute)
	require.Len(t, s.roster(t).Decide, 1, "a correction")
	s.files[0].Sessions[0].ChangedAt = time.Time{}
	s.files[0].Newest.Proposal = "something else"
	require.Len(t, s.roster(t).Decide, 1, "another proposal")
}

func TestStopsAreSaidOfThoseAwayToo(t *testing.T) {
	s := newScene()
	s.add("On leave with a sign", "L3", done("L3", 1, signed(readiness.Faint))).Leave = []roster.Leave{{Span: day.Span{From: tuesday - 3}}}
	paused := s.add("Paused, then a sign", "L3", done("L3", 1, signed(readiness.Faint)))
	paused.Athlete.Held, paused.Athlete.HeldSince = roster.Paused, tuesday-2
	referred := s.add("Referred for it", "L3", done("L3", 1, signed(readiness.Faint)))
	referred.Athlete.Held, referred.Athlete.HeldSince = roster.Referred, tuesday-1
	m := s.roster(t)
	require.Equal(t, []string{"On leave with a sign", "Paused, then a sign"}, names(m.Decide))
	require.Equal(t, []string{"Referred for it"}, names(m.Away))
	require.Equal(t, morning.Away{Kind: morning.Referred, Since: tuesday - 1}, m.Away[0].Away)
}

func TestWhenAPauseMayEnd(t *testing.T) {
	for _, row := range []struct {
		name  string
		since day.Date
		rest  []roster.Session
		due   bool
	}{
		{"six days, nothing told", tuesday - 6, nil, false},
		{"a week", tuesday - 7, nil, true},
		{"a walk without pain", tuesday - 2, []roster.Session{done("L3", 1)}, true},
		{"a walk with pain of 2", tuesday - 2, []roster.Session{done("L3", 1, hurts("knee", 2))}, true},
		{"a walk with pain of 3", tuesday - 2, []roster.Session{done("L3", 1, hurts("knee", 3))}, false},
		{"without pain, then with it", tuesday - 3, []roster.Session{done("L3", 2), done("L3", 1, hurts("knee", 3))}, false},
		{"not asked", tuesday - 2, []roster.Session{done("L3", 1, func(s *roster.Session) { s.PainAsked = false })}, false},
	} {
		s := newScene()
		f := s.add("Ines", "L3", append(row.rest, done("L3", 12, hurts("knee", 7)))...)
		f.Athlete.Held, f.Athlete.HeldSince = roster.Paused, row.since
		m := s.roster(t)
		require.Equal(t, row.due, m.Away[0].Away.Due, row.name)
	}
}

func TestAfterAClearanceNobodyIsQuietYet(t *testing.T) {
	s := newScene()
	f := s.add("Ines", "L3", done("L3", 9, hurts("knee", 7)))
	f.Athlete.ClearedOn, f.Athlete.ClearedAt = tuesday, s.now
	require.Len(t, s.roster(t).Steady, 1)
	f.Athlete.ClearedOn, f.Athlete.ClearedAt = tuesday-7, s.now.Add(-7*24*time.Hour)
	require.Len(t, s.roster(t).Quiet, 1)
}

func TestTheDayIsTheAthletesOwn(t *testing.T) {
	s := newScene()
	s.now = time.Date(2026, 4, 14, 22, 30, 0, 0, time.UTC) // 23:30 in Lisbon, 12:30 of the 15th in Kiritimati
	s.add("East", "L3", done("L3", 1)).Athlete.Zone = "Pacific/Kiritimati"
	s.add("Home", "L3", done("L3", 1))
	s.add("West", "L3", done("L3", 1)).Athlete.Zone = "Pacific/Honolulu"
	m := s.roster(t)
	require.Equal(t, []day.Date{tuesday + 1, tuesday, tuesday}, []day.Date{m.Steady[0].Asked, m.Steady[1].Asked, m.Steady[2].Asked})
	s.now = s.now.Add(31 * time.Minute) // 00:01 in Lisbon
	require.Equal(t, tuesday+1, s.roster(t).Asked)
	require.Equal(t, tuesday, s.roster(t).Steady[2].Asked)
}

func TestWhatARowShows(t *testing.T) {
	s := newScene()
	s.add("Ines", "L3", slices.Concat(
		weeks("L3", 1, taps(52)),
		every("L3", []day.Date{8, 10}, taps(60)),
		every("L2", []day.Date{12, 15, 17, 19}, taps(70)),
		[]roster.Session{done("L3", 0, func(s *roster.Session) { s.Outcome, s.Blocks = readiness.Missed, nil }),
			done("L1", 60, taps(99)), done("L1", 4, func(s *roster.Session) {
				s.Kind, s.Phase, s.Blocks, s.Minutes = readiness.Extra, "", nil, readiness.Some(0)
			}),
			done("L3", 2, func(s *roster.Session) {
				s.Kind, s.Phase, s.Blocks, s.Minutes = readiness.Strength, "", nil, readiness.Some(30)
			})},
	)...)
	m := s.roster(t)
	r := slices.Concat(m.Decide, m.Steady)[0]
	require.Equal(t, []int{3, 3}, []int{r.Done, r.Of})
	require.Len(t, r.Strips, 4, "the missed one too")
	require.Len(t, r.Outside, 1)
	require.Equal(t, tuesday-4, r.Outside[0].Date)
	require.Equal(t, []day.Date{tuesday - 5, tuesday - 3, tuesday - 1, tuesday}, []day.Date{r.Strips[0].Date, r.Strips[1].Date, r.Strips[2].Date, r.Strips[3].Date})
	require.Equal(t, []int{70, 70, 60, 60, 52, 52, 52}, r.Settle.Medians, "seven, the oldest first")
	require.Equal(t, 90, r.Settle.Half)
	last, ok := r.Settle.Last()
	require.True(t, ok)
	require.Equal(t, 52, last)
	require.InDeltaSlice(t, []float64{0, 0, 0, 360, 360, 480}, r.Load[:], 0.001, "W0 last: three sessions and strength at four times thirty")
	require.InDelta(t, r.Verdict.Load.Week, r.Load[5], 0.001, "the engine's own figure")
}

func TestLoadAcrossNewYear(t *testing.T) {
	s := newScene()
	f := s.add("Ines", "L3", done("L3", 0), done("L3", 0))
	s.now = time.Date(2027, 1, 3, 12, 0, 0, 0, time.UTC) // the last day of ISO week 53
	for i, date := range []day.Date{day.On(2026, 12, 28), day.On(2026, 12, 27)} {
		f.Sessions[i].Date, f.Sessions[i].StartedAt = date, date.UTC().Add(7*time.Hour)
	}
	m := s.roster(t)
	require.InDeltaSlice(t, []float64{0, 0, 0, 0, 120, 120}, slices.Concat(m.Decide, m.Steady)[0].Load[:], 0.001)
}

func TestWhatComesNext(t *testing.T) {
	tap := func(n int, seconds int) roster.Session { return done("L3", day.Date(n), taps(seconds)) }
	for _, row := range []struct {
		name     string
		since    day.Date // days on the phase
		sessions []roster.Session
		next     morning.Next
	}{
		{"first week", 3, []roster.Session{done("L3", 1)}, morning.Next{Kind: morning.NextFirst}},
		{"two of three", 10, every("L3", []day.Date{3, 1}), morning.Next{Kind: morning.NextGate, Count: 1}},
		{"breath not told", 10, every("L3", []day.Date{5, 3, 1}, func(s *roster.Session) { s.Breath = readiness.BreathNotAsked }), morning.Next{Kind: morning.NextUnproven}},
		{"late breath", 10, every("L3", []day.Date{3, 1}, func(s *roster.Session) { s.Breath = readiness.Late }), morning.Next{Kind: morning.NextSettle}},
		{"late breath, sooner each time", 10, []roster.Session{tap(5, 140), tap(3, 120), tap(1, 100)}, morning.Next{Kind: morning.NextSooner}},
		{"too hard", 10, every("L3", []day.Date{3, 1}, hard(7)), morning.Next{Kind: morning.NextEasier}},
		{"cut short", 10, every("L3", []day.Date{3, 1}, func(s *roster.Session) { s.Blocks[11].Done = 0 }), morning.Next{Kind: morning.NextFull}},
		{"three in a row, one of them this week", 10, every("L3", []day.Date{8, 7, 6}), morning.Next{Kind: morning.NextLeft, Count: 2}},
		{"three in a row this week", 10, every("L3", []day.Date{3, 2, 1}), morning.Next{Kind: morning.NextDone}},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene()
			s.add("Ines", "L3", row.sessions...).Athlete.PhaseSince = tuesday - row.since
			m := s.roster(t)
			require.Equal(t, []string{"Ines"}, names(m.Steady), "%v", m)
			require.Equal(t, row.next, m.Steady[0].Next)
		})
	}
}

func TestAPhaseThatIsGoneStopsNobodyElse(t *testing.T) {
	s := newScene()
	s.add("Lost", "X9", ready("L3")...)
	s.add("Ready", "L3", ready("L3")...)
	m := s.roster(t)
	require.Equal(t, []string{"Ready"}, names(m.Decide))
	require.Equal(t, morning.NextLost, m.Steady[0].Next.Kind)
	_, err := s.use.Athlete(context.Background(), 7, 1)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestAStoppedDatabaseIsSaid(t *testing.T) {
	s := newScene()
	s.down = true
	_, err := s.use.Roster(context.Background(), club, mara, false)
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
}

func BenchmarkRoster(b *testing.B) {
	for _, n := range []int{100, 500} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			s := newScene()
			for i := range n {
				s.add(fmt.Sprint("Athlete ", i), "L3", weeks("L3", 12, taps(60))...)
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := s.use.Roster(context.Background(), club, mara, false); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
