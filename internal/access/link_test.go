package access_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

const key roster.Key = "key-of-the-form-1"

func (h *house) actor() roster.Actor { return roster.Actor{Club: h.club.ID, Coach: h.owner.ID} }

func TestAthleteLinkOpensOneLogin(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ana := h.store.Runner(h.club.ID, "Ana")
	link, err := h.access.AthleteLink(ctx, h.actor(), ana.ID)
	require.NoError(t, err)
	require.Equal(t, h.now.Add(14*24*time.Hour), link.Expires)

	for range 3 {
		_, err := h.access.Look(ctx, link.Code, access.AthleteLink)
		require.NoError(t, err, "looking uses nothing up: previews of messages look too")
	}
	o, err := h.access.Enter(ctx, link.Code, key, "Chrome on Android")
	require.NoError(t, err)
	require.Equal(t, h.now.Add(180*24*time.Hour), o.Login.Expires)
	v, err := h.access.Visitor(ctx, o.Token)
	require.NoError(t, err)
	require.True(t, v.IsAthlete())
	require.False(t, v.IsCoach())
	require.Equal(t, ana.ID, v.Athlete.ID)

	again, err := h.access.Enter(ctx, link.Code, key, "Chrome on Android")
	require.NoError(t, err, "a double tap of the same button")
	require.Equal(t, o.Token, again.Token)
	logins, err := h.access.AthleteLogins(ctx, h.actor(), ana.ID)
	require.NoError(t, err)
	require.Len(t, logins, 1)
	require.Equal(t, "Chrome on Android", logins[0].Device)

	_, err = h.access.Enter(ctx, link.Code, "key-of-another-form", "Chrome on Android")
	require.Equal(t, fault.Gone, fault.KindOf(err), "somebody else with the old link")
	_, err = h.access.Look(ctx, link.Code, access.AthleteLink)
	require.Equal(t, fault.Gone, fault.KindOf(err))
	h.now = h.now.Add(11 * time.Minute)
	_, err = h.access.Enter(ctx, link.Code, key, "Chrome on Android")
	require.Equal(t, fault.Gone, fault.KindOf(err), "much later it is no double tap")
}

func TestLinksEnd(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ana := h.store.Runner(h.club.ID, "Ana")
	first, err := h.access.AthleteLink(ctx, h.actor(), ana.ID)
	require.NoError(t, err)
	second, err := h.access.AthleteLink(ctx, h.actor(), ana.ID)
	require.NoError(t, err)
	_, err = h.access.Enter(ctx, first.Code, key, "")
	require.Equal(t, fault.NotFound, fault.KindOf(err), "a new link ends the one before")

	h.now = h.now.Add(14*24*time.Hour - time.Second)
	_, err = h.access.Look(ctx, second.Code, access.AthleteLink)
	require.NoError(t, err)
	h.now = h.now.Add(time.Second)
	_, err = h.access.Look(ctx, second.Code, access.AthleteLink)
	require.Equal(t, fault.Gone, fault.KindOf(err))
	_, err = h.access.Enter(ctx, second.Code, key, "")
	require.Equal(t, fault.Gone, fault.KindOf(err))
}

func TestALinkIsForItsPurposeOnly(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ana := h.store.Runner(h.club.ID, "Ana")
	link, err := h.access.AthleteLink(ctx, h.actor(), ana.ID)
	require.NoError(t, err)
	_, err = h.access.Look(ctx, link.Code, access.CoachInvite)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = h.access.Join(ctx, link.Code, access.Newcomer{Name: "Eve", Email: "eve@example.org", Password: "long enough for it"}, "")
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = h.access.Found(ctx, link.Code, roster.Club{}, access.Newcomer{}, "")
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = h.access.Renew(ctx, link.Code, key, "long enough for it", "")
	require.Equal(t, fault.NotFound, fault.KindOf(err), "an athlete has no password")
	_, err = h.access.Enter(ctx, "junk", key, "")
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = h.access.Enter(ctx, link.Code, key, "")
	require.NoError(t, err, "none of this used it up")
}

func TestAnotherClubsAthleteGetsNoLink(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	other, _ := h.store.Begin("Hilltop", "oto@example.org", "")
	zoe := h.store.Runner(other.ID, "Zoe")
	_, err := h.access.AthleteLink(ctx, h.actor(), zoe.ID)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestInvitation(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	plain := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", "")
	_, err := h.access.Invitation(ctx, &access.Visitor{Club: h.club, Coach: &plain, Login: access.Login{Club: h.club.ID, Coach: plain.ID}}, access.AsCoach)
	require.Equal(t, fault.Forbidden, fault.KindOf(err))
	link, err := h.access.Invitation(ctx, &access.Visitor{Club: h.club, Coach: &h.owner, Login: access.Login{Club: h.club.ID, Coach: h.owner.ID, Since: h.now}}, access.AsCoach)
	require.NoError(t, err)

	_, err = h.access.Join(ctx, link.Code, access.Newcomer{Name: " ", Email: "lin", Password: "short"}, "")
	require.Equal(t, []string{"name", "email", "password"}, places(err))
	_, err = h.access.Join(ctx, link.Code, access.Newcomer{Name: "Lin", Email: "mara@example.org", Password: "long enough for it"}, "")
	require.Equal(t, []string{"email"}, places(err), "somebody has that address")
	o, err := h.access.Join(ctx, link.Code, access.Newcomer{Name: "Lin", Email: "Lin@example.org", Password: "long enough for it"}, "")
	require.NoError(t, err, "poor answers did not use it up")
	v, err := h.access.Visitor(ctx, o.Token)
	require.NoError(t, err)
	require.False(t, v.IsOwner())
	require.Equal(t, "lin@example.org", v.Coach.Email)
	_, err = h.access.Join(ctx, link.Code, access.Newcomer{Name: "Eve", Email: "eve@example.org", Password: "long enough for it"}, "")
	require.Equal(t, fault.Gone, fault.KindOf(err))
}

func TestSetUp(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	clear(h.store.Clubs)
	needed, err := h.access.SetUpNeeded(ctx)
	require.NoError(t, err)
	require.True(t, needed)
	link, err := h.access.SetUpLink(ctx)
	require.NoError(t, err)
	_, err = h.access.Found(ctx, link.Code, roster.Club{Name: "", Zone: "Mars/Olympus"}, access.Newcomer{}, "")
	require.Equal(t, []string{"club", "zone", "name", "email", "password"}, places(err), "all at once, in the form's order")

	o, err := h.access.Found(ctx, link.Code, roster.Club{Name: "Harbour <b>", Zone: "Europe/Lisbon"}, access.Newcomer{Name: "Mara", Email: "mara2@example.org", Password: "long enough for it"}, "")
	require.NoError(t, err)
	v, err := h.access.Visitor(ctx, o.Token)
	require.NoError(t, err)
	require.True(t, v.IsOwner())
	require.Equal(t, "Harbour <b>", v.Club.Name)
	needed, err = h.access.SetUpNeeded(ctx)
	require.NoError(t, err)
	require.False(t, needed)
	_, err = h.access.Found(ctx, link.Code, roster.Club{Name: "B", Zone: "UTC"}, access.Newcomer{Name: "E", Email: "e@example.org", Password: "long enough for it"}, "")
	require.Equal(t, fault.Gone, fault.KindOf(err))
}

func places(err error) []string {
	var list []string
	for _, f := range fault.FieldsOf(err) {
		list = append(list, f.Place)
	}
	return list
}

func TestALinkSaysWhomItIsFor(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ana := h.store.Runner(h.club.ID, "Ana")
	athlete, err := h.access.AthleteLink(ctx, h.actor(), ana.ID)
	require.NoError(t, err)
	o, err := h.access.Offered(ctx, athlete.Code, access.AthleteLink, access.CoachLink)
	require.NoError(t, err)
	require.Equal(t, access.Offer{Purpose: access.AthleteLink, Club: h.club, Athlete: ana.ID, Name: "Ana"}, o)

	coach, err := h.access.CoachLink(ctx, h.owner.Email)
	require.NoError(t, err)
	o, err = h.access.Offered(ctx, coach.Code, access.AthleteLink, access.CoachLink)
	require.NoError(t, err)
	require.Equal(t, access.Offer{Purpose: access.CoachLink, Club: h.club, Coach: h.owner.ID, Name: h.owner.Name}, o)

	_, err = h.access.Enter(ctx, athlete.Code, key, "")
	require.NoError(t, err)
	o, err = h.access.Offered(ctx, athlete.Code, access.AthleteLink)
	require.Equal(t, fault.Gone, fault.KindOf(err))
	require.Equal(t, ana.ID, o.Athlete, "whose it was, so that whoever is in by it goes on")
	require.Empty(t, o.Name, "but no names for an old link")

	second, err := h.access.AthleteLink(ctx, h.actor(), ana.ID)
	require.NoError(t, err)
	require.NoError(t, h.store.Leave(ctx, h.actor(), ana.ID, h.now))
	o, err = h.access.Offered(ctx, second.Code, access.AthleteLink)
	require.Equal(t, fault.Gone, fault.KindOf(err), "who has left comes in no more")
	require.Empty(t, o.Name)
}
