package postgres

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// passkey is one of the club's coach that counts.
func (b *bench) passkey(c club) access.Passkey {
	id := b.hash()
	return access.Passkey{
		Club: c.ID, Coach: c.Coach, Credential: id[:], PublicKey: []byte("a key"), Count: 3, Transports: []string{"hybrid", "internal"},
		Site: "run.example.org", Name: "Phone of " + c.Name, CreatedAt: noon,
	}
}

// addKey keeps a passkey of the club's coach and gives it as kept.
func (b *bench) addKey(t *testing.T, c club) access.Passkey {
	t.Helper()
	k := b.passkey(c)
	var err error
	k.ID, err = b.AddPasskey(t.Context(), c.Actor, k)
	require.NoError(t, err)
	return k
}

// changes are the lines of the audit about passkeys and what they opened, in order.
func (b *bench) changes(t *testing.T, c club) []string {
	t.Helper()
	return value[[]string](t, b, `select coalesce(array_agg(change::text order by audit_id), '{}') from audit
		where club_id = $1 and (change like 'passkey.%' or change = 'login.prove')`, c.ID)
}

func TestAPasskeyIsFoundByItsCredentialAlone(t *testing.T) {
	t.Parallel()
	b := open(t)
	ours, theirs := b.club(t, "Harbour"), b.club(t, "Hill")
	k, other := b.addKey(t, ours), b.addKey(t, theirs)
	found, err := b.ByCredential(t.Context(), k.Credential)
	require.NoError(t, err)
	require.Equal(t, k, found, "as it was kept")
	found, err = b.ByCredential(t.Context(), other.Credential)
	require.NoError(t, err)
	require.Equal(t, theirs.ID, found.Club)
	for _, unknown := range [][]byte{nil, {}, []byte("unheard of"), k.Credential[1:]} {
		_, err = b.ByCredential(t.Context(), unknown)
		kind(t, fault.NotFound, err)
	}
	own, err := b.Passkeys(t.Context(), ours.ID, ours.Coach)
	require.NoError(t, err)
	require.Equal(t, []access.Passkey{k}, own)
	own, err = b.Passkeys(t.Context(), ours.ID, theirs.Coach)
	require.NoError(t, err)
	require.Empty(t, own)

	k.Coach, k.Club = theirs.Coach, theirs.ID
	_, err = b.AddPasskey(t.Context(), theirs.Actor, k)
	kind(t, fault.Conflict, err, "nobody takes another's credential")
	require.Equal(t, []string{"passkey.add"}, b.changes(t, ours))
}

func TestAPasskeysCountOnlyGoesOn(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	k := b.addKey(t, c)
	require.NoError(t, b.SignedBy(t.Context(), k, access.Signed{Count: 4}, noon))
	found, err := b.ByCredential(t.Context(), k.Credential)
	require.NoError(t, err)
	require.EqualValues(t, 4, found.Count)
	require.Equal(t, noon, found.UsedAt)
	for _, back := range []uint32{4, 3, 0} {
		kind(t, fault.Conflict, b.SignedBy(t.Context(), k, access.Signed{Count: back}, noon))
	}
	require.NoError(t, b.SignedBy(t.Context(), k, access.Signed{Count: 1<<32 - 1}, noon), "the largest there is")

	still := b.passkey(c)
	still.Count, still.Eligible, still.Transports = 0, true, []string{}
	still.ID, err = b.AddPasskey(t.Context(), c.Actor, still)
	require.NoError(t, err)
	for range 2 {
		require.NoError(t, b.SignedBy(t.Context(), still, access.Signed{BackedUp: true}, noon), "one that does not count stays at 0")
	}

	require.NoError(t, b.RefusePasskey(t.Context(), still, noon))
	require.NoError(t, b.RefusePasskey(t.Context(), still, noon.Add(time.Hour)))
	kind(t, fault.Conflict, b.SignedBy(t.Context(), still, access.Signed{Count: 9}, noon), "refused for good")
	found, err = b.ByCredential(t.Context(), still.Credential)
	require.NoError(t, err)
	require.Equal(t, noon, found.RefusedAt, "the first time")
	require.True(t, found.BackedUp)
	require.Equal(t, []string{"passkey.add", "passkey.use", "passkey.use", "passkey.add", "passkey.use", "passkey.use", "passkey.refuse"}, b.changes(t, c))
}

func TestARemovedPasskeyIsGoneWithItsLogins(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	k := b.addKey(t, c)
	in := func(by roster.PasskeyID) roster.LoginID {
		id, err := b.Open(t.Context(), b.hash(), access.Login{Club: c.ID, Coach: c.Coach, Passkey: by, Device: "Firefox", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
		require.NoError(t, err)
		return id
	}
	here, elsewhere, typed := in(k.ID), in(k.ID), in(0)
	kind(t, fault.NotFound, b.RemovePasskey(t.Context(), other.Actor, k.ID, noon, here), "another club's coach")
	kind(t, fault.NotFound, b.RemovePasskey(t.Context(), roster.Actor{Club: c.ID, Coach: c.Coach + 1000}, k.ID, noon, here), "another coach")
	require.NoError(t, b.RemovePasskey(t.Context(), c.Actor, k.ID, noon, here))
	kind(t, fault.NotFound, b.RemovePasskey(t.Context(), c.Actor, k.ID, noon, here), "once")
	logins, err := b.Logins(t.Context(), c.ID, c.Coach, 0, noon)
	require.NoError(t, err)
	require.Len(t, logins, 2)
	require.Equal(t, []roster.LoginID{typed, here}, []roster.LoginID{logins[0].ID, logins[1].ID}, "%d has ended", elsewhere)
	require.Equal(t, k.ID, logins[1].Passkey)
	_, err = b.ByCredential(t.Context(), k.Credential)
	kind(t, fault.NotFound, err)
	kind(t, fault.Conflict, b.SignedBy(t.Context(), k, access.Signed{Count: 9}, noon), "whoever was in between")
	own, err := b.Passkeys(t.Context(), c.ID, c.Coach)
	require.NoError(t, err)
	require.Empty(t, own)
	require.Equal(t, []string{"passkey.add", "passkey.remove"}, b.changes(t, c))
}

func TestALoginIsProvedByItsCoachOnly(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	token := b.hash()
	id, err := b.Open(t.Context(), token, access.Login{Club: c.ID, Coach: c.Coach, Device: "Firefox", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	kind(t, fault.NotFound, b.Prove(t.Context(), other.Actor, id, noon))
	kind(t, fault.NotFound, b.Prove(t.Context(), roster.Actor{Club: c.ID, Coach: c.Coach + 1000}, id, noon))
	v, err := b.Visitor(t.Context(), token, noon)
	require.NoError(t, err)
	require.Zero(t, v.Login.Proved)
	require.NoError(t, b.Prove(t.Context(), c.Actor, id, noon.Add(time.Minute)))
	v, err = b.Visitor(t.Context(), token, noon)
	require.NoError(t, err)
	require.Equal(t, noon.Add(time.Minute), v.Login.Proved)
	require.NoError(t, b.Close(t.Context(), c.Actor, id))
	kind(t, fault.NotFound, b.Prove(t.Context(), c.Actor, id, noon), "ended")
	require.Equal(t, []string{"login.prove"}, b.changes(t, c))
}

func TestACeremonyEndsOnceHoweverManyTry(t *testing.T) {
	t.Parallel()
	b := open(t)
	secret := b.hash()
	require.NoError(t, b.BeginCeremony(t.Context(), secret, noon, noon.Add(time.Minute)))
	var wait sync.WaitGroup
	ended := make([]error, 8)
	for i := range ended {
		wait.Go(func() { ended[i] = b.EndCeremony(t.Context(), secret, noon) })
	}
	wait.Wait()
	held := 0
	for _, err := range ended {
		if err == nil {
			held++
			continue
		}
		kind(t, fault.Gone, err)
	}
	require.Equal(t, 1, held)
	kind(t, fault.Gone, b.EndCeremony(t.Context(), b.hash(), noon), "never begun")

	require.NoError(t, b.BeginCeremony(t.Context(), secret, noon, noon.Add(time.Minute)))
	kind(t, fault.Gone, b.EndCeremony(t.Context(), secret, noon.Add(time.Minute)), "over")
	require.NoError(t, b.BeginCeremony(t.Context(), b.hash(), noon.Add(time.Minute), noon.Add(time.Hour)))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from ceremony"), "what is over is forgotten")
}
