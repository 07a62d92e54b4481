package access_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

var (
	here      = access.Site{Name: "run.example.org", Origin: "https://run.example.org"}
	elsewhere = access.Site{Name: "run.example.net", Origin: "https://run.example.net"}
)

// comer signs the coach in by password.
func (h *house) comer(t *testing.T, email string) *access.Visitor {
	t.Helper()
	o, err := h.signIn(email, right, home)
	require.NoError(t, err)
	return h.visitor(t, o.Token)
}

// addKey adds a passkey that has signed so often.
func (h *house) addKey(t *testing.T, v *access.Visitor, key string, count uint32) {
	t.Helper()
	q, err := h.access.AskToMake(context.Background(), v, here)
	require.NoError(t, err)
	require.NoError(t, h.access.AddPasskey(context.Background(), v, here, q.Secret, "  "+key+" ", fake.SignWith(q.Options, key, count)))
}

// keyIn signs in with the passkey.
func (h *house) keyIn(t *testing.T, key string, count uint32) (access.Opened, error) {
	t.Helper()
	q, err := h.access.AskToSignIn(context.Background(), here)
	require.NoError(t, err)
	return h.answer(here, q.Secret, fake.SignWith(q.Options, key, count))
}

func (h *house) answer(site access.Site, secret access.Token, answer []byte) (access.Opened, error) {
	return h.access.SignInByPasskey(context.Background(), access.KeyAttempt{Site: site, Secret: secret, Answer: answer, From: home, Device: "Firefox on Linux"})
}

func invalid(t *testing.T, err error, words string) {
	t.Helper()
	require.Equal(t, fault.Invalid, fault.KindOf(err), "%v", err)
	require.Contains(t, fault.MessageOf(err), words)
}

func TestAPasskeySignsItsCoachIn(t *testing.T) {
	h := newHouse(t)
	h.addKey(t, h.comer(t, "mara@example.org"), "phone", 1)
	require.Equal(t, "phone", h.store.Keyed[0].Name)
	require.Equal(t, here.Name, h.store.Keyed[0].Site)
	h.now = h.now.Add(48 * time.Hour)
	o, err := h.keyIn(t, "phone", 2)
	require.NoError(t, err)
	v := h.visitor(t, o.Token)
	require.Equal(t, h.owner.ID, v.Coach.ID)
	require.Equal(t, h.store.Keyed[0].ID, v.Login.Passkey)
	require.Equal(t, h.now.Add(access.CoachLogin), o.Login.Expires)
	require.Equal(t, h.now, h.store.Keyed[0].UsedAt)
	require.EqualValues(t, 2, h.store.Keyed[0].Count)
	_, err = h.keyIn(t, "laptop", 2)
	invalid(t, err, "not accepted")
}

func TestAQuestionIsAnsweredOnceAndSoon(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	h.addKey(t, h.comer(t, "mara@example.org"), "phone", 0)
	q, err := h.access.AskToSignIn(ctx, here)
	require.NoError(t, err)
	answer := fake.SignWith(q.Options, "phone", 0)
	_, err = h.answer(here, q.Secret, answer)
	require.NoError(t, err)
	_, err = h.answer(here, q.Secret, answer)
	invalid(t, err, "once more")

	late, err := h.access.AskToSignIn(ctx, here)
	require.NoError(t, err)
	h.now = h.now.Add(access.CeremonyHolds)
	_, err = h.answer(here, late.Secret, fake.SignWith(late.Options, "phone", 0))
	invalid(t, err, "too long")
	for _, junk := range []access.Token{"", "x", "'; drop table ceremony"} {
		_, err = h.answer(here, junk, answer)
		invalid(t, err, "once more")
	}
}

func TestAnAnswerBelongsToItsBrowserItsSiteAndItsPurpose(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	mara := h.comer(t, "mara@example.org")
	h.addKey(t, mara, "phone", 0)
	ask := func() access.Question {
		q, err := h.access.AskToSignIn(ctx, here)
		require.NoError(t, err)
		return q
	}
	mine, theirs := ask(), ask()
	_, err := h.answer(here, mine.Secret, fake.SignWith(theirs.Options, "phone", 0))
	invalid(t, err, "not accepted")
	q := ask()
	_, err = h.answer(elsewhere, q.Secret, fake.SignWith(q.Options, "phone", 0))
	invalid(t, err, "not accepted")
	_, err = h.answer(access.Site{}, q.Secret, fake.SignWith(q.Options, "phone", 0))
	invalid(t, err, "by its name over https")
	q = ask()
	require.Equal(t, fault.Invalid, fault.KindOf(h.access.ProveByPasskey(ctx, mara, here, q.Secret, fake.SignWith(q.Options, "phone", 0))), "asked in order to sign in")
	q, err = h.access.AskToProve(ctx, mara, here)
	require.NoError(t, err)
	_, err = h.answer(here, q.Secret, fake.SignWith(q.Options, "phone", 0))
	invalid(t, err, "not accepted")

	ivo := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", fake.HashOf(right))
	his := h.comer(t, ivo.Email)
	q, err = h.access.AskToMake(ctx, mara, here)
	require.NoError(t, err)
	invalid(t, h.access.AddPasskey(ctx, his, here, q.Secret, "mine now", fake.SignWith(q.Options, "tablet", 0)), "not accepted")
	require.Len(t, h.store.Keyed, 1, "a question asked by another coach adds nothing")
	_, err = h.access.AskToSignIn(ctx, access.Site{})
	invalid(t, err, "by its name over https")
}

// What was made at another name is not accepted, even if a browser could be brought
// to send it.
func TestAPasskeyOfAnotherSiteIsNotAccepted(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	h.addKey(t, h.comer(t, "mara@example.org"), "phone", 0)
	q, err := h.access.AskToSignIn(ctx, elsewhere)
	require.NoError(t, err)
	_, err = h.answer(elsewhere, q.Secret, fake.SignWith(q.Options, "phone", 0))
	invalid(t, err, "not accepted")
}

func TestACopyEndsThePasskey(t *testing.T) {
	h := newHouse(t)
	h.addKey(t, h.comer(t, "mara@example.org"), "phone", 5)
	_, err := h.keyIn(t, "phone", 6)
	require.NoError(t, err)
	audited := len(h.store.Audit)
	_, err = h.keyIn(t, "phone", 6)
	invalid(t, err, "a copy of it")
	require.Equal(t, h.now, h.store.Keyed[0].RefusedAt)
	require.Len(t, h.store.Audit, audited+1, "noted")
	_, err = h.keyIn(t, "phone", 900)
	invalid(t, err, "a copy of it")
	require.Len(t, h.store.Audit, audited+1, "once")

	v := h.comer(t, "mara@example.org")
	k, err := h.access.Keyring(context.Background(), v)
	require.NoError(t, err)
	require.False(t, k.Usable(here.Name))
	require.NoError(t, h.access.RemovePasskey(context.Background(), v, k.Passkeys[0].ID))
	h.addKey(t, v, "another", 0)
	for range 2 {
		_, err = h.keyIn(t, "another", 0)
		require.NoError(t, err, "one that does not count")
	}
	_, err = h.keyIn(t, "another", 3)
	require.NoError(t, err, "and begins to")
	_, err = h.keyIn(t, "another", 0)
	invalid(t, err, "a copy of it")
}

func TestWaysInAreChangedOnlyByAFreshLogin(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	v := h.comer(t, "mara@example.org")
	h.addKey(t, v, "phone", 0)
	id := h.store.Keyed[0].ID
	late, err := h.access.AskToMake(ctx, v, here)
	require.NoError(t, err)
	h.now = h.now.Add(access.FreshFor - time.Second)
	_, err = h.access.AskToMake(ctx, v, here)
	require.NoError(t, err)

	stale := func() {
		t.Helper()
		_, err := h.access.AskToMake(ctx, v, here)
		require.Equal(t, fault.Forbidden, fault.KindOf(err))
		require.Equal(t, fault.Forbidden, fault.KindOf(h.access.AddPasskey(ctx, v, here, late.Secret, "x", fake.SignWith(late.Options, "tablet", 0))))
		require.Equal(t, fault.Forbidden, fault.KindOf(h.access.RemovePasskey(ctx, v, id)))
		k, err := h.access.Keyring(ctx, v)
		require.NoError(t, err)
		require.Equal(t, access.Keyring{Passkeys: h.store.Keyed, Password: true}, k)
	}
	again := func() { *v = *h.seen(t, v) }
	h.now = h.now.Add(time.Second)
	stale()
	require.Equal(t, []string{"current"}, places(h.access.ProveByPassword(ctx, v, "wrong, wrong, wrong", home)))
	again()
	stale()
	require.NoError(t, h.access.ProveByPassword(ctx, v, right, home))
	again()
	h.addKey(t, v, "laptop", 0)

	h.now = h.now.Add(access.FreshFor)
	q, err := h.access.AskToProve(ctx, v, here)
	require.NoError(t, err)
	require.NoError(t, h.access.ProveByPasskey(ctx, v, here, q.Secret, fake.SignWith(q.Options, "laptop", 0)))
	again()
	require.NoError(t, h.access.RemovePasskey(ctx, v, id))
	_, err = h.keyIn(t, "phone", 0)
	invalid(t, err, "not accepted")
}

// seen is the visitor as the store has it now.
func (h *house) seen(t *testing.T, v *access.Visitor) *access.Visitor {
	t.Helper()
	now := *v
	now.Login = h.store.Kept[v.Login.ID]
	return &now
}

func TestTheProofIsOnesOwn(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ivo := h.comer(t, h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", fake.HashOf(right)).Email)
	mara := h.comer(t, "mara@example.org")
	h.addKey(t, mara, "of mara", 0)
	_, err := h.access.AskToProve(ctx, ivo, here)
	invalid(t, err, "no passkey for this address")
	_, err = h.access.AskToProve(ctx, mara, elsewhere)
	invalid(t, err, "no passkey for this address")
	h.addKey(t, ivo, "of ivo", 0)
	q, err := h.access.AskToProve(ctx, ivo, here)
	require.NoError(t, err)
	invalid(t, h.access.ProveByPasskey(ctx, ivo, here, q.Secret, fake.SignWith(q.Options, "of mara", 0)), "not accepted")
	require.Zero(t, h.seen(t, ivo).Login.Proved)
	require.Equal(t, fault.NotFound, fault.KindOf(h.access.RemovePasskey(ctx, ivo, h.store.Keyed[0].ID)), "another coach's")

	require.NoError(t, h.access.RemovePasskey(ctx, mara, h.store.Keyed[0].ID))
	require.Len(t, h.store.Keyed, 1)
}

// A coach who has no password comes in by a one-time link, and may add a passkey
// while that is fresh.
func TestACoachWithoutAPassword(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", "")
	link, err := h.access.CoachLink(ctx, "ivo@example.org")
	require.NoError(t, err)
	o, err := h.access.Enter(ctx, link.Code, key, "")
	require.NoError(t, err)
	v := h.visitor(t, o.Token)
	h.now = h.now.Add(access.FreshFor)
	k, err := h.access.Keyring(ctx, v)
	require.NoError(t, err)
	require.Equal(t, access.Keyring{}, k, "neither fresh nor with a password")
	require.Equal(t, []string{"current"}, places(h.access.ProveByPassword(ctx, v, "", home)), "none is not an empty one")

	link, err = h.access.CoachLink(ctx, "ivo@example.org")
	require.NoError(t, err)
	o, err = h.access.Enter(ctx, link.Code, "key-of-the-form-2", "")
	require.NoError(t, err)
	h.addKey(t, h.visitor(t, o.Token), "phone", 0)
	_, err = h.keyIn(t, "phone", 0)
	require.NoError(t, err)
}

func TestPasskeysThatCannotBeKept(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	v := h.comer(t, "mara@example.org")
	q, err := h.access.AskToMake(ctx, v, here)
	require.NoError(t, err)
	answer := fake.SignWith(q.Options, "phone", 0)
	for _, name := range []string{"", "  ", "a\x00b"} {
		require.Equal(t, []string{"name"}, places(h.access.AddPasskey(ctx, v, here, q.Secret, name, answer)))
	}
	require.NoError(t, h.access.AddPasskey(ctx, v, here, q.Secret, "phone", answer), "a poor name did not use the question up")
	q, err = h.access.AskToMake(ctx, v, here)
	require.NoError(t, err)
	require.Equal(t, fault.Conflict, fault.KindOf(h.access.AddPasskey(ctx, v, here, q.Secret, "again", fake.SignWith(q.Options, "phone", 0))))
	for i := range access.MostPasskeys - 1 {
		h.addKey(t, v, string(rune('a'+i)), 0)
	}
	_, err = h.access.AskToMake(ctx, v, here)
	invalid(t, err, "ten passkeys")
}

func TestRemovingAPasskeyEndsTheLoginsItOpened(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	h.addKey(t, h.comer(t, "mara@example.org"), "phone", 0)
	other, err := h.keyIn(t, "phone", 0)
	require.NoError(t, err)
	mine, err := h.keyIn(t, "phone", 0)
	require.NoError(t, err)
	require.NoError(t, h.access.RemovePasskey(ctx, h.visitor(t, mine.Token), h.store.Keyed[0].ID))
	_, err = h.access.Visitor(ctx, other.Token)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = h.access.Visitor(ctx, mine.Token)
	require.NoError(t, err, "the login that removed it goes on")
}

func TestAttemptsWithAPasskeyEnd(t *testing.T) {
	h := newHouse(t)
	h.addKey(t, h.comer(t, "mara@example.org"), "phone", 0)
	var err error
	for range 11 {
		_, err = h.answer(here, "", fake.SignWith([]byte("{}"), "phone", 0))
	}
	require.Equal(t, fault.TooMany, fault.KindOf(err))
	_, err = h.signIn("mara@example.org", right, home)
	require.NoError(t, err, "the password is another way")
	_, err = h.answer(here, "", []byte("junk"))
	invalid(t, err, "not accepted")
}

func TestAStoreThatIsDownIsNoWrongPasskey(t *testing.T) {
	h := newHouse(t)
	v := h.comer(t, "mara@example.org")
	h.store.Down = context.DeadlineExceeded
	for _, err := range []error{
		errOf(h.access.AskToSignIn(context.Background(), here)), errOf(h.access.AskToMake(context.Background(), v, here)),
		errOf(h.answer(here, access.Token("AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"), fake.SignWith([]byte("{}"), "phone", 0))),
		errOf(h.access.Keyring(context.Background(), v)), h.access.RemovePasskey(context.Background(), v, roster.PasskeyID(1)),
	} {
		require.Equal(t, fault.Unavailable, fault.KindOf(err), "%v", err)
	}
}

func errOf[T any](_ T, err error) error { return err }
