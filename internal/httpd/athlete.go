package httpd

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// athletePage is one athlete in full.
func (s *server) athletePage(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	return s.showAthlete(w, r, http.StatusOK, id, nil)
}

// showAthlete shows the page; change puts in what a form on it sent back, or is
// nil.
func (s *server) showAthlete(w http.ResponseWriter, r *http.Request, status int, id roster.AthleteID, change func(*page.Athlete)) error {
	p, err := s.Morning.Athlete(r.Context(), clubOf(r).ID, id)
	if err != nil {
		return err
	}
	if actorOf(r).Deputy {
		p.Notes = slices.DeleteFunc(p.Notes, func(n roster.Note) bool { return n.Private })
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	v := portrait(p, datesFor(r))
	v.Desk = s.desk(r, p.Athlete.Name, part.InRoster)
	v.Decision = decisionForm(p, key, r.URL.Query().Get("choice"))
	if !p.Athlete.LeftAt.IsZero() {
		v.Decision = page.Decision{}
	}
	if visitorOf(r).IsDeputy() {
		athleteForDeputy(&v, p, actorOf(r))
	}
	if p.Athlete.Arrival != roster.Here {
		comingIn(&v, p, datesFor(r), visitorOf(r).IsKeeper())
	}
	if err := s.fillHealth(r, p, &v); err != nil {
		return err
	}
	if err := s.fillAccess(r, p, &v, key); err != nil {
		return err
	}
	if err := s.fillHeart(r, p, &v); err != nil {
		return err
	}
	if p.Athlete.LeftAt.IsZero() {
		v.Week = subject{id: id, base: athletePath(id)}.week("")
	}
	if v.Lift, err = s.liftCard(r, subject{id: id, base: athletePath(id)}, p.Asked); err != nil {
		return err
	}
	if change != nil {
		change(&v)
	}
	return s.page(w, r, status, page.AthletePage(v))
}

// sessionsShown is how many sessions the page lists.
const sessionsShown = 20

// portrait lays out what is known of an athlete.
func portrait(p *morning.Portrait, d wording.Dates) page.Athlete {
	a := p.Athlete
	b := subject{id: a.ID, base: athletePath(a.ID)}
	v := page.Athlete{
		Name: a.Name, About: aboutWords(p), Headline: headline(p), Why: p.Sentence, Flags: flagged(p.Verdict.Flags),
		Standing: standingWords(p, d), Gate: gateOf(p), LogHref: b.log(readiness.Planned.String()),
		Weeks: weeksPicture(p, d), Settles: settlesPicture(p, d), Sites: sitesPicture(p, d),
		Arrival: arrivalWords(p.Forecast, p.Asked, d), Figures: append(figuresOf(&p.Verdict), aroundFigures(p.Sessions)...),
	}
	if !a.LeftAt.IsZero() {
		v.Left = "Left the club on " + d.Day(a.Today(a.LeftAt), p.Asked) + "."
	}
	if one := newest(p); one != nil {
		v.Newest = newestSession(p, one, b, d)
	}
	for i := range p.Sessions[:min(len(p.Sessions), sessionsShown)] {
		v.Sessions = append(v.Sessions, sessionRow(&p.Sessions[i], &p.Shelf.Pathway, b, d, p.Asked))
	}
	if len(p.Sessions) > sessionsShown {
		v.MoreHref = b.list()
	}
	for _, stay := range p.Phases {
		v.Stays = append(v.Stays, stayOf(p, stay, d))
	}
	for i := range p.Decisions {
		v.Decisions = append(v.Decisions, decidedOf(p, &p.Decisions[i], d))
	}
	for _, n := range p.Notes {
		when := a.Today(n.At)
		v.Notes = append(v.Notes, page.Note{When: d.Full(when, p.Asked), By: n.By, Text: n.Text, Private: n.Private})
	}
	for _, rule := range p.Verdict.Rules {
		v.Rules = append(v.Rules, string(rule))
	}
	return v
}

// aboutWords say who it is: "41, sixth week, walk-led, phase 3 of 4".
func aboutWords(p *morning.Portrait) string {
	var parts []string
	if year := p.Athlete.BirthYear; year != 0 {
		parts = append(parts, strconv.Itoa(p.Asked.Year()-year))
	}
	parts = append(parts, wording.Ordinal(int(p.Asked-p.Athlete.JoinedOn)/7+1)+" week", wording.PhaseNamed(p.Shelf, p.Athlete.Phase))
	return strings.Join(parts, ", ")
}

// headline is the proposal in words.
func headline(p *morning.Portrait) string {
	to := pathway.Words(p.Verdict.Blocks)
	switch p.Why {
	case morning.WhyRefer:
		return "First to a doctor."
	case morning.WhyPause:
		return "Pause running."
	case morning.WhyEaseBack:
		return "Ease back to " + to + "."
	case morning.WhyLoadJump:
		return "The load jumped: an easier week on " + to + "."
	case morning.WhyStalling:
		if p.Verdict.Action == readiness.HalfStep {
			return "Stalling. A half step: " + to + "."
		}
		return "Stalling on " + to + "."
	case morning.WhyPain:
		return "Pain reported. Hold at " + to + "."
	case morning.WhyHealthCheck:
		return "A fresh health check first."
	case morning.WhyAnswered:
		return "The health questions were answered anew."
	case morning.WhyMoveUp:
		return "Ready to move up to " + to + "."
	case morning.WhyArrived:
		return "Thirty minutes in one go."
	case morning.WhyIrregular:
		return "Fewer sessions than planned."
	}
	if p.Verdict.Flags.Has(readiness.FlagQuiet) {
		return "No word for a while."
	}
	return "Going steadily on " + to + "."
}

func standingWords(p *morning.Portrait, d wording.Dates) part.Flagged {
	since := " " + d.Since(p.Away.Since, p.Asked)
	switch p.Away.Kind {
	case morning.OnPause:
		return part.Flagged{Mark: "pause", Word: "Paused" + since}
	case morning.Referred:
		return part.Flagged{Mark: "refer", Word: "Referred" + since}
	case morning.OnLeave:
		return part.Flagged{Mark: "leave", Word: wording.Leave(p.Away.Leave) + since}
	}
	return part.Flagged{}
}

func gateOf(p *morning.Portrait) page.Gate {
	g := page.Gate{
		Phase: wording.PhaseNamed(p.Shelf, p.Athlete.Phase),
		Verdict: map[readiness.Gate]string{
			readiness.Open: "The gate is open.", readiness.Unproven: "An answer is missing, so the gate cannot be told.", readiness.Shut: "The gate is shut.",
		}[p.Verdict.Gate],
	}
	if p.Verdict.Gate == readiness.Open && morning.WhyNone < p.Why && p.Why < morning.WhyMoveUp {
		g.Verdict = "The gate is met, but what stands above comes first."
	}
	for _, c := range p.Evidence {
		g.Conditions = append(g.Conditions, part.Condition{State: part.State(c.State.String()), Asked: wording.Capital(c.Asked), Seen: c.Seen})
	}
	return g
}

// newest is the newest session of which something was done, or nil.
func newest(p *morning.Portrait) *roster.Session {
	for i := range p.Sessions {
		if s := &p.Sessions[i]; s.Date <= p.Asked && recordable(s) {
			return s
		}
	}
	return nil
}

// newestSession draws that one large.
func newestSession(p *morning.Portrait, s *roster.Session, b subject, d wording.Dates) *page.Session {
	v := &page.Session{
		Title: wording.Capital(d.Near(s.Date, p.Asked)), Facts: factWords(s), Note: s.Note, Href: b.session(s.ID, ""),
		Strip: sessionStrip(s, &p.Shelf.Pathway, d, p.Asked, part.Large), Words: doneWords(s),
	}
	if n := numberInWeek(p, s); n > 0 {
		v.Title += ", session " + strconv.Itoa(n) + " of " + strconv.Itoa(p.Of)
	}
	return v
}

// factWords are the facts of a session: "30 min, effort 4 of 10, no pain".
func factWords(s *roster.Session) string {
	parts := []string{wording.Session(s)}
	if s.Became() == readiness.InFull {
		parts = append(parts, strconv.Itoa(wording.Minutes(s))+" min")
	}
	if effort, told := s.Effort.Get(); told {
		parts = append(parts, "effort "+strconv.Itoa(effort)+" of 10")
	}
	if s.Talk != readiness.NotAsked {
		parts = append(parts, talkWords(s.Talk))
	}
	if pain := painWords(&s.Session); pain == "none" {
		parts = append(parts, "no pain")
	} else if pain != "" {
		parts = append(parts, pain)
	}
	return strings.Join(parts, ", ")
}

// doneWords say the blocks as they were planned, and the breath.
func doneWords(s *roster.Session) string {
	plan := make([]pathway.Block, len(s.Blocks))
	for i, b := range s.Blocks {
		plan[i] = pathway.Block{Kind: b.Kind, Planned: int(b.Planned)}
	}
	words := pathway.Words(plan)
	if settle, ok := morning.Median(s.Blocks); ok {
		words += "; breath back after " + pathway.Time(settle) + " at the median"
	} else if s.Breath != readiness.BreathNotAsked {
		words += "; " + wording.Breath(s.Breath)
	}
	return wording.Capital(strings.TrimPrefix(words, "; "))
}

func stayOf(p *morning.Portrait, stay morning.Stay, d wording.Dates) page.Stay {
	v := page.Stay{Phase: stay.Phase, From: d.Day(stay.From, p.Asked), To: d.Day(stay.To, p.Asked), Sessions: wording.Count(stay.Sessions, "session", "sessions")}
	if rung := p.Shelf.Find(stay.Phase); rung != pathway.NoRung {
		plan := p.Shelf.Blocks(rung)
		v.Phase, v.Plan, v.Strip = strings.Replace(wording.Phase(&p.Shelf.Pathway, rung), "phase ", "", 1), pathway.Words(plan), planStrip(plan, part.Small)
	}
	return v
}

// arrivalWords say how soon thirty minutes may come: a range; the page says that
// it is no promise.
func arrivalWords(f readiness.Forecast, asked day.Date, d wording.Dates) string {
	switch {
	case f == (readiness.Forecast{}):
		return ""
	case f.Late == asked:
		return "The thirty minutes are the next thing on the pathway."
	}
	return "Between " + d.Day(f.Early, asked) + " and " + d.Day(f.Late, asked) + " if it goes on like this, as likely before as after " + d.Day(f.Median, asked) + "."
}

// numberInWeek is which session of this week it was; 0: none of it.
func numberInWeek(p *morning.Portrait, s *roster.Session) int {
	n := 0
	for _, other := range p.Strips {
		if other.Exposure() {
			n++
		}
		if other.ID == s.ID && s.Exposure() {
			return n
		}
	}
	return 0
}
