package access_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

func TestCheckPassword(t *testing.T) {
	for password, good := range map[string]bool{
		"nine lett":                       false,
		"ten letter":                      true,
		"ÄÖÜäöüßéèê":                      true, // ten characters, more bytes
		"aaaaaaaaaa":                      false,
		"1212121212":                      false,
		"8391746502":                      true, // no rules of composition
		"qwertyuiop":                      false,
		"Password123":                     false,
		"1Q2W3E4R5T":                      false,
		"Mara2026!!":                      false, // an address with a year
		"mara-lindholm-1984":              false,
		"Halfhour!!1":                     false,
		"half an hour of rain":            true,
		"Mara@Example.org":                false,
		"mara lindholm":                   false,
		"maralindholm":                    false,
		"mara lindholm in may":            true,
		strings.Repeat("üöäéè", 40):       true,
		strings.Repeat("üöäéè", 40) + "ü": false,
	} {
		m := access.CheckPassword(password, "Mara Lindholm", "mara@example.org")
		require.Equal(t, good, m == "", "%q: %s", password, m)
	}
	require.NotEmpty(t, access.CheckPassword("long.local.part", "", "long.local.part@example.org"))
	require.NotEmpty(t, access.CheckPassword("tern quay runners 7", "Mara", "mara@example.org", "Tern Quay Runners"))
}

func TestChangePassword(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	phone, err := h.signIn("mara@example.org", right, home)
	require.NoError(t, err)
	desk, err := h.signIn("mara@example.org", right, home)
	require.NoError(t, err)
	v, err := h.access.Visitor(ctx, desk.Token)
	require.NoError(t, err)

	require.Equal(t, []string{"password"}, places(h.access.ChangePassword(ctx, &v, right, "short", home)))
	require.Equal(t, []string{"current"}, places(h.access.ChangePassword(ctx, &v, "wrong, wrong, wrong", "quite another one", home)))
	require.NoError(t, h.access.ChangePassword(ctx, &v, right, "quite another one", home))

	_, err = h.access.Visitor(ctx, desk.Token)
	require.NoError(t, err, "the login that changed it goes on")
	_, err = h.access.Visitor(ctx, phone.Token)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "the others end")
	_, err = h.signIn("mara@example.org", right, home)
	require.Equal(t, fault.Invalid, fault.KindOf(err))
	_, err = h.signIn("mara@example.org", "quite another one", home)
	require.NoError(t, err)
}

func TestPresentPasswordCannotBeGuessedOnAStolenLogin(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	o, err := h.signIn("mara@example.org", right, home)
	require.NoError(t, err)
	v, err := h.access.Visitor(ctx, o.Token)
	require.NoError(t, err)
	for range 10 {
		require.Equal(t, fault.Invalid, fault.KindOf(h.access.ChangePassword(ctx, &v, "wrong, wrong, wrong", "quite another one", home)))
	}
	require.Equal(t, fault.TooMany, fault.KindOf(h.access.ChangePassword(ctx, &v, right, "quite another one", home)))
}

func TestRenewByOneTimeLink(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	lost, err := h.signIn("mara@example.org", right, home)
	require.NoError(t, err)
	link, err := h.access.CoachLink(ctx, "mara@example.org")
	require.NoError(t, err)
	_, err = h.access.Renew(ctx, link.Code, key, "MARA@example.org", "")
	require.Equal(t, []string{"password"}, places(err))
	o, err := h.access.Renew(ctx, link.Code, key, "quite another one", "")
	require.NoError(t, err, "a poor password did not use the link up")
	_, err = h.access.Visitor(ctx, o.Token)
	require.NoError(t, err, "the login just opened goes on")
	_, err = h.access.Visitor(ctx, lost.Token)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "logins of before end")
	_, err = h.signIn("mara@example.org", "quite another one", home)
	require.NoError(t, err)
	require.Equal(t, fake.HashOf("quite another one"), h.store.People[h.owner.ID].Hash)
}

func TestRenewWithoutAPasswordKeepsTheOldOne(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	link, err := h.access.CoachLink(ctx, "mara@example.org")
	require.NoError(t, err)
	_, err = h.access.Renew(ctx, link.Code, key, "", "")
	require.NoError(t, err)
	_, err = h.signIn("mara@example.org", right, home)
	require.NoError(t, err)
}

func TestCloseEndsOwnLoginsAndThoseOfAthletes(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ivo := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", fake.HashOf(right))
	other, oto := h.store.Begin("Hilltop", "oto@example.org", fake.HashOf(right))
	mine, err := h.signIn("mara@example.org", right, home)
	require.NoError(t, err)
	his, err := h.signIn(ivo.Email, right, home)
	require.NoError(t, err)
	away, err := h.signIn(oto.Email, right, home)
	require.NoError(t, err)
	ana := h.store.Runner(h.club.ID, "Ana")
	link, err := h.access.AthleteLink(ctx, h.actor(), ana.ID)
	require.NoError(t, err)
	hers, err := h.access.Enter(ctx, link.Code, key, "")
	require.NoError(t, err)

	v, err := h.access.Visitor(ctx, mine.Token)
	require.NoError(t, err)
	require.Equal(t, fault.NotFound, fault.KindOf(h.access.Close(ctx, v.Actor(), his.Login.ID)), "another coach's")
	require.Equal(t, fault.NotFound, fault.KindOf(h.access.Close(ctx, v.Actor(), away.Login.ID)), "another club's")
	w, err := h.access.Visitor(ctx, hers.Token)
	require.NoError(t, err)
	require.Equal(t, fault.NotFound, fault.KindOf(h.access.Close(ctx, w.Actor(), mine.Login.ID)), "an athlete ends no coach's")
	require.NoError(t, h.access.Close(ctx, v.Actor(), hers.Login.ID))
	_, err = h.access.Visitor(ctx, hers.Token)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	logins, err := h.access.Logins(ctx, &v)
	require.NoError(t, err)
	require.Len(t, logins, 1)
	require.NotEqual(t, other.ID, h.club.ID)
}

// The club's name is tried first as well, whichever way somebody comes to a password.
func TestThePasswordIsNotTheClubsName(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	club := h.store.Clubs[h.club.ID]
	club.Name = "Tern Quay Runners"
	h.store.Clubs[club.ID] = club
	const poor = "tern-quay-runners-26"
	owner := roster.Actor{Club: club.ID, Coach: h.owner.ID}
	setUp, err := h.access.SetUpLink(ctx)
	require.NoError(t, err)
	invitation, err := h.access.MailedInvitation(ctx, club.ID, access.AsCoach)
	require.NoError(t, err)
	link, err := h.access.CoachLink(ctx, "mara@example.org")
	require.NoError(t, err)
	v := access.Visitor{Club: club, Coach: &h.owner, Login: access.Login{Club: club.ID, Coach: owner.Coach}}
	for _, c := range []struct {
		why string
		try func(password string) error
	}{
		{"the first coach of all", func(p string) error {
			_, err := h.access.Found(ctx, setUp.Code, roster.Club{Name: club.Name, Zone: "Europe/Lisbon"}, access.Newcomer{Name: "Uma", Email: "uma@example.org", Password: p}, "Firefox")
			return err
		}},
		{"somebody who was invited", func(p string) error {
			_, err := h.access.Join(ctx, invitation.Code, access.Newcomer{Name: "Ivo", Email: "ivo@example.org", Password: p}, "Firefox")
			return err
		}},
		{"somebody who forgot it", func(p string) error {
			_, err := h.access.Renew(ctx, link.Code, "key-of-the-form", p, "Firefox")
			return err
		}},
		{"somebody who changes it", func(p string) error { return h.access.ChangePassword(ctx, &v, right, p, home) }},
	} {
		require.Equal(t, []string{"password"}, places(c.try(poor)), c.why)
	}
}
