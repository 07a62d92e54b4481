package httpd

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// pick says of which athlete a row or a form speaks, and what the coach saw.
type pick struct {
	athlete roster.AthleteID
	version int
	key     roster.Key
	print   string // Fingerprint of the proposal
}

// pack writes the pick as one hidden field.
func (p pick) pack() string {
	return strconv.FormatInt(int64(p.athlete), 10) + "|" + strconv.Itoa(p.version) + "|" + string(p.key) + "|" + p.print
}

// unpack reads it again; ok is false for anything else.
func unpack(s string) (p pick, ok bool) {
	cells := strings.SplitN(s, "|", 4)
	if len(cells) != 4 {
		return pick{}, false
	}
	id, errID := strconv.ParseInt(cells[0], 10, 64)
	version, errVersion := strconv.Atoi(cells[1])
	p = pick{roster.AthleteID(id), version, roster.Key(cells[2]), cells[3]}
	return p, errID == nil && errVersion == nil && id > 0 && p.print != ""
}

// settle carries out a choice from the roster: for one row, or for all that are
// ticked. What cannot be done so needs a look of its own and is said by name.
func (s *server) settle(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	var picks []decide.Pick
	for _, packed := range f.all("pick") {
		p, ok := unpack(packed)
		if !ok || !soundKey(string(p.key)) {
			return errStale()
		}
		picks = append(picks, decide.Pick{Athlete: p.athlete, Fingerprint: p.print, Version: p.version, Key: p.key})
	}
	choice, word := roster.Choice(f.text("choice")), ""
	if choice == easeWeek {
		choice, word = roster.Hold, easeWord
	}
	if len(picks) == 0 {
		s.redirect(w, r, part.RosterAt+"?said=nobody-ticked"+whoseIn(f))
		return nil
	}
	settled, err := s.Decide.Settle(r.Context(), actorOf(r), choice, word, picks)
	if err != nil {
		return err
	}
	s.redirect(w, r, part.RosterAt+settledQuery(settled)+whoseIn(f))
	return nil
}

// settledQuery names in the address what was decided and who was left alone.
func settledQuery(settled []decide.Settled) string {
	var did, left []string
	for _, one := range settled {
		if one.Left == "" {
			did = append(did, strconv.FormatInt(int64(one.Decision.ID), 10))
		} else {
			left = append(left, strconv.FormatInt(int64(one.Athlete), 10))
		}
	}
	return "?did=" + strings.Join(did, ".") + "&left=" + strings.Join(left, ".")
}

// undoAt is where decisions are taken back.
const undoAt = "/decisions/undo"

// undoWithin is how long the roster offers to take a decision back.
const undoWithin = 10 * time.Minute

// decidedNotice says on the roster what was decided just now, with the way to take
// it back, and who was left alone.
func decidedNotice(r *http.Request, m *morning.Morning, now time.Time) part.Notice {
	did, left := strings.Split(r.URL.Query().Get("did"), "."), strings.Split(r.URL.Query().Get("left"), ".")
	var n part.Notice
	var said []string
	for i := range m.Recent {
		d := &m.Recent[i]
		id := strconv.FormatInt(int64(d.ID), 10)
		row := m.Row(d.Athlete)
		if row == nil || !slices.Contains(did, id) {
			continue
		}
		said = append(said, row.Athlete.Name+" "+wording.Decided(d, row.Shelf)+".")
		if now.Sub(d.At) < undoWithin && decide.MayUndo(actorOf(r), d) {
			n.Undo.Action = undoAt
			n.Undo.Fields = append(n.Undo.Fields, part.Hidden{Name: "decision", Value: id})
		}
	}
	var names []string
	for _, row := range m.Rows() {
		if slices.Contains(left, strconv.FormatInt(int64(row.Athlete.ID), 10)) {
			names = append(names, row.Athlete.Name)
		}
	}
	if n.Undo.Action != "" && r.URL.Query().Get("whose") == mine {
		n.Undo.Fields = append(n.Undo.Fields, part.Hidden{Name: "whose", Value: mine})
	}
	n.Text = strings.Join(said, " ")
	if len(said) > 2 {
		n.Text = wording.Capital(wording.Number(len(said))) + " people are settled."
		n.More = said
	}
	if len(names) > 0 {
		n.Warn = true
		n.Text = strings.TrimSpace(n.Text + " Left alone, because something came in or changed meanwhile, or it needs a look of its own: " + strings.Join(names, ", ") + ".")
	}
	return n
}

// decideOne carries out the form on an athlete's page.
func (s *server) decideOne(w http.ResponseWriter, r *http.Request) error {
	a, err := s.athleteOf(r)
	if err != nil {
		return err
	}
	id := a.ID
	f, err := formOf(r)
	if err != nil {
		return err
	}
	p, ok := unpack(f.raw("pick"))
	if !ok || p.athlete != id {
		return errStale()
	}
	key := f.key()
	if len(f.faults) > 0 {
		return errStale()
	}
	ask := decide.Ask{
		Athlete: id, Choice: roster.Choice(f.text("choice")), To: toFor(f), Reason: f.text("reason"), Word: f.text("word"),
		Fingerprint: p.print, Version: p.version, Key: key, Clearance: clearanceFrom(f),
	}
	if len(f.faults) > 0 { // a date that cannot be read
		return s.showAthlete(w, r, http.StatusUnprocessableEntity, id, func(v *page.Athlete) { typedDecision(v, f) })
	}
	if ask.Choice == easeWeek {
		ask.Choice = roster.Hold
		if ask.Word == "" {
			ask.Word = easeWord
		}
	}
	d, err := s.Decide.Decide(r.Context(), actorOf(r), ask)
	switch {
	case f.take(err):
		return s.showAthlete(w, r, http.StatusUnprocessableEntity, id, func(v *page.Athlete) { typedDecision(v, f) })
	case fault.KindOf(err) == fault.Conflict:
		return s.showAthlete(w, r, http.StatusConflict, id, func(v *page.Athlete) {
			typedDecision(v, f)
			v.Desk.Notice = part.Notice{Warn: true, Text: fault.MessageOf(err) + " Nothing was stored yet; what you typed is below."}
		})
	case err != nil:
		return err
	}
	s.redirect(w, r, part.RosterAt+"?did="+strconv.FormatInt(int64(d.ID), 10))
	return nil
}

// clearanceFrom reads what was said by whoever cleared the athlete, for the choice
// that asks for it.
func clearanceFrom(f *form) roster.Clearance {
	if roster.Choice(f.text("choice")) != roster.Cleared {
		return roster.Clearance{}
	}
	return roster.Clearance{GivenOn: f.date("given_on"), GivenBy: f.text("given_by"), Limits: f.text("limits")}
}

// toFor is the phase that was picked, for the choices that ask for one.
func toFor(f *form) string {
	switch roster.Choice(f.text("choice")) {
	case roster.EaseBack, roster.Resume, roster.Cleared:
		return f.text("to")
	}
	return ""
}

// typedDecision puts back what was typed into the form, and what is wrong with it.
func typedDecision(v *page.Athlete, f *form) {
	v.Decision.Choice, v.Decision.ToValue = f.text("choice"), f.text("to")
	v.Decision.Reason, v.Decision.Word = f.text("reason"), f.text("word")
	v.Decision.GivenOn, v.Decision.GivenBy, v.Decision.Limits = f.text("given_on"), f.text("given_by"), f.text("limits")
	v.Decision.Errors = f.errors()
}

// undo takes decisions back: those of one notice together.
func (s *server) undo(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	to := part.RosterAt
	for _, field := range f.all("decision") {
		id, err := strconv.ParseInt(field, 10, 64)
		if err != nil || id < 1 {
			return errStale()
		}
		d, err := s.Decide.Undo(r.Context(), actorOf(r), roster.DecisionID(id))
		if err != nil {
			return err
		}
		if f.text("from") == "athlete" {
			to = athletePath(d.Athlete)
		}
	}
	s.redirect(w, r, to+"?said=undone"+whoseIn(f))
	return nil
}

// decisionForm is the form with which a coach decides on an athlete's page.
func decisionForm(p *morning.Portrait, key roster.Key, choice string) page.Decision {
	a := p.Athlete
	v := page.Decision{
		Action: athletePath(a.ID) + "/decide", Pick: pick{a.ID, a.Version, "", p.Print}.pack(), Key: string(key), Choice: choice,
	}
	first := proposedHere(p)
	v.Proposed = option(p, first)
	for _, c := range possible(p) {
		v.Clears = v.Clears || c == roster.Cleared
		if c != first {
			v.Others = append(v.Others, option(p, c))
		}
	}
	v.To = []part.Option{{Words: "where it leads by itself"}}
	for i := range p.Shelf.Phases {
		for _, rung := range [...]pathway.Rung{pathway.RungOf(i) - 1, pathway.RungOf(i)} {
			if rung < 0 || rung.Half() && len(p.Shelf.HalfStep(i)) == 0 {
				continue
			}
			v.To = append(v.To, part.Option{
				Value: p.Shelf.Pathway.ID(rung), Words: wording.Phase(&p.Shelf.Pathway, rung), Hint: pathway.Words(p.Shelf.Blocks(rung)),
			})
		}
	}
	if p.Decided && p.Newest != nil {
		v.Settled = "Decided: " + wording.Decided(p.Newest, p.Shelf) + ". Nothing new has come in since."
	}
	return v
}

// proposedHere is the choice that the form offers first: of somebody held, how it
// ends.
func proposedHere(p *morning.Portrait) roster.Choice {
	switch p.Away.Kind {
	case morning.OnPause:
		if p.Why != morning.WhyRefer {
			return roster.Resume
		}
	case morning.Referred:
		return roster.Cleared
	}
	return p.Proposal.First
}

// possible are the choices that can be made now, in the order of the form.
func possible(p *morning.Portrait) []roster.Choice {
	refers, pauses := p.Why == morning.WhyRefer, p.Why == morning.WhyPause
	switch {
	case p.Athlete.Held == roster.Referred:
		return []roster.Choice{roster.Cleared, roster.Seen}
	case p.Athlete.Held == roster.Paused && refers:
		return []roster.Choice{roster.Refer, roster.Cleared, roster.Seen}
	case p.Athlete.Held == roster.Paused:
		return []roster.Choice{roster.Resume, roster.Refer, roster.Seen}
	case refers:
		return []roster.Choice{roster.Refer, roster.Pause, roster.Cleared, roster.Seen}
	case pauses:
		return []roster.Choice{roster.Pause, roster.Refer, roster.Resume, roster.EaseBack, roster.Hold, roster.Seen}
	}
	choices := []roster.Choice{roster.MoveUp, roster.Hold, roster.HalfStep, roster.EaseBack, roster.Cleared, roster.Pause, roster.Refer, roster.Seen}
	return slices.DeleteFunc(choices, func(c roster.Choice) bool {
		switch c {
		case roster.MoveUp:
			return p.Rung == p.Shelf.Last()
		case roster.HalfStep:
			return p.Rung.Half() || len(p.Shelf.HalfStep(p.Rung.Phase())) == 0
		case roster.EaseBack:
			return p.Rung == 0
		case roster.Cleared:
			return !p.Verdict.Flags.Has(readiness.FlagHealthCheck)
		}
		return false
	})
}

// option is a choice in words, with what it does.
func option(p *morning.Portrait, c roster.Choice) part.Option {
	o := part.Option{Value: string(c), Words: choiceWords(c, p.Why), Hint: choiceHint(c)}
	if c == roster.Hold && p.Why == morning.WhyLoadJump {
		o.Value, o.Hint = easeWeek, "Same phase. Where you write nothing, the athlete reads: “"+easeWord+"”"
	}
	if c == p.Proposal.First && p.Proposal.To != "" {
		to := p.Shelf.Find(p.Proposal.To)
		o.Words += " to " + pathway.Words(p.Shelf.Blocks(to))
		if c == roster.HalfStep {
			o.Words = "Add a half step: " + pathway.Words(p.Shelf.Blocks(to))
		}
	}
	return o
}
