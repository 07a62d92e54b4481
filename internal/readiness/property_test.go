package readiness_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
)

// said is what a verdict says, without the history it points into.
func said(h *readiness.History) map[string]any {
	v := readiness.Assess(h)
	return map[string]any{
		"action": v.Action, "to": v.To, "gate": v.Gate, "flags": v.Flags.Names(), "stalling": v.Stalling,
		"load": v.Load, "rules": v.Rules, "sentence": v.Sentence(), "conditions": v.Evidence(),
	}
}

func TestOrderOfInputNeverMatters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		want := said(&h)
		h.Sessions = rapid.Permutation(h.Sessions).Draw(t, "order")
		require.Equal(t, want, said(&h))
	})
}

func TestSessionsAfterTheDayDoNotExist(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		want := said(&h)
		h.Sessions = slices.DeleteFunc(slices.Clone(h.Sessions), func(s readiness.Session) bool { return s.Date > h.AsOf })
		require.Equal(t, want, said(&h))
	})
}

func TestShiftingEveryDateShiftsNothingElse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		want := said(&h)
		by := rapid.IntRange(1, 800).Draw(t, "weeks") * 7 // weekdays are named in sentences
		h = shifted(h, day.Date(by))
		require.Equal(t, want, said(&h))
	})
}

func shifted(h readiness.History, by day.Date) readiness.History {
	h.AsOf, h.PhaseSince = h.AsOf+by, h.PhaseSince+by
	for _, d := range []*day.Date{&h.ClearedOn, &h.InjuredOn, &h.HistorySince} {
		if *d != 0 {
			*d += by
		}
	}
	h.Leave = slices.Clone(h.Leave)
	for i := range h.Leave {
		h.Leave[i].From += by
		h.Leave[i].To += by
	}
	h.Sessions = slices.Clone(h.Sessions)
	for i := range h.Sessions {
		h.Sessions[i].Date += by
		h.Sessions[i].StartedAt = h.Sessions[i].StartedAt.Add(time.Duration(by) * 24 * time.Hour)
	}
	return h
}

// boldness orders actions from the most careful to the boldest.
func boldness(v readiness.Verdict) int {
	switch v.Action {
	case readiness.MoveUp, readiness.Arrived:
		return 4
	case readiness.Stay, readiness.HalfStep:
		return 3
	case readiness.EaseBack:
		return 2
	case readiness.Pause:
		return 1
	default:
		return 0
	}
}

// Only scores of the newest seven dates are made worse: an older one that was
// already high is what rule 6.2 compares with, so that a rise from it counts less.
func TestAWorsePainScoreNeverGivesABolderAction(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		before := readiness.Assess(&h)
		h.Sessions = slices.Clone(h.Sessions)
		for i := range h.Sessions {
			s := &h.Sessions[i]
			if s.Date > h.AsOf || h.AsOf-s.Date >= 7 || len(s.Pain) == 0 {
				continue
			}
			pain := s.Pain[0]
			pain.Score = int8(rapid.IntRange(int(pain.Score), 10).Draw(t, "worse"))
			if morning, known := pain.NextMorning.Get(); known {
				pain.NextMorning = readiness.Some(rapid.IntRange(morning, 10).Draw(t, "worse next morning"))
			}
			s.Pain = []readiness.Pain{pain}
		}
		after := readiness.Assess(&h)
		require.LessOrEqual(t, boldness(after), boldness(before), "%v → %v", before.Action, after.Action)
	})
}

// More evidence is another session or an answer given: neither ends a referral.
func TestMoreEvidenceNeverTurnsAReferralIntoMoveUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		h.Sessions = append(h.Sessions, readiness.Session{
			StartedAt: asked.UTC().Add(-24*time.Hour + time.Minute), Date: asked - 1, Kind: readiness.Other, Minutes: readiness.Some(0),
			Signs: []readiness.Sign{readiness.Sign(rapid.IntRange(0, 10).Draw(t, "sign"))},
		})
		h.ClearedOn = min(h.ClearedOn, asked-2)
		require.Equal(t, readiness.Refer, readiness.Assess(&h).Action)
		for i := range h.Sessions {
			if !h.Sessions[i].Effort.Known() {
				h.Sessions[i].Effort = readiness.Some(2)
			}
			h.Sessions[i].PainAsked = true
		}
		h.Sessions = append(h.Sessions, drawSession(t, h.Pathway, 6, -1), drawSession(t, h.Pathway, 6, 0))
		require.Equal(t, readiness.Refer, readiness.Assess(&h).Action)
	})
}

func TestAPauseIsNeverEndedByTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		before := readiness.Assess(&h)
		if before.Action > readiness.Pause {
			return
		}
		h.Sessions = slices.DeleteFunc(slices.Clone(h.Sessions), func(s readiness.Session) bool { return s.Date > h.AsOf })
		h.AsOf += day.Date(rapid.IntRange(1, 400).Draw(t, "days"))
		require.LessOrEqual(t, readiness.Assess(&h).Action, before.Action)
	})
}

func TestNothingIsPrescribedWhileReferredOrPaused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		v := readiness.Assess(&h)
		stopped := v.Action == readiness.Refer || v.Action == readiness.Pause
		require.Equal(t, stopped, v.To == "")
		require.Equal(t, stopped, len(v.Blocks) == 0)
		require.False(t, stopped && v.Flags&(readiness.FlagReady|readiness.FlagArrived) != 0)
		require.Equal(t, stopped || v.Flags.Has(readiness.FlagArrived), readiness.Arrival(&h, &v) == readiness.Forecast{})
	})
}
