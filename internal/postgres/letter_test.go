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
	require.Len(t, l.Stop, 32)
	l.Stop = ""
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
		{"Safari on iPhone", 1, "which nobody has said is theirs: once a day"}, {"Chrome on Windows", 2, "one of another kind"}, {"Firefox on Linux", 2, "the first one is known"},
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

// later is the store as it is so long after noon.
func (b *bench) later(t *testing.T, by time.Duration) *Store {
	t.Helper()
	db, err := Open(t.Context(), b.url.AppURL, Options{Now: func() time.Time { return noon.Add(by) }, Errands: b.work})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	return db.Store()
}

// A new device that nobody claims is new for a week, and is written about once a day.
func TestANewDeviceIsWrittenAboutOnceADay(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	for _, k := range []struct {
		after  time.Duration
		device string
		want   int
		why    string
	}{
		{0, "Firefox", 0, "the first of all"},
		{time.Hour, "Safari", 1, "a new one"},
		{11*time.Hour + 59*time.Minute, "Safari", 1, "late on the same day"},
		{12 * time.Hour, "Safari", 2, "the next day"},
		{12 * time.Hour, "Edge", 3, "and another kind"},
		{36 * time.Hour, "Safari", 4, "every day anew"},
		{8 * 24 * time.Hour, "Safari", 4, "after a week it is known"},
	} {
		at := noon.Add(k.after)
		_, err := b.later(t, k.after).Open(t.Context(), b.hash(), access.Login{Club: c.ID, Coach: c.Coach, Device: k.device, Since: at, SeenAt: at, Expires: at.Add(time.Hour)})
		require.NoError(t, err, k.why)
		require.Len(t, b.work.letters, k.want, k.why)
	}
}

func TestLettersGrowOld(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	ana := b.mailable(t, c, "Ana", "ana@example.org")
	require.NoError(t, b.Write(t.Context(), c.Actor, post.Invitation, ana.ID, "", b.key()))
	require.NoError(t, b.Write(t.Context(), other.Actor, post.CoachInvitation, 0, "ivo@example.org", b.key()))
	require.NoError(t, b.later(t, time.Hour).Write(t.Context(), c.Actor, post.Invitation, ana.ID, "", b.key()))
	old, others, young := b.work.letters[0], b.work.letters[1], b.work.letters[2]
	there := func(c club) []post.Stamp {
		all, err := b.LettersThere(t.Context(), c.ID, []roster.LetterID{old, others, young, 9999})
		require.NoError(t, err)
		return all
	}
	require.Equal(t, []post.Stamp{{ID: old, MadeAt: noon}, {ID: young, MadeAt: noon.Add(time.Hour)}}, there(c))
	for _, k := range []struct {
		before time.Time
		want   int
		why    string
	}{{noon, 0, "none is older"}, {noon.Add(time.Minute), 1, "one is"}, {noon.Add(time.Minute), 0, "and is gone"}} {
		n, err := b.ForgetLetters(t.Context(), c.ID, k.before, k.before)
		require.NoError(t, err)
		require.Equal(t, k.want, n, k.why)
	}
	require.Equal(t, []post.Stamp{{ID: young, MadeAt: noon.Add(time.Hour)}}, there(c))
	require.Equal(t, []post.Stamp{{ID: others, MadeAt: noon}}, there(other), "another club's stay")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'letter.forget' and row_id = $1 and coach_id is null", old))
	require.NoError(t, b.Erase(t.Context(), c.Actor, ana.ID, 2026))
	require.Empty(t, there(c), "letters go with whom they are to")
}

func TestARefusedAddressIsNotedWhereItStands(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	ana := b.mailable(t, c, "Ana", "ana@example.org")
	refused := func() time.Time {
		a, err := b.Athlete(t.Context(), c.ID, ana.ID)
		require.NoError(t, err)
		ana = a
		return a.MailRefused
	}
	letter := func() roster.LetterID {
		require.NoError(t, b.Write(t.Context(), c.Actor, post.Invitation, ana.ID, "", b.key()))
		return b.work.letters[len(b.work.letters)-1]
	}
	require.NoError(t, b.Drop(t.Context(), c.ID, letter(), post.Late))
	require.Zero(t, refused(), "too late is no refusal")
	require.NoError(t, b.Refuse(t.Context(), c.ID, letter(), "anna@example.org"))
	require.Zero(t, refused(), "she has another address by now")
	id := letter()
	require.NoError(t, b.Refuse(t.Context(), c.ID, id, "ana@example.org"))
	require.NoError(t, b.Sent(t.Context(), c.ID, id), "what comes second changes nothing")
	require.Equal(t, noon, refused())
	require.NoError(t, b.Drop(t.Context(), c.ID, letter(), post.Nobody))
	require.Equal(t, noon, refused())

	ana.Name = "Ana Costa"
	require.NoError(t, b.Change(t.Context(), c.Actor, ana))
	require.Equal(t, noon, refused(), "the address is the same")
	ana.Email = "ana.costa@example.org"
	require.NoError(t, b.Change(t.Context(), c.Actor, ana))
	require.Zero(t, refused(), "of another one nothing is known")

	require.NoError(t, b.Refuse(t.Context(), c.ID, letter(), "ana.costa@example.org"))
	require.Equal(t, noon, refused())
	require.NoError(t, b.Sent(t.Context(), c.ID, letter()))
	require.Zero(t, refused(), "it takes letters again")
}
