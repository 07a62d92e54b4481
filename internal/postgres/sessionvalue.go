package postgres

import (
	"math"
	"time"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// sessionValues are the values of a session from athlete to note.
func sessionValues(s *roster.Session) []any {
	v := make([]any, 0, 40)
	v = append(v, int64(s.Athlete), s.StartedAt, s.Date.UTC(), s.Kind.String(), textOrNull(s.Phase), textOrNull(s.Outcome.String()),
		small(s.Minutes), small(s.PlannedMinutes), small(s.Effort), textOrNull(s.Talk.String()), textOrNull(s.Breath.String()), s.Hot, s.Limp)
	v = append(v, blockValues(s.Blocks)...)
	v = append(v, s.PainAsked)
	v = append(v, painValues(s.Pain)...)
	var signs []string
	for _, sign := range s.Signs {
		signs = append(signs, sign.String())
	}
	return append(v, signs, s.Note)
}

// blockValues are the eight columns of the blocks; a column without any number is
// null.
func blockValues(blocks []readiness.Block) []any {
	v := make([]any, 3+optional)
	if len(blocks) == 0 {
		return v
	}
	kinds := make([]byte, len(blocks))
	planned, done := make([]int16, len(blocks)), make([]int16, len(blocks))
	for i := range blocks {
		planned[i], done[i] = narrow(int(blocks[i].Planned)), narrow(int(blocks[i].Done))
		if kinds[i] = 'w'; blocks[i].Kind == pathway.Run {
			kinds[i] = 'r'
		}
	}
	v[0], v[1], v[2] = string(kinds), planned, done
	for i := range optional {
		if numbers := smalls(blocks, i); numbers != nil {
			v[3+i] = numbers
		}
	}
	return v
}

func painValues(pain []readiness.Pain) []any {
	if len(pain) == 0 {
		return []any{nil, nil, nil}
	}
	sites, scores := make([]string, len(pain)), make([]int16, len(pain))
	mornings := make([]*int16, len(pain))
	for i := range pain {
		sites[i], scores[i], mornings[i] = pain[i].Site, int16(pain[i].Score), small(pain[i].NextMorning)
	}
	return []any{sites, scores, mornings}
}

// smalls are the i-th optional numbers of all blocks; nil where none was given.
func smalls(blocks []readiness.Block, i int) []*int16 {
	var numbers []*int16
	for j := range blocks {
		if n := *option(&blocks[j], i); n.Known() {
			if numbers == nil {
				numbers = make([]*int16, len(blocks))
			}
			numbers[j] = small(n)
		}
	}
	return numbers
}

// small is a number for a smallint; nil where it was not given.
func small(m readiness.Maybe) *int16 {
	n, known := m.Get()
	if !known {
		return nil
	}
	v := narrow(n)
	return &v
}

// narrow keeps a number that is too large for the column too large for its check.
func narrow(n int) int16 { return int16(min(max(n, math.MinInt16), math.MaxInt16)) }

func textOrNull(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

func orNull(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}
