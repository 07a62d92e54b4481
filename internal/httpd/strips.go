package httpd

import (
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/part"
)

// planStrip draws a session that is not done yet.
func planStrip(plan []pathway.Block, size part.StripSize) part.Strip {
	s := part.Strip{Label: wording.Capital(pathway.Words(plan)) + ".", State: part.Planned, Size: size}
	s.Blocks = make([]part.Block, len(plan))
	for i, b := range plan {
		s.Blocks[i] = part.Block{Kind: blockKind(b.Kind), Planned: b.Planned}
	}
	return s
}

func blockKind(k pathway.Kind) part.BlockKind {
	if k == pathway.Run {
		return part.Run
	}
	return part.Walk
}

// sessionStrip draws a session as it was done.
func sessionStrip(s *roster.Session, p *pathway.Pathway, f wording.Dates, asked day.Date, size part.StripSize) part.Strip {
	strip := part.Strip{Label: wording.SessionLabel(s, f, asked), Size: size}
	switch {
	case s.Kind != readiness.Planned:
		strip.State = part.Outside
	case s.Became() == readiness.Missed:
		strip.State = part.Missed
		return strip
	case s.Became() == readiness.CalledOff:
		strip.State = part.CalledOff
		return strip
	}
	switch {
	case len(s.Blocks) > 0:
		strip.Blocks = doneBlocks(s)
	case s.Became() == readiness.InFull && p.Find(s.Phase) != pathway.NoRung:
		for _, b := range p.Blocks(p.Find(s.Phase)) {
			strip.Blocks = append(strip.Blocks, part.Block{Kind: blockKind(b.Kind), Planned: b.Planned, Done: b.Planned})
		}
	default:
		kind := part.Some
		if s.Kind == readiness.Extra { // without blocks it is a walk (rule 2.3)
			kind = part.Walk
		}
		strip.Blocks = []part.Block{{Kind: kind, Done: 60 * s.Minutes.Or(0)}}
	}
	return strip
}

// doneBlocks draws what was told block by block. The breath of a walk without a
// tap is drawn by the answer for all walks; not told is drawn as nothing.
func doneBlocks(s *roster.Session) []part.Block {
	blocks := make([]part.Block, len(s.Blocks))
	for i, b := range s.Blocks {
		d := part.Block{Kind: blockKind(b.Kind), Planned: int(b.Planned), Done: int(b.Done)}
		if s.Kind != readiness.Planned {
			d.Planned = 0
		}
		if i > 0 && b.Kind == pathway.Walk && s.Blocks[i-1].Kind == pathway.Run && s.Blocks[i-1].Done > 0 {
			d.Unsettled = min(unsettled(&b, s.Breath), d.Done)
		}
		blocks[i] = d
	}
	return blocks
}

func unsettled(b *readiness.Block, answer readiness.Breath) int {
	if settle, tapped := b.Settle.Get(); tapped {
		return settle
	}
	switch answer {
	case readiness.Halfway:
		return int(b.Done) / 2
	case readiness.Late:
		return int(b.Done)
	}
	return 0
}
