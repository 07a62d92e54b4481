package httpd

import (
	"net/http"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// rosterPage is the coach's morning.
func (s *server) rosterPage(w http.ResponseWriter, r *http.Request) error {
	own := r.URL.Query().Get("whose") == mine
	m, err := s.Morning.Roster(r.Context(), clubOf(r), actorOf(r), own)
	if err != nil {
		return err
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	everybody := len(m.Decide) + len(m.Steady) + len(m.Quiet) + len(m.Away) + len(m.Coming)
	v := page.Roster{
		Desk: s.desk(r, "Roster", part.InRoster), Lead: wording.Lead(m), Sub: wording.Sub(m), Find: strings.TrimSpace(r.URL.Query().Get("find")),
		Begin: everybody == 0 && !own, Weather: clubWeatherAt,
	}
	if visitorOf(r).IsKeeper() {
		v.NewHref = "/athletes/new"
	}
	if own || m.Others > 0 {
		v.Whose = page.Whose{Mine: part.RosterAt + "?whose=" + mine, All: part.RosterAt, Own: own}
	}
	if err := s.fillNews(r, &v); err != nil {
		return err
	}
	if v.Asked, err = s.askingRows(r); err != nil {
		return err
	}
	if notice := decidedNotice(r, m, s.Now()); notice.Text != "" {
		v.Desk.Notice = notice
	}
	if v.Find != "" {
		v.Found = findNames(m, v.Find, everybody)
	}
	fillRoster(&v, m, key, datesFor(r))
	if visitorOf(r).IsDeputy() {
		rosterForDeputy(&v, m)
	}
	answeredRows(&v, m, visitorOf(r).IsKeeper())
	if v.Coming = comingRows(m.Coming, datesFor(r), visitorOf(r).IsKeeper()); len(v.Coming) > 0 {
		v.Desk.Loads = []string{part.JoinStyle}
	}
	return s.page(w, r, http.StatusOK, page.RosterPage(v))
}

// mine is how the address says that only the coach's own athletes are shown.
const mine = "mine"

// whoseIn is the end of an address that remembers whose athletes a form was shown
// with.
func whoseIn(f *form) string {
	if f.text("whose") == mine {
		return "&whose=" + mine
	}
	return ""
}

// fillNews puts in what the coach is told until it was seen to.
func (s *server) fillNews(r *http.Request, v *page.Roster) (err error) {
	v.News.Address = s.addressNews(r)
	if v.News.Logins, err = s.newLogins(r, "/logins/"); err != nil {
		return err
	}
	if c := visitorOf(r).Coach; !c.MailRefused.IsZero() {
		v.News.Refused = "Mail to " + c.Email + " was refused " + s.onDay(r, c.MailRefused) + ", so your letters wait."
	}
	v.News.Handed, err = s.handedLines(r)
	return err
}

// findNames leaves only the rows whose name holds what is searched for.
func findNames(m *morning.Morning, name string, everybody int) string {
	found := 0
	for _, rows := range [...]*[]*morning.Row{&m.Decide, &m.Steady, &m.Quiet, &m.Away, &m.Coming} {
		kept := (*rows)[:0]
		for _, row := range *rows {
			if strings.Contains(strings.ToLower(row.Athlete.Name), strings.ToLower(name)) {
				kept = append(kept, row)
			}
		}
		*rows = kept
		found += len(kept)
	}
	return strconv.Itoa(found) + " of " + strconv.Itoa(everybody) + " names contain “" + name + "”."
}

// fillRoster lays out the rows.
func fillRoster(v *page.Roster, m *morning.Morning, key roster.Key, d wording.Dates) {
	v.Together = together(m.Decide)
	plans := plans{}
	for _, row := range m.Decide {
		v.Decide = append(v.Decide, decideRow(row, key, v.Together, plans, d))
	}
	for _, row := range m.Steady {
		v.Steady = append(v.Steady, steadyRow(row))
	}
	for _, row := range m.Quiet {
		v.Quiet = append(v.Quiet, quietRow(row, d))
	}
	for _, row := range m.Away {
		v.Away = append(v.Away, awayRow(row, d))
	}
}

// plans remembers the words of sessions while one page is made.
type plans map[string]string

func (p plans) of(row *morning.Row) string {
	id := strconv.FormatInt(int64(row.Shelf.ID), 10) + row.Athlete.Phase
	words, known := p[id]
	if !known {
		words = pathway.Words(row.Shelf.Blocks(row.Rung))
		p[id] = words
	}
	return words
}

func decideRow(row *morning.Row, key roster.Key, groups []page.Together, plans plans, d wording.Dates) page.Decide {
	a := row.Athlete
	v := page.Decide{
		Name: a.Name, Href: athletePath(a.ID), Phase: wording.Phase(&row.Shelf.Pathway, row.Rung), Plan: plans.of(row),
		Trend: trendPicture(row.Settle), Load: loadPicture(row), Why: wording.Reason(row, true),
		Flag: part.Flagged{Mark: whyMark(row.Why), Word: wording.Why(row)}, More: moreFlags(row),
		Pick:  pick{a.ID, a.Version, key + roster.Key("-"+strconv.FormatInt(int64(a.ID), 10)), row.Print}.pack(),
		First: act(row, row.Proposal.First), Second: act(row, row.Proposal.Second),
	}
	for _, s := range row.Strips {
		strip := sessionStrip(s, &row.Shelf.Pathway, d, row.Asked, part.Small)
		strip.Day = s.Date.Weekday().String()[:3]
		v.Strips = append(v.Strips, strip)
	}
	for _, g := range groups {
		if g.Choice == string(row.Proposal.First) {
			v.Group = g.ID
		}
	}
	return v
}

// easeWeek is the button of a load that jumped: the phase is held, and the athlete
// reads a word about the week.
const easeWeek = "ease_week"

// act is a button for the choice, or a link to the form where it needs a reason.
func act(row *morning.Row, c roster.Choice) part.Act {
	words := choiceWords(c, row.Why)
	switch {
	case c == "":
		return part.Act{}
	case c == roster.Cleared || row.Departs(c):
		return part.Act{Words: words, Href: athletePath(row.Athlete.ID) + "?choice=" + string(c) + "#decision"}
	case c == roster.Hold && row.Why == morning.WhyLoadJump:
		return part.Act{Words: words, Choice: easeWeek}
	}
	return part.Act{Words: words, Choice: string(c)}
}

// together are the choices that several rows have in common and that may be made
// without a look at each. A step back is not: its reasons differ.
func together(rows []*morning.Row) []page.Together {
	var groups []page.Together
	for _, g := range [...]struct {
		choice roster.Choice
		words  string
		button string
	}{
		{roster.MoveUp, "ready to move up", "Move up"},
		{roster.HalfStep, "to give a half step", "Add a half step for"},
	} {
		n := 0
		for _, row := range rows {
			if row.Proposal.First == g.choice {
				n++
			}
		}
		if n > 1 {
			groups = append(groups, page.Together{
				ID: string(g.choice), Choice: string(g.choice), Count: n,
				Words: "Settle the " + wording.Number(n) + " " + g.words + " together.", Button: g.button + " the ticked",
			})
		}
	}
	return groups
}

// whyMark is the sign of what makes a row one to decide on.
func whyMark(w morning.Why) part.Mark {
	return [...]part.Mark{
		morning.WhyNone: "", morning.WhyRefer: "warning", morning.WhyPause: "pain", morning.WhyEaseBack: "ease_back",
		morning.WhyLoadJump: "load_jump", morning.WhyStalling: "stalling", morning.WhyPain: "pain",
		morning.WhyHealthCheck: "health_check", morning.WhyAnswered: "health_check", morning.WhyMoveUp: "ready", morning.WhyArrived: "arrived", morning.WhyIrregular: "irregular",
	}[w]
}

// moreFlags are what the engine noticed besides what heads the row.
func moreFlags(row *morning.Row) []part.Flagged {
	var more []part.Flagged
	for _, n := range wording.Beside(row) {
		more = append(more, part.Flagged{Mark: part.Mark(n.Name), Word: n.Word})
	}
	return more
}

func steadyRow(row *morning.Row) page.Steady {
	v := page.Steady{
		Name: row.Athlete.Name, Href: athletePath(row.Athlete.ID), Phase: wording.PhaseShort(row),
		Week: strconv.Itoa(row.Done) + " of " + strconv.Itoa(row.Of), Load: loadPicture(row), Next: wording.Next(row),
	}
	v.Load.Figure = ""
	if settle, ok := row.Settle.Last(); ok {
		v.Settles = pathway.Time(settle)
	}
	return v
}

func quietRow(row *morning.Row, d wording.Dates) page.Quiet {
	v := page.Quiet{
		Name: row.Athlete.Name, Href: athletePath(row.Athlete.ID), Phase: wording.PhaseShort(row), Heard: "never", Words: wording.Silent(row, d),
	}
	if heard := row.Heard(); heard != 0 {
		v.Heard = strconv.Itoa(int(row.Asked-heard)) + " days ago"
	}
	return v
}

func awayRow(row *morning.Row, d wording.Dates) page.Away {
	s := wording.Away(row, d)
	v := page.Away{
		Name: row.Athlete.Name, Href: athletePath(row.Athlete.ID), Phase: wording.PhaseShort(row), Mark: "leave", What: s.What, Since: s.Since, Words: s.Words,
	}
	switch row.Away.Kind {
	case morning.OnPause:
		v.Mark = "pause"
	case morning.Referred:
		v.Mark = "refer"
	}
	return v
}
