package post_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

func at(text string) time.Time {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		panic(err)
	}
	return t
}

// The times of letters through a year, with what clocks did.
func TestWhenLettersAreDue(t *testing.T) {
	for _, k := range []struct {
		zone      string
		day, hour int
		next, now string
		week, to  string
		why       string
	}{
		{"Europe/Lisbon", 7, 18, "", "2026-11-22T17:59:59Z", "", "2026-11-22T18:00:00Z", "not worked out yet: only planned"},
		{"Europe/Lisbon", 7, 18, "", "2026-11-22T18:00:00Z", "", "2026-11-29T18:00:00Z", "and not for the very moment"},
		{"Europe/Lisbon", 7, 18, "2026-11-22T18:00:00Z", "2026-11-22T18:03:00Z", "2026-11-16", "2026-11-29T18:00:00Z", "the usual"},
		{"Europe/Lisbon", 7, 18, "2026-10-18T17:00:00Z", "2026-10-18T17:01:00Z", "2026-10-12", "2026-10-25T18:00:00Z", "clocks are put back before the next"},
		{"Europe/Lisbon", 7, 18, "2026-03-22T18:00:00Z", "2026-03-22T18:01:00Z", "2026-03-16", "2026-03-29T17:00:00Z", "and forward"},
		{"Europe/Lisbon", 7, 1, "2026-03-22T01:00:00Z", "2026-03-22T01:01:00Z", "2026-03-16", "2026-03-29T01:00:00Z", "over the hour itself: at once"},
		{"Europe/Lisbon", 7, 1, "2026-10-25T00:00:00Z", "2026-10-25T01:30:00Z", "2026-10-19", "2026-11-01T01:00:00Z", "the hour came twice: once"},
		{"Europe/Lisbon", 1, 0, "2026-12-28T00:00:00Z", "2026-12-28T00:01:00Z", "2026-12-28", "2027-01-04T00:00:00Z", "week 53"},
		{"Pacific/Auckland", 7, 18, "2026-11-22T05:00:00Z", "2026-11-22T05:00:00Z", "2026-11-16", "2026-11-29T05:00:00Z", "far in the east"},
		{"America/New_York", 7, 22, "2026-11-23T03:00:00Z", "2026-11-23T03:00:00Z", "2026-11-16", "2026-11-30T03:00:00Z", "Sunday there, Monday in UTC"},
		{"Europe/Lisbon", 7, 18, "2026-10-25T18:00:00Z", "2026-11-25T09:00:00Z", "2026-11-16", "2026-11-29T18:00:00Z", "a month without: the newest alone"},
		{"Europe/Lisbon", 7, 18, "2020-01-05T18:00:00Z", "2026-11-29T18:00:00Z", "2026-11-23", "2026-12-06T18:00:00Z", "after years"},
	} {
		h := newHouse()
		h.now = at(k.now)
		due := post.Due{Club: h.club.ID, Coach: h.owner.Coach, Zone: k.zone, Day: k.day, Hour: k.hour}
		if k.next != "" {
			due.Next = at(k.next)
		}
		h.store.Weekly = []post.Due{due}
		n, err := h.post.WriteDue(context.Background())
		require.NoError(t, err)
		require.True(t, at(k.to).Equal(h.store.Weekly[0].Next), "%s: %s", k.why, h.store.Weekly[0].Next.UTC())
		if k.week == "" {
			require.Zero(t, n, k.why)
			continue
		}
		require.Equal(t, 1, n, k.why)
		require.Equal(t, k.week, h.store.Letters[0].Week.String(), k.why)
		require.Equal(t, time.Monday, h.store.Letters[0].Week.Weekday())
		n, err = h.post.WriteDue(context.Background())
		require.NoError(t, err)
		require.Zero(t, n, "%s: once", k.why)
	}
}

func TestWeeksBeginOnMondays(t *testing.T) {
	require.Equal(t, "2026-12-28", post.WeekOf(day.On(2027, 1, 3)).String(), "ISO 8601: the last week of 2026 has the number 53")
	require.Equal(t, "2027-01-04", post.WeekOf(day.On(2027, 1, 4)).String())
}

func TestOneClubsTroubleIsItsOwn(t *testing.T) {
	h := newHouse()
	for i := range 3 {
		club, owner := h.store.Begin("Club", string(rune('a'+i))+"@example.org", "hash")
		h.store.Weekly = append(h.store.Weekly, post.Due{Club: club.ID, Coach: owner.ID, Zone: "UTC", Day: 7, Hour: 18, Next: h.now})
	}
	stuck := h.store.Weekly[1].Club
	h.store.Unplanned = map[roster.ClubID]error{stuck: errors.New("a disk is full")}
	n, err := h.post.WriteDue(context.Background())
	require.ErrorContains(t, err, "a disk is full")
	require.Equal(t, 2, n)
	h.store.Unplanned = nil
	n, err = h.post.WriteDue(context.Background())
	require.NoError(t, err)
	require.Equal(t, 1, n, "the next time it is caught up")
}

// writer composes letters for tests.
type writer struct {
	made  int
	fails error
}

func (w *writer) Compose(_ context.Context, l *post.Letter) (*post.Content, error) {
	if w.fails != nil {
		return nil, w.fails
	}
	w.made++
	return &post.Content{Subject: "The week", Parts: []post.Part{{Plain: "Hello " + l.Name + "\n", HTML: "<p>"}, {Plain: "Bye\n", HTML: "</p>"}}}, nil
}

func TestALetterIsPutTogetherOnceAndSentAsItIs(t *testing.T) {
	h, w := newHouse(), &writer{}
	h.post.Composer = w
	id := h.store.Send(post.Letter{Club: h.club, Kind: post.Weekly, Coach: h.owner.Coach, MadeAt: h.now})
	h.fails = errors.New("the mail server did not answer in time")
	require.Error(t, h.deliver(id))
	first := h.now
	h.now = h.now.Add(time.Hour)
	h.fails = nil
	require.NoError(t, h.deliver(id))
	require.Equal(t, 1, w.made, "tried twice, put together once")
	m := h.carried[0]
	require.Equal(t, "Hello Owner of Harbour\nBye\n", m.Content.Plain())
	require.Equal(t, "<p></p>", m.Content.HTML())
	require.Equal(t, first, m.ComposedAt, "with the date of then")
	require.NotEmpty(t, m.Stop)
}

// erasing is a store in which whoever a letter is about is erased while it is sent.
type erasing struct{ *fake.Store }

func (erasing) Content(context.Context, roster.ClubID, roster.LetterID) (post.Content, error) {
	return post.Content{}, nil
}

func TestNothingIsSentOfWhoWasErasedMeanwhile(t *testing.T) {
	h := newHouse()
	h.post.Composer = &writer{}
	id := h.store.Send(post.Letter{Club: h.club, Kind: post.AtOnce, Coach: h.owner.Coach, MadeAt: h.now, ComposedAt: h.now})
	h.post.Store = erasing{h.store}
	require.NoError(t, h.deliver(id))
	require.Empty(t, h.carried, "no empty letter")
}

func TestKeptLettersThatAreNotSent(t *testing.T) {
	for _, k := range []struct {
		kind post.Kind
		set  func(h *house, w *writer)
		want post.Why
		why  string
	}{
		{post.Weekly, func(_ *house, w *writer) { w.fails = post.ErrMoot }, post.Moot, "nothing to say"},
		{post.Weekly, func(h *house, _ *writer) { h.now = h.now.Add(3*24*time.Hour + time.Second) }, post.Late, "three days late"},
		{post.Weekly, func(h *house, _ *writer) { h.refuse() }, post.Refused, "comes by itself, and the address was refused"},
		{post.WeeklyNow, func(h *house, _ *writer) { h.refuse() }, "", "asked for by hand: try"},
		{post.Weekly, func(*house, *writer) {}, "", "the usual"},
	} {
		h, w := newHouse(), &writer{}
		h.post.Composer = w
		id := h.store.Send(post.Letter{Club: h.club, Kind: k.kind, Coach: h.owner.Coach, MadeAt: h.now})
		k.set(h, w)
		require.NoError(t, h.deliver(id), k.why)
		require.True(t, h.store.Letters[0].Done, k.why)
		require.Equal(t, k.want, h.store.Letters[0].Dropped, k.why)
		require.Equal(t, k.want == "", len(h.carried) == 1, k.why)
	}
}

// refuse notes that the owner's address is refused.
func (h *house) refuse() {
	p := h.store.People[h.owner.Coach]
	p.MailRefused = h.now
	h.store.People[p.ID] = p
}

func TestWhatEachKindIs(t *testing.T) {
	for _, k := range []struct {
		kind                 post.Kind
		linked, kept, wanted bool
	}{
		{post.WayIn, true, false, false}, {post.Invitation, true, false, false}, {post.CoachInvitation, true, false, false}, {post.DeputyInvitation, true, false, false},
		{post.NewDevice, false, false, false}, {post.Weekly, false, true, true}, {post.WeeklyNow, false, true, false}, {post.AtOnce, false, true, true},
		{post.Decided, false, true, true}, {post.Monday, false, true, true}, {post.Gentle, false, true, true},
	} {
		require.Equal(t, k.linked, k.kind.Linked(), k.kind)
		require.Equal(t, k.kept, k.kind.Kept(), k.kind)
		require.Equal(t, k.wanted, k.kind.Wanted(), k.kind)
	}
}
