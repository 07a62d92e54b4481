package simulate

import (
	"math"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
)

// healing is the time constant, in days, with which a sore place calms down.
const healing = 4.0

func (p *Person) heal(days float64) {
	if days > 0 {
		p.sore *= math.Exp(-days / healing)
	}
}

// hurt lets the session irritate a place, the likelier the more the running of
// the last seven days has jumped, and tells of it. From memory, only jumps of more
// than a third or so look suspicious in beginners; the chances are ours.
func (p *Person) hurt(a *Account) {
	s := &a.Session
	jump := p.jump(s.Date, runSeconds(s.Blocks))
	if p.chance(0.03 + 0.10*min(max(0, jump-1.3), 2)) {
		draw := p.random.Float64()
		p.sore += 1 + 4*draw*draw // mostly little, sometimes more
	}
	p.sore = min(p.sore, 9)
	score := int(p.sore + 0.5)
	if !p.chance(p.answers) {
		return
	}
	s.PainAsked = true
	if score == 0 {
		return
	}
	s.Pain = []readiness.Pain{{Site: p.site, Score: int8(score)}}
	a.Mornings = []int{int(p.sore*p.between(0.3, 0.7) + 0.5)}
	s.Limp = score >= 6 && p.chance(0.4)
	if score >= 6 {
		s.Outcome = readiness.StoppedForPain
		p.cut(s.Blocks)
	}
}

// jump is the running of the seven days that end on the date, with so many
// seconds more, against the mean of the three weeks before; 1 without a week to
// compare with.
func (p *Person) jump(date day.Date, more int) float64 {
	now, before := more, 0
	for _, r := range p.runs {
		switch w := day.WeeksBack(date, r.date); {
		case w == 0:
			now += r.seconds
		case w <= 3:
			before += r.seconds
		}
	}
	if before < 3*600 {
		return 1
	}
	return 3 * float64(now) / float64(before)
}
