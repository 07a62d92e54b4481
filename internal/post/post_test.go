package post_test

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

// house is a store with a club, and the post over it.
type house struct {
	store   *fake.Store
	post    *post.Service
	club    roster.Club
	owner   roster.Actor
	now     time.Time
	carried []post.Mail
	fails   error
	links   error
}

func (h *house) Carry(_ context.Context, m *post.Mail) error {
	if h.fails != nil {
		return h.fails
	}
	h.carried = append(h.carried, *m)
	return nil
}

func newHouse() *house {
	h := &house{store: fake.New(), now: time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC)}
	h.post = &post.Service{Store: h.store, Carrier: h, Here: "https://run.example.org", Now: func() time.Time { return h.now }}
	h.post.Link = func(_ context.Context, l *post.Letter) (post.Link, error) {
		return post.Link{Path: "/in/code-for-" + l.Name, Until: h.now.Add(time.Hour)}, h.links
	}
	var owner roster.Coach
	h.club, owner = h.store.Begin("Harbour", "mara@example.org", "hash")
	h.owner = roster.Actor{Club: h.club.ID, Coach: owner.ID}
	return h
}

// ana is an athlete with an address, and a letter to her.
func (h *house) ana(t *testing.T) (roster.Athlete, roster.LetterID) {
	t.Helper()
	a := h.store.Runner(h.club.ID, "Ana")
	a.Email = "ana@example.org"
	h.store.Athletes[a.ID] = a
	require.NoError(t, h.post.Invite(context.Background(), h.owner, &a, roster.Key(fmt.Sprintf("key-of-form-%d", a.ID))))
	l := &h.store.Letters[len(h.store.Letters)-1]
	l.MadeAt = h.now
	return a, l.ID
}

func (h *house) deliver(id roster.LetterID) error {
	return h.post.Deliver(context.Background(), h.club.ID, id)
}

func TestDeliver(t *testing.T) {
	h := newHouse()
	_, id := h.ana(t)
	for range 2 {
		require.NoError(t, h.deliver(id))
	}
	require.Len(t, h.carried, 1, "delivered twice, sent once")
	m := h.carried[0]
	require.Equal(t, "ana@example.org", m.Address)
	require.Equal(t, "https://run.example.org/in/code-for-Ana", m.Link)
	require.Equal(t, h.now.Add(time.Hour), m.Until)
	require.NoError(t, h.deliver(id+1000), "one that was erased meanwhile is nobody's fault")
}

// What is read is what holds when it is sent.
func TestALetterGoesWhereItsPersonIsNow(t *testing.T) {
	h := newHouse()
	a, id := h.ana(t)
	a.Email = "new@example.org"
	h.store.Athletes[a.ID] = a
	require.NoError(t, h.deliver(id))
	require.Equal(t, "new@example.org", h.carried[0].Address)
}

func TestLettersThatAreNotSent(t *testing.T) {
	for _, c := range []struct {
		why    string
		change func(*house, roster.Athlete, *fake.Letter)
		want   post.Why
		err    error
	}{
		{"she has left", func(h *house, a roster.Athlete, _ *fake.Letter) { a.LeftAt = h.now; h.store.Athletes[a.ID] = a }, post.Nobody, nil},
		{"the address was taken out", func(h *house, a roster.Athlete, _ *fake.Letter) { a.Email = ""; h.store.Athletes[a.ID] = a }, post.Nobody, nil},
		{"an address that mail cannot use", func(h *house, a roster.Athlete, _ *fake.Letter) { a.Email = "a@b@c"; h.store.Athletes[a.ID] = a }, post.Refused, post.ErrRefused},
		{"a week and more late", func(_ *house, _ roster.Athlete, l *fake.Letter) {
			l.MadeAt = l.MadeAt.Add(-7*24*time.Hour - time.Second)
		}, post.Late, nil},
		{"the server takes nothing for it", func(h *house, _ roster.Athlete, _ *fake.Letter) { h.fails = post.ErrRefused }, post.Refused, post.ErrRefused},
		{"no link can be made any more", func(h *house, _ roster.Athlete, _ *fake.Letter) { h.links = fault.New(fault.NotFound, "") }, post.Nobody, nil},
	} {
		h := newHouse()
		a, id := h.ana(t)
		c.change(h, a, &h.store.Letters[0])
		require.ErrorIs(t, h.deliver(id), c.err, c.why)
		require.Equal(t, c.want, h.store.Letters[0].Dropped, c.why)
		h.fails, h.links = nil, nil
		require.NoError(t, h.deliver(id), "%s: and that is the end of it", c.why)
		require.Empty(t, h.carried, c.why)
	}
}

func TestWhatMayGoAnotherTimeIsNotDropped(t *testing.T) {
	h := newHouse()
	_, id := h.ana(t)
	h.fails = errors.New("the mail server did not answer in time")
	require.Error(t, h.deliver(id))
	h.fails, h.links = nil, fault.New(fault.Unavailable, "")
	require.Error(t, h.deliver(id))
	h.links = nil
	require.NoError(t, h.deliver(id))
	require.Len(t, h.carried, 1)

	_, id = h.ana(t)
	require.NoError(t, h.post.GiveUp(context.Background(), h.club.ID, id))
	require.NoError(t, h.deliver(id))
	require.Len(t, h.carried, 1)
}

func TestInvite(t *testing.T) {
	h, ctx := newHouse(), context.Background()
	a := h.store.Runner(h.club.ID, "Ben")
	err := h.post.Invite(ctx, h.owner, &a, "key-of-the-form")
	require.Equal(t, "email", fault.FieldsOf(err)[0].Place, "there is nowhere to send it")
	for address, fine := range map[string]bool{
		" Ivo@Example.org ": true, "ivo": false, "": false, "ivo@example.org, uma@example.org": false, "Ivo <ivo@example.org>": false,
		"ivo@example.org\r\nBcc: x@y.z": false, "i(v)o@example.org": false, `"i v o"@example.org`: false, "ivo+halfhour@example.org": true, "o'neil@example.org": true,
	} {
		before := len(h.store.Letters)
		err := h.post.InviteCoach(ctx, h.owner, false, address, roster.Key("key-for-"+address))
		require.Equal(t, fine, err == nil, "%q: %v", address, err)
		if fine {
			require.Len(t, h.store.Letters, before+1)
		} else {
			require.Equal(t, "email", fault.FieldsOf(err)[0].Place, address)
		}
	}
}

func TestWaysIn(t *testing.T) {
	h, ctx := newHouse(), context.Background()
	a, _ := h.ana(t)
	people := []post.Person{{Club: h.club.ID, Coach: h.owner.Coach}, {Club: h.club.ID, Athlete: a.ID}}
	for range 2 {
		require.NoError(t, h.post.WaysIn(ctx, people, "ways-in-7"))
	}
	require.NoError(t, h.post.WaysIn(ctx, nil, "ways-in-8"))
	require.Len(t, h.store.Letters, 3)
}

func TestHowLongALetterIsWorthSending(t *testing.T) {
	require.Less(t, post.WayIn.Worth(), post.NewDevice.Worth())
	require.Less(t, post.NewDevice.Worth(), post.Invitation.Worth())
	require.Equal(t, post.Invitation.Worth(), post.CoachInvitation.Worth())
}
