package access_test

import (
	"context"
	"fmt"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/testing/fake"
)

func (h *house) forgot(email string, from netip.Addr) error {
	return h.access.Forgotten(context.Background(), email, from)
}

// Known or not, the same is answered and the same is done: one look, one piece of
// work handed on, and as many attempts counted.
func TestForgottenTellsNobodyWhoIsHere(t *testing.T) {
	h := newHouse(t)
	ana := h.store.Runner(h.club.ID, "Ana")
	ana.Email = "ana@example.org"
	h.store.Athletes[ana.ID] = ana
	counts := func(email string) (tried int, people []post.Person) {
		before := h.store.Counted()
		require.NoError(t, h.forgot(email, home))
		return h.store.Counted() - before, h.store.AskedIn[len(h.store.AskedIn)-1]
	}
	known, people := counts(" Mara@Example.org ")
	require.Equal(t, []post.Person{{Club: h.club.ID, Coach: h.owner.ID}}, people)
	unknown, nobody := counts("nobody@example.org")
	require.Empty(t, nobody)
	athlete, she := counts("ana@example.org")
	require.Equal(t, []post.Person{{Club: h.club.ID, Athlete: ana.ID}}, she)
	require.Equal(t, known, unknown)
	require.Equal(t, known, athlete)
	require.Len(t, h.store.AskedIn, 3)
	require.Zero(t, h.hasher.Matches.Load()+h.hasher.Hashes.Load())

	for _, junk := range []string{"", "mara", "a b@example.org"} {
		require.Equal(t, []string{"email"}, places(h.forgot(junk, home)), "%q", junk)
	}
	require.Len(t, h.store.AskedIn, 3)
}

// However often somebody asks, no more than a few letters go to one box in an hour,
// from wherever they are asked for; and the answer stays the same.
func TestNobodyFillsAnothersBox(t *testing.T) {
	h := newHouse(t)
	for i := range 12 {
		require.NoError(t, h.forgot("mara@example.org", netip.AddrFrom4([4]byte{198, 51, 100, byte(i)})))
	}
	require.Len(t, h.store.AskedIn, 4)
	h.now = h.now.Add(time.Hour + time.Second)
	require.NoError(t, h.forgot("mara@example.org", home))
	require.Len(t, h.store.AskedIn, 5, "an hour later the last link has ended, and a new one comes")
	_, err := h.signIn("mara@example.org", right, home)
	require.NoError(t, err, "and the password worked all the time")
}

func TestWhoAsksForManyIsToldToWait(t *testing.T) {
	h := newHouse(t)
	for i := range 20 {
		require.NoError(t, h.forgot(fmt.Sprintf("name-%d@example.org", i), home))
	}
	err := h.forgot("mara@example.org", home)
	require.Equal(t, fault.TooMany, fault.KindOf(err))
	require.Contains(t, fault.MessageOf(err), "quarter of an hour")
	require.Len(t, h.store.AskedIn, 20)
	require.NoError(t, h.forgot("mara@example.org", netip.MustParseAddr("198.51.100.4")), "others may ask")
}

func TestAWayInByMail(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ana := h.store.Runner(h.club.ID, "Ana")
	shown, err := h.access.AthleteLink(ctx, h.actor(), ana.ID)
	require.NoError(t, err)
	mailed, err := h.access.WayInLink(ctx, h.club.ID, 0, ana.ID)
	require.NoError(t, err)
	require.Equal(t, h.now.Add(time.Hour), mailed.Expires)
	again, err := h.access.WayInLink(ctx, h.club.ID, 0, ana.ID)
	require.NoError(t, err)
	for _, link := range []access.Link{shown, mailed, again} {
		_, err := h.access.Look(ctx, link.Code, access.AthleteLink)
		require.NoError(t, err, "none ends another: a stranger who asks takes nobody's link away")
	}
	invited, err := h.access.MailedAthleteLink(ctx, h.club.ID, ana.ID)
	require.NoError(t, err)
	require.Equal(t, shown.Expires, invited.Expires, "an invitation holds as long on paper as by mail")
	for role, purpose := range map[access.Role]access.Purpose{access.AsCoach: access.CoachInvite, access.AsDeputy: access.DeputyInvite} {
		newcomer, err := h.access.MailedInvitation(ctx, h.club.ID, role)
		require.NoError(t, err)
		_, err = h.access.Look(ctx, newcomer.Code, purpose)
		require.NoError(t, err)
	}

	first, err := h.access.WayInLink(ctx, h.club.ID, h.owner.ID, 0)
	require.NoError(t, err)
	second, err := h.access.WayInLink(ctx, h.club.ID, h.owner.ID, 0)
	require.NoError(t, err)
	lost, err := h.signIn("mara@example.org", right, home)
	require.NoError(t, err)
	o, err := h.access.Renew(ctx, first.Code, key, "quite another one", "")
	require.NoError(t, err)
	_, err = h.access.Visitor(ctx, o.Token)
	require.NoError(t, err)
	_, err = h.access.Visitor(ctx, lost.Token)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "all other logins end")
	_, err = h.access.Look(ctx, second.Code, access.CoachLink)
	require.Error(t, err, "and so do the links of before")
	require.Equal(t, fake.HashOf("quite another one"), h.store.People[h.owner.ID].Hash)
}
