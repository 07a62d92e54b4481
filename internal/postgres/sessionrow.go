package postgres

import (
	"strings"

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
// blocks and texts, and names that come again and again.
type sessionReader struct {
	cells
	blocks  []readiness.Block               // room left
	texts   strings.Builder                 // room for texts
	numbers [optional + 1][]readiness.Maybe // room: those of blocks, and of mornings
	phase   string
	kind    named[readiness.SessionKind]
	outcome named[readiness.Outcome]
	talk    named[readiness.Talk]
	breath  named[readiness.Breath]
}

// Room is made in larger pieces.
const (
	roomForBlocks = 1024
	roomForTexts  = 16 << 10 // bytes
)

func (r *sessionReader) read(s *roster.Session) {
	s.Athlete, s.ID, s.Key = roster.AthleteID(r.integer()), roster.SessionID(r.integer()), roster.Key(r.keep(r.next()))
	s.StartedAt, s.Date = r.instant(), r.date()
	s.Kind = r.kind.read(&r.cells, readiness.ParseKind)
	s.Phase = r.phaseName()
	s.Outcome = r.outcome.read(&r.cells, readiness.ParseOutcome)
	s.Minutes, s.PlannedMinutes, s.Effort = r.maybe(), r.maybe(), r.maybe()
	s.Talk = r.talk.read(&r.cells, readiness.ParseTalk)
	s.Breath = r.breath.read(&r.cells, readiness.ParseBreath)
	s.Hot, s.Limp = r.truth(), r.truth()
	s.Blocks = r.readBlocks()
	s.PainAsked = r.truth()
	s.Pain = r.readPain()
	s.Signs = r.readSigns()
	s.Note, s.LoggedAt, s.ChangedAt = r.keep(r.next()), r.instant(), r.instant()
	s.ByCoach, s.Version = roster.CoachID(r.integer()), int(r.integer())
	s.WarmUp, s.CoolDown, s.Routine = around(r.next()), around(r.next()), roster.RoutineID(r.integer())
}

// around is what was told of a warm-up or a cool-down.
func around(cell []byte) roster.Around {
	switch string(cell) {
	case string(roster.AroundDone):
		return roster.AroundDone
	case string(roster.AroundSkipped):
		return roster.AroundSkipped
	}
	return roster.AroundNotTold
}

// keep is the text, laid beside those of other rows.
func (r *sessionReader) keep(cell []byte) string {
	if len(cell) == 0 {
		return ""
	}
	if r.texts.Cap()-r.texts.Len() < len(cell) {
		r.texts = strings.Builder{}
		r.texts.Grow(max(roomForTexts, len(cell)))
	}
	begun := r.texts.Len()
	r.texts.Write(cell)
	return r.texts.String()[begun:]
}

// named is one of the engine's names as it was read last: mostly the next row has
// the same.
type named[T ~uint8] struct {
	text  string
	value T
}

// read reads a name; null is the zero value.
func (n *named[T]) read(c *cells, parse func(string) (T, bool)) T {
	cell := c.next()
	if cell == nil {
		return 0
	}
	if string(cell) != n.text {
		v, ok := parse(string(cell))
		if !ok {
			c.fail()
		}
		n.text, n.value = string(cell), v
	}
	return n.value
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
	sites, scores := r.array(), r.array()
	r.numbers[optional] = r.cells.numbers(r.numbers[optional])
	mornings := r.numbers[optional]
	if sites.n == 0 {
		return nil
	}
	if scores.n != sites.n || len(mornings) != sites.n {
		r.fail()
		return nil
	}
	pain := make([]readiness.Pain, sites.n)
	for i := range pain {
		pain[i] = readiness.Pain{Site: r.keep(sites.next()), Score: int8(scores.small()), NextMorning: mornings[i]}
	}
	if sites.bad || scores.bad {
		r.fail()
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
