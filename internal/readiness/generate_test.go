package readiness_test

import (
	"time"

	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// asked is the day on which drawn histories are asked about.
var asked = day.On(2026, time.April, 14)

// drawHistory draws an athlete of about twelve weeks: mostly regular sessions of
// one or two phases, with all that may go wrong now and then.
func drawHistory(t *rapid.T) readiness.History {
	p := pathway.Default()
	at := rapid.IntRange(0, len(p.Phases)-1).Draw(t, "phase")
	h := readiness.History{
		AsOf: asked, Place: time.UTC, Pathway: p, Phase: p.Phases[at].ID,
		PhaseSince:    asked - day.Date(rapid.IntRange(0, 30).Draw(t, "since")),
		HeartUsable:   rapid.Bool().Draw(t, "heart"),
		SessionsAWeek: rapid.IntRange(2, 6).Draw(t, "n"),
	}
	if rapid.IntRange(0, 3).Draw(t, "clearance?") == 0 {
		h.ClearedOn = asked - day.Date(rapid.IntRange(0, 40).Draw(t, "cleared"))
	}
	if rapid.IntRange(0, 9).Draw(t, "injury?") == 0 {
		h.InjuredOn = asked - day.Date(rapid.IntRange(0, 40).Draw(t, "injured"))
	}
	if rapid.IntRange(0, 3).Draw(t, "leave?") == 0 {
		from := asked - day.Date(rapid.IntRange(0, 60).Draw(t, "from"))
		h.Leave = []day.Span{{From: from, To: from + day.Date(rapid.IntRange(0, 20).Draw(t, "days"))}}
	}
	ago := rapid.IntRange(-3, 3).Draw(t, "newest")
	for range rapid.IntRange(0, 25).Draw(t, "sessions") {
		h.Sessions = append(h.Sessions, drawSession(t, p, at, ago))
		ago += rapid.SampledFrom([]int{1, 2, 2, 2, 3, 3, 4, 9, 20}).Draw(t, "pause")
	}
	return h
}

func drawSession(t *rapid.T, p *pathway.Pathway, at, ago int) readiness.Session {
	date := asked - day.Date(ago)
	s := readiness.Session{
		StartedAt: date.UTC().Add(7 * time.Hour), Date: date,
		Kind: rapid.SampledFrom([]readiness.SessionKind{readiness.Planned, readiness.Planned, readiness.Planned,
			readiness.Planned, readiness.Extra, readiness.Strength, readiness.Other}).Draw(t, "kind"),
		Talk:      rapid.SampledFrom([]readiness.Talk{readiness.NotAsked, readiness.Chat, readiness.Sentence, readiness.Words}).Draw(t, "talk"),
		Breath:    rapid.SampledFrom([]readiness.Breath{readiness.BreathNotAsked, readiness.Early, readiness.Halfway}).Draw(t, "breath"),
		Hot:       rapid.IntRange(0, 9).Draw(t, "hot") == 0,
		Limp:      rapid.IntRange(0, 29).Draw(t, "limp") == 0,
		PainAsked: rapid.IntRange(0, 4).Draw(t, "pain asked") > 0,
	}
	if rapid.IntRange(0, 4).Draw(t, "rated") > 0 {
		s.Effort = readiness.Some(rapid.IntRange(0, 10).Draw(t, "effort"))
	}
	if s.PainAsked && rapid.IntRange(0, 2).Draw(t, "pain") == 0 {
		s.Pain = []readiness.Pain{{Site: "left shin", Score: int8(rapid.IntRange(0, 7).Draw(t, "score"))}}
		if rapid.Bool().Draw(t, "next morning") {
			s.Pain[0].NextMorning = readiness.Some(rapid.IntRange(0, 7).Draw(t, "morning"))
		}
	}
	if rapid.IntRange(0, 29).Draw(t, "sign") == 0 {
		s.Signs = []readiness.Sign{readiness.Sign(rapid.IntRange(0, 10).Draw(t, "which"))}
	}
	if s.Kind != readiness.Planned {
		s.Minutes = readiness.Some(rapid.IntRange(0, 60).Draw(t, "minutes"))
		return s
	}
	lower := max(0, at-rapid.SampledFrom([]int{0, 0, 0, 1}).Draw(t, "below"))
	s.Phase = p.Phases[lower].ID
	cut := rapid.SampledFrom([]int{100, 100, 100, 100, 60, 0}).Draw(t, "done")
	for _, b := range p.Phases[lower].Blocks {
		block := readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned * cut / 100)}
		if b.Kind == pathway.Walk && rapid.Bool().Draw(t, "tap") {
			block.Settle = readiness.Some(int(block.Done) * rapid.IntRange(10, 90).Draw(t, "settle") / 100)
		}
		s.Blocks = append(s.Blocks, block)
	}
	return s
}
