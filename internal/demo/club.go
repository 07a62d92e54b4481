package demo

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
)

// founded is how long before the day of the run the club was founded.
const founded = 90 * 24 * time.Hour

// The names of the two coaches.
const (
	owner  = "Marta Oyelaran"
	second = "Joost Whelan"
)

// house is the demo club while it is filled.
type house struct {
	Deps
	now     time.Time
	club    roster.Club
	place   *time.Location
	today   day.Date // the day of the run: nothing happens on it
	coaches [2]roster.Actor
	fresh   bool // the club was founded just now, so nothing can be in it
}

// open founds the club, or finds the demo that is there.
func (d Deps) open(ctx context.Context, now time.Time) (*house, error) {
	h := &house{Deps: d, now: now}
	if h.Zone == "" {
		h.Zone = defaultZone
	}
	needed, err := h.doors(now).SetUpNeeded(ctx)
	if err != nil {
		return nil, err
	}
	if needed {
		h.fresh = true
		if err := h.found(ctx); err != nil {
			return nil, err
		}
	}
	if err := h.find(ctx); err != nil {
		return nil, err
	}
	return h, h.meet(ctx)
}

// doors is how people come in, at an instant.
func (h *house) doors(at time.Time) *access.Service {
	return &access.Service{Store: h.Store, Hasher: h.Hasher, Random: h.Random, Now: func() time.Time { return at }}
}

func (h *house) found(ctx context.Context) error {
	doors := h.doors(h.now.Add(-founded))
	link, err := doors.SetUpLink(ctx)
	if err != nil {
		return err
	}
	club := roster.Club{Name: ClubName, Zone: h.Zone, Demo: true}
	_, err = doors.Found(ctx, link.Code, club, access.Newcomer{Name: owner, Email: Email, Password: Password}, "Demo")
	return err
}

// find reads the club that the demo's coach belongs to.
func (h *house) find(ctx context.Context) error {
	known, err := h.Store.ByEmail(ctx, Email)
	if fault.KindOf(err) == fault.NotFound {
		return refused()
	}
	if err != nil {
		return err
	}
	if h.club, err = h.Store.Club(ctx, known.Club); err != nil {
		return err
	}
	if !h.club.Demo {
		return refused()
	}
	if h.place, err = time.LoadLocation(h.club.Zone); err != nil {
		return err
	}
	h.Zone = h.club.Zone
	h.coaches[0] = roster.Actor{Club: known.Club, Coach: known.Coach}
	return nil
}

// meet finds the second coach, or invites one.
func (h *house) meet(ctx context.Context) error {
	const address = "joost@ternquay.example"
	all, err := h.Store.Coaches(ctx, h.club.ID)
	if err != nil {
		return err
	}
	var host roster.Coach
	for _, c := range all {
		switch {
		case c.Email == address:
			h.coaches[1] = roster.Actor{Club: c.Club, Coach: c.ID}
			return nil
		case c.ID == h.coaches[0].Coach:
			host = c
		}
	}
	doors := h.doors(h.now.Add(-founded))
	link, err := doors.Invitation(ctx, &access.Visitor{Club: h.club, Coach: &host, Login: access.Login{Club: h.club.ID, Coach: host.ID, Since: doors.Now()}}, access.AsCoach)
	if err != nil {
		return err
	}
	in, err := doors.Join(ctx, link.Code, access.Newcomer{Name: second, Email: address, Password: Password}, "Demo")
	h.coaches[1] = roster.Actor{Club: h.club.ID, Coach: in.Login.Coach}
	return err
}

// whole says whether so many people have come in: the last one does when all the
// others are done. Who left again counts, and who was erased since.
func (h *house) whole(ctx context.Context, people int) (bool, error) {
	here, err := h.Store.Files(ctx, h.club.ID, roster.Latest(h.now))
	if err != nil {
		return false, err
	}
	gone, err := h.Store.Gone(ctx, h.club.ID)
	if err != nil {
		return false, err
	}
	tallies, err := h.Store.Tallies(ctx, h.club.ID)
	for _, t := range tallies {
		people -= t.Erased
	}
	return len(here)+len(gone) >= people, err
}

// monthsKept is how long the club keeps those who left: so short that somebody goes
// before long.
const monthsKept = 2

// keep sets that, on the day on which the club was founded.
func (h *house) keep(ctx context.Context) error {
	at := h.now.Add(-founded)
	use := privacy.Service{Store: h.Store, Now: func() time.Time { return at }}
	return use.SetKeeping(ctx, h.coaches[0], monthsKept)
}

// anchor finds the day of the run: today, or the day on which a club that was left
// half made was begun, told by when its first athlete joined.
func (h *house) anchor(ctx context.Context, first *member) error {
	h.today = day.Of(h.now, h.place)
	id, err := h.add(ctx, first)
	if err != nil {
		return err
	}
	a, err := h.Store.Athlete(ctx, h.club.ID, id)
	h.today = a.JoinedOn + day.Date(first.joined)
	return err
}

// add takes the person in, on the day of joining; again gives the same ID.
func (h *house) add(ctx context.Context, m *member) (roster.AthleteID, error) {
	at := h.clock(h.today-day.Date(m.joined), 10*60)
	use := enrol.Service{Store: h.Store, Now: func() time.Time { return at }}
	person := enrol.Person{
		Name: m.name, Email: m.email(), BirthYear: h.today.Year() - m.age, Zone: h.Zone,
		SessionsAWeek: m.week, HeartUsable: !m.medicine, CoachWord: m.word,
	}
	start := enrol.Start{OnPaper: true, Phase: m.start, Paper: roster.Paper{On: day.Of(at, h.place), By: [...]string{owner, second}[m.coach]}}
	return use.Add(ctx, h.coaches[m.coach], person, start, m.key("joins", 0))
}

// clock is the instant of a time of day, in minutes after midnight.
func (h *house) clock(date day.Date, minutes int) time.Time {
	y, m, d := date.UTC().Date()
	return time.Date(y, m, d, 0, minutes, 0, 0, h.place)
}

// welcome makes a fresh link for an athlete who has something to do.
func (h *house) welcome(ctx context.Context, again bool) (Guests, error) {
	g := Guests{Club: h.club.Name, Email: Email, Password: Password, Again: again}
	guide, err := h.guide(ctx)
	if err != nil || guide.ID == 0 {
		return g, err
	}
	g.Athlete = guide.Name
	g.Link, err = h.doors(h.now).AthleteLink(ctx, h.coaches[0], guide.ID)
	return g, err
}

// guide is the athlete whose next session opens a gate, or anybody where somebody
// renamed or removed that one since.
func (h *house) guide(ctx context.Context) (roster.Athlete, error) {
	files, err := h.Store.Files(ctx, h.club.ID, roster.Latest(h.now))
	if err != nil || len(files) == 0 {
		return roster.Athlete{}, err
	}
	for i := range files {
		if files[i].Athlete.Name == guideName {
			return files[i].Athlete, nil
		}
	}
	return files[0].Athlete, nil
}
