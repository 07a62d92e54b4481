package e2e

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

const (
	keyInButton = "form[action='/sign-in/passkey'] button"
	addButton   = "form[action='/club/passkeys'] button"
	refusedKey  = "[data-refused]:not([hidden])"
)

// atLocalhost is a program reached by a name, where browsers have passkeys.
func atLocalhost(t *testing.T) *program.Program {
	t.Helper()
	p := program.Start(t, program.Options{})
	p.Address = strings.Replace(p.Address, "127.0.0.1", "localhost", 1)
	p.SetUp = strings.Replace(p.SetUp, "127.0.0.1", "localhost", 1)
	return p
}

// addKey adds a passkey on the page of the club.
func addKey(t *testing.T, coach *browser.Tab, p *program.Program) {
	t.Helper()
	require.EqualValues(t, 200, coach.Open(reach(p, "/club")))
	require.Zero(t, coach.Count("[data-passkey-not]:not([hidden])"))
	coach.Touch(addButton)
	coach.Until("location.search === '?said=key-added'")
	coach.Wait(".notice")
}

// signOut signs out and stands at the door.
func signOut(t *testing.T, coach *browser.Tab, p *program.Program) {
	t.Helper()
	coach.Touch("form[action='/sign-out'] button")
	coach.Until("location.pathname === '/sign-in'")
	require.EqualValues(t, 200, coach.Open(reach(p, "/pathway")))
	require.Equal(t, "/sign-in?next=%2Fpathway", coach.Path())
}

// A coach adds a passkey, comes in by it, shows by it who it is, and removes it; then
// it opens nothing more.
func TestAPasskeyFromOneEndToTheOther(t *testing.T) {
	t.Parallel()
	p := atLocalhost(t)
	coach := beginClub(t, p, browser.Desk)
	device := coach.Authenticator()
	addKey(t, coach, p)
	require.Contains(t, coach.Text("[aria-labelledby=passkeys] li"), "Chrome on Linux since today, never used yet")
	require.Len(t, device.Keys(), 1)
	fits(t, coach, browser.Desk)
	require.Empty(t, coach.Axe())

	coach.Touch(addButton)
	coach.Wait(refusedKey)
	require.Equal(t, "This device holds a passkey of yours already.", coach.Text(refusedKey))

	signOut(t, coach, p)
	device.Knows(false)
	coach.Touch(keyInButton)
	coach.Wait(refusedKey)
	require.Contains(t, coach.Text(refusedKey), "broken off")
	fits(t, coach, browser.Desk)
	require.Empty(t, coach.Axe())
	device.Knows(true)
	coach.Touch(keyInButton)
	coach.Until("location.pathname === '/pathway'")

	(&club{Program: p, t: t}).sql("update login set since = since - interval '1 hour'")
	require.EqualValues(t, 200, coach.Open(reach(p, "/club")))
	require.Contains(t, coach.Text("[aria-labelledby=passkeys] li"), "used today")
	require.Zero(t, coach.Count("form[action$='/remove']"))
	coach.Touch("form[action='/club/proof/passkey'] button")
	coach.Until("location.search === '?said=proved'")
	require.EqualValues(t, 200, coach.Press("form[action$='/remove'] button"))
	require.Equal(t, "/club?said=key-removed", coach.Path())
	require.Zero(t, coach.Count("[aria-labelledby=passkeys] li"))

	signOut(t, coach, p)
	coach.Touch(keyInButton)
	coach.Wait(refusedKey)
	require.Contains(t, coach.Text(refusedKey), "not accepted")
	require.Len(t, device.Keys(), 1, "the device has it still")
	coach.Fill("#email", email)
	coach.Fill("#password", password)
	require.EqualValues(t, 200, coach.Press("form[action='/sign-in'] button"))
	require.Equal(t, "/pathway", coach.Path(), "the password is the other way in")
	for _, fault := range coach.Faults() {
		require.Contains(t, fault, "422", "but for what was refused, nothing went wrong")
	}
}

// Somebody has copied an authenticator. Which of the two is the right one nobody can
// tell, so neither gets in.
func TestACopiedPasskeyIsRefused(t *testing.T) {
	t.Parallel()
	p := atLocalhost(t)
	coach := beginClub(t, p, browser.Desk)
	device := coach.Authenticator()
	addKey(t, coach, p)
	thief := browser.New(t, browser.Phone)
	copied := thief.Authenticator()
	copied.Copy(device)
	require.EqualValues(t, 200, thief.Open(reach(p, "/sign-in")))
	thief.Touch(keyInButton)
	thief.Until("location.pathname === '/roster'")
	require.Greater(t, copied.Keys()[0].SignCount, device.Keys()[0].SignCount)

	signOut(t, coach, p)
	coach.Touch(keyInButton)
	coach.Wait(refusedKey)
	require.Contains(t, coach.Text(refusedKey), "a copy of it was used")
	signOut(t, thief, p)
	thief.Touch(keyInButton)
	thief.Wait(refusedKey)
	require.Contains(t, thief.Text(refusedKey), "no longer accepted")
	require.LessOrEqual(t, thief.Width(), browser.Phone.Width)

	coach.Fill("#email", email)
	coach.Fill("#password", password)
	require.EqualValues(t, 200, coach.Press("form[action='/sign-in'] button"))
	require.EqualValues(t, 200, coach.Open(reach(p, "/club")))
	require.Contains(t, coach.Text("[aria-labelledby=passkeys] li"), "refused since today")
}

// Where a browser has no passkeys nothing of them is offered: at an address that is a
// number, and where there is no script for it.
func TestPasskeysAreNotOfferedWhereThereAreNone(t *testing.T) {
	t.Parallel()
	p := program.Start(t, program.Options{})
	coach := beginClub(t, p, browser.Desk)
	require.EqualValues(t, 200, coach.Open(reach(p, "/club")))
	require.Zero(t, coach.Count("form[data-passkey]"))
	require.Contains(t, coach.Text("[aria-labelledby=passkeys]"), "At this address none can be made.")
	signOut(t, coach, p)
	require.Zero(t, coach.Count("form[data-passkey]"))

	local := strings.Replace(p.Address, "127.0.0.1", "localhost", 1)
	for why, without := range map[string]func(*browser.Tab){
		"a browser that knows none": func(tab *browser.Tab) { tab.Before("delete window.PublicKeyCredential") },
		"no scripts":                func(tab *browser.Tab) { tab.Look(browser.Desk.WithoutScript()) },
	} {
		tab := browser.New(t, browser.Desk)
		without(tab)
		require.EqualValues(t, 200, tab.Open(local+"/sign-in"))
		require.Equal(t, 1, tab.Count("form[data-passkey]"), why)
		require.NotContains(t, tab.Text("main"), "passkey", why)
	}
}
