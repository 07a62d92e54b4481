package httpd

import (
	"slices"
	"strconv"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
)

// afterForm lays out the form for a session: a new one, one to be corrected, or
// one that came back with faults. All three are what stands in the fields.
func afterForm(f *form, p *pathway.Pathway, asked day.Date) page.After {
	v := page.After{
		Kind: f.text("kind"), Key: f.text("key"), Version: f.text("version"), Phase: f.text("phase"),
		Date: f.text("date"), Clock: f.text("clock"), DateMin: (asked - roster.OldestEntry).String(), DateMax: asked.String(),
		Done: f.text("done"), Until: f.text("until"), Ran: f.text("ran"), Minutes: f.text("minutes"),
		Run: f.text("run_minutes"), Longest: f.text("longest_minutes"), Effort: f.text("effort"),
		Talk: f.text("talk"), Breath: f.text("breath"), Pain: f.text("pain"),
		Limp: f.ticked("limp"), Hot: f.ticked("hot"), HotWhy: f.hotWhy, WarmUp: f.text("warm_up"), CoolDown: f.text("cool_down"), Note: f.values.Get("note"),
	}
	if v.Kind == readiness.Planned.String() {
		planFields(f, p, &v)
	}
	v.AskAround = v.Kind == readiness.Planned.String() || v.Kind == readiness.Extra.String()
	v.AskTalk = v.AskTalk || v.Kind == readiness.Extra.String()
	painFields(f, &v)
	for sign, words := range signQuestions {
		s := readiness.Sign(sign)
		v.Signs = append(v.Signs, page.Sign{
			Value: s.String(), Words: words, On: slices.Contains(f.all("signs"), s.String()), Bone: s.Bone(),
		})
	}
	v.Errors, v.Mistakes = f.errors(), f.mistakes(afterLabels)
	return v
}

// planFields are the blocks of a planned session: as they stood in the form, else
// those of the phase.
func planFields(f *form, p *pathway.Pathway, v *page.After) {
	plan := planIn(f)
	if rung := p.Find(v.Phase); len(plan) == 0 && rung != pathway.NoRung {
		plan = p.Blocks(rung)
	}
	v.Plan = pathway.Words(plan)
	v.AskBreath = pathway.WalksAfterRun(plan) > 0
	v.AskTalk = true
	runs, walks := 0, 0
	for i, b := range plan {
		at := blockField(i)
		block := page.Block{
			Kind: b.Kind.String(), Planned: pathway.Time(b.Planned), Seconds: strconv.Itoa(b.Planned),
			Min: strconv.Itoa(b.Planned / 60), Sec: strconv.Itoa(b.Planned % 60), Settle: f.text(at + "settle_s"),
			Judged: i > 0 && b.Kind == pathway.Walk && plan[i-1].Kind == pathway.Run,
		}
		if counted, err := strconv.Atoi(f.text(at + "done_s")); err == nil && counted >= 0 {
			block.Min, block.Sec = strconv.Itoa(counted/60), strconv.Itoa(counted%60)
		} else if _, there := f.values[at+"done_min"]; there {
			block.Min, block.Sec = f.text(at+"done_min"), f.text(at+"done_sec")
		}
		if b.Kind == pathway.Run {
			runs++
			block.Word = "Run " + strconv.Itoa(runs)
		} else {
			walks++
			block.Word = "Walk " + strconv.Itoa(walks)
		}
		v.Blocks = append(v.Blocks, block)
	}
}

// planIn is the plan as it stood in the form's hidden fields; empty where it did
// not, or where somebody put nonsense there.
func planIn(f *form) []pathway.Block {
	var plan []pathway.Block
	for i := range mostFields {
		seconds, err := strconv.Atoi(f.text(blockField(i) + "planned_s"))
		if err != nil || seconds < 1 || seconds > pathway.LongestBlock {
			return plan
		}
		kind := pathway.Walk
		if f.text(blockField(i)+"kind") == pathway.Run.String() {
			kind = pathway.Run
		}
		plan = append(plan, pathway.Block{Kind: kind, Planned: seconds})
	}
	return plan
}

// painFields are the places that may hurt, with what was typed. The form numbers
// them anew, so faults move along with their place.
func painFields(f *form, v *page.After) {
	scores, mornings, number := map[string]string{}, map[string]string{}, map[string]int{}
	for n := range mostFields {
		at := "pain[" + strconv.Itoa(n) + "]."
		site, score := f.text(at+"site"), f.text(at+"score")
		if score == "" && f.faultAt(at+"site") == "" {
			continue
		}
		scores[site], number[site] = score, n
		if morning, there := f.values[at+"next_morning"]; there {
			mornings[site] = morning[0]
		}
	}
	v.Pairs, v.Others = page.Places(scores)
	moved := map[string]string{}
	each := func(field page.PainField) {
		old, typed := number[field.Site]
		if _, there := scores[field.Site]; !typed || !there {
			return
		}
		delete(scores, field.Site)
		for _, what := range [...]string{"site", "score", "next_morning"} {
			moved["pain["+strconv.Itoa(old)+"]."+what] = field.Name(what)
		}
		if morning, asked := mornings[field.Site]; asked {
			field.Value = morning
			v.Mornings = append(v.Mornings, field)
		}
	}
	for _, pair := range v.Pairs {
		each(pair.Left)
		each(pair.Right)
	}
	for _, field := range v.Others {
		each(field)
	}
	for i, field := range f.faults {
		if to := moved[field.Place]; to != "" {
			f.faults[i].Place = to
		}
	}
}

// fill puts values into a form: names and values in turn; empty ones are left
// out.
func (f *form) fill(pairs ...string) {
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			f.values.Add(pairs[i], pairs[i+1])
		}
	}
}
