package httpd

import (
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// answers reads the form for a session into an entry. What cannot be read is
// noted in it and refused with the rest, so that everything is said at once.
type answers struct {
	*form
	e      entry.Entry
	pains  []int // the number in the form of each of the entry's pains
	untold bool  // of a session cut short: nothing was said about how far it went
}

func answersOf(f *form) *answers {
	a := &answers{form: f}
	a.e = entry.Entry{
		Key: f.key(), Date: f.date("date"), Clock: f.clock("clock"), Effort: f.maybe("effort"),
		Limp: f.ticked("limp"), Hot: f.ticked("hot"), WarmUp: roster.Around(f.text("warm_up")), CoolDown: roster.Around(f.text("cool_down")), Note: f.values.Get("note"),
	}
	kind, ok := readiness.ParseKind(f.text("kind"))
	if !ok {
		f.wrong("kind", "please choose what kind of session it was")
	}
	a.e.Kind = kind
	a.talking()
	a.hurting()
	a.signs()
	switch kind {
	case readiness.Planned:
		a.planned()
	case readiness.Extra:
		a.extra()
	default:
		a.e.Minutes = f.maybe("minutes")
	}
	a.e.Unread, f.faults = f.faults, nil
	return a
}

// maybe is a whole number that may be left out.
func (f *form) maybe(name string) readiness.Maybe {
	n, known := f.number(name)
	if !known {
		return readiness.Maybe{}
	}
	if n < -1<<30 || n > 1<<30 {
		f.wrong(name, "a smaller number, please")
		return readiness.Maybe{}
	}
	return readiness.Some(n)
}

// clock is a time of day written 07:10, in minutes after midnight.
func (f *form) clock(name string) readiness.Maybe {
	typed := f.text(name)
	if typed == "" {
		return readiness.Maybe{}
	}
	hour, minute, _ := strings.Cut(strings.ReplaceAll(typed, ".", ":"), ":")
	h, errH := strconv.Atoi(hour)
	m, errM := strconv.Atoi(strings.TrimSuffix(minute, ":00"))
	if errH != nil || errM != nil || h < 0 || h > 23 || m < 0 || m > 59 {
		f.wrong(name, "a time like 07:10, please")
		return readiness.Maybe{}
	}
	return readiness.Some(60*h + m)
}

func (a *answers) talking() {
	var ok bool
	if a.e.Talk, ok = readiness.ParseTalk(a.text("talk")); !ok {
		a.wrong("talk", "please choose how talking went")
	}
	if a.e.Breath, ok = readiness.ParseBreath(a.text("breath")); !ok {
		a.wrong("breath", "please choose when the breath was back")
	}
}

func (a *answers) signs() {
	for _, name := range a.all("signs") {
		sign, ok := readiness.ParseSign(name)
		if !ok {
			a.wrong("signs", "please choose from the list")
			return
		}
		a.e.Signs = append(a.e.Signs, sign)
	}
}

// mostFields bounds the numbers of repeated fields that are looked for: more than
// any form of ours has.
const mostFields = 2 * roster.MostBlocks

// hurting reads the places that hurt: those with a score.
func (a *answers) hurting() {
	for n := range mostFields {
		at := "pain[" + strconv.Itoa(n) + "]."
		score := a.maybe(at + "score")
		if !score.Known() {
			continue
		}
		a.pains = append(a.pains, n)
		a.e.Pain = append(a.e.Pain, readiness.Pain{
			Site: a.text(at + "site"), Score: int8(min(max(score.Or(0), -1), 11)), NextMorning: a.maybe(at + "next_morning"),
		})
	}
	switch told := a.text("pain"); {
	case told == "none" && slices.ContainsFunc(a.e.Pain, func(p readiness.Pain) bool { return p.Score > 0 }):
		a.wrong("pain", "nothing hurt, yet a place has a number; which is right?")
	case told == "some" && len(a.e.Pain) == 0:
		a.wrong("pain", "please say where it hurt, and how much")
	case told != "":
		a.e.PainAsked = true
	}
}

// planned reads what became of a planned session.
func (a *answers) planned() {
	a.e.Phase = a.text("phase")
	switch a.text("done") {
	case "all":
		a.e.Blocks = a.blocks()
		for i := range a.e.Blocks {
			a.e.Blocks[i].Done = a.e.Blocks[i].Planned
		}
		a.e.Whole = len(a.e.Blocks) == 0
	case "part":
		a.e.Blocks = a.partly()
	case "pain":
		a.e.Outcome, a.e.Blocks = readiness.StoppedForPain, a.partly()
	case "missed":
		a.e.Outcome = readiness.Missed
	case "called_off":
		a.e.Outcome = readiness.CalledOff
	default:
		a.wrong("done", "please say what became of the session")
		a.e.Outcome = readiness.Missed // nothing more is asked
	}
}

// blocks reads the plan as it stood in the form, with what was tapped.
func (a *answers) blocks() []readiness.Block {
	var blocks []readiness.Block
	for i := range mostFields {
		at := blockField(i)
		if a.text(at+"planned_s") == "" {
			break
		}
		kind := pathway.Walk
		if a.text(at+"kind") == pathway.Run.String() {
			kind = pathway.Run
		}
		planned, _ := a.number(at + "planned_s")
		blocks = append(blocks, readiness.Block{Kind: kind, Planned: small(planned), Settle: a.maybe(at + "settle_s")})
	}
	return blocks
}

func blockField(i int) string { return "blocks[" + strconv.Itoa(i) + "]." }

// small keeps a number that is wrong anyway from wrapping round.
func small(n int) int32 { return int32(min(max(n, -1), 1<<30)) }

// partly reads how far it went: so many blocks in full, or each as typed; what
// was left as planned was done as planned.
func (a *answers) partly() []readiness.Block {
	blocks := a.blocks()
	if until, known := a.number("until"); known {
		if until < 0 || until > len(blocks) {
			a.wrong("until", "please count from the first block on")
		}
		for i := range blocks[:min(max(until, 0), len(blocks))] {
			blocks[i].Done = blocks[i].Planned
		}
		return blocks
	}
	a.untold = true
	for i := range blocks {
		blocks[i].Done = a.doneOf(i, blocks[i].Planned)
		a.untold = a.untold && blocks[i].Done == blocks[i].Planned && a.text(blockField(i)+"done_s") == ""
	}
	if a.untold && (a.text("done") == "part" || len(blocks) == 0) {
		a.wrong("blocks", "please say how far it went")
	}
	return blocks
}

// doneOf reads how much was done of a block, in seconds: those that somebody's
// phone counted, else the minutes and seconds that were typed.
func (a *answers) doneOf(i int, planned int32) int32 {
	at := blockField(i)
	if seconds, counted := a.number(at + "done_s"); counted {
		return small(seconds)
	}
	if _, there := a.values[at+"done_min"]; !there {
		return planned
	}
	before := len(a.faults)
	minutes, haveMinutes := a.number(at + "done_min")
	seconds, haveSeconds := a.number(at + "done_sec")
	switch {
	case len(a.faults) > before:
		a.faults = a.faults[:before]
		a.wrong(at+"done_s", "whole minutes and seconds, please")
	case !haveMinutes && !haveSeconds:
		a.wrong(at+"done_s", "please give a number, 0 where it was left out")
	case minutes < 0 || seconds < 0:
		a.wrong(at+"done_s", "please give a number that is not below 0")
	}
	return small(60*min(minutes, 1<<20) + min(seconds, 1<<20))
}

// extra reads a run or walk outside the plan. Without blocks it is a walk.
func (a *answers) extra() {
	minutes := a.maybe("minutes")
	a.e.Minutes = minutes
	switch a.text("ran") {
	case "walk":
	case "run":
		if n, known := minutes.Get(); known && n > 0 {
			a.e.Blocks = []readiness.Block{outside(pathway.Run, 60*n)}
		}
	case "both":
		a.mixture(minutes)
	default:
		a.wrong("ran", "please say whether you ran or walked")
	}
}

// outside is a block outside the plan: planned as it was done, as far as a plan
// goes.
func outside(kind pathway.Kind, seconds int) readiness.Block {
	return readiness.Block{Kind: kind, Planned: small(min(max(seconds, 1), pathway.LongestBlock)), Done: small(seconds)}
}

// mixture makes blocks of the minutes in all, those run, and the longest run: runs
// no longer than that one, with the walking spread between them.
func (a *answers) mixture(minutes readiness.Maybe) {
	all, known := minutes.Get()
	run, haveRun := a.number("run_minutes")
	longest, haveLongest := a.number("longest_minutes")
	if !haveLongest {
		longest = run
	}
	switch {
	case !known:
	case !haveRun || run < 1:
		a.wrong("run_minutes", "please say how many of the minutes you ran")
	case run >= all:
		a.wrong("run_minutes", "running cannot take all of the minutes where some were walked")
	case haveLongest && (longest < 1 || longest > run):
		a.wrong("longest_minutes", "the longest run is a part of the running")
	case (run+longest-1)/longest > roster.MostBlocks/2:
		a.wrong("longest_minutes", "that makes more runs than can be kept; a longer one, please")
	default:
		a.e.Blocks = alternating(60*run, 60*longest, 60*(all-run))
	}
}

// alternating spreads the walking over the pauses after each run.
func alternating(run, longest, walk int) []readiness.Block {
	n := (run + longest - 1) / longest
	var blocks []readiness.Block
	for i := range n {
		piece := min(run, longest)
		pause := walk / (n - i)
		run, walk = run-piece, walk-pause
		blocks = append(blocks, outside(pathway.Run, piece))
		if pause > 0 {
			blocks = append(blocks, outside(pathway.Walk, pause))
		}
	}
	return blocks
}

// refused notes what the use case found wrong, at the fields of this form, and
// says whether it found anything.
func (a *answers) refused(err error) bool {
	fields := fault.FieldsOf(err)
	for _, field := range fields {
		a.wrong(a.fieldOf(field.Place), field.Message)
	}
	return len(fields) > 0
}

// fieldOf is the form's field for a place in the entry.
func (a *answers) fieldOf(place string) string {
	if rest, ok := strings.CutPrefix(place, "pain["); ok {
		number, what, _ := strings.Cut(rest, "]")
		if i, err := strconv.Atoi(number); err == nil && i < len(a.pains) && strings.HasPrefix(what, ".") {
			return "pain[" + strconv.Itoa(a.pains[i]) + "]" + what
		}
	}
	switch {
	case place == "time":
		return "clock"
	case a.e.Kind == readiness.Planned && (place == "outcome" || place == "phase" || place == "minutes"):
		return "done"
	case a.e.Kind == readiness.Extra && strings.HasPrefix(place, "blocks") && a.text("ran") == "both":
		return "run_minutes"
	case a.e.Kind == readiness.Extra && strings.HasPrefix(place, "blocks"):
		return "minutes"
	}
	return place
}
