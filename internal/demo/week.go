package demo

import (
	"context"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// band is an invented group: those with the pattern of days who are named meet on
// these days at the times.
type band struct {
	name    string
	days    string // as with members
	at      [3]int // minutes after midnight, in the order of days
	members []string
}

func bands() []band {
	return []band{
		{"Lamplighters", "136", [3]int{18*60 + 30, 18*60 + 30, 18*60 + 30}, []string{guideName, "Hinemoa Varga", "Dafydd Osei", "Noor Whitcombe"}},
		{"First ferry", "146", [3]int{6*60 + 40, 6*60 + 40, 8 * 60}, []string{"Marisol Keating", "Leyla Bergstrand", "Sione Halloran", "Xiomara Dekker"}},
	}
}

// lifters have strength beside the runs: how many a week, and of these hard on the legs.
func lifters() map[string][2]int {
	return map[string][2]int{
		guideName: {2, 1}, "Greta Mwangi": {2, 1}, "Eun-ji Carvalho": {3, 1}, "Youssef Tremblay": {2, 0}, "Bongani Faulkner": {2, 1}, "Ilse Nakagawa": {2, 0}, "Mateus O'Rourke": {2, 0},
	}
}

// weekly lets the club's weeks be as they are: groups, strength, fixed days, a holiday.
// It was said ten days ago, so that this week and the last were laid out by it.
func (h *house) weekly(ctx context.Context) error {
	at := h.clock(h.today-10, 20*60)
	use := &days.Service{Store: h.Store, Now: func() time.Time { return at }}
	group := map[string]roster.GroupID{}
	for _, b := range bands() {
		id, err := use.SaveGroup(ctx, h.coaches[0], h.meets(b), roster.Key("demo-group-"+b.days))
		if err != nil {
			return err
		}
		for _, name := range b.members {
			group[name] = id
		}
	}
	holiday := roster.Holiday{Name: "Harbour day", Span: day.Span{From: weekplan.Monday(h.today) + 10}}
	if _, err := use.AddHoliday(ctx, h.coaches[0], holiday, "demo-holiday-1"); err != nil {
		return err
	}
	return h.habits(ctx, use, group)
}

// meets is the band as a group, on the days of the week that its pattern comes to.
func (h *house) meets(b band) roster.Group {
	g := roster.Group{Name: b.name}
	for i, ago := range b.days {
		on := h.today - day.Date(ago-'0')
		g.Meets[on-weekplan.Monday(on)] = readiness.Some(b.at[i])
	}
	return g
}

// habits are what of everybody's weeks is the same each week.
func (h *house) habits(ctx context.Context, use *days.Service, group map[string]roster.GroupID) error {
	files, err := h.Store.Files(ctx, h.club.ID, h.today)
	if err != nil {
		return err
	}
	lift, people := lifters(), map[string]*member{}
	for _, m := range cast() {
		people[m.name] = &m
	}
	for i := range files {
		a := &files[i].Athlete
		m := people[a.Name]
		if m == nil {
			continue
		}
		habits := days.Habits{Available: h.free(m), Strength: lift[a.Name][0], Legs: lift[a.Name][1], Group: group[a.Name]}
		if err := use.SetHabits(ctx, h.coaches[m.coach], a.ID, habits); err != nil {
			return err
		}
		if err := h.fix(ctx, use, m, a.ID); err != nil {
			return err
		}
	}
	return nil
}

// free is when the person can train: around the days of the pattern, or at the weekend
// alone. Who has no pattern has not told.
func (h *house) free(m *member) roster.Available {
	var a roster.Available
	if m.week == 2 {
		return a.With(time.Saturday, roster.Morning).With(time.Sunday, roster.Morning).With(time.Sunday, roster.Evening)
	}
	for ago := range 7 {
		on := (h.today - day.Date(ago)).Weekday()
		if strings.ContainsRune(m.days, rune('0'+ago)) || m.number%3 == 0 || on == time.Saturday {
			a = a.With(on, roster.Morning).With(on, roster.Evening)
		}
	}
	if m.days == "" {
		return 0
	}
	return a
}

// fix keeps a day fixed for a few: by the coach, by themselves.
func (h *house) fix(ctx context.Context, use *days.Service, m *member, id roster.AthleteID) error {
	key, who := m.key("fixed", 0), roster.Actor{Club: h.club.ID, Athlete: id}
	fixed := days.Fixed{Key: key, Weekday: h.today.Weekday(), Part: weekplan.Evening}
	switch m.name {
	case "Youssef Tremblay":
		who = h.coaches[m.coach]
	case "Greta Mwangi":
		fixed.Kind = weekplan.Strength
	case "Mateus O'Rourke":
		fixed.Part = weekplan.Morning
	default:
		return nil
	}
	_, err := use.Pin(ctx, who, id, fixed)
	return err
}
