package document

import (
	"fmt"
	"io"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// Read reads one athlete's document. All that is wrong with it comes back, in the
// document's order, each with its place, such as sessions[3].pain[0].score; then
// the history must not be used.
func Read(r io.Reader) (readiness.History, []fault.Field) {
	p := &parser{}
	root := p.parse(r)
	if root == nil {
		return readiness.History{}, p.sorted()
	}
	o, ok := p.asObject(root, "document")
	if !ok {
		return readiness.History{}, p.sorted()
	}
	o.place = ""
	h := o.history()
	return h, p.sorted()
}

func (o object) history() readiness.History {
	o.only("as_of", "time_zone", "history_since", "athlete", "pathway", "phase", "phase_since", "last_passed",
		"sessions_a_week", "cleared_on", "cleared_at", "injured_on", "leave", "sessions")
	for _, key := range []string{"as_of", "time_zone", "athlete", "pathway", "phase", "phase_since"} {
		o.need(key)
	}
	h := readiness.History{AsOf: o.date("as_of"), Place: o.zone("time_zone"), HeartUsable: true}
	h.HistorySince = o.dateUpTo("history_since", h.AsOf)
	h.PhaseSince = o.dateUpTo("phase_since", h.AsOf)
	h.ClearedOn = o.dateUpTo("cleared_on", h.AsOf)
	h.InjuredOn = o.dateUpTo("injured_on", h.AsOf)
	h.ClearedAt = o.instant("cleared_at")
	h.SessionsAWeek = o.whole("sessions_a_week", 2, 6).Or(3)
	if n := o.n.get("athlete"); n != nil {
		if a, ok := o.p.asObject(n, "athlete"); ok {
			h.HeartUsable = a.athlete(h.AsOf)
		}
	}
	h.Pathway = o.pathway()
	h.Phase, h.LastPassed = o.text("phase"), o.text("last_passed")
	if h.Pathway != nil {
		o.onPathway("phase", h.Phase, h.Pathway)
		o.onPathway("last_passed", h.LastPassed, h.Pathway)
	}
	for i, n := range o.items("leave") {
		if l, ok := o.p.asObject(n, fmt.Sprintf("leave[%d]", i)); ok {
			h.Leave = append(h.Leave, l.leave())
		}
	}
	h.Sessions = o.sessions(h.Place)
	return h
}

// zone is a time zone by its IANA name.
func (o object) zone(key string) *time.Location {
	name := o.text(key)
	if name == "" || name == "Local" {
		if v := o.n.get(key); v != nil && v.kind == 's' {
			o.fail(key, "must be an IANA name like \"Europe/Lisbon\"")
		}
		return nil
	}
	place, err := time.LoadLocation(name)
	if err != nil {
		o.fail(key, "must be an IANA name like \"Europe/Lisbon\", not %q", shorten(name))
		return nil
	}
	return place
}

// athlete checks the person's figures and says whether heart rate can be used.
func (o object) athlete(asOf day.Date) bool {
	o.only("birth_year", "resting_hr", "max_hr", "talk_test_hr", "heart_rate_usable", "max_hr_formula")
	latest := asOf.Year()
	if asOf == 0 {
		latest = 9999
	}
	o.whole("birth_year", 1900, latest)
	o.whole("resting_hr", 30, 120)
	o.whole("max_hr", 100, 230)
	o.whole("talk_test_hr", 60, 220)
	choice(o, "max_hr_formula", intensity.ParseFormula, "nes, fox, tanaka, gellish, gellish_quadratic, zhu")
	return o.truth("heart_rate_usable", true)
}

// onPathway says where a phase that must exist does not.
func (o object) onPathway(key, id string, p *pathway.Pathway) {
	if v := o.n.get(key); v != nil && v.kind == 's' && p.Find(id) == pathway.NoRung {
		o.fail(key, "%q is not a phase of the pathway", shorten(id))
	}
}

// pathway is the default pathway or one spelled out; nil where it is wrong.
func (o object) pathway() *pathway.Pathway {
	v := o.n.get("pathway")
	if v == nil {
		return nil
	}
	if v.kind == 's' && v.text == "default" {
		return pathway.Default()
	}
	if v.kind != '{' {
		o.fail("pathway", "must be \"default\" or an object with phases")
		return nil
	}
	before := len(o.p.faults)
	w := object{o.p, v, "pathway"}
	w.only("phases")
	if !w.need("phases") {
		return nil
	}
	p := &pathway.Pathway{}
	for i, n := range w.items("phases") {
		if phase, ok := o.p.asObject(n, fmt.Sprintf("pathway.phases[%d]", i)); ok {
			p.Phases = append(p.Phases, phase.phase())
		}
	}
	if len(o.p.faults) > before {
		return nil
	}
	for _, f := range p.Check() {
		o.p.fail(v.end, join("pathway", f.Place), "%s", f.Message)
	}
	if len(o.p.faults) > before {
		return nil
	}
	return p
}

func (o object) phase() pathway.Phase {
	o.only("id", "stage", "blocks", "half")
	o.need("id")
	o.need("blocks")
	return pathway.Phase{ID: o.text("id"), Stage: o.text("stage"), Blocks: o.plan("blocks"), Half: o.plan("half")}
}

// plan are blocks with nothing done yet.
func (o object) plan(key string) []pathway.Block {
	var blocks []pathway.Block
	for i, n := range o.items(key) {
		b, ok := o.p.asObject(n, fmt.Sprintf("%s[%d]", join(o.place, key), i))
		if !ok {
			continue
		}
		b.only("kind", "planned_s")
		b.need("kind")
		b.need("planned_s")
		blocks = append(blocks, pathway.Block{
			Kind:    choice(b, "kind", blockKind, "run, walk"),
			Planned: b.whole("planned_s", 1, pathway.LongestBlock).Or(1),
		})
	}
	return blocks
}

func blockKind(s string) (pathway.Kind, bool) {
	switch s {
	case "run":
		return pathway.Run, true
	case "walk":
		return pathway.Walk, true
	}
	return 0, false
}

func (o object) leave() day.Span {
	o.only("from", "to")
	o.need("from")
	s := day.Span{From: o.date("from"), To: o.date("to")}
	if s.To != 0 && s.To < s.From {
		o.fail("to", "%s is before the leave begins, %s", s.To, s.From)
	}
	return s
}
