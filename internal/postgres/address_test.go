package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// A new address is taken with its code alone, ends the links of before, tells the one
// before, and leaves nothing of the address with the code.
func TestAnAddressIsChangedWithItsCode(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	other := b.club(t, "Ridge")
	before := value[string](t, b, "select email from coach where coach_id = $1", c.Coach)
	taken := value[string](t, b, "select email from coach where coach_id = $1", other.Coach)
	login := func(since time.Time) roster.LoginID {
		id, err := b.Open(t.Context(), b.hash(), access.Login{Club: c.ID, Coach: c.Coach, Since: since, SeenAt: since, Expires: since.Add(time.Hour)})
		require.NoError(t, err)
		return id
	}
	by, phone := login(noon.Add(-time.Minute)), login(noon.Add(-time.Minute))
	code := func(email string, expires time.Time) access.Hash {
		k := access.Code{Hash: b.hash(), Purpose: access.NewAddress, Club: c.ID, Coach: c.Coach, Email: email, Expires: expires, Beside: true}
		require.NoError(t, b.PutCode(t.Context(), c.Actor, k))
		return k.Hash
	}
	change := func(who roster.Actor, code access.Hash) fault.Kind {
		return fault.KindOf(b.ChangeAddress(t.Context(), who, by, code, noon))
	}
	mine, theirs, late := code("new@example.org", noon.Add(time.Hour)), code(taken, noon.Add(time.Hour)), code("late@example.org", noon)
	require.Equal(t, fault.Gone, change(other.Actor, mine), "a coach of another club")
	require.Equal(t, fault.Gone, change(c.Actor, late))
	require.Equal(t, fault.Conflict, change(c.Actor, theirs), "in whatever club somebody signs in with it")
	kept, err := b.Peek(t.Context(), mine)
	require.NoError(t, err)
	require.Equal(t, "new@example.org", kept.Email)

	b.work.letters = nil
	require.NoError(t, b.ChangeAddress(t.Context(), c.Actor, by, mine, noon))
	require.Equal(t, "new@example.org", value[string](t, b, "select email from coach where coach_id = $1", c.Coach))
	require.Zero(t, value[int](t, b, "select count(*)::int from code where email is not null"), "no address is left in any code of the coach")
	require.Equal(t, fault.Gone, change(c.Actor, mine), "once")
	require.Equal(t, fault.Gone, change(c.Actor, theirs), "the others ended")
	require.Len(t, b.work.letters, 1)
	l, err := b.Letter(t.Context(), c.ID, b.work.letters[0])
	require.NoError(t, err)
	require.Equal(t, []any{post.OldAddress, before, "new@example.org"}, []any{l.Kind, l.Address, l.Present})

	coaches, err := b.Coaches(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, []any{noon, by}, []any{coaches[0].EmailAt, coaches[0].EmailBy})
	seen := func(by roster.LoginID) bool {
		require.NoError(t, b.SawAddress(t.Context(), c.Actor, by))
		return value[bool](t, b, "select email_at is null from coach where coach_id = $1", c.Coach)
	}
	require.False(t, seen(by), "whoever changed it cannot say that it is known")
	require.False(t, seen(login(noon.Add(time.Minute))), "nor can a login that came after it")
	require.True(t, seen(phone))
}

// A letter to a new address that is refused says nothing of the address that counts.
func TestANewAddressThatIsRefused(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	require.NoError(t, b.Write(t.Context(), c.Actor, post.NewAddress, 0, "new@example.org", "key-of-the-form"))
	l, err := b.Letter(t.Context(), c.ID, b.work.letters[0])
	require.NoError(t, err)
	require.Equal(t, []any{c.Coach, "new@example.org"}, []any{l.Coach, l.Address})
	require.NoError(t, b.Drop(t.Context(), c.ID, l.ID, post.Refused))
	require.False(t, value[bool](t, b, "select mail_refused_at is not null from coach where coach_id = $1", c.Coach))
}

// What was asked for and never confirmed goes with the letters of its time.
func TestAnAddressThatWasNeverConfirmedIsForgotten(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	require.NoError(t, b.PutCode(t.Context(), c.Actor, access.Code{Hash: b.hash(), Purpose: access.NewAddress, Club: c.ID, Coach: c.Coach, Email: "new@example.org", Expires: noon}))
	left := func(before time.Time) int {
		_, err := b.ForgetLetters(t.Context(), c.ID, before, before)
		require.NoError(t, err)
		return value[int](t, b, "select count(*)::int from code where email is not null")
	}
	require.Equal(t, 1, left(noon))
	require.Zero(t, left(noon.Add(time.Second)))
}
