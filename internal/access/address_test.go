package access_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/testing/fake"
)

const another = "mara@elsewhere.example"

// mara is the owner with a login opened now.
func (h *house) mara(t *testing.T, device string) access.Visitor {
	t.Helper()
	o, err := h.access.SignIn(context.Background(), access.Attempt{Email: h.store.People[h.owner.ID].Email, Password: right, From: home, Device: device})
	require.NoError(t, err)
	return h.again(t, o)
}

// again is whoever holds the login, as of now.
func (h *house) again(t *testing.T, o access.Opened) access.Visitor {
	t.Helper()
	v, err := h.access.Visitor(context.Background(), o.Token)
	require.NoError(t, err)
	return v
}

func TestANewAddressNeedsAFreshSignIn(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	v := h.mara(t, "Firefox on Linux")
	require.NoError(t, h.access.MayChangeAddress(ctx, &v, another))
	for _, junk := range []string{"", "mara", "a b@example.org", " MARA@example.org "} {
		require.Equal(t, []string{"email"}, places(h.access.MayChangeAddress(ctx, &v, junk)), "%q", junk)
	}
	h.now = h.now.Add(access.FreshFor)
	require.Equal(t, fault.Forbidden, fault.KindOf(h.access.MayChangeAddress(ctx, &v, another)), "a login that was left open")
	require.NoError(t, h.access.ProveByPassword(ctx, &v, right, home))
	v.Login.Proved = h.now
	require.NoError(t, h.access.MayChangeAddress(ctx, &v, another))

	ana := h.store.Runner(h.club.ID, "Ana")
	runner := access.Visitor{Club: h.club, Athlete: &ana, Login: access.Login{Club: h.club.ID, Athlete: ana.ID, Since: h.now}}
	require.Equal(t, fault.NotFound, fault.KindOf(h.access.MayChangeAddress(ctx, &runner, another)), "an athlete has none to sign in with")
}

// Nobody's box is filled, and no coach writes to one stranger after the other.
func TestFewLettersGoToNewAddresses(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	v := h.mara(t, "")
	for i := range 9 {
		err := h.access.MayChangeAddress(ctx, &v, string(rune('a'+i))+"@example.org")
		require.Equal(t, i >= 8, fault.KindOf(err) == fault.TooMany, "%d: %v", i, err)
	}
	h = newHouse(t)
	v = h.mara(t, "")
	for i := range 5 {
		require.Equal(t, i >= 4, fault.KindOf(h.access.MayChangeAddress(ctx, &v, another)) == fault.TooMany, i)
	}
}

// The link alone changes nothing and lets nobody in: it is for the coach who asked,
// once, in time; whoever else has the letter has nothing.
func TestTheLinkOfANewAddress(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	phone, desk := h.mara(t, "Safari on iPhone"), h.mara(t, "Firefox on Linux")
	link, err := h.access.AddressLink(ctx, h.club.ID, h.owner.ID, another)
	require.NoError(t, err)
	way, err := h.access.WayInLink(ctx, h.club.ID, h.owner.ID, 0)
	require.NoError(t, err)
	_, err = h.access.Enter(ctx, link.Code, key, "")
	require.Equal(t, fault.NotFound, fault.KindOf(err), "it lets nobody in")
	ivo := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", fake.HashOf(right))
	other := access.Visitor{Club: h.club, Coach: &ivo, Login: access.Login{Club: h.club.ID, Coach: ivo.ID, Since: h.now}}
	require.Equal(t, fault.NotFound, fault.KindOf(h.access.ChangeAddress(ctx, &other, link.Code)), "another coach")
	require.Equal(t, fault.NotFound, fault.KindOf(h.access.ChangeAddress(ctx, &desk, way.Code)), "a link for something else")

	email, err := h.access.NewAddress(ctx, &desk, link.Code)
	require.NoError(t, err)
	require.Equal(t, another, email)
	h.now = h.now.Add(time.Minute)
	require.NoError(t, h.access.ChangeAddress(ctx, &desk, link.Code))
	require.Equal(t, another, h.store.People[h.owner.ID].Email)
	require.NoError(t, h.access.ChangeAddress(ctx, &desk, link.Code), "pressed twice")
	require.Equal(t, fault.Gone, fault.KindOf(h.access.ChangeAddress(ctx, &phone, link.Code)), "once")
	h.now = h.now.Add(10 * time.Minute)
	require.Equal(t, fault.Gone, fault.KindOf(h.access.ChangeAddress(ctx, &desk, link.Code)), "much later it is no double tap")
	_, err = h.access.Enter(ctx, way.Code, key, "")
	require.Error(t, err, "what lies in the box of before lets nobody in any more")
	told := h.store.Letters[len(h.store.Letters)-1]
	require.Equal(t, post.OldAddress, told.Kind)
	require.Equal(t, "mara@example.org", told.Address)

	h.now = h.now.Add(time.Minute)
	late := h.mara(t, "Chrome on Windows")
	coach := h.store.People[h.owner.ID].Coach
	phone.Coach, desk.Coach = &coach, &coach
	require.True(t, h.access.AddressNews(&phone))
	require.False(t, h.access.AddressNews(&desk), "that one changed it")
	require.False(t, h.access.AddressNews(&late), "that one signed in with it")
	require.NoError(t, h.access.SawAddress(ctx, &late))
	require.NotZero(t, h.store.People[h.owner.ID].EmailBy, "one that came later cannot say that all is well")
	require.NoError(t, h.access.SawAddress(ctx, &phone))
	require.Zero(t, h.store.People[h.owner.ID].EmailBy)
}

func TestALinkOfANewAddressEnds(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	v := h.mara(t, "")
	link, err := h.access.AddressLink(ctx, h.club.ID, h.owner.ID, another)
	require.NoError(t, err)
	h.now = h.now.Add(24 * time.Hour)
	require.Equal(t, fault.Gone, fault.KindOf(h.access.ChangeAddress(ctx, &v, link.Code)), "a day later")

	link, err = h.access.AddressLink(ctx, h.club.ID, h.owner.ID, "ivo@example.org")
	require.NoError(t, err)
	h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", "")
	require.Equal(t, fault.Conflict, fault.KindOf(h.access.ChangeAddress(ctx, &v, link.Code)))
	require.Equal(t, "mara@example.org", h.store.People[h.owner.ID].Email)
}
