package post_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

func TestChoicesAreChecked(t *testing.T) {
	sound := roster.Wishes{On: true, Day: 1, Hour: 0, Detail: roster.Reasons}
	for _, k := range []struct {
		change func(*roster.Wishes)
		place  string
		why    string
	}{
		{func(*roster.Wishes) {}, "", "as it should be"},
		{func(c *roster.Wishes) { c.Day, c.Hour = 7, 23 }, "", "the last of both"},
		{func(c *roster.Wishes) { c.Day = 0 }, "day", "no day"},
		{func(c *roster.Wishes) { c.Day = 8 }, "day", "a week has seven"},
		{func(c *roster.Wishes) { c.Hour = -1 }, "hour", "before midnight"},
		{func(c *roster.Wishes) { c.Hour = 24 }, "hour", "after it"},
		{func(c *roster.Wishes) { c.Detail = "everything" }, "detail", "nothing that there is"},
		{func(c *roster.Wishes) { c.On, c.Detail = false, "" }, "detail", "also where no letter is wanted: one at once tells something too"},
	} {
		h := newHouse()
		c := sound
		k.change(&c)
		err := h.post.Choose(context.Background(), h.owner, c)
		kept, _ := h.post.Chosen(context.Background(), h.owner)
		if k.place == "" {
			require.NoError(t, err, k.why)
			require.Equal(t, c, kept.Wishes, k.why)
			continue
		}
		require.Equal(t, []string{k.place}, places(err), k.why)
		require.Equal(t, 7, kept.Day, "%s: nothing is kept", k.why)
	}
}

func places(err error) (at []string) {
	for _, f := range fault.FieldsOf(err) {
		at = append(at, f.Place)
	}
	return at
}

func TestWhenTheNextLetterIsDue(t *testing.T) {
	tuesday := time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC)
	sunday := roster.Wishes{On: true, Day: 7, Hour: 18}
	for _, k := range []struct {
		chosen post.Chosen
		want   time.Time
		why    string
	}{
		{post.Chosen{Wishes: sunday}, time.Date(2026, 4, 19, 17, 0, 0, 0, time.UTC), "worked out anew: 18:00 in Lisbon in summer"},
		{post.Chosen{Wishes: sunday, Next: tuesday.Add(time.Hour)}, tuesday.Add(time.Hour), "as it was planned"},
		{post.Chosen{Wishes: sunday, Next: tuesday.Add(-time.Minute)}, time.Date(2026, 4, 19, 17, 0, 0, 0, time.UTC), "the one of just now is being written"},
		{post.Chosen{Wishes: sunday, Last: day.On(2026, 4, 13)}, time.Date(2026, 4, 26, 17, 0, 0, 0, time.UTC), "of this week there is one already"},
		{post.Chosen{Wishes: sunday, Last: day.On(2026, 4, 6)}, time.Date(2026, 4, 19, 17, 0, 0, 0, time.UTC), "of the week before"},
		{post.Chosen{Wishes: roster.Wishes{Day: 7, Hour: 18}, Next: tuesday.Add(time.Hour)}, time.Time{}, "none is wanted"},
	} {
		require.WithinDuration(t, k.want, k.chosen.Due("Europe/Lisbon", tuesday), 0, k.why)
	}
}

func TestTheGentleWord(t *testing.T) {
	h := newHouse()
	ctx := context.Background()
	word := func() post.GentleWord {
		g, err := h.post.GentleWord(ctx, h.club.ID)
		require.NoError(t, err)
		return g
	}
	g := word()
	require.False(t, g.On, "until somebody switches it on, nobody is written to")
	require.Equal(t, post.OurGentleWord, g.Text())
	for _, k := range []struct{ typed, kept, why string }{
		{"  Come by on Thursday?\r\nIvo ", "Come by on Thursday?\nIvo", "cleaned"},
		{strings.ReplaceAll(post.OurGentleWord, "\n", "\r\n"), "", "our own, as a browser sends them"},
		{"\x00Hello", "Hello", "nothing that is no text"},
		{" ", "", "none: ours"},
	} {
		require.NoError(t, h.post.SetGentleWord(ctx, h.owner, post.GentleWord{On: true, Words: k.typed}), k.why)
		require.Equal(t, post.GentleWord{On: true, Words: k.kept}, word(), k.why)
	}
	err := h.post.SetGentleWord(ctx, h.owner, post.GentleWord{Words: strings.Repeat("ä", roster.NoteLength+1)})
	require.Equal(t, []string{"gentle_words"}, places(err))
	require.True(t, word().On)
	for _, health := range []string{"pain", "hurt", "ill", "sick", "injur", "doctor", "medic", "health", "!"} {
		require.NotContains(t, strings.ToLower(post.OurGentleWord), health)
	}
}

func TestStoppingByAnAddress(t *testing.T) {
	h := newHouse()
	ctx := context.Background()
	a, _ := h.ana(t)
	coach, athlete := fake.StopSecret(h.owner.Coach, 0), fake.StopSecret(0, a.ID)
	for _, k := range []struct {
		secret, of string
		kind       post.Kind
		on         bool
		why        string
	}{
		{coach, "weekly", post.Weekly, true, "of a coach"}, {coach, "at-once", post.AtOnce, true, "of a coach"},
		{athlete, "decision", post.Decided, true, "of an athlete"}, {athlete, "gentle", post.Gentle, true, "of an athlete"},
		{athlete, "monday", post.Monday, false, "nobody asked for it yet"},
		{coach, "monday", "", false, "which coaches never get"}, {athlete, "weekly", "", false, "which athletes never get"},
		{coach, "at_once", "", false, "not how addresses have it"}, {coach, "weekly-now", "", false, "it comes when it is asked for"},
		{coach, "way-in", "", false, "nobody can stop ways in"}, {coach, "", "", false, "nothing is named"}, {coach, "everything", "", false, "there is no such thing"},
		{strings.ToUpper(coach[:31] + "a"), "weekly", "", false, "another shape"}, {coach[:31], "weekly", "", false, "cut off"}, {"", "weekly", "", false, "none"},
		{strings.Repeat("f", 32), "weekly", "", false, "nobody's"},
	} {
		at, err := h.post.Stoppable(ctx, k.secret, k.of)
		if k.kind == "" {
			require.Equal(t, fault.NotFound, fault.KindOf(err), "%s: %s", k.of, k.why)
			require.Equal(t, fault.NotFound, fault.KindOf(h.post.Stop(ctx, k.secret, k.of, false)), k.why)
			continue
		}
		require.NoError(t, err, k.why)
		require.Equal(t, []any{k.kind, k.on, "Harbour"}, []any{at.Kind, at.On, at.Club.Name}, k.why)
	}
	before := len(h.store.Audit)
	for range 2 {
		require.NoError(t, h.post.Stop(ctx, coach, "weekly", false))
	}
	require.Len(t, h.store.Audit, before+1, "twice is once")
	require.False(t, h.store.Wishes[h.owner.Coach].On)
	require.True(t, h.store.Wishes[h.owner.Coach].AtOnce, "nothing else is stopped")
	require.NoError(t, h.post.Stop(ctx, coach, "weekly", true))
	require.True(t, h.store.Wishes[h.owner.Coach].On, "and taken back")
	for _, of := range []string{"weekly", "at-once", "decision", "monday", "gentle"} {
		k, ok := post.Of(of)
		require.True(t, ok)
		require.Equal(t, of, post.OfKind(k))
	}
}

// A letter that waits when somebody stops its kind is not sent any more.
func TestWhatWasStoppedIsNotSent(t *testing.T) {
	h := newHouse()
	h.post.Composer = composer{}
	ctx := context.Background()
	id := h.store.Send(post.Letter{Club: h.club, Kind: post.Weekly, Coach: h.owner.Coach, MadeAt: h.now})
	asked := h.store.Send(post.Letter{Club: h.club, Kind: post.WeeklyNow, Coach: h.owner.Coach, MadeAt: h.now})
	require.NoError(t, h.post.Stop(ctx, fake.StopSecret(h.owner.Coach, 0), "weekly", false))
	require.NoError(t, h.deliver(id))
	require.Empty(t, h.carried)
	require.Equal(t, post.Stopped, h.store.Letters[0].Dropped)
	require.NoError(t, h.deliver(asked))
	require.Len(t, h.carried, 1, "one that was asked for goes all the same")
}

type composer struct{ moot bool }

func (c composer) Compose(_ context.Context, l *post.Letter) (*post.Content, error) {
	if c.moot {
		return nil, post.ErrMoot
	}
	return &post.Content{Subject: "The week", Parts: []post.Part{{Plain: "To " + l.Name + ".\n", HTML: "<p>To " + l.Name}}}, nil
}

func TestLettersThatAreAskedFor(t *testing.T) {
	h := newHouse()
	ctx := context.Background()
	write := func(n int) error {
		return h.post.WriteNow(ctx, h.owner, roster.Key("key-of-form-"+string(rune('a'+n))))
	}
	for n := range 6 {
		require.NoError(t, write(n))
		require.NoError(t, write(n), "sent twice, stored once")
	}
	err := write(6)
	require.Equal(t, fault.TooMany, fault.KindOf(err))
	require.Len(t, h.store.Letters, 6)
	require.NoError(t, write(5), "one that is there is no seventh")
	h.now = h.now.Add(time.Hour)
	require.NoError(t, write(6), "an hour later")
}

func TestLettersAsTheyWereSent(t *testing.T) {
	h := newHouse()
	h.post.Composer = composer{}
	ctx := context.Background()
	other := h.store.Coach(h.club.ID, "Ivo", "ivo@example.org", "hash")
	week := day.On(2026, 4, 6)
	first := h.store.Send(post.Letter{Club: h.club, Kind: post.Weekly, Coach: h.owner.Coach, MadeAt: h.now.Add(-time.Hour), Week: week})
	waits := h.store.Send(post.Letter{Club: h.club, Kind: post.WeeklyNow, Coach: h.owner.Coach, MadeAt: h.now})
	h.store.Send(post.Letter{Club: h.club, Kind: post.AtOnce, Coach: h.owner.Coach, MadeAt: h.now})
	require.NoError(t, h.deliver(first))
	past, err := h.post.Past(ctx, h.owner)
	require.NoError(t, err)
	require.Equal(t, []roster.LetterID{waits, first}, []roster.LetterID{past[0].ID, past[1].ID}, "the newest first, and no others than those about weeks")
	p, c, err := h.post.SentLetter(ctx, h.owner, first)
	require.NoError(t, err)
	require.Equal(t, week, p.Week)
	require.Equal(t, "<p>To Owner of Harbour", c.HTML())
	for _, k := range []struct {
		who roster.Actor
		id  roster.LetterID
		why string
	}{{h.owner, waits, "not sent yet"}, {roster.Actor{Club: h.club.ID, Coach: other.ID}, first, "another's"}, {h.owner, first + 1000, "not there"}} {
		_, _, err := h.post.SentLetter(ctx, k.who, k.id)
		require.Equal(t, fault.NotFound, fault.KindOf(err), k.why)
	}
}
