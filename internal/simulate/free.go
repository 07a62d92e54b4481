package simulate

import (
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// Free is what the person tells of a day without a planned session: a run or a
// walk of their own, strength training, mostly nothing.
func (p *Person) Free(date day.Date) Account {
	p.until(date)
	switch draw := p.random.Float64(); {
	case draw < p.extra:
		return p.extraRun(date, int(p.between(8, 18)))
	case draw < p.extra+p.stroll:
		return p.ownWalk(date)
	case p.strength && draw > 0.82:
		return p.lift(date)
	}
	return Account{Nothing: true}
}

// Extra is a run outside the plan, of so many minutes (1 to 120) without a break.
func (p *Person) Extra(date day.Date, minutes int) Account {
	p.until(date)
	return p.extraRun(date, min(max(minutes, 1), 120))
}

func (p *Person) extraRun(date day.Date, minutes int) Account {
	a := p.begin(date, readiness.Extra)
	a.Session.Blocks = asPlanned([]pathway.Block{{Kind: pathway.Run, Planned: 60 * minutes}})
	pace := p.pace + 0.04*p.normal()
	p.hurt(&a)
	a.Session.Outcome = readiness.NotStated
	p.rate(&a.Session, pace, p.breathe(a.Session.Blocks, pace))
	p.learn(&a.Session)
	return a
}

func (p *Person) ownWalk(date day.Date) Account {
	a := p.begin(date, readiness.Extra)
	a.Session.Minutes = readiness.Some(5 * int(p.between(4, 10)))
	a.Session.Effort = readiness.Some(int(p.between(1, 3.5)))
	return a
}

func (p *Person) lift(date day.Date) Account {
	a := p.begin(date, readiness.Strength)
	planned := 5 * int(p.between(4, 7))
	a.Session.PlannedMinutes = readiness.Some(planned)
	a.Session.Minutes = readiness.Some(planned - int(p.between(0, 5)))
	a.Session.Effort = readiness.Some(int(p.between(3, 6)))
	return a
}

// runSeconds is the time run in the blocks.
func runSeconds(blocks []readiness.Block) int {
	sum := 0
	for _, b := range blocks {
		if b.Kind == pathway.Run {
			sum += int(b.Done)
		}
	}
	return sum
}
