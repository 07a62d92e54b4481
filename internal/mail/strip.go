package mail

import (
	"slices"
	"strings"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/letter"
)

// draw puts in the pictures, while the letter has room for them.
func (s *sections) draw(p *letter.Person, r *morning.Row) {
	if s.drawn >= s.most {
		return
	}
	for i, au := range r.Load {
		p.Bars = append(p.Bars, letter.Bar{Load: wording.Rounded(au), Jump: i == len(r.Load)-1 && r.Verdict.Flags.Has(readiness.FlagLoadJump)})
	}
	for _, session := range r.Strips {
		strip := letter.Strip{Day: session.Date.Weekday().String()[:3], Blocks: blocks(session, r.Shelf)}
		if len(strip.Blocks) == 0 {
			strip.Day += " " + wording.Outcome(session.Became())
		}
		p.Strips = append(p.Strips, strip)
		s.drawn += len(strip.Blocks)
	}
}

// blocks are what was done of a planned session, and what was left out of its plan as
// rest; none where nothing was done.
func blocks(s *roster.Session, shelf *roster.Shelf) []letter.Block {
	var list []letter.Block
	switch rung := shelf.Find(s.Phase); {
	case !s.Exposure():
	case len(s.Blocks) > 0:
		for _, b := range s.Blocks {
			list = append(list, letter.Block{Kind: kindOf(b.Kind), Seconds: int(b.Done)})
			if left := int(b.Planned - b.Done); left > 0 {
				list = append(list, letter.Block{Kind: letter.Rest, Seconds: left})
			}
		}
	case s.Became() == readiness.InFull && rung != pathway.NoRung:
		for _, b := range shelf.Blocks(rung) {
			list = append(list, letter.Block{Kind: kindOf(b.Kind), Seconds: b.Planned})
		}
	default:
		list = []letter.Block{{Kind: letter.Some, Seconds: 60 * wording.Minutes(s)}}
	}
	return list
}

func kindOf(k pathway.Kind) letter.BlockKind {
	if k == pathway.Run {
		return letter.Run
	}
	return letter.Walk
}

// weekWords say this week's sessions, those that went alike together: "This week: Mon
// and Wed in full; Fri shortened, 24 min." Those outside the plan come after the others.
func (s *sections) weekWords(r *morning.Row) string {
	var said []string
	days := map[string][]string{}
	for _, session := range slices.Concat(r.Strips, r.Outside) {
		words := s.went(session)
		if days[words] == nil {
			said = append(said, words)
		}
		days[words] = append(days[words], session.Date.Weekday().String()[:3])
	}
	if len(said) == 0 {
		return "This week: no session."
	}
	for i, words := range said {
		said[i] = wording.Listed(days[words]) + " " + words
	}
	return "This week: " + strings.Join(said, "; ") + "."
}

// went says what became of a session. Where only flags may stand in the letter, pain
// and breath are left out.
func (s *sections) went(session *roster.Session) string {
	if s.Wishes.Detail == roster.Reasons {
		return wording.Went(session)
	}
	if session.Became() == readiness.StoppedForPain {
		shown := *session
		shown.Outcome = readiness.Shortened
		return wording.Session(&shown)
	}
	return wording.Session(session)
}
