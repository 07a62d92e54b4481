package page_test

import (
	"fmt"

	"github.com/a-h/templ"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/warmup"
	"halfhour.app/halfhour/internal/weather"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// aroundPages are the weather, and what is done before and after a session.
func aroundPages() map[string]templ.Component {
	return map[string]templ.Component{
		"today-warm": page.TodayPage(warm()), "today-hot": page.TodayPage(tooHot()), "today-called-off": page.TodayPage(calledOff()), "today-cold": page.TodayPage(cold()),
		"weather": page.WeatherOwnPage(mistyped()), "weather-club": page.WeatherClubPage(clubWeather()),
		"warm-up": page.ChecklistPage(checklist()), "cool-down": page.ChecklistPage(afterwards()),
		"routine": page.RoutinePage(routineEdit()), "routine-faults": page.RoutinePage(faultyRoutine()),
	}
}

func weatherForm() page.WeatherForm { return page.WeatherForm{Action: "/weather", Key: "KJH3K4J5HW"} }

// aired is the card of a weather.
func aired(tenths, humidity int, shade bool) page.Weather {
	ad, err := weather.Assess(weather.Air{Tenths: tenths, Humidity: humidity, Shade: shade}, weather.Person{})
	if err != nil {
		panic(err)
	}
	v := page.Weather{
		Now: fmt.Sprintf("%d °C, %d %%, in the sun", tenths/10, humidity), Of: "As you typed it at 14:05.", Change: "Today: " + ad.Level.String(),
		Today: ad.Today(), Why: ad.Why(), NoAdvice: weather.NoAdvice, Form: weatherForm(),
	}
	switch ad.Level {
	case weather.None:
		v.Change = ""
	case weather.NotToday:
		v.Change = "Not today"
	}
	if ad.Heat() {
		v.Drinking, v.Signs = weather.Drinking(), weather.Signs()
	}
	return v
}

func warm() page.Today {
	v := today()
	v.Weather = aired(200, 50, false)
	return v
}

func cold() page.Today {
	v := today()
	v.Weather = aired(-50, 80, true)
	v.Weather.Now, v.Weather.Of = "−5 °C, 80 %, in the shade", "Typed by Mara Lund for the club, at 7:10."
	return v
}

func tooHot() page.Today {
	v := today()
	v.Weather = aired(330, 55, false)
	v.CallOff = &page.CallOff{
		Title: "Not in this weather", Words: v.Weather.Today, Action: "/weather/called-off", Key: "KJH3K4J5HW",
		Go: part.Link{Href: "/go", Words: "I go all the same: where I go it is cooler, or indoors"},
	}
	v.Weather.Today, v.Start = nil, part.Link{}
	return v
}

func calledOff() page.Today {
	v := tooHot()
	v.CallOff.Action, v.CallOff.Done = "", "Called off for today."
	return v
}

func mistyped() page.WeatherPage {
	v := page.WeatherPage{Phone: part.Phone{Title: "Weather", Back: "/today"}, Weather: page.Weather{Form: weatherForm()}}
	v.Weather.Form.Temperature, v.Weather.Form.Open = "77", true
	v.Weather.Form.Errors = part.Errors{"temperature": "Please give degrees Celsius from −40 to 50; if you read degrees Fahrenheit, that is 25 °C.", "humidity": "Please give the humidity in whole percent."}
	v.Mistakes = []part.Mistake{{Field: "temperature", Words: "Temperature: please give degrees Celsius from −40 to 50"}, {Field: "humidity", Words: "Humidity: please give it in whole percent"}}
	return v
}

func clubWeather() page.WeatherPage {
	v := page.WeatherPage{Desk: desk("Weather", part.InRoster), Weather: aired(270, 45, false)}
	v.Weather.Of, v.Weather.For = "Typed by Mara Lund for the club, for 18:00.", "For beginners, and for whoever is heavy, pregnant or takes medicine. On the phone each athlete reads what it means for them."
	v.Weather.Form.Action, v.Weather.Form.AskHour, v.Weather.Form.Open = "/club/weather", true, true
	return v
}

// steps are those of a routine, by kind.
func steps(of []warmup.Step) []page.Checks {
	var all []page.Checks
	l := warmup.Standard()
	for _, s := range of {
		m, _ := l.Find(s.Move)
		if len(all) == 0 || all[len(all)-1].Kind != m.Kind.Words() {
			all = append(all, page.Checks{Kind: m.Kind.Words()})
		}
		g := &all[len(all)-1]
		g.Steps = append(g.Steps, page.Check{ID: m.ID, Name: m.Name, Much: s.Words(l), How: m.How, Figure: m.Figure})
	}
	return all
}

func checklist() page.Checklist {
	return page.Checklist{
		Phone: part.Phone{Title: "Before you go", Back: "/today", Loads: []string{part.FigureStyle, part.WarmStyle}}, Title: "Before you go", Total: "About 11 minutes, in this order.",
		Purpose: warmup.Purpose, Caution: warmup.Caution, Groups: steps(warmup.Default().Before),
		Out:    []string{"Easy skips left out: it moves or loads the calf, which hurts. Instead: March on the spot."},
		Roller: part.Link{Href: "/me#roller", Words: "There is more with a roller: say that you have one"},
		Notes:  []string{"Pregnant, or lately given birth? Leave out the roller and whatever hops, and ask your midwife or doctor what else."},
		Next:   []part.Link{{Href: "/go", Words: "To the session"}, {Href: "/cool-down", Words: "Afterwards: the cool-down"}},
	}
}

func afterwards() page.Checklist {
	v := checklist()
	v.Title, v.Total, v.Groups, v.Out, v.Notes, v.Roller = "Afterwards", "About 5 minutes, in this order.", steps(warmup.Default().After), nil, nil, part.Link{}
	v.Purpose, v.Next = warmup.AfterPurpose, []part.Link{{Href: "/today", Words: "To Today"}}
	return v
}

func routineEdit() page.RoutineEdit {
	v := page.RoutineEdit{
		Desk: desk("Before and after a session", part.InPathway), Lead: "As Mara Lund made it on 3 April.", Action: "/warm-up/edit", Key: "KJH3K4J5HX", Of: "3",
		Before: "Before: about 11 minutes together, roller included.", After: "After: about 5 minutes.", Ours: "/warm-up/ours", OursKey: "KJH3K4J5HY",
		Own: []page.OwnMove{{Words: "Windmill, movements", How: "Feet apart, reach for one foot after the other.", Away: "/warm-up/movements/4/away"}},
		Move: page.MoveForm{Action: "/warm-up/movements", Key: "KJH3K4J5HZ", Kind: "dynamic", Kinds: []part.Option{
			{Value: "walk", Words: "Easy walk"}, {Value: "release", Words: "With the roller"}, {Value: "dynamic", Words: "Movements"}, {Value: "rhythm", Words: "Rhythm"}, {Value: "cool_down", Words: "Cool-down"}},
			Demands: []page.Box{{Value: "on_back", Words: "Lies on the back"}, {Value: "hops", Words: "Hops: both feet leave the ground"}}},
	}
	v.Desk.Loads = []string{part.WarmStyle}
	for _, site := range body.Sites() {
		v.Move.Loads = append(v.Move.Loads, page.Box{Value: site.String(), Words: site.String()})
	}
	n := 0
	for _, g := range append(steps(warmup.Default().Before), steps(warmup.Default().After)...) {
		k := page.RoutineKind{Name: g.Kind, Hint: "First in the list is first done."}
		for i, c := range g.Steps {
			k.Options = append(k.Options, part.Option{Value: c.ID, Words: c.Name + " (" + c.Much + ")"})
			place := fmt.Sprintf("before[%d]", n)
			if g.Kind == warmup.CoolDown.Words() {
				place = "after[0]"
			}
			k.Rows = append(k.Rows, page.RoutineRow{Place: place, Label: fmt.Sprintf("%s %d", g.Kind, i+1), Move: c.ID, Count: "10"})
			n++
		}
		v.Sections = append(v.Sections, k)
	}
	return v
}

func faultyRoutine() page.RoutineEdit {
	v := routineEdit()
	v.Errors = part.Errors{"before[3].count": "Must be 1 to 30, not 99.", "after": "Takes 5 s together; 3 min to 20 min are useful."}
	v.Mistakes = []part.Mistake{{Field: "before[3].count", Words: "Must be 1 to 30, not 99."}, {Field: "after", Words: "After: takes 5 s together; 3 min to 20 min are useful."}}
	v.Move.Open, v.Move.Errors = true, part.Errors{"loads": "Say what it moves or loads, so that it can be left out when that hurts."}
	return v
}
