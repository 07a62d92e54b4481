package httpd

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/warmup"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// Where coaches edit the club's routine.
const (
	routineAt   = warmUpAt + "/edit"
	oursAt      = warmUpAt + "/ours"
	movementsAt = warmUpAt + "/movements"
)

// routinePage is the club's routine with the form that edits it.
func (s *server) routinePage(w http.ResponseWriter, r *http.Request) error {
	return s.showRoutine(w, r, http.StatusOK, nil, nil)
}

// rows is the routine as it was sent: the steps, and in which row of the form each
// stood.
type rows struct {
	warmup.Routine
	before, after []int
}

// rowsIn reads the rows; those without a movement are none, and a number left empty is
// the usual one.
func rowsIn(f *form, l warmup.Library) rows {
	var all rows
	all.Before, all.before = stepsIn(f, "before", l)
	all.After, all.after = stepsIn(f, "after", l)
	return all
}

// mostRows is how many rows of each part are looked for: more than the form has.
const mostRows = 2 * warmup.MostSteps

func stepsIn(f *form, part string, l warmup.Library) (steps []warmup.Step, at []int) {
	for i := range mostRows {
		place := part + "[" + strconv.Itoa(i) + "]"
		id := f.text(place + ".move")
		if id == "" {
			continue
		}
		count, given := f.number(place + ".count")
		if m, known := l.Find(id); known && !given {
			count = m.Usual
		}
		steps, at = append(steps, warmup.Step{Move: id, Count: min(max(count, -1), 1<<20)}), append(at, i)
	}
	return steps, at
}

// placed moves faults from the steps to the rows in which they stood.
func (all *rows) placed(faults []fault.Field) []fault.Field {
	moved := slices.Clone(faults)
	for i := range moved {
		for part, at := range map[string][]int{"before": all.before, "after": all.after} {
			number, what, found := strings.Cut(strings.TrimPrefix(moved[i].Place, part+"["), "].")
			n, err := strconv.Atoi(number)
			if found && err == nil && strings.HasPrefix(moved[i].Place, part+"[") && n < len(at) {
				moved[i].Place = part + "[" + strconv.Itoa(at[n]) + "]." + what
				break
			}
		}
	}
	return moved
}

// editRoutine keeps another version.
func (s *server) editRoutine(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	has, err := s.Routine.Repertoire(r.Context(), actorOf(r))
	if err != nil {
		return err
	}
	key, of := f.key(), roster.RoutineID(f.whole("of"))
	all := rowsIn(f, has.Library())
	unread := f.faults
	f.faults = nil
	_, err = s.Routine.Edit(r.Context(), actorOf(r), of, all.Routine, unread, key)
	switch {
	case err == nil:
		s.redirect(w, r, routineAt+"?said=routine")
		return nil
	case fault.KindOf(err) == fault.Conflict:
		return s.showRoutine(w, r, http.StatusConflict, f, nil, fault.MessageOf(err))
	case len(fault.FieldsOf(err)) == 0:
		return err
	}
	if len(unread) > 0 {
		f.faults = fault.FieldsOf(err) // they stand at the rows already
	} else {
		f.faults = all.placed(fault.FieldsOf(err))
	}
	return s.showRoutine(w, r, http.StatusUnprocessableEntity, f, nil)
}

// resetRoutine goes back to the routine that everybody begins with.
func (s *server) resetRoutine(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	key, of := f.key(), roster.RoutineID(f.whole("of"))
	if err := fault.At(f.faults...); err != nil {
		return err
	}
	err = s.Routine.Reset(r.Context(), actorOf(r), of, key)
	if fault.KindOf(err) == fault.Conflict {
		return s.showRoutine(w, r, http.StatusConflict, nil, nil, "The routine was changed somewhere else meanwhile. This is how it is now.")
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, routineAt+"?said=routine")
	return nil
}

// addMovement keeps a movement of the club's own.
func (s *server) addMovement(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	key := f.key()
	m := warmup.Move{Name: f.text("name"), How: f.text("how"), Sides: f.ticked("sides"), Timed: f.ticked("timed"), Usual: f.whole("usual")}
	kind, known := warmup.ParseKind(f.text("kind"))
	if m.Kind = kind; !known {
		f.wrong("kind", "please say what it is")
	}
	for _, name := range f.all("loads") {
		site, known := body.ParseSite(name)
		if m.Loads |= site; !known {
			f.wrong("loads", "please choose from the list")
		}
	}
	for _, d := range demandKeys {
		if slices.Contains(f.all("demands"), d.key) {
			m.Demands |= d.is
		}
	}
	unread := f.faults
	f.faults = nil
	_, err = s.Routine.Add(r.Context(), actorOf(r), m, unread, key)
	if f.take(err) {
		return s.showRoutine(w, r, http.StatusUnprocessableEntity, nil, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, routineAt+"?said=movement")
	return nil
}

// putAway puts a movement away.
func (s *server) putAway(w http.ResponseWriter, r *http.Request) error {
	id, err := idIn[roster.MovementID](r, "movement")
	if err != nil {
		return err
	}
	if err := s.Routine.PutAway(r.Context(), actorOf(r), id); err != nil {
		return err
	}
	s.redirect(w, r, routineAt+"?said=put-away")
	return nil
}

// showRoutine shows the page; edit is a routine that came back, move a movement, nil
// where none did; a notice may stand on top.
func (s *server) showRoutine(w http.ResponseWriter, r *http.Request, status int, edit, move *form, notice ...string) error {
	has, err := s.Routine.Repertoire(r.Context(), actorOf(r))
	if err != nil {
		return err
	}
	v := page.RoutineEdit{
		Desk: s.desk(r, "Before and after a session", part.InPathway), Lead: s.routineLead(r, &has), Action: routineAt, Of: idText(has.Routine.ID),
		Ours: oursAt, Own: ownMoves(&has),
	}
	v.Desk.Loads = []string{part.WarmStyle}
	if len(notice) > 0 {
		v.Desk.Notice = part.Notice{Warn: true, Text: notice[0]}
	}
	l := has.Library()
	v.Before = "Before: " + aboutMinutes(warmup.Seconds(has.Routine.Before, l)) + " together, roller included."
	v.After = "After: " + aboutMinutes(warmup.Seconds(has.Routine.After, l)) + "."
	v.Sections = routineSections(&has, edit)
	if edit != nil {
		v.Errors, v.Mistakes = edit.errors(), edit.mistakes(map[string]string{"before": "Before", "after": "After"})
	}
	keys := [3]roster.Key{}
	for i := range keys {
		if keys[i], err = s.newKey(); err != nil {
			return err
		}
	}
	v.Key, v.OursKey = string(keys[0]), string(keys[1])
	v.Move = moveForm(move, string(keys[2]))
	return s.page(w, r, status, page.RoutinePage(v))
}

// routineLead says whose the routine is.
func (s *server) routineLead(r *http.Request, has *roster.Repertoire) string {
	if has.Routine.ID == 0 {
		return "This is the routine that everybody begins with."
	}
	return "As " + has.Routine.By + " made it " + datesFor(r).When(day.Of(has.Routine.At, s.placeOf(r)), s.today(r)) + "."
}

// rowsOf is how many rows a kind has at least: as many as it may have movements, or one
// more than is usual.
var rowsOf = map[warmup.Kind]int{warmup.Walk: 1, warmup.Release: 3, warmup.Dynamic: warmup.MostDynamic, warmup.Rhythm: 2, warmup.CoolDown: 2}

// routineSections are the rows by kind, with what can be chosen in each.
func routineSections(has *roster.Repertoire, edit *form) []page.RoutineKind {
	l := has.Library()
	var all []page.RoutineKind
	next := map[string]int{} // the number of the next row, by part
	for kind := warmup.Walk; kind <= warmup.CoolDown; kind++ {
		steps, part := has.Routine.Before, "before"
		if kind == warmup.CoolDown {
			steps, part = has.Routine.After, "after"
		}
		k := page.RoutineKind{Name: kind.Words(), Hint: kindHint(kind), Options: moveOptions(kind, l)}
		steps = ofKind(steps, kind, l)
		for i := range max(rowsOf[kind], len(steps)) {
			row := page.RoutineRow{Place: part + "[" + strconv.Itoa(next[part]) + "]", Label: kind.Words() + " " + strconv.Itoa(i+1)}
			next[part]++
			if edit != nil {
				row.Move, row.Count = edit.text(row.Place+".move"), edit.text(row.Place+".count")
			} else if i < len(steps) {
				row.Move, row.Count = steps[i].Move, countText(steps[i].Count)
			}
			k.Rows = append(k.Rows, row)
		}
		all = append(all, k)
	}
	return all
}

// ofKind are the steps of a kind; after a session everything counts as the cool-down.
func ofKind(steps []warmup.Step, kind warmup.Kind, l warmup.Library) []warmup.Step {
	var all []warmup.Step
	for _, s := range steps {
		if m, _ := l.Find(s.Move); m.Kind == kind || kind == warmup.CoolDown {
			all = append(all, s)
		}
	}
	return all
}

func kindHint(kind warmup.Kind) string {
	switch kind {
	case warmup.Release:
		return "Only for those who have a roller."
	case warmup.Dynamic:
		return "Three to five, through the full range, without pain."
	case warmup.Rhythm:
		return "Quick and light, the last before the session."
	case warmup.CoolDown:
		return "After the session."
	}
	return ""
}

// moveOptions are the movements of a kind, each with how it is counted. After a session
// an easy walk can be chosen too.
func moveOptions(kind warmup.Kind, l warmup.Library) []part.Option {
	var all []part.Option
	for _, m := range l {
		if m.Kind != kind && (kind != warmup.CoolDown || m.Kind != warmup.Walk) {
			continue
		}
		counted := "times"
		if m.Timed {
			counted = "seconds"
		}
		if m.Sides {
			counted += " each side"
		}
		all = append(all, part.Option{Value: m.ID, Words: m.Name + " (" + counted + ")"})
	}
	return all
}

// ownMoves are the club's own movements that can be chosen.
func ownMoves(has *roster.Repertoire) []page.OwnMove {
	var all []page.OwnMove
	for i := range has.Movements {
		if m := &has.Movements[i]; m.AwayAt.IsZero() {
			all = append(all, page.OwnMove{
				Words: m.Name + ", " + strings.ToLower(m.Kind.Words()), How: m.How, Away: movementsAt + "/" + idText(m.Number) + "/away",
			})
		}
	}
	return all
}

// moveForm is the form for a movement; f is one that came back, or nil.
func moveForm(f *form, key string) page.MoveForm {
	v := page.MoveForm{Action: movementsAt, Key: key, Kind: warmup.Dynamic.String(), Open: f != nil}
	if f == nil {
		f = &form{}
	} else {
		v.Kind = f.text("kind")
		if typed := f.text("key"); soundKey(typed) {
			v.Key = typed
		}
	}
	v.Name, v.How, v.Usual, v.Sides, v.Timed, v.Errors = f.text("name"), f.text("how"), f.text("usual"), f.ticked("sides"), f.ticked("timed"), f.errors()
	for kind := warmup.Walk; kind <= warmup.CoolDown; kind++ {
		v.Kinds = append(v.Kinds, part.Option{Value: kind.String(), Words: kind.Words()})
	}
	for _, site := range body.Sites() {
		v.Loads = append(v.Loads, page.Box{Value: site.String(), Words: wording.Capital(site.String()), On: slices.Contains(f.all("loads"), site.String())})
	}
	for _, d := range demandKeys {
		v.Demands = append(v.Demands, page.Box{Value: d.key, Words: wording.Capital(demandWords[d.is]), On: slices.Contains(f.all("demands"), d.key)})
	}
	return v
}
