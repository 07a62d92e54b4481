package postgres

import (
	"math"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// readSessions reads rows of sessionColumns onto the end of all.
func readSessions(rows pgx.Rows, all []roster.Session) ([]roster.Session, error) {
	defer rows.Close()
	var r sessionReader
	for rows.Next() {
		r.begin(rows)
		all = append(all, roster.Session{})
		r.read(&all[len(all)-1])
		if r.err != nil {
			return all, r.err
		}
	}
	return all, rows.Err()
}

// sessionReader reads whole sessions. What many rows share is kept: room for
// blocks, and texts that come again and again.
type sessionReader struct {
	cells
	blocks  []readiness.Block // room left
	phase   string
	numbers [optional + 1][]readiness.Maybe // room: those of blocks, and of mornings
}

// roomForBlocks is how many blocks are made at once.
const roomForBlocks = 1024

func (r *sessionReader) read(s *roster.Session) {
	s.Athlete, s.ID, s.Key = roster.AthleteID(r.integer()), roster.SessionID(r.integer()), roster.Key(r.text())
	s.StartedAt, s.Date = r.instant(), r.date()
	s.Kind = readName(&r.cells, readiness.ParseKind)
	s.Phase = r.phaseName()
	s.Outcome = readName(&r.cells, readiness.ParseOutcome)
	s.Minutes, s.PlannedMinutes, s.Effort = r.maybe(), r.maybe(), r.maybe()
	s.Talk = readName(&r.cells, readiness.ParseTalk)
	s.Breath = readName(&r.cells, readiness.ParseBreath)
	s.Hot, s.Limp = r.truth(), r.truth()
	s.Blocks = r.readBlocks()
	s.PainAsked = r.truth()
	s.Pain = r.readPain()
	s.Signs = r.readSigns()
	s.Note, s.LoggedAt, s.ChangedAt = r.text(), r.instant(), r.instant()
	s.ByCoach, s.Version = roster.CoachID(r.integer()), int(r.integer())
}

// readName reads one of the engine's names; null is its zero value.
func readName[T ~uint8](c *cells, parse func(string) (T, bool)) T {
	cell := c.next()
	if cell == nil {
		return 0
	}
	v, ok := parse(string(cell))
	if !ok {
		c.fail()
	}
	return v
}

// phaseName keeps the text of the row before where it is the same.
func (r *sessionReader) phaseName() string {
	if cell := r.next(); string(cell) != r.phase {
		r.phase = string(cell)
	}
	return r.phase
}

// readBlocks puts the arrays side by side: kinds, planned, done, settle and the
// four of a recording.
func (r *sessionReader) readBlocks() []readiness.Block {
	kinds := r.next()
	planned, done := r.array(), r.array()
	for i := range r.numbers[:optional] {
		r.numbers[i] = r.cells.numbers(r.numbers[i])
	}
	if len(kinds) == 0 {
		return nil
	}
	if planned.n != len(kinds) || done.n != len(kinds) {
		r.fail()
		return nil
	}
	blocks := r.room(len(kinds))
	for i := range blocks {
		b := &blocks[i]
		b.Planned, b.Done = planned.small(), done.small()
		if kinds[i] == 'r' {
			b.Kind = pathway.Run
		}
	}
	if planned.bad || done.bad {
		r.fail()
	}
	r.fill(blocks)
	return blocks
}

// fill lays the numbers that may be missing into the blocks.
func (r *sessionReader) fill(blocks []readiness.Block) {
	for i, numbers := range r.numbers[:optional] {
		if len(numbers) == 0 {
			continue
		}
		if len(numbers) != len(blocks) {
			r.fail()
			return
		}
		for j := range blocks {
			*option(&blocks[j], i) = numbers[j]
		}
	}
}

// optional is how many columns of numbers blocks have that may be missing.
const optional = 5

// option is the place in a block of the i-th of them, in the order of the columns.
func option(b *readiness.Block, i int) *readiness.Maybe {
	switch i {
	case 0:
		return &b.Settle
	case 1:
		return &b.Heart.Valid
	case 2:
		return &b.Heart.Seconds
	case 3:
		return &b.Heart.Low
	default:
		return &b.Heart.High
	}
}

// room is n blocks out of a larger piece.
func (r *sessionReader) room(n int) []readiness.Block {
	if n > len(r.blocks) {
		r.blocks = make([]readiness.Block, max(n, roomForBlocks))
	}
	room := r.blocks[:n:n]
	r.blocks = r.blocks[n:]
	return room
}

func (r *sessionReader) readPain() []readiness.Pain {
	sites, scores := r.texts(), r.array()
	r.numbers[optional] = r.cells.numbers(r.numbers[optional])
	mornings := r.numbers[optional]
	if len(sites) == 0 {
		return nil
	}
	if scores.n != len(sites) || len(mornings) != len(sites) {
		r.fail()
		return nil
	}
	pain := make([]readiness.Pain, len(sites))
	for i, site := range sites {
		pain[i] = readiness.Pain{Site: site, Score: int8(scores.small()), NextMorning: mornings[i]}
	}
	return pain
}

func (r *sessionReader) readSigns() []readiness.Sign {
	names := r.array()
	if names.n == 0 {
		return nil
	}
	signs := make([]readiness.Sign, 0, names.n)
	for range names.n {
		sign, ok := readiness.ParseSign(string(names.next()))
		if !ok {
			r.fail()
		}
		signs = append(signs, sign)
	}
	return signs
}

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

// blockValues are the eight columns of the blocks and the two sums beside them;
// a column without any number is null.
func blockValues(blocks []readiness.Block) []any {
	v := make([]any, 10)
	if len(blocks) == 0 {
		return v
	}
	kinds := make([]byte, len(blocks))
	planned, done := make([]int16, len(blocks)), make([]int16, len(blocks))
	var ran, walked int32
	for i := range blocks {
		b := &blocks[i]
		planned[i], done[i] = narrow(int(b.Planned)), narrow(int(b.Done))
		if kinds[i] = 'w'; b.Kind == pathway.Run {
			kinds[i] = 'r'
			ran += b.Done
		} else {
			walked += b.Done
		}
	}
	v[0], v[1], v[2], v[8], v[9] = string(kinds), planned, done, ran, walked
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
