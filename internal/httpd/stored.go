package httpd

import (
	"net/url"
	"slices"
	"strconv"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
)

// freshForm is the form for a new session of a kind. A planned one is taken to
// have ended just now.
func freshForm(kind string, key roster.Key, t *entry.Today, now time.Time) *form {
	f := &form{values: url.Values{}}
	f.fill("kind", kind, "key", string(key), "date", t.Date.String())
	if kind != readiness.Planned.String() {
		return f
	}
	f.fill("phase", t.Athlete.Phase)
	place := t.Athlete.Place()
	began := now.Add(-time.Duration(pathway.Seconds(t.Shelf.Blocks(t.Rung))) * time.Second).Truncate(5 * time.Minute)
	if day.Of(began, place) == t.Date {
		f.fill("clock", began.In(place).Format("15:04"))
	}
	return f
}

// storedForm is the form for a session that is corrected.
func storedForm(s *roster.Session, place *time.Location) *form {
	f := &form{values: url.Values{}}
	f.fill("kind", s.Kind.String(), "key", string(s.Key), "version", strconv.Itoa(s.Version), "date", s.Date.String(),
		"clock", s.StartedAt.In(place).Format("15:04"), "effort", typed(s.Effort), "talk", s.Talk.String(), "breath", s.Breath.String(),
		"minutes", typed(s.Minutes), "limp", tick(s.Limp), "hot", tick(s.Hot), "warm_up", string(s.WarmUp), "cool_down", string(s.CoolDown), "note", s.Note)
	for _, sign := range s.Signs {
		f.fill("signs", sign.String())
	}
	if s.PainAsked {
		f.fill("pain", map[bool]string{true: "none", false: "some"}[len(s.Pain) == 0])
	}
	for i, p := range s.Pain {
		at := "pain[" + strconv.Itoa(i) + "]."
		f.fill(at+"site", p.Site, at+"score", strconv.Itoa(int(p.Score)))
		f.values.Set(at+"next_morning", typed(p.NextMorning))
	}
	switch s.Kind {
	case readiness.Planned:
		f.storedPlan(s)
	case readiness.Extra:
		f.storedExtra(s)
	}
	return f
}

func typed(m readiness.Maybe) string {
	if n, known := m.Get(); known {
		return strconv.Itoa(n)
	}
	return ""
}

func tick(on bool) string {
	if on {
		return "1"
	}
	return ""
}

func (f *form) storedPlan(s *roster.Session) {
	f.fill("phase", s.Phase, "done", storedDone(s))
	for i, b := range s.Blocks {
		at := blockField(i)
		f.fill(at+"kind", b.Kind.String(), at+"planned_s", strconv.Itoa(int(b.Planned)), at+"settle_s", typed(b.Settle))
		if f.text("done") != "all" {
			f.fill(at+"done_min", strconv.Itoa(int(b.Done)/60), at+"done_sec", strconv.Itoa(int(b.Done)%60))
		}
	}
}

// storedDone is what the form calls what became of the session. What is in full
// to within the rule's few seconds is told block by block, so that they stay.
func storedDone(s *roster.Session) string {
	switch s.Became() {
	case readiness.InFull:
		if slices.ContainsFunc(s.Blocks, func(b readiness.Block) bool { return b.Done != b.Planned }) {
			return "part"
		}
		return "all"
	case readiness.Shortened:
		return "part"
	case readiness.StoppedForPain:
		return "pain"
	case readiness.Missed:
		return "missed"
	case readiness.CalledOff:
		return "called_off"
	}
	return ""
}

func (f *form) storedExtra(s *roster.Session) {
	run, longest, done := 0, 0, 0
	for _, b := range s.Blocks {
		done += int(b.Done)
		if b.Kind == pathway.Run {
			run += int(b.Done)
			longest = max(longest, int(b.Done))
		}
	}
	switch {
	case run == 0:
		f.fill("ran", "walk")
	case run == done:
		f.fill("ran", "run")
	default:
		f.fill("ran", "both", "run_minutes", strconv.Itoa(run/60), "longest_minutes", strconv.Itoa(longest/60))
	}
	if !s.Minutes.Known() {
		f.fill("minutes", strconv.Itoa(wording.Minutes(s)))
	}
}

// keepUntold keeps what the form does not ask for: the minutes of a planned
// session and the minutes planned of others; of a session that was told by its
// minutes alone, that no block is known; of an extra whose minutes stayed, its
// blocks.
func keepUntold(a *answers, s *roster.Session) {
	e := &a.e
	e.PlannedMinutes = s.PlannedMinutes
	switch {
	case e.Kind != s.Kind:
	case e.Kind == readiness.Planned:
		e.Minutes = s.Minutes
		if len(s.Blocks) > 0 || a.text("done") != storedDone(s) {
			return
		}
		if e.Whole || a.untold || len(e.Blocks) > 0 && s.Became() == readiness.InFull {
			e.Whole, e.Blocks, e.Outcome = false, nil, s.Outcome
			e.Unread = slices.DeleteFunc(e.Unread, func(f fault.Field) bool { return a.untold && f.Place == "blocks" })
		}
	case e.Kind == readiness.Extra && sameExtra(a, s):
		e.Blocks, e.Minutes = s.Blocks, s.Minutes
	}
}

// sameExtra says whether the form tells the same minutes as the session has.
func sameExtra(a *answers, s *roster.Session) bool {
	was := &form{values: url.Values{}}
	was.fill("minutes", typed(s.Minutes))
	was.storedExtra(s)
	for _, name := range [...]string{"ran", "minutes", "run_minutes", "longest_minutes"} {
		if a.text(name) != was.text(name) && (a.text("ran") == "both" || name == "ran" || name == "minutes") {
			return false
		}
	}
	return true
}
