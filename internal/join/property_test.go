package join_test

import (
	"context"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// Whatever people do and in whatever order: nothing is prescribed, and no planned
// session taken, before a coach has confirmed, while a clearance is open, or after
// the consent was taken back. The model knows only what was done and taken.
func TestNothingIsPrescribedBeforeItsTime(t *testing.T) {
	prescribed := 0
	rapid.Check(t, func(rt *rapid.T) {
		w := &walk{scene: newScene(t), t: rt}
		rt.Repeat(map[string]func(*rapid.T){
			"":            w.check,
			"agree":       w.agree,
			"withdraw":    w.withdraw,
			"answer":      w.answer,
			"answer all":  w.answerAll,
			"hand in":     w.handIn,
			"confirm":     w.confirmed,
			"paper":       w.paper,
			"refer":       w.refer,
			"clear":       w.cleared,
			"undo":        w.undo,
			"look":        w.look,
			"log planned": w.log,
			"days pass":   func(*rapid.T) { w.now = w.now.Add(20 * time.Hour) },
		})
		prescribed += w.prescribed
	})
	require.Positive(t, prescribed, "and in the end somebody runs")
}

// walk is a sequence of things that people do, with what has to hold after each.
type walk struct {
	*scene
	t          *rapid.T
	agreed     bool // the consent stands
	handed     bool // answers were handed in
	here       bool // a coach has confirmed, and the consent stood since
	open       bool // a clearance is asked for
	beforeOpen bool // of the newest decision: what open was before it
	newest     roster.DecisionID
	sick       bool // what the draft says
	prescribed int
}

func (w *walk) actor() roster.Actor {
	return rapid.SampledFrom([]roster.Actor{w.ines, w.mara}).Draw(w.t, "who")
}

func (w *walk) check(t *rapid.T) {
	today, err := w.phone.Today(context.Background(), w.ines, w.id)
	require.NoError(t, err)
	if !w.here || w.open || !w.agreed && w.athlete().Arrival == roster.Withdrawn {
		require.Empty(t, today.Plan, "here %t, open %t: %v", w.here, w.open, today.Way)
	}
	require.Equal(t, w.here, w.athlete().Arrival == roster.Here)
	require.Equal(t, w.open, w.athlete().Held == roster.Referred)
	if len(today.Plan) > 0 {
		w.prescribed++
	}
}

func (w *walk) agree(*rapid.T) {
	if w.join.Agree(context.Background(), w.actor(), w.id, all()) == nil {
		w.agreed = true
	}
}

func (w *walk) withdraw(t *rapid.T) {
	require.NoError(t, w.join.Withdraw(context.Background(), w.actor(), w.id))
	w.agreed, w.here = false, false
}

// draw is what somebody answers.
func (w *walk) draw() screening.Answers {
	sign := rapid.SampledFrom([]string{screening.None, screening.None, screening.None, "chest", screening.Unsure}).Draw(w.t, "sign")
	return well(screening.Signs, sign)
}

func (w *walk) answer(*rapid.T) {
	sections := screening.Sections(screening.Circumstances{})
	section := rapid.SampledFrom(sections).Draw(w.t, "section")
	w.answerOne(section, w.draw())
}

func (w *walk) answerOne(section screening.Section, a screening.Answers) {
	own := part(section, a)
	err := w.join.Answer(context.Background(), w.actor(), w.id, section.ID, own)
	if section.ID == screening.Health && err == nil {
		w.sick = own[screening.Signs][0] != screening.None
	}
}

func (w *walk) answerAll(*rapid.T) {
	a := w.draw()
	for _, section := range screening.Sections(screening.Circumstances{}) {
		w.answerOne(section, a)
	}
}

func (w *walk) handIn(*rapid.T) {
	drafts := w.drafts()
	if w.join.HandIn(context.Background(), w.actor(), w.id) == nil && w.drafts() < drafts {
		w.handed = true
		w.open = w.open || w.sick
	}
}

func (w *walk) drafts() (n int) {
	for _, c := range w.Checked {
		if c.Draft() {
			n++
		}
	}
	return n
}

func (w *walk) confirmed(t *rapid.T) {
	before := w.here
	err := w.confirm()
	if err == nil && !before {
		require.True(t, w.handed && w.agreed && !w.open, "confirmed: handed %t, agreed %t, open %t", w.handed, w.agreed, w.open)
		w.here = true
	}
}

func (w *walk) paper(t *rapid.T) {
	arrival := w.athlete().Arrival
	err := w.join.Asked(context.Background(), w.mara, w.id, roster.Paper{On: tuesday, By: "Mara"},
		join.Confirmation{Phase: "B1", SessionsAWeek: 3, HeartUsable: true, Version: w.athlete().Version})
	if err == nil && arrival != roster.Here {
		require.False(t, w.open || arrival == roster.Withdrawn)
		w.here, w.handed = true, true
	}
}

func (w *walk) refer(*rapid.T) { w.decides(roster.Refer, true, roster.Clearance{}) }

func (w *walk) cleared(*rapid.T) {
	w.decides(roster.Cleared, false, roster.Clearance{GivenOn: tuesday, GivenBy: rapid.SampledFrom([]string{"Dr Aune", ""}).Draw(w.t, "by")})
}

func (w *walk) decides(choice roster.Choice, open bool, c roster.Clearance) {
	d, err := w.desk.Decide(context.Background(), w.mara, ask(w.scene, choice, c))
	if err == nil {
		w.beforeOpen, w.open, w.newest = w.open, open, d.ID
	}
}

func (w *walk) undo(*rapid.T) {
	if w.newest == 0 {
		return
	}
	if _, err := w.desk.Undo(context.Background(), w.mara, w.newest); err == nil {
		w.open, w.newest = w.beforeOpen, 0
	}
}

func (w *walk) look(*rapid.T) {
	for _, c := range w.Checked {
		_ = w.join.Look(context.Background(), w.mara, w.id, c.ID, true)
	}
}

func (w *walk) log(t *rapid.T) {
	_, err := w.phone.Log(context.Background(), w.actor(), w.id, entry.Entry{
		Key: roster.Key("log-key-" + strconv.Itoa(len(w.Logged))), Started: w.now, Kind: readiness.Planned, Whole: true, Effort: readiness.Some(3),
		Talk: readiness.Chat, Breath: readiness.Early, PainAsked: true,
	})
	if !w.here {
		require.Equal(t, []string{"kind"}, places(err), "a planned session of somebody who is not here")
	}
}
