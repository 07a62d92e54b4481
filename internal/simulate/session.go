package simulate

import (
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// Levels at the end of the hardest run from which talking gets short: ours.
const (
	shortOfChat     = 45.0
	shortOfSentence = 62.0
)

// train does the session, and gets fitter by it.
func (p *Person) train(date day.Date, plan []pathway.Block, cut bool) Account {
	a := p.begin(date, readiness.Planned)
	s := &a.Session
	s.Blocks = asPlanned(plan)
	pace := p.pace + 0.04*p.normal()
	effort := p.effort(s.Blocks, pace)
	if cut || effort >= 8 {
		p.cut(s.Blocks)
	}
	p.hurt(&a)
	p.tell(s, pace)
	p.learn(s)
	return a
}

// asPlanned is the plan with every block done.
func asPlanned(plan []pathway.Block) []readiness.Block {
	blocks := make([]readiness.Block, len(plan))
	for i, b := range plan {
		blocks[i] = readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)}
	}
	return blocks
}

// cut leaves out the end of a session: somewhere in its second half.
func (p *Person) cut(blocks []readiness.Block) {
	total := int32(0)
	for _, b := range blocks {
		total += b.Planned
	}
	left := int32(p.between(0.5, 0.9) * float64(total))
	for i := range blocks {
		blocks[i].Done = max(0, min(blocks[i].Planned, left))
		left -= blocks[i].Planned
	}
}

// tell fills in the taps and the answers.
func (p *Person) tell(s *readiness.Session, pace float64) {
	r := p.breathe(s.Blocks, pace)
	inTime, judged, tapped := 0, 0, 0
	for i := 1; i < len(s.Blocks); i++ {
		b := &s.Blocks[i]
		if b.Kind != pathway.Walk || b.Done == 0 || s.Blocks[i-1].Kind != pathway.Run {
			continue
		}
		judged++
		settle := int(r.settle[i] + 3*p.normal() + 2)
		if settle >= int(b.Done) {
			continue
		}
		if 2*settle < int(b.Done) {
			inTime++
		}
		if p.chance(p.taps) {
			b.Settle = readiness.Some(max(settle, 1))
			tapped++
		}
	}
	if judged > 0 && 2*tapped < judged && p.chance(p.answers) {
		s.Breath = breathOf(inTime, judged)
	}
	p.rate(s, pace, r)
}

// breathOf is the answer to when the breath was back.
func breathOf(inTime, judged int) readiness.Breath {
	switch {
	case 2*inTime > judged:
		return readiness.Early
	case 3*inTime > judged:
		return readiness.Halfway
	default:
		return readiness.Late
	}
}

// rate fills in effort and talk.
func (p *Person) rate(s *readiness.Session, pace float64, r breath) {
	if p.chance(p.answers) {
		s.Effort = readiness.Some(p.effort(s.Blocks, pace))
	}
	if !p.chance(p.answers) {
		return
	}
	peak := r.peak + 2*p.normal()
	if p.pace > 0.05 {
		peak -= 4 // a hurrier says that it was fine
	}
	switch {
	case peak < shortOfChat:
		s.Talk = readiness.Chat
	case peak < shortOfSentence:
		s.Talk = readiness.Sentence
	default:
		s.Talk = readiness.Words
	}
}

// effort is CR10: from the share of the session spent out of breath and the
// minutes run; of a walk from its length. The weights are ours.
func (p *Person) effort(blocks []readiness.Block, pace float64) int {
	r := p.breathe(blocks, pace)
	var done, run float64
	for _, b := range blocks {
		done += float64(b.Done)
		if b.Kind == pathway.Run {
			run += float64(b.Done)
		}
	}
	if done == 0 {
		return 0
	}
	felt := 0.6 + 3.5*r.unsettled/done + 0.06*run/60 + 6*max(pace, 0)
	if run == 0 {
		felt = 1.4 + 0.04*done/60 + 0.5*(1-p.fitness)
	}
	felt += 0.35*p.normal() + 0.2*p.sore
	return int(min(max(felt+0.5, 1), 10))
}

// learn makes the body fitter and remembers what was run.
func (p *Person) learn(s *readiness.Session) {
	var done, planned float64
	run := 0
	for _, b := range s.Blocks {
		done += float64(b.Done)
		planned += float64(b.Planned)
		if b.Kind == pathway.Run {
			run += int(b.Done)
		}
	}
	if planned > 0 {
		p.grow(min(done/planned, 1), run > 0)
	}
	p.runs = append(p.runs, ran{s.Date, run})
}

// until lets the days since the last one seen go by.
func (p *Person) until(date day.Date) {
	if len(p.runs) > 0 {
		trained := p.runs[len(p.runs)-1].date
		p.forget(idle(trained, date) - idle(trained, p.newest))
	}
	if p.newest != 0 {
		p.heal(float64(date - p.newest))
	}
	p.newest = max(p.newest, date)
}

// idle is how many days from the last training to a date cost fitness.
func idle(trained, date day.Date) float64 { return max(0, float64(date-trained)-rested) }
