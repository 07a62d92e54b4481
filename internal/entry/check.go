package entry

import (
	"fmt"
	"strconv"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// longestRun is the most running of one session that is taken without a
// question, in seconds; the same for the length of a planned session.
const longestRun = roster.LongestDone

func (c *checker) key(k roster.Key) {
	if !c.touched("key") && !k.Sound() {
		c.fault("key", "this form is not whole; please open it again")
	}
}

// figures checks the single numbers and answers.
func (c *checker) figures(e *Entry) {
	c.between("clock", e.Clock, 0, 24*60-1, "please give a time of the day")
	c.between("minutes", e.Minutes, 0, 600, "minutes go from 0 to 600")
	c.between("planned_minutes", e.PlannedMinutes, 0, 600, "minutes go from 0 to 600")
	c.between("effort", e.Effort, 0, 10, "effort goes from 0 to 10")
	if e.Kind > readiness.Other {
		c.fault("kind", "please choose what kind of session it was")
	}
	if e.Outcome > readiness.CalledOff {
		c.fault("outcome", "please choose what became of the session")
	}
	if e.Talk > readiness.Words {
		c.fault("talk", "please choose how talking went")
	}
	if e.Breath > readiness.Late {
		c.fault("breath", "please choose when the breath was back")
	}
	for _, sign := range e.Signs {
		if sign > readiness.GroinDeep {
			c.fault("signs", "please choose from the list")
		}
	}
}

func (c *checker) between(place string, m readiness.Maybe, low, high int, message string) {
	if n, known := m.Get(); known && (n < low || n > high) {
		c.fault(place, fmt.Sprintf("%s, not %d", message, n))
	}
}

// blocks checks what was done block by block.
func (c *checker) blocks(blocks []readiness.Block) []readiness.Block {
	if len(blocks) > roster.MostBlocks {
		c.fault("blocks", fmt.Sprintf("at most %d blocks, not %d", roster.MostBlocks, len(blocks)))
		return nil
	}
	running := 0
	for i, b := range blocks {
		at := func(what string) string { return "blocks[" + strconv.Itoa(i) + "]." + what }
		if b.Planned < 1 || b.Planned > pathway.LongestBlock {
			c.fault(at("planned_s"), "a block is planned for 1 second to 2 hours")
		}
		if b.Done < 0 || b.Done > roster.LongestDone && b.Kind == pathway.Walk { // too long a run is asked about below
			c.fault(at("done_s"), "a block can last up to 4 hours")
		}
		if settle, known := b.Settle.Get(); known {
			c.settle(at("settle_s"), settle, b)
		}
		if b.Kind == pathway.Run {
			running += int(b.Done)
		}
	}
	if running > longestRun && !c.touched("blocks") {
		c.fault("blocks", "that makes "+hours(running)+" of running in one session; are the minutes right?")
	}
	return blocks
}

func (c *checker) settle(place string, settle int, b readiness.Block) {
	switch {
	case b.Kind == pathway.Run:
		c.fault(place, "the breath comes back in walks, not in runs")
	case settle < 0 || settle > int(b.Done):
		c.fault(place, "the breath cannot be back after the end of the walk")
	}
}

// length asks for minutes where no block tells them (not of a session that was
// not done), and asks about a planned session of many hours.
func (c *checker) length(s *readiness.Session) {
	undone := s.Kind == readiness.Planned && (s.Outcome == readiness.Missed || s.Outcome == readiness.CalledOff)
	minutes, known := s.Minutes.Get()
	switch {
	case c.touched("minutes") || c.touched("blocks") || c.touched("phase") || c.touched("outcome"):
	case !known && len(s.Blocks) == 0 && !undone:
		c.fault("minutes", "please say how many minutes it took")
	case known && s.Kind == readiness.Planned && 60*minutes > longestRun:
		c.fault("minutes", "that makes "+hours(60*minutes)+" in one session; are the minutes right?")
	case minutes > 0 && s.Outcome == readiness.Missed && s.Kind == readiness.Planned:
		c.fault("outcome", "some of it was done, so it was not missed")
	}
}

// pains checks the scores by site. A morning that has not come yet has no score.
func (c *checker) pains(pains []readiness.Pain, date, today day.Date) []readiness.Pain {
	if len(pains) > roster.MostPains {
		c.fault("pain", fmt.Sprintf("at most %d places, not %d", roster.MostPains, len(pains)))
		return nil
	}
	kept := make([]readiness.Pain, 0, len(pains))
	for i, p := range pains {
		at := func(what string) string { return "pain[" + strconv.Itoa(i) + "]." + what }
		p.Site = c.text(at("site"), p.Site, roster.NameLength)
		if p.Site == "" {
			c.fault(at("site"), "please say where it hurts")
		} else if siteOf(kept, p.Site) >= 0 {
			c.fault(at("site"), p.Site+" is there twice")
		}
		if p.Score < 0 || p.Score > 10 {
			c.fault(at("score"), fmt.Sprintf("pain goes from 0 to 10, not %d", p.Score))
		}
		c.between(at("next_morning"), p.NextMorning, 0, 10, "pain goes from 0 to 10")
		if p.NextMorning.Known() && date >= today {
			c.fault(at("next_morning"), "the morning after is yet to come")
		}
		kept = append(kept, p)
	}
	return kept
}

// siteOf finds a site.
func siteOf(pains []readiness.Pain, site string) int {
	for i := range pains {
		if readiness.SameSite(pains[i].Site, site) {
			return i
		}
	}
	return -1
}

// hours writes a long time in hours, rounded down to a quarter.
func hours(seconds int) string {
	whole := strconv.Itoa(seconds / 3600)
	return whole + [...]string{"", "¼", "½", "¾"}[seconds%3600/900] + " hours"
}

// thousands writes a number with a comma: 2,431.
func thousands(n int) string {
	s := strconv.Itoa(n)
	if len(s) > 3 {
		s = s[:len(s)-3] + "," + s[len(s)-3:]
	}
	return s
}
