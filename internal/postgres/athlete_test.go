package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
)

func TestAnAthleteComesBackAsWent(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := roster.Athlete{
		Club: c.ID, Name: "<b>Ana</b> O'Neil", Email: "ana@example.org", BirthYear: 1985, Zone: "Europe/Lisbon", SessionsAWeek: 4, HeartUsable: true,
		Standing: roster.Standing{
			Pathway: c.Pathway, Phase: "L3-", PhaseSince: today - 3, LastPassed: "L2", Held: roster.Paused, HeldSince: today - 1,
			ClearedOn: today - 40, ClearedAt: noon.Add(-40 * 24 * time.Hour), InjuredOn: today - 41,
		},
		CoachWord: "Slowly now.", JoinedOn: today - 90, Arrival: roster.Here, ArrivalSince: today - 90,
	}
	id, err := b.Add(t.Context(), c.Actor, a, roster.HealthCheck{}, "the-same-key")
	require.NoError(t, err)
	a.ID, a.Version = id, 1
	kept, err := b.Athlete(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Equal(t, a, kept)
	again, err := b.Add(t.Context(), c.Actor, roster.Athlete{Name: "Somebody", Zone: "UTC", SessionsAWeek: 3, Standing: a.Standing, JoinedOn: today, Arrival: roster.Here}, roster.HealthCheck{}, "the-same-key")
	require.NoError(t, err)
	require.Equal(t, id, again)

	a.Name, a.Email, a.BirthYear, a.Zone, a.SessionsAWeek, a.HeartUsable = "Ana", "", 0, "UTC", 2, false
	a.CoachWord, a.InjuredOn = "", 0
	changed := a
	changed.Phase, changed.Held, changed.JoinedOn = "R1", roster.NotHeld, today // which a change may not touch
	require.NoError(t, b.Change(t.Context(), c.Actor, changed))
	kind(t, fault.Conflict, b.Change(t.Context(), c.Actor, changed), "an old version")
	a.Version = 2
	kept, err = b.Athlete(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Equal(t, a, kept)

	changed.ID = 999
	kind(t, fault.NotFound, b.Change(t.Context(), c.Actor, changed))
	_, err = b.Athlete(t.Context(), b.club(t, "Hill").ID, id)
	kind(t, fault.NotFound, err, "seen from another club")
	changed.Pathway = 999
	_, err = b.Add(t.Context(), c.Actor, changed, roster.HealthCheck{}, b.key())
	kind(t, fault.NotFound, err, "a pathway that is not there")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'athlete.add' and row_id = $1", id))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'athlete.change'"))
}

func TestLeavingTheClub(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	token := b.hash()
	_, err := b.Open(t.Context(), token, access.Login{Club: c.ID, Athlete: a.ID, Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	kind(t, fault.NotFound, b.Leave(t.Context(), other.Actor, a.ID, noon))
	require.NoError(t, b.Leave(t.Context(), c.Actor, a.ID, noon))
	gone, err := b.Gone(t.Context(), c.ID)
	require.NoError(t, err)
	require.Len(t, gone, 1)
	require.Equal(t, noon, gone[0].LeftAt)
	require.NoError(t, b.Leave(t.Context(), c.Actor, a.ID, time.Time{}))
	gone, err = b.Gone(t.Context(), c.ID)
	require.NoError(t, err)
	require.Empty(t, gone)
	_, err = b.Visitor(t.Context(), token, noon)
	kind(t, fault.NotFound, err, "the login ended with leaving")
}

func TestTimesAway(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a, bo := b.athlete(t, c, "Ana"), b.athlete(t, c, "Bo")
	holiday := roster.Leave{Athlete: a.ID, Kind: roster.OnHoliday, Span: day.Span{From: today - 9, To: today - 3}, Why: "holiday"}
	ill := roster.Leave{Athlete: a.ID, Kind: roster.Ill, Span: day.Span{From: today - 1}, Why: "a cold"}
	key := b.key()
	var err error
	holiday.ID, err = b.AddLeave(t.Context(), c.Actor, holiday, key)
	require.NoError(t, err)
	ill.ID, err = b.AddLeave(t.Context(), c.Actor, ill, b.key())
	require.NoError(t, err)
	again, err := b.AddLeave(t.Context(), c.Actor, holiday, key)
	require.NoError(t, err)
	require.Equal(t, holiday.ID, again)
	leaves := func() []roster.Leave {
		all, err := b.Leaves(t.Context(), c.ID, a.ID)
		require.NoError(t, err)
		return all
	}
	require.Equal(t, []roster.Leave{ill, holiday}, leaves())

	kind(t, fault.Invalid, b.EndLeave(t.Context(), c.Actor, a.ID, ill.ID, today-2), "before it began")
	kind(t, fault.NotFound, b.EndLeave(t.Context(), c.Actor, bo.ID, ill.ID, today), "of somebody else")
	kind(t, fault.NotFound, b.EndLeave(t.Context(), other.Actor, a.ID, ill.ID, today), "of another club")
	require.NoError(t, b.EndLeave(t.Context(), c.Actor, a.ID, ill.ID, today))
	ill.To = today
	kind(t, fault.NotFound, b.RemoveLeave(t.Context(), c.Actor, bo.ID, holiday.ID))
	require.NoError(t, b.RemoveLeave(t.Context(), c.Actor, a.ID, holiday.ID))
	require.Equal(t, []roster.Leave{ill}, leaves())
	ill.Athlete = 999
	_, err = b.AddLeave(t.Context(), c.Actor, ill, b.key())
	kind(t, fault.NotFound, err)
}

// An injury noted as a time away is the athlete's, and goes with it.
func TestInjuriesNotedAsTimesAway(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	injured := func(a roster.Athlete) day.Date {
		kept, err := b.Athlete(t.Context(), c.ID, a.ID)
		require.NoError(t, err)
		return kept.InjuredOn
	}
	hurt := func(a roster.Athlete, kind roster.LeaveKind, from day.Date) roster.LeaveID {
		id, err := b.AddLeave(t.Context(), c.Actor, roster.Leave{Athlete: a.ID, Kind: kind, Span: day.Span{From: from}}, b.key())
		require.NoError(t, err)
		return id
	}
	out := func(a roster.Athlete, id roster.LeaveID) {
		require.NoError(t, b.RemoveLeave(t.Context(), c.Actor, a.ID, id))
	}
	a, bo := b.athlete(t, c, "Ana"), b.athlete(t, c, "Bo")
	version := a.Version

	hurt(a, roster.OnHoliday, today)
	hurt(a, roster.Ill, today)
	require.Zero(t, injured(a), "only an injury is one")
	first := hurt(a, roster.Injured, today-20)
	require.Equal(t, today-20, injured(a))
	kept, err := b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, version+1, kept.Version, "what a coach has open is out of date")
	second := hurt(a, roster.Injured, today-5)
	require.Equal(t, today-5, injured(a))
	old := hurt(a, roster.Injured, today-100)
	require.Equal(t, today-5, injured(a), "an older one changes nothing")
	require.Zero(t, injured(bo), "of nobody else")

	out(a, old)
	require.Equal(t, today-5, injured(a))
	out(a, first)
	require.Equal(t, today-5, injured(a), "the newest stands")
	out(a, second)
	require.Zero(t, injured(a), "the first one is not there to come back")

	one, two := hurt(bo, roster.Injured, today-3), hurt(bo, roster.Injured, today-3)
	out(bo, one)
	require.Equal(t, today-3, injured(bo), "the other of the same day stands")
	out(bo, two)
	require.Zero(t, injured(bo))

	bo, err = b.Athlete(t.Context(), c.ID, bo.ID)
	require.NoError(t, err)
	bo.InjuredOn = today - 60 // as a coach typed it
	require.NoError(t, b.Change(t.Context(), c.Actor, bo))
	out(bo, hurt(bo, roster.Injured, today-1))
	require.Equal(t, today-60, injured(bo), "what was known before comes back")
	late := hurt(bo, roster.Injured, today-1)
	hurt(bo, roster.Injured, today-30)
	out(bo, late)
	require.Equal(t, today-30, injured(bo), "or the newest that is still noted")

	key, again := b.key(), roster.Leave{Athlete: bo.ID, Kind: roster.Injured, Span: day.Span{From: today - 2}}
	for range 2 {
		_, err := b.AddLeave(t.Context(), c.Actor, again, key)
		require.NoError(t, err)
	}
	again.From = today
	_, err = b.AddLeave(t.Context(), c.Actor, again, key)
	require.NoError(t, err)
	require.Equal(t, today-2, injured(bo), "sent again with the same key nothing changes")
}

func TestNotes(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	first := roster.Note{Athlete: a.ID, Coach: c.Coach, At: noon, Text: "two\nlines"}
	second := roster.Note{Athlete: a.ID, Coach: c.Coach, At: noon.Add(time.Minute), Text: "later"}
	key := b.key()
	var err error
	first.ID, err = b.AddNote(t.Context(), c.Actor, first, key)
	require.NoError(t, err)
	second.ID, err = b.AddNote(t.Context(), c.Actor, second, b.key())
	require.NoError(t, err)
	again, err := b.AddNote(t.Context(), c.Actor, second, key)
	require.NoError(t, err)
	require.Equal(t, first.ID, again)
	first.By, second.By = "Owner of Harbour", "Owner of Harbour"
	notes, err := b.Notes(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, []roster.Note{second, first}, notes)
}

func TestAnAthleteStaysOnTheVersionBegun(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	b.athlete(t, c, "Ana")
	version := func(phases ...pathway.Phase) roster.PathwayID {
		tx, err := b.pool.Begin(t.Context())
		require.NoError(t, err)
		require.NoError(t, enter(t.Context(), tx, c.ID))
		id, err := makePathway(t.Context(), tx, c.ID, pathwayName, &pathway.Pathway{Phases: phases})
		require.NoError(t, err)
		require.NoError(t, tx.Commit(t.Context()))
		return id
	}
	own := pathway.Phase{ID: "A", Stage: "easy", Blocks: []pathway.Block{{Kind: pathway.Run, Planned: 60}, {Kind: pathway.Walk, Planned: 90}}, Half: []pathway.Block{{Kind: pathway.Walk, Planned: 7200}}}
	version(own)
	third := version(own, pathway.Phase{ID: "B", Blocks: []pathway.Block{{Kind: pathway.Run, Planned: 1}}})
	newest, err := b.NewestShelf(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, &roster.Shelf{ID: third, Name: pathwayName, Version: 3, Pathway: pathway.Pathway{
		Phases: []pathway.Phase{own, {ID: "B", Blocks: []pathway.Block{{Kind: pathway.Run, Planned: 1}}}},
	}}, newest)
	shelves, err := b.Shelves(t.Context(), c.ID)
	require.NoError(t, err)
	require.Len(t, shelves, 2, "the one Ana stands on and the newest; nobody stands on the one between")
	require.Equal(t, newest, shelves[third])
	require.Equal(t, *pathway.Default(), shelves[c.Pathway].Pathway)
	old, err := b.Shelf(t.Context(), c.ID, c.Pathway)
	require.NoError(t, err)
	require.Equal(t, shelves[c.Pathway], old)
	_, err = b.Shelf(t.Context(), b.club(t, "Hill").ID, c.Pathway)
	kind(t, fault.NotFound, err)
}
