package e2e

import (
	"fmt"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/localpg"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Names as people have them, so that every font there is has to come.
var (
	given  = [...]string{"Ines", "Bram", "Tove", "Marek", "Aoife", "Jonah", "Pilar", "Salma", "Solveig", "José", "Zoë", "Łucja", "Ondřej", "Françoise", "Jürgen", "Søren", "Ağça", "Žofie", "Iñaki", "Petra"}
	family = [...]string{"Okafor", "Visser", "Dvořák", "Brennan", "Quintana", "Haddad", "Ångström-Lind", "Arai", "Müller", "Çelik", "Szabó", "Núñez", "O’Malley", "Kovačević", "Weiß", "Ștefănescu", "Gyűrűsi", "Holm", "Åkesson", "Reyes"}
)

// crowdWeeks is how far back the history of a crowd goes: what the rules look at.
const crowdWeeks = 10

// crowd takes so many athletes in through the store, each with weeks of sessions.
// They differ, so that rows of every kind are on the roster.
func (c *club) crowd(size int) {
	c.t.Helper()
	address, err := localpg.Attach(c.t.Context(), c.Data())
	require.NoError(c.t, err)
	db, err := postgres.Open(c.t.Context(), address.URLAs("halfhour_app", localpg.Database), postgres.Options{Now: time.Now})
	require.NoError(c.t, err)
	defer db.Close()
	who := roster.Actor{Club: roster.ClubID(c.count("select club_id from club where club_id > 0")), Coach: roster.CoachID(c.count("select coach_id from coach"))}
	shelf, err := db.Store().NewestShelf(c.t.Context(), who.Club)
	require.NoError(c.t, err)
	place, err := time.LoadLocation(zone)
	require.NoError(c.t, err)
	now := time.Now().In(place)
	today := day.Of(now, place)
	for n := range size {
		a := roster.Athlete{
			Name: given[n%20] + " " + family[(n+7*(n/20))%20], Zone: zone, SessionsAWeek: 3, HeartUsable: true, JoinedOn: today - 7*crowdWeeks, Arrival: roster.Here,
			Standing: roster.Standing{Pathway: shelf.ID, Phase: "L3", PhaseSince: today - 12, LastPassed: "L2"},
		}
		if n%7 == 6 {
			a.PhaseSince -= 30 // a long time on one phase
		}
		a.ID, err = db.Store().Add(c.t.Context(), who, a, roster.HealthCheck{}, roster.Key(fmt.Sprintf("crowd-%03d", n)))
		require.NoError(c.t, err)
		for ago := day.Date(7*crowdWeeks - 1); ago >= 1; ago -= 2 + ago%2 {
			if n%7 == 4 && ago < 12 {
				break // no word for some time
			}
			s := trained(shelf, &a, n, ago, today, place)
			_, _, err := db.Store().Log(c.t.Context(), who, s, 0)
			require.NoError(c.t, err)
		}
	}
}

// trained is the session of so many days ago of the nth athlete of a crowd.
func trained(shelf *roster.Shelf, a *roster.Athlete, n int, ago, today day.Date, place *time.Location) roster.Session {
	date := today - ago
	y, m, d := date.UTC().Date()
	s := roster.Session{Athlete: a.ID, Key: roster.Key(fmt.Sprintf("crowd-%03d-%03d", n, ago)), Note: "along the harbour"}
	s.Session = readiness.Session{
		StartedAt: time.Date(y, m, d, 0, 10, 0, 0, place), Date: date, Kind: readiness.Planned, Phase: a.Phase,
		Effort: readiness.Some(3 + int(ago)%2), Talk: readiness.Sentence, PainAsked: true,
	}
	s.LoggedAt = s.StartedAt.Add(40 * time.Minute)
	if date < a.PhaseSince {
		s.Phase = "L2"
	}
	for i, b := range shelf.Blocks(shelf.Find(s.Phase)) {
		block := readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)}
		if b.Kind == pathway.Walk {
			part := [...]int{3, 3, 3, 3, 3, 3, 6}[n%7] // tenths of the walk until the breath is back
			block.Settle = readiness.Some(b.Planned*part/10 + i)
		}
		s.Blocks = append(s.Blocks, block)
	}
	if ago < 7 {
		trouble(&s, n)
	}
	return s
}

// trouble is what some athletes met in the last week.
func trouble(s *roster.Session, n int) {
	switch n % 7 {
	case 1: // cut short
		s.Blocks[len(s.Blocks)-1].Done, s.Blocks[len(s.Blocks)-1].Settle = 0, readiness.Maybe{}
		s.Blocks[len(s.Blocks)-2].Done = 20
	case 2:
		s.Pain = []readiness.Pain{{Site: "left shin", Score: 4, NextMorning: readiness.Some(3)}}
	case 3:
		s.Effort = readiness.Some(8)
	}
}
