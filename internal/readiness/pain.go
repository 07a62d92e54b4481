package readiness

import (
	"strings"

	"halfhour.app/halfhour/internal/pathway"
)

// The scores of rule 6.1: from holdScore on the athlete holds, from pauseScore on
// running pauses.
const (
	holdScore  = 3
	pauseScore = 6
)

// aches is what section 6 reads out of the history.
type aches struct {
	stop, bone *digest   // the newest session with a stop sign, a bone sign
	pause      *digest   // the newest session that pauses by itself (6.1)
	lasting    *digest   // the newest session that made a third in a row (6.3)
	site       string    // where
	back       []*digest // sessions that ask for a step back (6.2)
	backSite   string    // where, for the sentence
	backScore  int       // the score that asks for it
	rose       bool      // it rose from one week to the next
	noticed    bool      // something of 3 or more, a limp or a stop was read
	rows       []row     // of 6.3
}

// row counts how often in a row a site was at 3 or more.
type row struct {
	site string
	n    int
}

// SameSite says whether two names mean the same place: they are compared trimmed and
// without regard to case (rule 6.1).
func SameSite(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// pains reads all sessions that section 6 sees. A pause and a referral last until
// clearance (rule 6.7), so the whole of it is read, not only the newest. What stops
// running and was told only after the clearance is no part of what it cleared (ours,
// on the careful side).
func (c *chart) pains() aches {
	var a aches
	for i := range c.sessions {
		d := &c.sessions[i]
		if !d.Late && !c.seesPain(d) {
			continue
		}
		a.readSigns(d)
		if Pauses(d.Session) {
			a.pause, a.noticed = d, true
		}
		if !c.seesPain(d) {
			continue
		}
		a.readSites(d)
		a.readWeeks(c, d)
	}
	c.roseFromWeekToWeek(&a)
	a.noticed = a.noticed || c.newestThreeAche()
	return a
}

// newestThreeAche says whether something of 3 or more stands in the newest three
// planned sessions that rule 6.3 reads.
func (c *chart) newestThreeAche() bool {
	for i, read := len(c.sessions)-1, 0; i >= 0 && read < 3; i-- {
		d := &c.sessions[i]
		if d.Kind != Planned || !c.seesPain(d) || !d.exposure() && worst(d.Session) == 0 {
			continue
		}
		read++
		if worst(d.Session) >= holdScore {
			return true
		}
	}
	return false
}

func (a *aches) readSigns(d *digest) {
	for _, s := range d.Signs {
		if s.Bone() {
			a.bone = d
		} else {
			a.stop = d
		}
	}
}

// Pauses says whether the session pauses running by itself (rule 6.1).
func Pauses(s *Session) bool {
	return s.Limp || s.Kind == Planned && s.Outcome == StoppedForPain || worst(s) >= pauseScore
}

// readSites counts in how many planned sessions in a row each site was at 3 or
// more (rule 6.3). A session that was not an exposure is read only where it adds
// to the row: a small pain on a missed day must not end it, or a worse score would
// give a bolder action.
func (a *aches) readSites(d *digest) {
	if d.Kind != Planned {
		return
	}
	for i := range d.Pain {
		if p := &d.Pain[i]; p.worst() >= holdScore && !a.knows(p.Site) {
			a.rows = append(a.rows, row{site: p.Site})
		}
	}
	for i := range a.rows {
		s := &a.rows[i]
		if !d.aches(s.site) {
			if d.exposure() {
				s.n = 0
			}
			continue
		}
		if s.n++; s.n >= 3 {
			a.lasting, a.site = d, strings.TrimSpace(s.site)
		}
	}
}

func (a *aches) knows(site string) bool {
	for i := range a.rows {
		if SameSite(a.rows[i].site, site) {
			return true
		}
	}
	return false
}

// aches says whether the site was at 3 or more.
func (d *digest) aches(site string) bool {
	for i := range d.Pain {
		if p := &d.Pain[i]; p.worst() >= holdScore && SameSite(p.Site, site) {
			return true
		}
	}
	return false
}

// readWeeks notes what the last two weeks hold: next-morning scores of 3 to 5 in
// W0 ask for a step back (rule 6.2).
func (a *aches) readWeeks(c *chart, d *digest) {
	ago := c.AsOf - d.Date
	if ago >= 14 {
		return
	}
	asks := false
	for i := range d.Pain {
		p := &d.Pain[i]
		morning := p.NextMorning.Or(0)
		a.noticed = a.noticed || p.Score >= holdScore || ago < 7 && morning >= holdScore
		if ago < 7 && morning >= holdScore && morning < pauseScore {
			asks = true
			a.backSite, a.backScore, a.rose = strings.TrimSpace(p.Site), morning, false
		}
	}
	if asks {
		a.back = append(a.back, d)
	}
}

// roseFromWeekToWeek adds the sessions at whose site the highest score rose from
// W1 to W0 with both at 3 to 5 (rule 6.2).
func (c *chart) roseFromWeekToWeek(a *aches) {
	for i := range c.sessions {
		d := &c.sessions[i]
		if c.AsOf-d.Date >= 7 || !c.seesPain(d) {
			continue
		}
		for j := range d.Pain {
			p := &d.Pain[j]
			now, before := c.highest(p.Site, 0), c.highest(p.Site, 1)
			if int(p.Score) == now && now > before && before >= holdScore && now < pauseScore {
				a.back = append(a.back, d)
				if a.backSite == "" {
					a.backSite, a.backScore, a.rose = strings.TrimSpace(p.Site), now, true
				}
				break
			}
		}
	}
}

// highest is the highest score (during) at the site in week w back.
func (c *chart) highest(site string, w int) int {
	highest := 0
	for i := range c.sessions {
		d := &c.sessions[i]
		if ago := int(c.AsOf - d.Date); ago/7 != w || !c.seesPain(d) {
			continue
		}
		for j := range d.Pain {
			if p := &d.Pain[j]; int(p.Score) > highest && SameSite(p.Site, site) {
				highest = int(p.Score)
			}
		}
	}
	return highest
}

// hardTwice is the newest exposure when it and the one before both have a given
// effort of 8 or more and it lies in W0 (rule 10.1); else nil.
func (c *chart) hardTwice() *digest {
	var newest *digest
	seen := 0
	for i := len(c.sessions) - 1; i >= 0 && seen < 2; i-- {
		d := &c.sessions[i]
		if !d.exposure() {
			continue
		}
		seen++
		if effort, rated := d.Effort.Get(); !rated || effort < 8 {
			return nil
		}
		if newest == nil {
			newest = d
		}
	}
	if seen < 2 || c.AsOf-newest.Date >= 7 {
		return nil
	}
	return newest
}

// phaseOf is the rung of the session, or that of the newest planned session
// before it whose phase is known, or the present one (rule 10.2).
func (c *chart) phaseOf(d *digest) pathway.Rung {
	for i := len(c.sessions) - 1; i >= 0; i-- {
		e := &c.sessions[i]
		if e.rung != pathway.NoRung && (e == d || inOrder(e.Session, d.Session) < 0) {
			return e.rung
		}
	}
	return c.rung
}
