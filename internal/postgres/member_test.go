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

// joins lets a coach in by an invitation of the purpose.
func (b *bench) joins(t *testing.T, c club, purpose access.Purpose, email string) roster.CoachID {
	t.Helper()
	code := b.hash()
	require.NoError(t, b.PutCode(t.Context(), c.Actor, access.Code{Hash: code, Purpose: purpose, Club: c.ID, Expires: noon.Add(time.Hour)}))
	id, err := b.Join(t.Context(), code, noon, roster.Coach{Name: "New", Email: email}, "phc")
	require.NoError(t, err)
	return id
}

func (b *bench) coach(t *testing.T, c club, id roster.CoachID) roster.Coach {
	t.Helper()
	coaches, err := b.Coaches(t.Context(), c.ID)
	require.NoError(t, err)
	for _, coach := range coaches {
		if coach.ID == id {
			return coach
		}
	}
	return roster.Coach{}
}

// audited are the changes written down, the oldest first.
func (b *bench) audited(t *testing.T, like string) []string {
	return valuesOf[string](t, b.admin, "select change from audit where change like $1 order by audit_id", like)
}

func TestRolesAreGiven(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	id := b.joins(t, c, access.DeputyInvite, "kim@example.org")
	require.True(t, b.coach(t, c, id).Deputy)
	require.False(t, b.coach(t, c, b.joins(t, c, access.CoachInvite, "ivo@example.org")).Deputy)

	_, err := b.GiveRole(t.Context(), other.Actor, id, access.AsOwner)
	kind(t, fault.NotFound, err, "another club's owner")
	_, err = b.GiveRole(t.Context(), roster.Actor{Club: c.ID, Coach: id}, id, access.AsOwner)
	kind(t, fault.Forbidden, err, "no owner")
	_, err = b.GiveRole(t.Context(), c.Actor, c.Coach, access.AsDeputy)
	kind(t, fault.Conflict, err, "the last owner")
	_, err = b.GiveRole(t.Context(), c.Actor, c.Coach, access.AsOwner)
	require.NoError(t, err, "which stays one")

	_, err = b.GiveRole(t.Context(), c.Actor, id, access.AsCoach)
	require.NoError(t, err)
	ana, bo := b.athlete(t, c, "Ana"), b.athlete(t, c, "Bo")
	for _, a := range []roster.AthleteID{ana.ID, bo.ID} {
		require.NoError(t, b.HandOver(t.Context(), c.Actor, a, id, noon))
	}
	freed, err := b.GiveRole(t.Context(), c.Actor, id, access.AsDeputy)
	require.NoError(t, err)
	require.Equal(t, access.Freed(2), freed)
	ana, err = b.Athlete(t.Context(), c.ID, ana.ID)
	require.NoError(t, err)
	require.Zero(t, ana.Coach)
	require.Equal(t, []string{"coach.join", "coach.join", "coach.make_owner", "coach.make_coach", "coach.make_deputy"}, b.audited(t, "coach.%"))
	require.Equal(t, []string{"athlete.free", "athlete.free"}, b.audited(t, "athlete.free"))
}

// Two owners end each other's right at the same moment, many times: one of them
// always stays.
func TestAClubKeepsAnOwner(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	second := b.joins(t, c, access.CoachInvite, "ivo@example.org")
	for range 8 {
		for _, id := range []roster.CoachID{c.Coach, second} {
			_, err := b.GiveRole(t.Context(), c.Actor, id, access.AsOwner)
			if err != nil { // the first one was the loser of the round before
				_, err = b.GiveRole(t.Context(), roster.Actor{Club: c.ID, Coach: second}, id, access.AsOwner)
			}
			require.NoError(t, err)
		}
		var all sync.WaitGroup
		for _, pair := range [][2]roster.CoachID{{c.Coach, second}, {second, c.Coach}} {
			all.Go(func() {
				_, _ = b.GiveRole(t.Context(), roster.Actor{Club: c.ID, Coach: pair[0]}, pair[1], access.AsCoach)
			})
		}
		all.Wait()
		require.Equal(t, 1, value[int](t, b, "select count(*)::int from coach where owner"))
	}
}

func TestAMembershipEnds(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	id := b.joins(t, c, access.CoachInvite, "ivo@example.org")
	ivo := roster.Actor{Club: c.ID, Coach: id}
	a := b.athlete(t, c, "Ana")
	require.NoError(t, b.HandOver(t.Context(), c.Actor, a.ID, id, noon))
	_, err := b.AddNote(t.Context(), ivo, roster.Note{Athlete: a.ID, Coach: id, At: noon, Text: "Runs well."}, b.key())
	require.NoError(t, err)
	token, code := b.hash(), b.hash()
	_, err = b.Open(t.Context(), token, access.Login{Club: c.ID, Coach: id, Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	passkey := b.passkey(c)
	passkey.Coach = id
	_, err = b.AddPasskey(t.Context(), ivo, passkey)
	require.NoError(t, err)
	require.NoError(t, b.PutCode(t.Context(), ivo, access.Code{Hash: code, Purpose: access.CoachLink, Club: c.ID, Coach: id, Expires: noon.Add(time.Hour)}))

	_, err = b.EndMembership(t.Context(), other.Actor, id, noon)
	kind(t, fault.NotFound, err, "another club's owner")
	_, err = b.EndMembership(t.Context(), ivo, c.Coach, noon)
	kind(t, fault.Forbidden, err)
	_, err = b.EndMembership(t.Context(), c.Actor, c.Coach, noon)
	kind(t, fault.Conflict, err)
	freed, err := b.EndMembership(t.Context(), c.Actor, id, noon)
	require.NoError(t, err)
	require.Equal(t, access.Freed(1), freed)
	_, err = b.EndMembership(t.Context(), c.Actor, id, noon)
	kind(t, fault.NotFound, err, "has left")

	_, err = b.Visitor(t.Context(), token, noon)
	kind(t, fault.NotFound, err)
	_, err = b.Use(t.Context(), code, noon, b.hash(), access.Login{Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	kind(t, fault.Gone, err)
	_, err = b.ByEmail(t.Context(), "ivo@example.org")
	kind(t, fault.NotFound, err)
	require.Zero(t, b.coach(t, c, id))
	require.Equal(t, 0, value[int](t, b, "select count(*)::int from passkey where removed_at is null"))
	notes, err := b.Notes(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, "New", notes[0].By, "the name stays where it was written")
	require.Equal(t, 0, value[int](t, b, "select count(*)::int from coach where email = 'ivo@example.org' or coach_id = $1 and password <> ''", id), "address and password are forgotten")
	kind(t, fault.NotFound, b.HandOver(t.Context(), c.Actor, a.ID, id, noon), "nobody is handed over to who has left")

	require.NotEqual(t, id, b.joins(t, other, access.CoachInvite, "ivo@example.org"), "the address signs in elsewhere")
	_, err = b.GiveRole(t.Context(), c.Actor, id, access.AsOwner)
	kind(t, fault.NotFound, err)
}

func TestTheClubIsChangedByItself(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	require.NoError(t, b.ChangeClub(t.Context(), c.Actor, roster.Club{ID: other.ID, Name: "Quay", Zone: "Europe/Oslo", OwnOnly: true, Minors: true}))
	kept, err := b.Club(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, roster.Club{ID: c.ID, Name: "Quay", Zone: "Europe/Oslo", OwnOnly: true, Minors: true}, kept)
	kept, err = b.Club(t.Context(), other.ID)
	require.NoError(t, err)
	require.Equal(t, "Hill", kept.Name)

	a := b.athlete(t, c, "Ana")
	require.Equal(t, c.Coach, a.Coach, "where coaches see only their own, whoever adds somebody sees them")
	require.Zero(t, b.athlete(t, other, "Bo").Coach)
}

func TestAnAthleteIsHandedOver(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	id, deputy := b.joins(t, c, access.CoachInvite, "ivo@example.org"), b.joins(t, c, access.DeputyInvite, "kim@example.org")
	ivo := roster.Actor{Club: c.ID, Coach: id}
	a := b.athlete(t, c, "Ana")
	told := func(coach roster.CoachID) []roster.Handed {
		list, err := b.Handed(t.Context(), c.ID, coach)
		require.NoError(t, err)
		return list
	}
	kind(t, fault.NotFound, b.HandOver(t.Context(), c.Actor, a.ID, deputy, noon), "a deputy")
	kind(t, fault.NotFound, b.HandOver(t.Context(), c.Actor, a.ID, other.Coach, noon), "another club's coach")
	kind(t, fault.NotFound, b.HandOver(t.Context(), other.Actor, a.ID, other.Coach, noon), "another club's athlete")

	require.NoError(t, b.HandOver(t.Context(), c.Actor, a.ID, id, noon))
	require.Equal(t, []roster.Handed{{Athlete: a.ID, Name: "Ana", By: "Owner of Harbour", At: noon}}, told(id))
	require.Empty(t, told(c.Coach))
	require.NoError(t, b.TakeOver(t.Context(), c.Actor, a.ID), "another coach sees nothing away")
	require.Len(t, told(id), 1)
	require.NoError(t, b.TakeOver(t.Context(), ivo, a.ID))
	require.NoError(t, b.TakeOver(t.Context(), ivo, a.ID), "twice")
	require.Empty(t, told(id))
	require.NoError(t, b.HandOver(t.Context(), ivo, a.ID, id, noon), "to oneself")
	require.Empty(t, told(id))
	require.NoError(t, b.HandOver(t.Context(), ivo, a.ID, 0, noon))
	a, err := b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Zero(t, a.Coach)
	require.Equal(t, []string{"athlete.add", "athlete.hand_over", "athlete.take_over", "athlete.hand_over", "athlete.free"}, b.audited(t, "athlete.%"))
}

func TestALoginOfAnotherCoachsAthleteIsNotEnded(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	id := b.joins(t, c, access.CoachInvite, "ivo@example.org")
	ivo := roster.Actor{Club: c.ID, Coach: id, OwnOnly: true}
	a := b.athlete(t, c, "Ana")
	login, err := b.Open(t.Context(), b.hash(), access.Login{Club: c.ID, Athlete: a.ID, Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	require.NoError(t, b.HandOver(t.Context(), c.Actor, a.ID, c.Coach, noon))
	kind(t, fault.NotFound, b.Close(t.Context(), ivo, login))
	require.NoError(t, b.HandOver(t.Context(), c.Actor, a.ID, 0, noon))
	require.NoError(t, b.Close(t.Context(), ivo, login))
}

func TestNewDevices(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	at := noon
	in := func(coach roster.CoachID, athlete roster.AthleteID, device string) (roster.LoginID, bool) {
		l := access.Login{Club: c.ID, Coach: coach, Athlete: athlete, Device: device, Since: at, SeenAt: at, Expires: at.Add(48 * time.Hour)}
		id, err := b.Open(t.Context(), b.hash(), l)
		require.NoError(t, err)
		return id, value[bool](t, b, "select new_device from login where login_id = $1", id)
	}
	is := func(want bool, why string, coach roster.CoachID, athlete roster.AthleteID, device string) roster.LoginID {
		t.Helper()
		id, fresh := in(coach, athlete, device)
		require.Equal(t, want, fresh, why)
		return id
	}
	is(false, "the first of all", 0, a.ID, "Firefox")
	is(false, "a coach's first; an athlete's are another's", c.Coach, 0, "Safari")
	phone := is(true, "another device", 0, a.ID, "Safari")
	is(true, "the same once more, while nobody has claimed it", 0, a.ID, "Safari")
	is(false, "the first again", 0, a.ID, "Firefox")

	ana := roster.Actor{Club: c.ID, Athlete: a.ID}
	kind(t, fault.NotFound, b.Claim(t.Context(), c.Actor, phone, at), "a coach claims no athlete's")
	require.NoError(t, b.Claim(t.Context(), ana, phone, at))
	require.NoError(t, b.Claim(t.Context(), ana, phone, at), "twice")
	logins, err := b.Logins(t.Context(), c.ID, 0, a.ID, at)
	require.NoError(t, err)
	require.Equal(t, []bool{false, true, false, false}, []bool{logins[0].NewDevice, logins[1].NewDevice, logins[2].NewDevice, logins[3].NewDevice})
	is(false, "claimed, it is known", 0, a.ID, "Safari")

	tablet := is(true, "a third", 0, a.ID, "Edge")
	require.NoError(t, b.Close(t.Context(), ana, tablet))
	kind(t, fault.NotFound, b.Claim(t.Context(), ana, tablet, at), "ended")
	at = at.Add(7 * 24 * time.Hour)
	is(false, "a week later it counts by itself", 0, a.ID, "Edge")
	at = at.Add(366 * 24 * time.Hour)
	is(true, "and a year later no more", 0, a.ID, "Edge")

	k := access.Code{Hash: b.hash(), Purpose: access.AthleteLink, Club: c.ID, Athlete: a.ID, Expires: at.Add(time.Hour)}
	require.NoError(t, b.PutCode(t.Context(), c.Actor, k))
	token := b.hash()
	_, err = b.Use(t.Context(), k.Hash, at, token, access.Login{Device: "Opera", Since: at, SeenAt: at, Expires: at.Add(time.Hour)})
	require.NoError(t, err)
	v, err := b.Visitor(t.Context(), token, at)
	require.NoError(t, err)
	require.True(t, v.Login.NewDevice, "by a link, too")
}

func TestTriesAreCountedWithoutBeingOne(t *testing.T) {
	t.Parallel()
	b := open(t)
	key := b.hash()
	for want := range 3 {
		n, err := b.Tries(t.Context(), key, noon.Add(-time.Hour))
		require.NoError(t, err)
		require.Equal(t, want, n)
		_, err = b.Tried(t.Context(), key, noon, noon.Add(-time.Hour))
		require.NoError(t, err)
	}
	n, err := b.Tries(t.Context(), key, noon.Add(time.Second))
	require.NoError(t, err)
	require.Zero(t, n)
}
