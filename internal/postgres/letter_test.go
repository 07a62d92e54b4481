package postgres

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// mailable gives an athlete an address.
func (b *bench) mailable(t *testing.T, c club, name, email string) roster.Athlete {
	t.Helper()
	a := b.athlete(t, c, name)
	a.Email = email
	require.NoError(t, b.Change(t.Context(), c.Actor, a))
	return a
}

func TestALetterIsWrittenOnceAndHandedOn(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	ana := b.mailable(t, c, "Ana", "ana@example.org")
	key := b.key()
	for range 2 {
		require.NoError(t, b.Write(t.Context(), c.Actor, post.Invitation, ana.ID, "", key))
	}
	require.Len(t, b.work.letters, 1, "sent twice, stored once")
	id := b.work.letters[0]
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'letter.write' and row_id = $1 and coach_id = $2", id, c.Coach))

	l, err := b.Letter(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Equal(t, post.Letter{
		ID: id, Club: c.Club, Kind: post.Invitation, Athlete: ana.ID, Name: "Ana", Address: "ana@example.org", By: "Owner of Harbour", MadeAt: noon,
	}, l)
	_, err = b.Letter(t.Context(), other.ID, id)
	kind(t, fault.NotFound, err, "another club's")
	kind(t, fault.NotFound, b.Write(t.Context(), other.Actor, post.Invitation, ana.ID, "", b.key()), "to another club's athlete")

	require.NoError(t, b.Leave(t.Context(), c.Actor, ana.ID, noon))
	l, err = b.Letter(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Empty(t, l.Address, "whoever left gets no mail")

	require.NoError(t, b.Write(t.Context(), c.Actor, post.CoachInvitation, 0, "ivo@example.org", b.key()))
	l, err = b.Letter(t.Context(), c.ID, b.work.letters[1])
	require.NoError(t, err)
	require.Equal(t, "ivo@example.org", l.Address)
	require.Empty(t, l.Name, "nobody here yet")
}

func TestHowALetterEndsIsNotedOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	for _, k := range []struct {
		first, then func(roster.LetterID) error
		sent        bool
		why         string
	}{
		{func(id roster.LetterID) error { return b.Sent(t.Context(), c.ID, id) }, func(id roster.LetterID) error { return b.Drop(t.Context(), c.ID, id, post.Late) }, true, "sent"},
		{func(id roster.LetterID) error { return b.Drop(t.Context(), c.ID, id, post.Refused) }, func(id roster.LetterID) error { return b.Sent(t.Context(), c.ID, id) }, false, "dropped"},
	} {
		require.NoError(t, b.Write(t.Context(), c.Actor, post.CoachInvitation, 0, "ivo@example.org", b.key()))
		id := b.work.letters[len(b.work.letters)-1]
		require.NoError(t, k.first(id))
		require.NoError(t, k.then(id), "%s: what comes second changes nothing", k.why)
		require.Equal(t, k.sent, value[bool](t, b, "select sent_at is not null from letter where letter_id = $1", id), k.why)
		l, err := b.Letter(t.Context(), c.ID, id)
		require.NoError(t, err)
		require.True(t, l.Done, k.why)
		require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change in ('letter.send', 'letter.drop') and row_id = $1", id), k.why)
	}
}

// A letter that cannot be handed on is not kept either: nobody would ever send it.
func TestAWriteAndItsErrandAreOne(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	b.work.fails = errors.New("no hands")
	require.Error(t, b.Write(t.Context(), c.Actor, post.CoachInvitation, 0, "ivo@example.org", b.key()))
	require.Zero(t, value[int](t, b, "select count(*)::int from letter"))
	_, err := b.Open(t.Context(), b.hash(), access.Login{Club: c.ID, Coach: c.Coach, Device: "Firefox", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err, "a first login is no news")
	_, err = b.Open(t.Context(), b.hash(), access.Login{Club: c.ID, Coach: c.Coach, Device: "Safari", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.Error(t, err)
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from login"))
}

func TestWaysInAreAskedForAllWhoHaveTheAddress(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	ana := b.mailable(t, c, "Ana", "home@example.org")
	ben := b.mailable(t, other, "Ben", "home@example.org")
	gone := b.mailable(t, other, "Gone", "home@example.org")
	require.NoError(t, b.Leave(t.Context(), other.Actor, gone.ID, noon))
	for _, k := range []struct {
		email string
		want  []post.Person
	}{
		{"home@example.org", []post.Person{{Club: c.ID, Athlete: ana.ID}, {Club: other.ID, Athlete: ben.ID}}},
		{value[string](t, b, "select email from coach where club_id = $1", c.ID), []post.Person{{Club: c.ID, Coach: c.Coach}}},
		{"nobody@example.org", nil},
		{"", nil},
		{"%", nil},
	} {
		require.NoError(t, b.AskWayIn(t.Context(), k.email))
		require.Equal(t, k.want, b.work.people[len(b.work.people)-1], "%q: handed on for nobody too", k.email)
	}
	require.Len(t, b.work.people, 5)

	for range 2 {
		require.NoError(t, b.WaysIn(t.Context(), b.work.people[0], "ways-in-1"))
	}
	require.Len(t, b.work.letters, 2, "worked twice, written once")
	l, err := b.Letter(t.Context(), other.ID, b.work.letters[1])
	require.NoError(t, err)
	require.Equal(t, post.WayIn, l.Kind)
	require.Equal(t, "Ben", l.Name)
	require.Empty(t, l.By)
}

func TestANewDeviceIsWrittenAboutToItsCoach(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	in := func(device string) {
		_, err := b.Open(t.Context(), b.hash(), access.Login{Club: c.ID, Coach: c.Coach, Device: device, Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
		require.NoError(t, err)
	}
	for _, k := range []struct {
		device string
		want   int
		why    string
	}{
		{"Firefox on Linux", 0, "the first login of all"}, {"Firefox on Linux", 0, "there again"}, {"Safari on iPhone", 1, "another device"},
		{"Safari on iPhone", 2, "which nobody has said is theirs"}, {"Firefox on Linux", 2, "the first one is known"},
	} {
		in(k.device)
		require.Len(t, b.work.letters, k.want, k.why)
	}
	l, err := b.Letter(t.Context(), c.ID, b.work.letters[0])
	require.NoError(t, err)
	require.Equal(t, post.NewDevice, l.Kind)
	require.Equal(t, "Safari on iPhone", l.Device)
	require.Equal(t, noon, l.Since)

	use := func(k access.Code) {
		require.NoError(t, b.PutCode(t.Context(), c.Actor, k))
		_, err := b.Use(t.Context(), k.Hash, noon, b.hash(), access.Login{Device: "Edge on Windows", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
		require.NoError(t, err)
	}
	use(access.Code{Hash: b.hash(), Purpose: access.AthleteLink, Club: c.ID, Athlete: a.ID, Expires: noon.Add(time.Hour)})
	require.Len(t, b.work.letters, 2, "an athlete's first is no news")
	use(access.Code{Hash: b.hash(), Purpose: access.CoachLink, Club: c.ID, Coach: c.Coach, Expires: noon.Add(time.Hour)})
	require.Len(t, b.work.letters, 3, "by a link it is news as well")
}

func TestACodeBesideOthersEndsNone(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	code := func(beside bool) access.Code {
		k := access.Code{Hash: b.hash(), Purpose: access.CoachLink, Club: c.ID, Coach: c.Coach, Expires: noon.Add(time.Hour), Beside: beside}
		require.NoError(t, b.PutCode(t.Context(), c.Actor, k))
		return k
	}
	holds := func(k access.Code) bool {
		kept, err := b.Peek(t.Context(), k.Hash)
		require.NoError(t, err)
		return kept.Expires.After(noon)
	}
	first, second := code(false), code(true)
	require.True(t, holds(first))
	require.True(t, holds(second))
	third := code(false)
	require.False(t, holds(first))
	require.False(t, holds(second), "one that stands alone ends those too")
	require.NoError(t, b.SetPassword(t.Context(), c.Actor, "phc", 0))
	require.False(t, holds(third), "with a new password no link of before lets anybody in")
}
