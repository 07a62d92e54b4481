package heart

import (
	"context"
	"slices"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// plan is what a recording is laid beside: the blocks as they were done.
type plan struct {
	blocks []pathway.Block
	of     []int // which block of the session each is; empty: the session has none, it is for showing only
}

// planOf is the plan of a session. A session in full that was told without blocks
// stands as its phase's plan (rule 2.2), as far as the pathway still has that phase;
// any other without blocks has none.
func (s *Service) planOf(ctx context.Context, club roster.ClubID, a *roster.Athlete, session *roster.Session) (plan, error) {
	if len(session.Blocks) > 0 {
		return done(session.Blocks), nil
	}
	if session.Became() != readiness.InFull {
		return plan{}, nil
	}
	shelf, err := s.Store.Shelf(ctx, club, a.Pathway)
	if err != nil {
		return plan{}, err
	}
	rung := shelf.Find(session.Phase)
	if rung == pathway.NoRung {
		return plan{}, nil
	}
	return plan{blocks: shelf.Blocks(rung)}, nil
}

// done are the blocks as they were done, without those that were left out.
func done(blocks []readiness.Block) plan {
	var p plan
	for i := range blocks {
		if b := &blocks[i]; b.Done > 0 {
			p.blocks = append(p.blocks, pathway.Block{Kind: b.Kind, Planned: int(b.Done)})
			p.of = append(p.of, i)
		}
	}
	return p
}

// marks are those of a guided session that has so many blocks, for the blocks of
// the plan: a block that was left out takes its mark along. Marks that do not go
// with the session's blocks stay as they are.
func (p plan) marks(all []int32, blocks int) []int32 {
	if len(all) != blocks+1 || len(p.of) == 0 || len(p.of) == blocks {
		return all
	}
	marks := make([]int32, 0, len(p.of)+1)
	for _, i := range p.of {
		marks = append(marks, all[i])
	}
	return append(marks, all[p.of[len(p.of)-1]+1])
}

// same says whether a reading was made of this plan.
func (p plan) same(r *trace.Reading) bool {
	return slices.EqualFunc(p.blocks, r.Blocks, func(b pathway.Block, t trace.Block) bool {
		return b.Kind == t.Kind && b.Planned == t.Planned
	})
}

// show gives the session with what the reading shows of its blocks and nothing
// else of a recording. What the athlete told stays as it is. The reading is one of
// this plan, with its rates.
func (p plan) show(session roster.Session, r *trace.Reading, c ceilings) roster.Session {
	session.Blocks = slices.Clone(session.Blocks)
	for i := range session.Blocks {
		session.Blocks[i].Heart = readiness.Heart{}
	}
	judged := map[int]bool{}
	for _, w := range readiness.Walks(&session.Session, true) {
		judged[w.Block] = true
	}
	for k, i := range p.of {
		b := &session.Blocks[i]
		switch {
		case b.Kind == pathway.Run && c.hard.Source != intensity.NoSource && clearRun(r.Blocks, k):
			b.Heart = runHeart(b, &r.Blocks[k])
		case judged[i] && c.easy.Source != intensity.NoSource && tells(r.Blocks[k].Reason):
			b.Heart = walkHeart(b, &r.Blocks[k], r, c.forTrace())
		}
	}
	return session
}

// tells says whether the seconds of a walk may be written down: whether it could be
// judged or only too little of it was recorded, which rule 3.3 sees by itself.
func tells(why trace.Reason) bool {
	switch why {
	case trace.NoReason, trace.NotRecorded, trace.TooLittle, trace.TooShort:
		return true
	}
	return false
}

// clearRun says whether the k-th block, a run, was found, and where it lies is not
// in doubt: a walk beside it would be unclear too.
func clearRun(blocks []trace.Block, k int) bool {
	doubt := func(i int) bool { return i >= 0 && i < len(blocks) && blocks[i].Reason == trace.Unclear }
	return blocks[k].End > blocks[k].Start && !doubt(k-1) && !doubt(k) && !doubt(k+1)
}

// walkHeart is what was found of a walk, within the lesser of planned and done
// seconds (rules 3.1, 3.3). A walk of which the reading counts more is counted once
// more.
func walkHeart(b *readiness.Block, t *trace.Block, r *trace.Reading, c trace.Ceilings) readiness.Heart {
	valid, easy, low, high := t.Valid, t.Easy, t.EasyLow, t.EasyHigh
	if w := int(min(b.Planned, b.Done)); min(t.Planned, t.End-t.Start) > w {
		start := t.Start + r.Lag
		from := min(max(start, 0), len(r.Rates))
		part := r.Rates[from:max(from, min(start+w, len(r.Rates)))]
		valid = upTo(part, intensity.BPM(1<<14))
		easy, low, high = upTo(part, c.Easy), upTo(part, c.EasyLow), upTo(part, c.EasyHigh)
	}
	valid = min(max(valid, 0), int(b.Done))
	easy = min(max(easy, 0), valid)
	return heart(valid, easy, min(max(low, 0), easy), min(max(high, easy), valid))
}

// upTo counts the usable seconds at or under the ceiling.
func upTo(rates []int16, ceiling intensity.BPM) (n int) {
	for _, rate := range rates {
		if rate > 0 && intensity.BPM(rate) <= ceiling {
			n++
		}
	}
	return n
}

// runHeart is what was found of a run after its first minute (rule 5.2).
func runHeart(b *readiness.Block, t *trace.Block) readiness.Heart {
	valid := min(max(t.HardValid, 0), int(b.Done))
	hard := min(max(t.Hard, 0), valid)
	return heart(valid, hard, min(max(t.HardLow, hard), valid), min(max(t.HardHigh, 0), hard))
}

func heart(valid, seconds, low, high int) readiness.Heart {
	return readiness.Heart{
		Valid: readiness.Some(valid), Seconds: readiness.Some(seconds), Low: readiness.Some(low), High: readiness.Some(high),
	}
}
