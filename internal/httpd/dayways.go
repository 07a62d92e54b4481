package httpd

import (
	"net/http"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// weekWays are what of the athlete's weeks stays the same, with the forms that change
// it. A deputy moves sessions and changes nothing of this.
func (s *server) weekWays(r *http.Request, v *weekView) (page.WeekWays, error) {
	a := &v.w.Athlete
	y := page.WeekWays{Key: string(v.key), First: firstName(a.Name), Coach: v.b.byCoach(), Errors: v.f.errors()}
	own := !v.b.byCoach()
	if own || visitorOf(r).IsKeeper() {
		y.Habits, y.Pin = v.b.week("/habits"), v.b.week("/pins")
	}
	for i := range 7 {
		on := weekdayOf(i + 1)
		t := page.WeekTimes{Day: on.String()}
		for p := roster.Morning; p <= roster.Evening; p++ {
			t.Boxes[p] = page.WeekBox{Value: timeName(i, p), Label: wording.DayAndPart(on.String(), weekplan.Part(p)+1), On: a.Available.At(on, p)}
		}
		y.Times = append(y.Times, t)
		y.Days = append(y.Days, part.Option{Value: itoa(i + 1), Words: on.String()})
	}
	y.Kinds = []part.Option{{Value: "run", Words: v.sessionName()}}
	if a.Strength > 0 || !own {
		y.Kinds = append(y.Kinds, part.Option{Value: "strength", Words: "strength"}, part.Option{Value: "legs", Words: "strength, legs too"})
	}
	y.Parts = []part.Option{{Value: "", Words: "any time"}, {Value: "morning", Words: "in the morning"}, {Value: "midday", Words: "at midday"}, {Value: "evening", Words: "in the evening"}}
	v.pins(&y)
	if own {
		return y, nil
	}
	return y, s.coachWays(r, v, &y)
}

// sessionName is what the sessions of the phase are: a run, a walk.
func (v *weekView) sessionName() string {
	if v.w.Shelf != nil && !pathway.HasRun(v.w.Shelf.Blocks(v.w.Rung)) {
		return "a walk"
	}
	return "a run"
}

// pins are the days fixed for every week, the group's too.
func (v *weekView) pins(y *page.WeekWays) {
	for i, at := range v.w.Group.Meets {
		if minutes, meets := at.Get(); meets {
			y.Pins = append(y.Pins, page.WeekPin{
				Words: wording.Capital(v.sessionName()) + " on " + weekdayOf(i+1).String() + ", " + v.d.Minute(minutes), By: "with " + v.w.Group.Name,
			})
		}
	}
	for i := range v.w.Pins {
		p := &v.w.Pins[i]
		if !p.Standing() {
			continue
		}
		words := wording.PlannedKind(p.Kind)
		if p.Kind == weekplan.Run {
			words = v.sessionName()
		}
		one := page.WeekPin{Words: wording.Capital(words) + " on " + wording.DayAndPart(p.Weekday.String(), p.Part)}
		if y.Pin != "" && (p.ByCoach == 0 || v.b.byCoach()) {
			one.Lift = v.b.week("/pins/" + idText(p.ID) + "/lift")
		}
		switch {
		case p.ByCoach != 0 && !v.b.byCoach():
			one.By = "fixed by your coach"
		case p.ByCoach == 0 && v.b.byCoach():
			one.By = "fixed by " + y.First
		}
		y.Pins = append(y.Pins, one)
	}
}

// coachWays are what a coach sets besides: strength and the group.
func (s *server) coachWays(r *http.Request, v *weekView, y *page.WeekWays) error {
	groups, _, err := s.Days.Club(r.Context(), v.w.Athlete.Club)
	if err != nil {
		return err
	}
	a := &v.w.Athlete
	typed := func(name string, kept int64) string {
		if t := v.f.text(name); t != "" {
			return t
		}
		return itoa(int(kept))
	}
	y.Strong = part.Choices{Name: "strength", Label: "Strength sessions a week", Hint: "Three short ones of the whole body; two is fine.", Value: typed("strength", int64(a.Strength)), Error: y.Errors.At("strength"), Options: upTo(weekplan.MostStrength)}
	y.Legs = part.Choices{Name: "legs", Label: "Of these, hard on the legs", Hint: "They are kept away from the day before a run.", Value: typed("legs", int64(a.Legs)), Error: y.Errors.At("legs"), Options: upTo(weekplan.MostStrength)}
	y.Groups = part.Choices{Name: "group", Label: "Group", Hint: "Runs with it on its fixed days.", Value: typed("group", int64(a.Group)), Error: y.Errors.At("group"), Options: []part.Option{{Value: "0", Words: "none"}}}
	for _, g := range groups {
		y.Groups.Options = append(y.Groups.Options, part.Option{Value: idText(g.ID), Words: g.Name})
	}
	return nil
}

// upTo are the numbers from none to n.
func upTo(n int) []part.Option {
	var list []part.Option
	for i := range n + 1 {
		list = append(list, part.Option{Value: itoa(i), Words: itoa(i)})
	}
	return list
}
