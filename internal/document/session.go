package document

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// longestDone is the longest a block may have been done, in seconds.
const longestDone = 14400

// longestMinutes is the longest a session may be.
const longestMinutes = 600

// sessions reads all of them; two of the same instant and kind are refused at the
// later one.
func (o object) sessions(place *time.Location) []readiness.Session {
	type moment struct {
		at   int64
		kind readiness.SessionKind
	}
	items := o.items("sessions")
	sessions := make([]readiness.Session, 0, len(items))
	seen := make(map[moment]int, len(items))
	for i, n := range items {
		s, ok := o.p.asObject(n, fmt.Sprintf("sessions[%d]", i))
		if !ok {
			continue
		}
		session := s.session(place)
		sessions = append(sessions, session)
		if session.StartedAt.IsZero() || s.n.get("kind") == nil {
			continue
		}
		m := moment{session.StartedAt.UnixNano(), session.Kind}
		if first, twice := seen[m]; twice {
			s.fail("started_at", "is the same instant and kind as sessions[%d]", first)
			continue
		}
		seen[m] = i
	}
	return sessions
}

func (o object) session(place *time.Location) readiness.Session {
	o.only("started_at", "date", "kind", "phase", "outcome", "minutes", "planned_minutes", "effort", "talk_run",
		"breath_back", "hot", "limp", "blocks", "pain", "signs")
	o.need("started_at")
	o.need("kind")
	s := readiness.Session{
		StartedAt:      o.instant("started_at"),
		Kind:           choice(o, "kind", readiness.ParseKind, "planned, extra, strength, other"),
		Phase:          o.text("phase"),
		Outcome:        choice(o, "outcome", readiness.ParseOutcome, "in_full, shortened, stopped_for_pain, missed, called_off"),
		Minutes:        o.whole("minutes", 0, longestMinutes),
		PlannedMinutes: o.whole("planned_minutes", 0, longestMinutes),
		Effort:         o.whole("effort", 0, 10),
		Talk:           choice(o, "talk_run", readiness.ParseTalk, "chat, sentence, words"),
		Breath:         choice(o, "breath_back", readiness.ParseBreath, "early, half, late"),
		Hot:            o.truth("hot", false),
		Limp:           o.truth("limp", false),
		PainAsked:      o.n.get("pain") != nil,
	}
	s.Date = o.civilDate(s.StartedAt, place)
	s.Pain = o.pains()
	s.Signs = o.signs()
	s.Blocks = o.blocks(s.Kind == readiness.Planned && (s.Outcome == readiness.Missed || s.Outcome == readiness.CalledOff))
	o.agree(&s)
	return s
}

// civilDate is the date given with the session, at most a day off, or else the
// civil date on which it started (rule 1.1).
func (o object) civilDate(start time.Time, place *time.Location) day.Date {
	given := o.date("date")
	if start.IsZero() || place == nil {
		return given
	}
	own := day.Of(start, place)
	if given == 0 {
		return own
	}
	if given < own-1 || given > own+1 {
		o.fail("date", "%s is more than a day off the start, %s", given, own)
	}
	return given
}

func (o object) pains() []readiness.Pain {
	var pains []readiness.Pain
	for i, n := range o.items("pain") {
		p, ok := o.p.asObject(n, fmt.Sprintf("%s.pain[%d]", o.place, i))
		if !ok {
			continue
		}
		p.only("site", "score", "next_morning")
		if p.need("site") && strings.TrimSpace(p.text("site")) == "" {
			p.fail("site", "is missing")
		}
		p.need("score")
		pains = append(pains, readiness.Pain{
			Site: p.text("site"), Score: int8(p.whole("score", 0, 10).Or(0)), NextMorning: p.whole("next_morning", 0, 10),
		})
	}
	return pains
}

func (o object) signs() []readiness.Sign {
	var signs []readiness.Sign
	for i, n := range o.items("signs") {
		sign, ok := readiness.ParseSign(n.text)
		if n.kind != 's' || !ok {
			o.p.fail(n.end, fmt.Sprintf("%s.signs[%d]", o.place, i), "is not a sign of this document")
			continue
		}
		signs = append(signs, sign)
	}
	return signs
}

// blocks reads them; skipped says that nothing need have been done.
func (o object) blocks(skipped bool) []readiness.Block {
	v := o.n.get("blocks")
	if v != nil && v.kind == '[' && len(v.items) == 0 {
		o.fail("blocks", "must not be empty; leave it out where nothing is told block by block")
	}
	var blocks []readiness.Block
	for i, n := range o.items("blocks") {
		if b, ok := o.p.asObject(n, fmt.Sprintf("%s.blocks[%d]", o.place, i)); ok {
			blocks = append(blocks, b.block(skipped))
		}
	}
	return blocks
}

func (o object) block(skipped bool) readiness.Block {
	o.only("kind", "planned_s", "done_s", "settle_s", "valid_s", "easy_s", "easy_s_low", "easy_s_high", "hard_s", "hard_s_low", "hard_s_high")
	o.need("kind")
	o.need("planned_s")
	if !skipped {
		o.need("done_s")
	}
	b := readiness.Block{
		Kind:    choice(o, "kind", blockKind, "run, walk"),
		Planned: int32(o.whole("planned_s", 1, pathway.LongestBlock).Or(1)),
		Done:    int32(o.whole("done_s", 0, longestDone).Or(0)),
		Settle:  o.whole("settle_s", 0, longestDone),
	}
	if o.n.get("kind") == nil {
		return b
	}
	own, other := "easy_s", "hard_s"
	if b.Kind == pathway.Run {
		own, other = other, own
		if b.Settle.Known() {
			o.fail("settle_s", "belongs to walks only")
		}
	}
	for _, key := range []string{other, other + "_low", other + "_high"} {
		if o.n.get(key) != nil {
			o.fail(key, "does not belong to a %s", b.Kind)
		}
	}
	b.Heart = o.heart(own)
	o.inOrder("settle_s", "done_s")
	o.inOrder("valid_s", "done_s")
	if b.Kind == pathway.Walk {
		o.inOrder("easy_s_low", "easy_s", "easy_s_high", "valid_s")
	} else {
		o.inOrder("hard_s_high", "hard_s", "hard_s_low", "valid_s")
	}
	return b
}

// heart reads the seconds of a recording, which go with valid_s or not at all.
func (o object) heart(own string) readiness.Heart {
	h := readiness.Heart{
		Valid: o.whole("valid_s", 0, longestDone), Seconds: o.whole(own, 0, longestDone),
		Low: o.whole(own+"_low", 0, longestDone), High: o.whole(own+"_high", 0, longestDone),
	}
	any := false
	for _, key := range []string{"valid_s", own, own + "_low", own + "_high"} {
		any = any || o.n.get(key) != nil
	}
	if any {
		for _, key := range []string{"valid_s", own} {
			if o.n.get(key) == nil {
				o.fail(key, "is missing: valid_s and %s go together", own)
			}
		}
	}
	return h
}

// inOrder asks that the fields do not fall, and says the first that is larger
// than the next; fields left out are passed over.
func (o object) inOrder(keys ...string) {
	last, lastKey := 0.0, ""
	for _, key := range keys {
		v := o.n.get(key)
		if v == nil || v.kind != 'n' {
			continue
		}
		n, err := strconv.ParseFloat(v.text, 64)
		if err != nil {
			return
		}
		if lastKey != "" && last > n {
			o.fail(lastKey, "%v is more than %s, %v", last, key, n)
			return
		}
		last, lastKey = n, key
	}
}

// agree checks what the fields of a session say together (rules 2.1, 2.2).
func (o object) agree(s *readiness.Session) {
	skipped := false
	if kind := o.n.get("kind"); s.Kind == readiness.Planned && kind != nil && kind.text == readiness.Planned.String() {
		skipped = o.agreePlanned(s)
	}
	if len(s.Blocks) == 0 && o.n.get("blocks") == nil && o.n.get("minutes") == nil && !skipped {
		o.fail("minutes", "is missing: without blocks the minutes must be told")
	}
}

// agreePlanned checks outcome and phase of a planned session; skipped says that
// it was missed or called off.
func (o object) agreePlanned(s *readiness.Session) (skipped bool) {
	became := readiness.OutcomeOf(s)
	switch {
	case len(s.Blocks) == 0 && o.n.get("blocks") != nil:
	case became == readiness.NotStated:
		if o.n.get("outcome") == nil {
			o.fail("outcome", "is missing: without blocks it must be stated")
		}
	case s.Outcome == readiness.Missed && (became != readiness.Missed || s.Minutes.Or(0) > 0):
		o.fail("outcome", "says missed, but something was done")
	case s.Outcome != readiness.NotStated && s.Outcome != became:
		o.fail("outcome", "says %s, but the blocks say %s", s.Outcome, became)
	}
	skipped = became == readiness.Missed || became == readiness.CalledOff
	if !skipped && became != readiness.NotStated && s.Phase == "" && (o.n.get("phase") == nil || o.n.get("phase").kind == 's') {
		o.fail("phase", "is missing: a planned session that was tried states its phase")
	}
	return skipped
}
