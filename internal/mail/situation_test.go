package mail

import (
	"context"
	"slices"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// situation is a club on a Sunday evening, kept in memory; its letters are made of rows
// as everybody's are, through the engine.
type situation struct {
	morning.Store // of what is not asked here
	files         []roster.File
	decisions     []roster.Decision // the newest first
	reader        post.Reader
	now           time.Time
}

// sunday is the day of the letters.
var sunday = day.On(2026, 11, 15)

func newSituation() *situation {
	return &situation{
		now: sunday.At(18, time.UTC),
		reader: post.Reader{
			Club: roster.Club{ID: 3, Name: "Harbour Half Hour", Zone: "Europe/Lisbon"}, Coach: roster.Coach{ID: 2, Club: 3, Name: "Mara Lind"},
			Wishes: roster.Wishes{On: true, Day: 7, Hour: 18, Detail: roster.Initials, AtOnce: true}, Stop: "0123456789abcdef0123456789abcdef",
		},
	}
}

func (s *situation) Shelves(context.Context, roster.ClubID) (map[roster.PathwayID]*roster.Shelf, error) {
	return map[roster.PathwayID]*roster.Shelf{1: {ID: 1, Name: "Half an hour", Version: 1, Pathway: *pathway.Default()}}, nil
}

func (s *situation) Files(context.Context, roster.ClubID, day.Date) ([]roster.File, error) {
	files := slices.Clone(s.files)
	slices.SortStableFunc(files, func(a, b roster.File) int { return strings.Compare(a.Athlete.Name, b.Athlete.Name) })
	return files, nil
}

func (s *situation) Since(_ context.Context, _ roster.ClubID, at time.Time) ([]roster.Decision, error) {
	return slices.DeleteFunc(slices.Clone(s.decisions), func(d roster.Decision) bool { return d.At.Before(at) }), nil
}

func (s *situation) Reader(context.Context, roster.ClubID, roster.CoachID) (post.Reader, error) {
	return s.reader, nil
}

// here is how people reach the Halfhour of the letters.
const here = "https://run.example.org"

func (s *situation) composer() *Composer {
	return &Composer{Readers: s, Morning: &morning.Service{Store: s, Now: func() time.Time { return s.now }}, Here: here}
}

// letter is the one that is due this Sunday.
func (s *situation) letter() *post.Letter {
	return &post.Letter{ID: 7, Club: s.reader.Club, Kind: post.Weekly, Coach: 2, MadeAt: s.now, Week: sunday - 6}
}

// add puts somebody on a phase, for twenty days unless a change says otherwise.
func (s *situation) add(name, phase string, sessions []roster.Session, changes ...func(*roster.File)) roster.AthleteID {
	f := roster.File{
		Athlete: roster.Athlete{
			ID: roster.AthleteID(len(s.files) + 11), Club: 3, Name: name, Zone: "Europe/Lisbon", SessionsAWeek: 3, HeartUsable: true, Version: 1,
			JoinedOn: sunday - 90, Arrival: roster.Here, ArrivalSince: sunday - 90,
			Standing: roster.Standing{Pathway: 1, Phase: phase, PhaseSince: sunday - 20},
		},
		Sessions: sessions,
	}
	for _, change := range changes {
		change(&f)
	}
	s.files = append(s.files, f)
	return f.Athlete.ID
}

// on is since when somebody is on the phase, in days ago.
func on(ago day.Date) func(*roster.File) {
	return func(f *roster.File) { f.Athlete.PhaseSince = sunday - ago }
}

// joined is since when somebody is here, in days ago.
func joined(ago day.Date) func(*roster.File) {
	return func(f *roster.File) {
		f.Athlete.JoinedOn, f.Athlete.ArrivalSince, f.Athlete.PhaseSince = sunday-ago, sunday-ago, sunday-ago
	}
}

// arriving is somebody who is not here yet.
func arriving(step roster.Arrival, ago day.Date) func(*roster.File) {
	return func(f *roster.File) {
		f.Athlete.Arrival, f.Athlete.JoinedOn, f.Athlete.ArrivalSince = step, sunday-12, sunday-ago
	}
}

// off is a time away.
func off(kind roster.LeaveKind, from, to day.Date) func(*roster.File) {
	return func(f *roster.File) {
		l := roster.Leave{Kind: kind, Span: day.Span{From: sunday - from}}
		if to != 0 {
			l.To = sunday + to
		}
		f.Leave = append(f.Leave, l)
		if kind == roster.Injured {
			f.Athlete.InjuredOn = l.From
		}
	}
}

// held is a pause or a referral.
func held(h roster.Held, ago day.Date) func(*roster.File) {
	return func(f *roster.File) { f.Athlete.Held, f.Athlete.HeldSince = h, sunday-ago }
}

// moved keeps a decision that led somebody where they stand.
func (s *situation) moved(id roster.AthleteID, ago day.Date, choice roster.Choice, from, to string) {
	d := roster.Decision{
		ID: roster.DecisionID(len(s.decisions) + 1), Athlete: id, By: "Mara Lind", Choice: choice, To: to,
		At: s.now.Add(-time.Duration(ago)*24*time.Hour - 10*time.Hour), Before: roster.Standing{Phase: from}, After: roster.Standing{Phase: to},
	}
	if choice == roster.Pause {
		d.After.Held = roster.Paused
	}
	s.decisions = append([]roster.Decision{d}, s.decisions...)
}

type change func(*roster.Session)

// done is the phase's session, in full and easy, some days ago.
func done(phase string, ago day.Date, changes ...change) roster.Session {
	p := pathway.Default()
	start := (sunday - ago).At(7, time.UTC)
	s := roster.Session{Version: 1, LoggedAt: start.Add(time.Hour), Session: readiness.Session{
		StartedAt: start, Date: sunday - ago, Phase: phase, Effort: readiness.Some(4), Talk: readiness.Sentence, Breath: readiness.Early, PainAsked: true,
	}}
	for _, b := range p.Blocks(p.Find(phase)) {
		s.Blocks = append(s.Blocks, readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)})
	}
	for _, f := range changes {
		f(&s)
	}
	return s
}

// weeks are three sessions a week for some weeks, the newest yesterday.
func weeks(phase string, n int, changes ...change) (all []roster.Session) {
	for w := range day.Date(n) {
		for _, ago := range []day.Date{1, 3, 5} {
			usual := hard([]int{4, 3, 4, 5, 3}[w%5])
			all = append(all, done(phase, 7*w+ago, append([]change{usual}, changes...)...))
		}
	}
	return all
}

// after are sessions of one phase in the week, and of others in those before.
func after(newest []roster.Session, before string, n int) []roster.Session {
	for _, s := range weeks(before, n) {
		s.Date -= 7
		s.StartedAt = s.StartedAt.AddDate(0, 0, -7)
		newest = append(newest, s)
	}
	return newest
}

func hurts(site string, score int) change {
	return func(s *roster.Session) { s.Pain = append(s.Pain, readiness.Pain{Site: site, Score: int8(score)}) }
}

func signs(sign readiness.Sign) change {
	return func(s *roster.Session) { s.Signs = []readiness.Sign{sign} }
}

func hard(effort int) change { return func(s *roster.Session) { s.Effort = readiness.Some(effort) } }

func late(s *roster.Session) { s.Breath = readiness.Late }

// settles puts the same settle time onto every walk after a run.
func settles(seconds int) change {
	return func(s *roster.Session) {
		for i := 1; i < len(s.Blocks); i += 2 {
			s.Blocks[i].Settle = readiness.Some(seconds)
		}
	}
}

// cut leaves the last blocks out.
func cut(blocks int) change {
	return func(s *roster.Session) {
		for i := len(s.Blocks) - blocks; i < len(s.Blocks); i++ {
			s.Blocks[i].Done = 0
		}
	}
}

func missed(s *roster.Session) { s.Blocks, s.Outcome = nil, readiness.Missed }

func stopped(s *roster.Session) { s.Outcome = readiness.StoppedForPain }

// person is the name of the nth invented person.
func person(n int) string {
	first := []string{"Aino", "Bruno", "Carla", "Dorota", "Emil", "Fatma", "Goran", "Hilde", "Ines", "Jonas", "Katja", "Luís", "Mirela", "Nils", "Oda", "Piotr", "Rosa", "Sven", "Tilda", "Yara"}
	last := []string{"Almeida", "Berg", "Costa", "Dahl", "Ekman", "Ferreira", "Grahn", "Horvat", "Ivens", "Jansen", "Kowal", "Lindqvist", "Moreau", "Novak", "Oliveira", "Pires", "Quist", "Rossi", "Sørensen", "Tavares"}
	return first[n%20] + " " + last[(n/20+3*n)%20]
}

// situations are the letters that are kept as files, by name.
var situations = []struct {
	name string
	why  string
	put  func(s *situation)
}{
	{"first-week", "a club's first week", func(s *situation) {
		s.add("Ines Oliveira", "B1", []roster.Session{done("B1", 3), done("B1", 1)}, joined(5))
		s.add("Tilda Ekman", "L1", []roster.Session{done("L1", 1)}, joined(4))
		s.add("Goran Horvat", "B2", nil, joined(2))
		s.add("Rosa Pires", "B1", nil, arriving(roster.Answered, 1))
		s.add("Nils Dahl", "B1", nil, arriving(roster.Invited, 3))
	}},
	{"steady", "everybody steady, nothing new", func(s *situation) {
		for i, phase := range []string{"B3", "L1", "L2", "L3", "L4", "R1", "R3", "R5", "L2"} {
			s.add(person(i), phase, after([]roster.Session{done(phase, 3, late), done(phase, 1, late)}, phase, 3), on(9))
		}
	}},
	{"ready-and-moved", "ready, arrived and moved", func(s *situation) {
		s.add("Carla Moreau", "L3", after(weeks("L3", 1, settles(52)), "L2", 4), on(6))
		s.add("Emil Kowal", "R2", after(weeks("R2", 1, settles(49)), "R1", 4), on(6))
		s.add("Hilde Sørensen", "R7", after(weeks("R7", 1), "R6", 4), on(6))
		s.moved(s.add("Jonas Berg", "L4", after([]roster.Session{done("L3", 4), done("L4", 1)}, "L3", 4), on(2)), 2, roster.MoveUp, "L3", "L4")
		s.moved(s.add("Katja Novak", "R1-", after([]roster.Session{done("R1", 4, late)}, "R1", 4), on(1)), 1, roster.HalfStep, "R1", "R1-")
		s.moved(s.add("Piotr Rossi", "R3", after([]roster.Session{done("R4", 5, hard(8)), done("R3", 1)}, "R3", 4), on(3)), 3, roster.EaseBack, "R4", "R3")
		steadily(s, 5)
	}},
	{"stalling-and-jumped", "stalling, load jumped", func(s *situation) {
		s.add("Aino Tavares", "L3", weeks("L3", 5, late), on(34))
		s.add("Dorota Jansen", "R1", weeks("R1", 5, hard(7)), on(34))
		s.add("Luís Costa", "L2", append(weeks("L2", 5), run(2, 32, 6), run(4, 25, 6)))
		steadily(s, 7)
	}},
	{"warning-and-pain", "a warning sign and pain", func(s *situation) {
		s.add("Bruno Ferreira", "L4", after([]roster.Session{done("L4", 5), done("L4", 1, signs(readiness.ChestPressure), cut(6))}, "L4", 4))
		s.add("Mirela Grahn", "R2", after([]roster.Session{done("R2", 3), done("R2", 1, hurts("left shin", 7), stopped, cut(4))}, "R2", 4))
		s.add("Oda Lindqvist", "L3", after([]roster.Session{done("L3", 3), done("L3", 1, func(s *roster.Session) {
			s.Pain = []readiness.Pain{{Site: "right knee", Score: 2, NextMorning: readiness.Some(4)}}
		})}, "L3", 4))
		s.add("Sven Ivens", "L1", after([]roster.Session{done("L1", 4), done("L1", 2, hurts("left heel", 4)), done("L1", 1, missed)}, "L1", 4))
		steadily(s, 4)
	}},
	{"silent-and-away", "many silent and away", func(s *situation) {
		for i := range 14 {
			s.add(person(i), "L2", after(nil, "L2", 4), on(13), func(f *roster.File) {
				for j := range f.Sessions {
					late(&f.Sessions[j])
				}
				f.Sessions = slices.DeleteFunc(f.Sessions, func(s roster.Session) bool { return s.Date > sunday-8-day.Date(i%3) })
			})
		}
		s.add("Yara Quist", "L1", nil, joined(9))
		s.add("Fatma Almeida", "R1", weeks("R1", 4), off(roster.OnHoliday, 3, 6))
		s.add("Goran Ekman", "L3", after(nil, "L3", 4), off(roster.Ill, 4, 0))
		s.add("Hilde Pires", "L4", after(nil, "L4", 4), off(roster.Injured, 6, 0))
		s.add("Tilda Rossi", "R3", after(nil, "R3", 4), held(roster.Paused, 8))
		s.add("Nils Novak", "B4", after(nil, "B4", 4), held(roster.Referred, 3))
		s.add("Rosa Kowal", "B1", nil, arriving(roster.Answered, 2))
		s.add("Emil Dahl", "B1", nil, arriving(roster.Withdrawn, 2))
	}},
	{"three-hundred", "three hundred athletes", crowd},
	{"names", "with names", everyKind(roster.Names)},
	{"reasons-late", "with names and reasons, eleven hours late", func(s *situation) {
		everyKind(roster.Reasons)(s)
		s.now = s.now.Add(11*time.Hour + 20*time.Minute)
	}},
	{"initials", "the same with initials", everyKind(roster.Initials)},
}

// run is a run outside the plan.
func run(ago day.Date, minutes, effort int) roster.Session {
	s := done("L1", ago, hard(effort))
	s.Kind, s.Phase, s.StartedAt = readiness.Extra, "", s.StartedAt.Add(8*time.Hour)
	s.Blocks = []readiness.Block{{Kind: pathway.Run, Planned: int32(60 * minutes), Done: int32(60 * minutes)}}
	return s
}

// steadily adds people of whom there is nothing to say.
func steadily(s *situation, n int) {
	for i := range n {
		phase := []string{"L2", "R1", "R3", "L4"}[i%4]
		s.add(person(40+i), phase, after([]roster.Session{done(phase, 3, late), done(phase, 1, late)}, phase, 3), on(9))
	}
}

// crowd is a club of three hundred with more of everything than a letter lists.
func crowd(s *situation) {
	for i := range 300 {
		name := person(i)
		switch i % 10 {
		case 0:
			s.add(name, "L3", after([]roster.Session{done("L3", 5), done("L3", 3), done("L3", 1, signs(readiness.Faint))}, "L3", 4))
		case 1, 2:
			s.add(name, "L3", after(weeks("L3", 1, settles(52)), "L2", 4), on(6))
		case 3:
			s.add(name, "L1", weeks("L1", 5, late), on(34))
		case 4:
			s.add(name, "L2", append(weeks("L2", 5), run(2, 32, 6), run(4, 25, 6)))
		case 5:
			s.add(name, "L4", after([]roster.Session{done("L4", 3), done("L4", 2, hurts("left heel", 4))}, "L4", 4))
		case 6:
			s.add(name, "L2", after(nil, "L2", 4), func(f *roster.File) {
				f.Sessions = slices.DeleteFunc(f.Sessions, func(s roster.Session) bool { return s.Date > sunday-9 })
			})
		case 7:
			s.add(name, "R1", weeks("R1", 4), off(roster.OnHoliday, 3, 6))
		case 8:
			s.moved(s.add(name, "R2", after([]roster.Session{done("R1", 4), done("R2", 1)}, "R1", 4), on(2)), 2, roster.MoveUp, "R1", "R2")
		default:
			s.add(name, "R1", after([]roster.Session{done("R1", 3), done("R1", 1)}, "R1", 3), on(9))
		}
	}
}

// everyKind has somebody of every kind.
func everyKind(detail roster.Detail) func(s *situation) {
	return func(s *situation) {
		s.reader.Wishes.Detail, s.reader.Wishes.All = detail, true
		s.add("Bruno Ferreira", "L4", after([]roster.Session{done("L4", 5), done("L4", 1, hurts("left shin", 7), stopped, cut(6))}, "L4", 4))
		s.add("Carla Moreau", "L3", after(weeks("L3", 1, settles(52)), "L2", 4), on(6))
		s.add("Aino Tavares", "L3", weeks("L3", 5, late), on(34))
		s.add("Luís Costa", "L2", append(weeks("L2", 5), run(2, 32, 6), run(4, 25, 6)))
		s.add("Sven Ivens", "L1", after([]roster.Session{done("L1", 4), done("L1", 2, hurts("left heel", 4)), done("L1", 1, missed)}, "L1", 4))
		s.moved(s.add("Jonas Berg", "L4", after([]roster.Session{done("L3", 4), done("L4", 1)}, "L3", 4), on(2)), 2, roster.MoveUp, "L3", "L4")
		s.add("Yara Quist", "L1", nil, joined(9))
		s.add("Rosa Kowal", "B1", nil, arriving(roster.Answered, 2))
		s.add("Goran Ekman", "L3", after(nil, "L3", 4), off(roster.Ill, 4, 0))
		steadily(s, 3)
	}
}
