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
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

// house is a store with one club, and the use case over it at a time the test sets.
type house struct {
	store  *fake.Store
	hasher *fake.Hasher
	access *access.Service
	now    time.Time
	club   roster.Club
	owner  roster.Coach
}

const right = "a quiet lane at six"

var home = netip.MustParseAddr("192.0.2.7")

func newHouse(t *testing.T) *house {
	t.Helper()
	h := &house{store: fake.New(), hasher: &fake.Hasher{}, now: time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC)}
	h.access = &access.Service{Store: h.store, Hasher: h.hasher, Keys: fake.Keys{}, Random: &fake.Random{}, Now: func() time.Time { return h.now }}
	h.club, h.owner = h.store.Begin("Harbour", "mara@example.org", fake.HashOf(right))
	return h
}

func (h *house) signIn(email, password string, from netip.Addr) (access.Opened, error) {
	return h.access.SignIn(context.Background(), access.Attempt{Email: email, Password: password, From: from, Device: "Firefox on Linux"})
}

func TestSignIn(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	o, err := h.signIn(" Mara@Example.org ", right, home)
	require.NoError(t, err)
	require.Len(t, string(o.Token), 43, "32 bytes in base64")
	v, err := h.access.Visitor(ctx, o.Token)
	require.NoError(t, err)
	require.Equal(t, h.owner.ID, v.Coach.ID)
	require.True(t, v.IsOwner())
	require.Equal(t, roster.Actor{Club: h.club.ID, Coach: h.owner.ID}, v.Actor())
	require.Equal(t, h.now.Add(30*24*time.Hour), o.Login.Expires)

	require.NoError(t, h.access.SignOut(ctx, &v))
	_, err = h.access.Visitor(ctx, o.Token)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "signed out")
}

func TestOnlyTheHashOfATokenIsKept(t *testing.T) {
	h := newHouse(t)
	o, err := h.signIn("mara@example.org", right, home)
	require.NoError(t, err)
	_, err = h.access.Visitor(context.Background(), access.Token(fmt.Sprintf("%x", o.Token.Hash())))
	require.Error(t, err, "what is kept opens nothing")
	for _, junk := range []access.Token{"", "x", o.Token + "A", o.Token[:42] + "=", "../../etc/passwd"} {
		_, err := h.access.Visitor(context.Background(), junk)
		require.Equal(t, fault.NotFound, fault.KindOf(err), "%q", junk)
	}
}

// Whether an address is known must not be told by words nor by the time taken:
// the slow comparison is done as often for the one as for the other.
func TestUnknownAddressIsAnsweredLikeAWrongPassword(t *testing.T) {
	h := newHouse(t)
	_, known := h.signIn("mara@example.org", "wrong, wrong, wrong", home)
	before := h.hasher.Matches.Load()
	_, unknown := h.signIn("nobody@example.org", "wrong, wrong, wrong", home)
	require.Equal(t, int32(1), before)
	require.Equal(t, int32(1), h.hasher.Matches.Load()-before)
	require.Equal(t, fault.Invalid, fault.KindOf(known))
	require.Equal(t, known, unknown)
	for _, junk := range []string{"", "mara", "mara@example.org\x00", "\xff@example.org"} {
		_, err := h.signIn(junk, "wrong, wrong, wrong", home)
		require.Equal(t, known, err, "what is no address is answered alike: %q", junk)
	}
	require.Equal(t, int32(6), h.hasher.Matches.Load())
}

func TestAttemptsOnAnAccountFromOneAddressEnd(t *testing.T) {
	h := newHouse(t)
	for range 10 {
		_, err := h.signIn("mara@example.org", "wrong, wrong, wrong", home)
		require.Equal(t, fault.Invalid, fault.KindOf(err))
	}
	hashed := h.hasher.Matches.Load()
	_, err := h.signIn("mara@example.org", right, home)
	require.Equal(t, fault.TooMany, fault.KindOf(err), "the eleventh, even with the right password")
	require.Contains(t, fault.MessageOf(err), "quarter of an hour")
	require.Equal(t, hashed, h.hasher.Matches.Load(), "nothing is hashed for it")

	_, err = h.signIn("mara@example.org", right, netip.MustParseAddr("198.51.100.4"))
	require.NoError(t, err, "from another address the account is open: nobody can lock somebody else out")

	h.now = h.now.Add(16 * time.Minute)
	_, err = h.signIn("mara@example.org", right, home)
	require.NoError(t, err, "after a quarter of an hour")
}

func TestARightPasswordForgivesWrongOnes(t *testing.T) {
	h := newHouse(t)
	for range 5 {
		for range 9 {
			_, err := h.signIn("mara@example.org", "wrong, wrong, wrong", home)
			require.Equal(t, fault.Invalid, fault.KindOf(err))
		}
		_, err := h.signIn("mara@example.org", right, home)
		require.NoError(t, err)
		h.now = h.now.Add(16 * time.Minute)
	}
}

func TestThePauseGrows(t *testing.T) {
	h := newHouse(t)
	var err error
	for range 31 {
		_, err = h.signIn("mara@example.org", "wrong, wrong, wrong", home)
		h.now = h.now.Add(2 * time.Minute)
	}
	require.Equal(t, fault.TooMany, fault.KindOf(err), "never 10 in a quarter of an hour, but 30 in a day")
	require.Contains(t, fault.MessageOf(err), "tomorrow")
	h.now = h.now.Add(24 * time.Hour)
	_, err = h.signIn("mara@example.org", right, home)
	require.NoError(t, err, "and it ends")
}

func TestOneAddressCannotTryManyAccounts(t *testing.T) {
	h := newHouse(t)
	var err error
	for i := range 51 {
		_, err = h.signIn(string(rune('a'+i%26))+string(rune('a'+i/26))+"@example.org", "wrong, wrong, wrong", home)
	}
	require.Equal(t, fault.TooMany, fault.KindOf(err))
	neighbour := netip.MustParseAddr("2001:db8:1:2::1")
	for i := range 51 {
		from := netip.AddrFrom16([16]byte{0x20, 1, 0xd, 0xb8, 0, 1, 0, 2, 15: byte(i + 1)})
		_, err = h.signIn(string(rune('a'+i%26))+string(rune('a'+i/26))+"@example.org", "wrong, wrong, wrong", from)
	}
	require.Equal(t, fault.TooMany, fault.KindOf(err), "one network of version 6 is one address")
	_, err = h.signIn("mara@example.org", right, neighbour)
	require.Equal(t, fault.TooMany, fault.KindOf(err))
}

func TestAOneTimeLinkAlwaysWorks(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	for range 40 {
		_, _ = h.signIn("mara@example.org", "wrong, wrong, wrong", home)
	}
	link, err := h.access.CoachLink(ctx, "Mara@example.org")
	require.NoError(t, err)
	o, err := h.access.Enter(ctx, link.Code, "key-of-the-form", "Firefox on Linux")
	require.NoError(t, err)
	v, err := h.access.Visitor(ctx, o.Token)
	require.NoError(t, err)
	require.True(t, v.IsCoach())

	_, err = h.access.CoachLink(ctx, "nobody@example.org")
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestALoginInUseGoesOnAndAnIdleOneEnds(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	o, err := h.signIn("mara@example.org", right, home)
	require.NoError(t, err)
	for range 10 {
		h.now = h.now.Add(20 * 24 * time.Hour)
		_, err = h.access.Visitor(ctx, o.Token)
		require.NoError(t, err, "seen every 20 days it goes on for 200")
	}
	h.now = h.now.Add(30*24*time.Hour + time.Second)
	_, err = h.access.Visitor(ctx, o.Token)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestAStoreThatIsDownIsNoWrongPassword(t *testing.T) {
	h := newHouse(t)
	h.store.Down = context.DeadlineExceeded
	_, err := h.signIn("mara@example.org", right, home)
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
}
