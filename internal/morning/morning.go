// Package morning is what a coach reads: the roster seen for one day, one athlete
// in full, and where everybody stands on the pathway. Verdicts are computed when
// read; nothing of them is kept.
package morning

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Service reads for coaches. Now is the clock.
type Service struct {
	Store Store
	Now   func() time.Time
}

// Weeks is how many weeks of load the roster shows, W0 included.
const Weeks = 6

// Morning is the roster seen for one day. Everybody is in one of the five lists.
type Morning struct {
	Asked  day.Date // the club's date; each athlete is seen on their own
	Decide []*Row   // who needs a decision, the most careful first, then by name
	Steady []*Row   // going steadily, by name
	Quiet  []*Row   // no word, by name
	Away   []*Row   // on leave or held, by name
	Coming []*Row   // not here yet, the coach's turn first, then by name
	Recent []roster.Decision
	Others int // athletes of other coaches, left out where the coach's own were asked for
}

// Row is one athlete on the roster. It points into what was read for the morning.
type Row struct {
	Athlete  *roster.Athlete
	Asked    day.Date // the athlete's own date
	Shelf    *roster.Shelf
	Rung     pathway.Rung // NoRung: the phase is not on the pathway any more
	Verdict  readiness.Verdict
	Print    string           // Fingerprint of the verdict
	Newest   *roster.Decision // the newest decision that stands; nil: none
	Decided  bool             // Newest has answered what the verdict proposes
	Why      Why              // what makes it a row of Decide; WhyNone elsewhere
	Proposal Proposal
	Sentence string            // the verdict in words; on rows of Decide only
	Strips   []*roster.Session // this week's planned sessions, the oldest first
	Outside  []*roster.Session // this week's runs and walks outside the plan, the oldest first
	Settle   Trend
	Load     [Weeks]float64 // AU, the oldest first, W0 last
	Done, Of int            // sessions done in W0, and how many a week has
	Next     Next           // on rows of Steady
	Away     Away           // on rows of Away
	Coming   Coming         // on rows of Coming
	file     *roster.File
}

// justMade is how long a decision counts as just made.
const justMade = time.Hour

// Roster reads everybody whom the coach sees or, of these, only the coach's own and
// those of nobody. The day is the athlete's own date now.
func (s *Service) Roster(ctx context.Context, club roster.Club, who roster.Actor, own bool) (*Morning, error) {
	now := s.Now()
	shelves, err := s.Store.Shelves(ctx, club.ID)
	if err != nil {
		return nil, err
	}
	files, err := s.Store.Files(ctx, club.ID, roster.Latest(now))
	if err != nil {
		return nil, err
	}
	recent, err := s.Store.Since(ctx, club.ID, now.Add(-justMade))
	if err != nil {
		return nil, err
	}
	places := places{}
	m := &Morning{Asked: day.Of(now, places.of(club.Zone)), Recent: recent}
	m.sort(s.rows(m.others(seen(files, who), who, own), shelves, places, now))
	return m, nil
}

// others counts the athletes of other coaches, and leaves them out where only the
// coach's own are asked for.
func (m *Morning) others(files []roster.File, who roster.Actor, own bool) []roster.File {
	for i := range files {
		if !files[i].Athlete.Of(who.Coach) {
			m.Others++
		}
	}
	if own {
		files = slices.DeleteFunc(files, func(f roster.File) bool { return !f.Athlete.Of(who.Coach) })
	}
	return files
}

// seen leaves only the athletes whom the coach sees.
func seen(files []roster.File, who roster.Actor) []roster.File {
	return slices.DeleteFunc(files, func(f roster.File) bool { return !who.Sees(&f.Athlete) })
}

// rows asks the engine about everybody. Every verdict points into its history,
// so all histories share one room that is never used again.
func (s *Service) rows(files []roster.File, shelves map[roster.PathwayID]*roster.Shelf, places places, now time.Time) []Row {
	total := 0
	for i := range files {
		total += len(files[i].Sessions)
	}
	room := make([]readiness.Session, total)
	rows := make([]Row, len(files))
	for i := range files {
		f := &files[i]
		n := len(f.Sessions)
		place := places.of(f.Athlete.Zone)
		rows[i].look(f, shelves[f.Athlete.Pathway], day.Of(now, place), place, room[:0:n])
		room = room[n:]
	}
	return rows
}

// look fills in the row: the verdict and what is shown beside it.
func (r *Row) look(f *roster.File, shelf *roster.Shelf, asked day.Date, place *time.Location, room []readiness.Session) {
	a := &f.Athlete
	r.file, r.Athlete, r.Asked, r.Shelf, r.Newest, r.Rung = f, a, asked, shelf, f.Newest, pathway.NoRung
	r.Of = a.AWeek()
	if shelf != nil {
		r.Rung = shelf.Find(a.Phase)
	}
	if r.Rung == pathway.NoRung {
		r.Verdict.Action = readiness.Stay
		r.Next.Kind = NextLost
		return
	}
	h := f.HistoryIn(&shelf.Pathway, asked, place, room)
	r.Verdict = readiness.Assess(&h)
	r.Print = r.Verdict.Fingerprint()
	r.Why = whyOf(&r.Verdict, a)
	r.Decided = r.decided(place)
	r.Proposal = proposal(&r.Verdict, r.Why)
	r.strips(f.Sessions)
	r.Settle = trend(f.Sessions, asked, shelf.Blocks(r.Rung))
	for s := range r.Verdict.Sums() {
		if w := day.WeeksBack(asked, s.Date); w < Weeks {
			r.Load[Weeks-1-w] += s.Load
		}
	}
}

// strips are the sessions of W0, planned and outside the plan, in order.
func (r *Row) strips(sessions []roster.Session) {
	for i := range sessions {
		s := &sessions[i]
		switch {
		case day.WeeksBack(r.Asked, s.Date) != 0:
		case s.Kind == readiness.Extra:
			r.Outside = append(r.Outside, s)
		case s.Kind == readiness.Planned:
			r.Strips = append(r.Strips, s)
			if s.Exposure() {
				r.Done++
			}
		}
	}
	for _, list := range [...][]*roster.Session{r.Strips, r.Outside} {
		slices.SortFunc(list, func(a, b *roster.Session) int { return a.StartedAt.Compare(b.StartedAt) })
	}
}

// places remembers time zones while one morning is read: looking one up costs a
// read of the disk.
type places map[string]*time.Location

func (p places) of(zone string) *time.Location {
	place, known := p[zone]
	if !known {
		place = roster.PlaceOf(zone)
		p[zone] = place
	}
	return place
}

// Rows are all rows, those to decide on first.
func (m *Morning) Rows() []*Row {
	return slices.Concat(m.Decide, m.Steady, m.Quiet, m.Away, m.Coming)
}

// Row is the row of an athlete, or nil.
func (m *Morning) Row(id roster.AthleteID) *Row {
	for _, rows := range [...][]*Row{m.Decide, m.Steady, m.Quiet, m.Away, m.Coming} {
		for _, r := range rows {
			if r.Athlete.ID == id {
				return r
			}
		}
	}
	return nil
}

// Heard is the date of the newest session of which something was done, planned or
// outside the plan; zero where there is none.
func (r *Row) Heard() day.Date {
	var heard day.Date
	for i := range r.file.Sessions {
		if s := &r.file.Sessions[i]; s.Date <= r.Asked && (s.Exposure() || s.Kind == readiness.Extra) {
			heard = max(heard, s.Date)
		}
	}
	return heard
}
