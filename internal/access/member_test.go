package access_test

import (
	"context"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

// in signs a coach in on a device and gives the visitor.
func (h *house) in(t *testing.T, email, device string) (access.Opened, *access.Visitor) {
	t.Helper()
	o, err := h.access.SignIn(context.Background(), access.Attempt{Email: email, Password: right, From: home, Device: device})
	require.NoError(t, err)
	return o, h.visitor(t, o.Token)
}

func (h *house) visitor(t *testing.T, token access.Token) *access.Visitor {
	t.Helper()
	v, err := h.access.Visitor(context.Background(), token)
	require.NoError(t, err)
	return &v
}

func TestARoleHoldsFromTheNextThingOn(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ivo := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", fake.HashOf(right))
	_, mara := h.in(t, "mara@example.org", "desk")
	his, _ := h.in(t, "ivo@example.org", "desk")
	ana := h.store.Runner(h.club.ID, "Ana")
	ana.Coach = ivo.ID
	h.store.Athletes[ana.ID] = ana

	freed, err := h.access.GiveRole(ctx, mara, ivo.ID, access.AsDeputy)
	require.NoError(t, err)
	require.Equal(t, access.Freed(1), freed)
	require.Zero(t, h.store.Athletes[ana.ID].Coach, "a deputy has no athletes")
	v := h.visitor(t, his.Token)
	require.True(t, v.IsDeputy(), "the login of before")
	require.False(t, v.IsKeeper())
	require.Equal(t, roster.Actor{Club: h.club.ID, Coach: ivo.ID, Deputy: true}, v.Actor())

	_, err = h.access.GiveRole(ctx, mara, ivo.ID, access.AsOwner)
	require.NoError(t, err)
	v = h.visitor(t, his.Token)
	require.True(t, v.IsOwner())
	require.True(t, v.IsKeeper(), "never owner and deputy")
	_, err = h.access.GiveRole(ctx, v, h.owner.ID, access.AsCoach)
	require.NoError(t, err, "now there are two")
	_, err = h.access.GiveRole(ctx, mara, ivo.ID, access.AsCoach)
	require.Equal(t, fault.Forbidden, fault.KindOf(err), "who is no owner any more, even with what was read before")
	_, err = h.access.GiveRole(ctx, v, ivo.ID, access.AsCoach)
	require.Equal(t, fault.Conflict, fault.KindOf(err), "the last owner")
	_, err = h.access.EndMembership(ctx, v, ivo.ID)
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	_, err = h.access.GiveRole(ctx, v, ivo.ID, "king")
	require.Equal(t, []string{"role"}, places(err))
	require.Equal(t, access.AsOwner, access.RoleOf(v.Coach))
}

func TestOnlyOwnersSayWhoIsWho(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", fake.HashOf(right))
	_, ivo := h.in(t, "ivo@example.org", "")
	for why, err := range map[string]error{
		"role":   second(h.access.GiveRole(ctx, ivo, ivo.Coach.ID, access.AsOwner)),
		"end":    second(h.access.EndMembership(ctx, ivo, h.owner.ID)),
		"club":   h.access.ChangeClub(ctx, ivo, roster.Club{Name: "Mine", Zone: "UTC"}),
		"invite": second(h.access.Invitation(ctx, ivo, access.AsDeputy)),
	} {
		require.Equal(t, fault.Forbidden, fault.KindOf(err), why)
	}
}

// A login left open must not be enough to let somebody in for good, nor to put
// somebody out.
func TestWhoCoachesIsSaidWithAFreshSignIn(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ivo := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", fake.HashOf(right))
	o, _ := h.in(t, "mara@example.org", "")
	h.now = h.now.Add(access.FreshFor)
	mara := h.visitor(t, o.Token)
	require.False(t, h.access.Fresh(mara))
	for why, err := range map[string]error{
		"role":   second(h.access.GiveRole(ctx, mara, ivo.ID, access.AsOwner)),
		"end":    second(h.access.EndMembership(ctx, mara, ivo.ID)),
		"invite": second(h.access.Invitation(ctx, mara, access.AsCoach)),
	} {
		require.Equal(t, fault.Forbidden, fault.KindOf(err), why)
		require.Contains(t, fault.MessageOf(err), "a while ago", why)
	}
	require.NoError(t, h.access.ChangeClub(ctx, mara, roster.Club{Name: "Quay", Zone: "UTC"}), "the rest of the settings needs no proof")
	require.NoError(t, h.access.ProveByPassword(ctx, mara, right, home))
	_, err := h.access.GiveRole(ctx, h.visitor(t, o.Token), ivo.ID, access.AsOwner)
	require.NoError(t, err)
}

func second[T any](_ T, err error) error { return err }

func TestAMembershipEndsWithItsLoginsAndLinks(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ivo := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", fake.HashOf(right))
	_, mara := h.in(t, "mara@example.org", "")
	his, _ := h.in(t, "ivo@example.org", "")
	link, err := h.access.CoachLink(ctx, "ivo@example.org")
	require.NoError(t, err)
	_, err = h.access.EndMembership(ctx, mara, ivo.ID)
	require.NoError(t, err)
	_, err = h.access.Visitor(ctx, his.Token)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = h.access.Enter(ctx, link.Code, key, "")
	require.Error(t, err)
	before := h.hasher.Matches.Load()
	_, err = h.signIn("ivo@example.org", right, home)
	_, unknown := h.signIn("nobody@example.org", right, home)
	require.Equal(t, unknown, err, "who has left is answered like somebody unknown")
	require.Equal(t, int32(2), h.hasher.Matches.Load()-before, "after the same work")
	_, err = h.access.EndMembership(ctx, mara, ivo.ID)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestADeputyIsInvited(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	_, mara := h.in(t, "mara@example.org", "")
	coach, err := h.access.Invitation(ctx, mara, access.AsCoach)
	require.NoError(t, err)
	deputy, err := h.access.Invitation(ctx, mara, access.AsDeputy)
	require.NoError(t, err)
	for code, role := range map[access.Token]access.Role{coach.Code: access.AsCoach, deputy.Code: access.AsDeputy} {
		o, err := h.access.Join(ctx, code, access.Newcomer{Name: "New", Email: string(role) + "@example.org", Password: "long enough for it"}, "")
		require.NoError(t, err)
		require.Equal(t, role, access.RoleOf(h.visitor(t, o.Token).Coach))
	}
}

func TestTheClubIsChanged(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	o, mara := h.in(t, "mara@example.org", "")
	require.Equal(t, []string{"club", "zone"}, places(h.access.ChangeClub(ctx, mara, roster.Club{Name: " ", Zone: "Mars"})))
	require.NoError(t, h.access.ChangeClub(ctx, mara, roster.Club{Name: " Quay ", Zone: "Europe/Oslo", OwnOnly: true, Demo: true}))
	v := h.visitor(t, o.Token)
	require.Equal(t, roster.Club{ID: h.club.ID, Name: "Quay", Zone: "Europe/Oslo", OwnOnly: true}, v.Club)
	require.False(t, v.Actor().OwnOnly, "an owner sees all")
}

func TestANewDeviceIsToldElsewhereUntilItIsClaimed(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	desk, mara := h.in(t, "mara@example.org", "Firefox on Linux")
	require.False(t, desk.Login.NewDevice, "the first of all: there is nobody to tell")
	phone, v := h.in(t, "mara@example.org", "Safari on iPhone")
	require.True(t, v.Login.NewDevice)

	told := func(v *access.Visitor) []roster.LoginID {
		logins, err := h.access.NewLogins(ctx, v)
		require.NoError(t, err)
		ids := []roster.LoginID{}
		for _, l := range logins {
			ids = append(ids, l.ID)
		}
		return ids
	}
	require.Equal(t, []roster.LoginID{v.Login.ID}, told(mara))
	require.Empty(t, told(v), "a device tells nothing of itself")
	require.Equal(t, fault.Forbidden, fault.KindOf(h.access.Claim(ctx, v, v.Login.ID)), "nor does it claim itself")

	// Whoever is in by stealth cannot make the device known by coming in once more.
	_, w := h.in(t, "mara@example.org", "Safari on iPhone")
	require.True(t, w.Login.NewDevice)
	require.Equal(t, fault.Forbidden, fault.KindOf(h.access.Claim(ctx, w, v.Login.ID)))
	require.Len(t, told(mara), 2)

	require.NoError(t, h.access.Claim(ctx, mara, w.Login.ID))
	require.NoError(t, h.access.Claim(ctx, mara, v.Login.ID))
	require.Empty(t, told(h.visitor(t, desk.Token)))
	_, again := h.in(t, "mara@example.org", "Safari on iPhone")
	require.False(t, again.Login.NewDevice, "claimed, it is known")

	ivo := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", fake.HashOf(right))
	_, his := h.in(t, ivo.Email, "x")
	require.Equal(t, fault.NotFound, fault.KindOf(h.access.Claim(ctx, his, h.visitor(t, phone.Token).Login.ID)), "another's")
}

func TestADeviceIsForgottenAfterAYear(t *testing.T) {
	h := newHouse(t)
	h.in(t, "mara@example.org", "Firefox on Linux")
	h.now = h.now.Add(364 * 24 * time.Hour)
	_, v := h.in(t, "mara@example.org", "Firefox on Linux")
	require.False(t, v.Login.NewDevice)
	h.now = h.now.Add(366 * 24 * time.Hour)
	_, v = h.in(t, "mara@example.org", "Firefox on Linux")
	require.True(t, v.Login.NewDevice)
}

func TestAWeekOldDeviceAnswersForItself(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	h.in(t, "mara@example.org", "Firefox on Linux")
	phone, _ := h.in(t, "mara@example.org", "Safari on iPhone")
	h.now = h.now.Add(7 * 24 * time.Hour)
	tablet, _ := h.in(t, "mara@example.org", "Safari on iPad")
	require.NoError(t, h.access.Claim(ctx, h.visitor(t, phone.Token), tablet.Login.ID))
	h.now = h.now.Add(31 * 24 * time.Hour)
	_, v := h.in(t, "mara@example.org", "Firefox on Linux")
	fresh, err := h.access.NewLogins(ctx, v)
	require.NoError(t, err)
	require.Empty(t, fresh, "after a month it is no news")
}

func TestCodesAreGuessedSoOftenAndNoMore(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	elsewhere := netip.MustParseAddr("198.51.100.4")
	for range 50 {
		require.NoError(t, h.access.Guessing(ctx, home))
		require.NoError(t, h.access.Guessed(ctx, home))
	}
	err := h.access.Guessing(ctx, home)
	require.Equal(t, fault.TooMany, fault.KindOf(err))
	require.Contains(t, fault.MessageOf(err), "still works")
	require.NoError(t, h.access.Guessing(ctx, elsewhere))
	_, err = h.signIn("mara@example.org", right, home)
	require.NoError(t, err, "passwords are counted for themselves")
	h.now = h.now.Add(16 * time.Minute)
	require.NoError(t, h.access.Guessing(ctx, home))
}
