package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
)

// kind says of which kind the error must be.
func kind(t *testing.T, want fault.Kind, err error, why ...any) {
	t.Helper()
	require.Error(t, err, why...)
	require.Equal(t, want, fault.KindOf(err), err)
}

func TestAClubIsFoundedOnceByItsCode(t *testing.T) {
	t.Parallel()
	b := open(t)
	empty, err := b.db.Empty(t.Context())
	require.NoError(t, err)
	require.True(t, empty)
	founder := roster.Coach{Name: "Ida", Email: "ida@example.org"}
	found := func(code access.Hash, now time.Time) (roster.ClubID, roster.CoachID, error) {
		return b.Found(t.Context(), code, now, roster.Club{Name: "Harbour", Zone: "Europe/Lisbon", Demo: true}, founder, "phc")
	}
	put := func() access.Hash {
		code := b.hash()
		require.NoError(t, b.PutCode(t.Context(), roster.Actor{}, access.Code{Hash: code, Purpose: access.SetUp, Expires: noon.Add(time.Hour)}))
		return code
	}
	_, _, err = found(b.hash(), noon)
	kind(t, fault.NotFound, err, "a code nobody made")
	first, second := put(), put()
	_, _, err = found(first, noon)
	kind(t, fault.Gone, err, "a newer one was made")
	_, _, err = found(second, noon.Add(time.Hour))
	kind(t, fault.Gone, err, "too late")
	club, coach, err := found(second, noon)
	require.NoError(t, err)
	_, _, err = found(second, noon)
	kind(t, fault.Gone, err, "used")

	empty, err = b.db.Empty(t.Context())
	require.NoError(t, err)
	require.False(t, empty)
	kept, err := b.Club(t.Context(), club)
	require.NoError(t, err)
	require.Equal(t, roster.Club{ID: club, Name: "Harbour", Zone: "Europe/Lisbon", Demo: true}, kept)
	coaches, err := b.Coaches(t.Context(), club)
	require.NoError(t, err)
	require.Equal(t, []roster.Coach{{ID: coach, Club: club, Name: "Ida", Email: "ida@example.org", Owner: true}}, coaches)
	shelf, err := b.NewestShelf(t.Context(), club)
	require.NoError(t, err)
	require.Equal(t, *pathway.Default(), shelf.Pathway)
	require.Equal(t, 1, shelf.Version)

	_, _, err = found(put(), noon)
	kind(t, fault.Conflict, err, "the address signs in to another club already")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from club"), "nothing half founded")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from code where purpose = 'set_up' and used_at is null and expires_at > '2020-01-01Z'"), "and the code still holds")
}

func TestCodes(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a, bo := b.athlete(t, c, "Ana"), b.athlete(t, c, "Bo")
	link := func(a roster.AthleteID) access.Code {
		k := access.Code{Hash: b.hash(), Purpose: access.AthleteLink, Club: c.ID, Athlete: a, Expires: noon.Add(time.Hour)}
		require.NoError(t, b.PutCode(t.Context(), c.Actor, k))
		return k
	}
	first, ofBo := link(a.ID), link(bo.ID)
	kept, err := b.Peek(t.Context(), first.Hash)
	require.NoError(t, err)
	require.Equal(t, first, kept)
	second := link(a.ID)
	kept, err = b.Peek(t.Context(), first.Hash)
	require.NoError(t, err)
	require.True(t, kept.Expires.Before(noon), "the earlier one has ended")
	kept, err = b.Peek(t.Context(), ofBo.Hash)
	require.NoError(t, err)
	require.Equal(t, ofBo, kept, "that of somebody else has not")
	_, err = b.Peek(t.Context(), b.hash())
	kind(t, fault.NotFound, err)
	kind(t, fault.NotFound, b.PutCode(t.Context(), other.Actor, access.Code{
		Hash: b.hash(), Purpose: access.AthleteLink, Club: other.ID, Athlete: a.ID, Expires: noon.Add(time.Hour),
	}), "another club's athlete")

	token := b.hash()
	login := access.Login{Device: "Safari on iPhone", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)}
	_, err = b.Use(t.Context(), first.Hash, noon, token, login)
	kind(t, fault.Gone, err)
	_, err = b.Use(t.Context(), b.hash(), noon, token, login)
	kind(t, fault.NotFound, err)
	_, err = b.Use(t.Context(), second.Hash, noon.Add(time.Hour), token, login)
	kind(t, fault.Gone, err, "to the second")
	used, err := b.Use(t.Context(), second.Hash, noon, token, login)
	require.NoError(t, err)
	require.Equal(t, noon, used.UsedAt)
	_, err = b.Use(t.Context(), second.Hash, noon, b.hash(), login)
	kind(t, fault.Gone, err, "twice")
	v, err := b.Visitor(t.Context(), token, noon)
	require.NoError(t, err)
	require.Equal(t, a, *v.Athlete)
	require.Equal(t, "Safari on iPhone", v.Login.Device)
}

func TestACodePressedManyTimesOpensOneLogin(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	k := access.Code{Hash: b.hash(), Purpose: access.AthleteLink, Club: c.ID, Athlete: a.ID, Expires: noon.Add(time.Hour)}
	require.NoError(t, b.PutCode(t.Context(), c.Actor, k))
	errs := make(chan error)
	for range 16 {
		token := b.hash()
		go func() {
			_, err := b.Use(t.Context(), k.Hash, noon, token, access.Login{Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
			errs <- err
		}()
	}
	opened := 0
	for range 16 {
		if err := <-errs; err == nil {
			opened++
		} else {
			kind(t, fault.Gone, err)
		}
	}
	require.Equal(t, 1, opened)
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from login"))
}

func TestVisitor(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	token := b.hash()
	l := access.Login{Club: c.ID, Coach: c.Coach, Device: "Firefox", Since: noon, SeenAt: noon, Expires: noon.Add(24 * time.Hour)}
	id, err := b.Open(t.Context(), token, l)
	require.NoError(t, err)
	l.ID = id
	v, err := b.Visitor(t.Context(), token, noon.Add(59*time.Minute))
	require.NoError(t, err)
	require.Equal(t, access.Visitor{
		Login: l, Club: c.Club, Coach: &roster.Coach{ID: c.Coach, Club: c.ID, Name: "Owner of Harbour", Email: v.Coach.Email, Owner: true},
	}, v)
	logins := func(now time.Time) []access.Login {
		all, err := b.Logins(t.Context(), c.ID, c.Coach, 0, now)
		require.NoError(t, err)
		return all
	}
	require.Equal(t, []access.Login{l}, logins(noon), "seen less than an hour ago: not written")
	v, err = b.Visitor(t.Context(), token, noon.Add(time.Hour))
	require.NoError(t, err)
	require.Equal(t, l, v.Login, "as it was before")
	l.SeenAt, l.Expires = noon.Add(time.Hour), noon.Add(25*time.Hour)
	require.Equal(t, []access.Login{l}, logins(noon), "from now on it holds as long as before")
	_, err = b.Visitor(t.Context(), token, noon.Add(25*time.Hour))
	kind(t, fault.NotFound, err, "expired, to the second")
	require.Empty(t, logins(noon.Add(25*time.Hour)))
	_, err = b.Visitor(t.Context(), b.hash(), noon)
	kind(t, fault.NotFound, err)

	own := b.hash()
	_, err = b.Open(t.Context(), own, access.Login{Club: c.ID, Athlete: a.ID, Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	v, err = b.Visitor(t.Context(), own, noon)
	require.NoError(t, err)
	require.Equal(t, &a, v.Athlete)
	require.Nil(t, v.Coach)
	_, err = b.admin.Exec(t.Context(), "update athlete set left_at = now()")
	require.NoError(t, err)
	_, err = b.Visitor(t.Context(), own, noon)
	kind(t, fault.NotFound, err, "has left")
}

func TestLoginsAreRevoked(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	put := func(l access.Login) (roster.LoginID, access.Hash) {
		token := b.hash()
		l.Club, l.Since, l.SeenAt, l.Expires = c.ID, noon, noon, noon.Add(time.Hour)
		id, err := b.Open(t.Context(), token, l)
		require.NoError(t, err)
		return id, token
	}
	gone := func(token access.Hash) {
		t.Helper()
		_, err := b.Visitor(t.Context(), token, noon)
		kind(t, fault.NotFound, err)
	}
	coach, coachToken := put(access.Login{Coach: c.Coach})
	second, secondToken := put(access.Login{Coach: c.Coach})
	athlete, athleteToken := put(access.Login{Athlete: a.ID})
	self := roster.Actor{Club: c.ID, Athlete: a.ID}
	kind(t, fault.NotFound, b.Close(t.Context(), self, coach), "an athlete ends no coach's login")
	kind(t, fault.NotFound, b.Close(t.Context(), roster.Actor{Club: c.ID, Coach: 999}, coach), "nor another coach")
	kind(t, fault.NotFound, b.Close(t.Context(), other.Actor, athlete), "nor another club")
	kind(t, fault.NotFound, b.Close(t.Context(), roster.Actor{Club: c.ID}, athlete), "nor nobody")
	require.NoError(t, b.Close(t.Context(), c.Actor, athlete), "a coach ends an athlete's")
	gone(athleteToken)
	kind(t, fault.NotFound, b.Close(t.Context(), c.Actor, athlete), "ended already")
	athlete, athleteToken = put(access.Login{Athlete: a.ID})
	require.NoError(t, b.Close(t.Context(), self, athlete), "one's own")
	gone(athleteToken)

	require.NoError(t, b.SetPassword(t.Context(), c.Actor, "another", second))
	gone(coachToken)
	_, err := b.Visitor(t.Context(), secondToken, noon)
	require.NoError(t, err, "the one to keep")
	kind(t, fault.NotFound, b.SetPassword(t.Context(), roster.Actor{Club: c.ID, Coach: other.Coach}, "x", 0))
}

func TestByEmailAndJoin(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	invite := access.Code{Hash: b.hash(), Purpose: access.CoachInvite, Club: other.ID, Expires: noon.Add(time.Hour)}
	require.NoError(t, b.PutCode(t.Context(), other.Actor, invite))
	owner, err := b.Coaches(t.Context(), c.ID)
	require.NoError(t, err)
	_, err = b.Join(t.Context(), invite.Hash, noon, roster.Coach{Name: "Bo", Email: owner[0].Email}, "phc-2")
	kind(t, fault.Conflict, err, "an address of another club")
	_, err = b.Join(t.Context(), invite.Hash, noon.Add(time.Hour), roster.Coach{Name: "Bo", Email: "bo@example.org"}, "phc-2")
	kind(t, fault.Gone, err)
	id, err := b.Join(t.Context(), invite.Hash, noon, roster.Coach{Name: "Bo", Email: "bo@example.org", Owner: true}, "phc-2")
	require.NoError(t, err, "the conflict did not use it up")
	_, err = b.Join(t.Context(), invite.Hash, noon, roster.Coach{Name: "Cy", Email: "cy@example.org"}, "phc-3")
	kind(t, fault.Gone, err)
	_, err = b.Join(t.Context(), b.hash(), noon, roster.Coach{Name: "Cy", Email: "cy@example.org"}, "phc-3")
	kind(t, fault.NotFound, err)

	known, err := b.ByEmail(t.Context(), "bo@example.org")
	require.NoError(t, err)
	require.Equal(t, access.Password{Club: other.ID, Coach: id, Hash: "phc-2"}, known)
	coaches, err := b.Coaches(t.Context(), other.ID)
	require.NoError(t, err)
	require.Equal(t, "Bo", coaches[0].Name)
	require.False(t, coaches[0].Owner, "nobody becomes an owner by an invitation")
	_, err = b.ByEmail(t.Context(), "nobody@example.org")
	kind(t, fault.NotFound, err)
	require.NoError(t, b.SetPassword(t.Context(), roster.Actor{Club: other.ID, Coach: id}, "phc-4", 0))
	known, err = b.ByEmail(t.Context(), "bo@example.org")
	require.NoError(t, err)
	require.Equal(t, "phc-4", known.Hash)
}

func TestAttempts(t *testing.T) {
	t.Parallel()
	b := open(t)
	key, other := b.hash(), b.hash()
	tried := func(key access.Hash, now, since time.Time) int {
		n, err := b.Tried(t.Context(), key, now, since)
		require.NoError(t, err)
		return n
	}
	require.Equal(t, 1, tried(key, noon, noon.Add(-time.Hour)))
	require.Equal(t, 2, tried(key, noon, noon.Add(-time.Hour)), "of one instant too")
	require.Equal(t, 1, tried(other, noon, noon.Add(-time.Hour)))
	require.Equal(t, 3, tried(key, noon.Add(time.Hour), noon))
	require.Equal(t, 1, tried(key, noon.Add(2*time.Hour), noon.Add(time.Hour+time.Second)))
	require.NoError(t, b.Forgive(t.Context(), key))
	require.Equal(t, 1, tried(key, noon.Add(2*time.Hour), noon))
	require.Equal(t, 1, tried(key, noon.Add(75*time.Hour), noon.Add(74*time.Hour)))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from attempt"), "old ones are of no use to anybody")

	counts := make(chan int, 16)
	for range 16 {
		go func() {
			n, _ := b.Tried(t.Context(), other, noon.Add(80*time.Hour), noon.Add(79*time.Hour))
			counts <- n
		}()
	}
	seen := map[int]bool{}
	for range 16 {
		seen[<-counts] = true
	}
	require.Len(t, seen, 16, "many at once are counted one after the other")
}
