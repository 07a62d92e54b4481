package mail

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

// heard is a club with an athlete, on Monday 16 November 2026 at seven in the morning.
type heard struct {
	*fake.Store
	t     *testing.T
	now   time.Time
	club  roster.Club
	mara  roster.Coach
	ines  roster.AthleteID
	wants roster.Detail
}

var monday = day.On(2026, 11, 16)

func newHeard(t *testing.T) *heard {
	t.Helper()
	h := &heard{Store: fake.New(), t: t, now: monday.At(7, time.UTC), wants: roster.Initials}
	h.club, h.mara = h.Begin("Harbour Half Hour", "mara@example.org", "x")
	h.mara.Name = "Mara Lind"
	h.People[h.mara.ID] = fake.Person{Coach: h.mara}
	a := h.Runner(h.club.ID, "Ines Okafor")
	a.Email, a.Phase, a.PhaseSince, a.JoinedOn, a.LastPassed = "ines@example.org", "L3", monday-20, monday-60, "L2"
	h.Athletes[a.ID], h.ines = a, a.ID
	return h
}

func (h *heard) set(change func(*roster.Athlete)) {
	a := h.Athletes[h.ines]
	change(&a)
	h.Athletes[h.ines] = a
}

// done logs the session of the phase in full so many days ago.
func (h *heard) done(ago day.Date) {
	p := pathway.Default()
	date := monday - ago
	s := roster.Session{ID: roster.SessionID(100 + ago), Athlete: h.ines, Version: 1, Session: readiness.Session{
		StartedAt: date.At(6, time.UTC), Date: date, Phase: "L3", Effort: readiness.Some(4), Talk: readiness.Sentence, Breath: readiness.Early, PainAsked: true,
	}}
	for _, b := range p.Blocks(p.Find("L3")) {
		s.Blocks = append(s.Blocks, readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)})
	}
	h.Logged = append(h.Logged, s)
}

// decided keeps a decision of now, after which the athlete stands as the change says.
func (h *heard) decided(choice roster.Choice, word string, change ...func(*roster.Standing)) roster.DecisionID {
	h.t.Helper()
	a := h.Athletes[h.ines]
	d := roster.Decision{Athlete: a.ID, Coach: h.mara.ID, At: h.now, Choice: choice, Word: word, Before: a.Standing, After: a.Standing, Key: roster.Key("key-" + string(choice) + word)}
	for _, f := range change {
		f(&d.After)
	}
	id, err := h.Keep(context.Background(), roster.Actor{Club: h.club.ID, Coach: h.mara.ID}, d, a.Version)
	require.NoError(h.t, err)
	return id
}

func (h *heard) compose(l post.Letter) (*post.Content, error) {
	now := func() time.Time { return h.now }
	c := Composer{Hearing: &Hearing{
		Decide: &decide.Service{Store: h.Store, Now: now}, Entry: &entry.Service{Store: h.Store, Now: now}, Morning: &morning.Service{Store: h.Store, Now: now},
		Days: &days.Service{Store: h.Store, Now: now}, Readers: h, Words: h.Store, Here: here,
	}}
	l.ID, l.Club, l.MadeAt, l.Stop = 7, h.club, h.now, "0123456789abcdef0123456789abcdef"
	l.Athlete, l.Name = h.ines, h.Athletes[h.ines].Name
	if l.Kind == post.AtOnce {
		l.Coach, l.Name = h.mara.ID, h.mara.Name
	} else if l.Kind != post.Monday {
		l.By = h.mara.Name
	}
	return c.Compose(context.Background(), &l)
}

func (h *heard) Reader(ctx context.Context, club roster.ClubID, coach roster.CoachID) (post.Reader, error) {
	r, err := h.Store.Reader(ctx, club, coach)
	r.Wishes.Detail = h.wants
	return r, err
}

// tellings are letters to look at, one of each kind and turn.
func tellings() map[string]func(h *heard) post.Letter {
	decision := func(choice roster.Choice, word string, change ...func(*roster.Standing)) func(h *heard) post.Letter {
		return func(h *heard) post.Letter {
			return post.Letter{Kind: post.Decided, Decision: h.decided(choice, word, change...)}
		}
	}
	alarm := func(a roster.Alarm, d roster.Detail) func(h *heard) post.Letter {
		return func(h *heard) post.Letter {
			h.wants = d
			return post.Letter{Kind: post.AtOnce, Alarm: a}
		}
	}
	at := func(phase string) func(*roster.Standing) { return func(s *roster.Standing) { s.Phase = phase } }
	held := func(k roster.Held) func(*roster.Standing) {
		return func(s *roster.Standing) { s.Held, s.HeldSince = k, monday }
	}
	return map[string]func(h *heard) post.Letter{
		"moved-up":   decision(roster.MoveUp, "Three calm sessions in a row.\nKeep the first minute slow, and I see you on Thursday.", at("L4")),
		"same-again": decision(roster.Hold, "An easier week, please: the planned sessions only, nothing on top."),
		"half-step":  decision(roster.HalfStep, "", at("L3-")),
		"eased-back": decision(roster.EaseBack, "", at("L2")),
		"paused":     decision(roster.Pause, "Let it rest this week. I call you tonight.", held(roster.Paused)),
		"referred":   decision(roster.Refer, "", held(roster.Referred)),
		"again": func(h *heard) post.Letter {
			h.set(func(a *roster.Athlete) { a.Held, a.HeldSince = roster.Referred, monday-9 })
			return post.Letter{Kind: post.Decided, Decision: h.decided(roster.Cleared, "Good to have you back.", held(roster.NotHeld), at("L1"))}
		},
		"taken-back": func(h *heard) post.Letter {
			id := h.decided(roster.MoveUp, "Well run.", at("L4"))
			require.NoError(h.t, h.Undo(context.Background(), roster.Actor{Club: h.club.ID, Coach: h.mara.ID}, id, h.now))
			return post.Letter{Kind: post.Decided, Decision: id}
		},
		"taken-in": func(h *heard) post.Letter {
			h.set(func(a *roster.Athlete) { a.Phase = "B1" })
			return post.Letter{Kind: post.Decided}
		},
		"this-week": func(h *heard) post.Letter {
			h.done(5)
			h.done(1)
			h.decided(roster.Hold, "Slow is right.")
			return post.Letter{Kind: post.Monday, Week: monday}
		},
		"gentle": func(h *heard) post.Letter {
			h.done(7)
			return post.Letter{Kind: post.Gentle}
		},
		"gentle-own-words": func(h *heard) post.Letter {
			h.done(7)
			h.Gentle[h.club.ID] = post.GentleWord{On: true, Words: "We miss your laugh at the pier.\n\nCome by on Thursday, even for a walk."}
			return post.Letter{Kind: post.Gentle}
		},
		"alarm-sign": alarm(roster.AlarmSign|roster.AlarmPain, roster.Initials),
		"alarm-bone": alarm(roster.AlarmBone, roster.Names),
		"alarm-pain": alarm(roster.AlarmPain, roster.Reasons),
		"alarm-noted": func(h *heard) post.Letter {
			h.wants = roster.Names
			return post.Letter{Kind: post.AtOnce, Alarm: roster.AlarmPain, By: "Ivo Brandt"}
		},
		"alarm-answers": alarm(roster.AlarmAnswers, roster.Initials),
	}
}

func TestWhatIsHeard(t *testing.T) {
	for name, telling := range tellings() {
		t.Run(name, func(t *testing.T) {
			h := newHeard(t)
			l := telling(h)
			c, err := h.compose(l)
			require.NoError(t, err)
			require.Len(t, c.Parts, 1)
			require.Equal(t, h.ines, c.Parts[0].Athlete, "all of it goes with whom it is about")
			golden(t, c, name == "moved-up" || name == "this-week" || name == "alarm-sign") // one of each form
			for _, secret := range []string{"Ines", "Okafor", "Mara", "I. O."} {
				require.NotContains(t, c.Subject, secret, "a subject names nobody")
			}
			equalWorth(t, c)
			require.NotContains(t, c.Plain(), "!")
			require.Contains(t, c.Plain(), here+"/letters/stop/0123456789abcdef0123456789abcdef?of=")
			if l.Kind == post.AtOnce {
				require.Equal(t, h.wants != roster.Initials, strings.Contains(c.Plain(), "Ines Okafor"), "the name where it is wanted")
			}
		})
	}
}

// equalWorth says that every line of the plain text stands in the HTML too.
func equalWorth(t *testing.T, c *post.Content) {
	t.Helper()
	shown, leads := words(t, c.HTML())
	for line := range strings.SplitSeq(c.Plain(), "\n") {
		line = strings.TrimSuffix(strings.TrimPrefix(line, "-- "), ":")
		if strings.HasPrefix(line, here+"/") {
			require.Contains(t, leads, line)
		} else {
			require.Contains(t, shown, strings.Join(strings.Fields(line), " "))
		}
	}
}

func TestWhatThereIsNothingToSayAboutAnyMore(t *testing.T) {
	for _, k := range []struct {
		name  string
		after func(h *heard)
		why   string
	}{
		{"moved-up", func(h *heard) {
			require.NoError(h.t, h.Undo(context.Background(), roster.Actor{Club: h.club.ID, Coach: h.mara.ID}, h.Decided[0].ID, h.now.Add(time.Second)))
		}, "taken back"},
		{"moved-up", func(h *heard) { h.decided(roster.Pause, "", func(s *roster.Standing) { s.Held = roster.Paused }) }, "a newer one led on from it"},
		{"taken-in", func(h *heard) { h.set(func(a *roster.Athlete) { a.Arrival = roster.Withdrawn }) }, "took the consent back"},
		{"this-week", func(h *heard) { h.now = h.now.Add(24 * time.Hour) }, "it is Tuesday"},
		{"this-week", func(h *heard) { h.set(func(a *roster.Athlete) { a.Held = roster.Paused }) }, "is held"},
		{"this-week", func(h *heard) { h.away(roster.OnHoliday) }, "is away"},
		{"this-week", func(h *heard) { h.away(roster.Ill) }, "is ill"},
		{"this-week", func(h *heard) { h.set(func(a *roster.Athlete) { a.Arrival = roster.Invited }) }, "is not here yet"},
		{"gentle", func(h *heard) { h.done(0) }, "has logged something"},
		{"gentle", func(h *heard) { h.away(roster.OnHoliday) }, "is away"},
		{"gentle", func(h *heard) { h.set(func(a *roster.Athlete) { a.Held = roster.Referred }) }, "is held"},
		{"alarm-answers", func(h *heard) {
			p := h.People[h.mara.ID]
			p.Deputy, p.Owner = true, false
			h.People[p.ID] = p
		}, "is a deputy by now"},
		{"alarm-sign", func(h *heard) { delete(h.Athletes, h.ines) }, "was erased"},
	} {
		h := newHeard(t)
		l := tellings()[k.name](h)
		k.after(h)
		_, err := h.compose(l)
		require.ErrorIs(t, err, post.ErrMoot, k.why)
	}
}

func (h *heard) away(kind roster.LeaveKind) {
	h.Leaving[1] = roster.Leave{ID: 1, Athlete: h.ines, Kind: kind, Span: day.Span{From: monday - 1}}
}

func TestACoachSpeaksByName(t *testing.T) {
	m := one(post.Decided)
	m.Content = post.Content{Subject: "x", Parts: []post.Part{{Plain: "x\n", HTML: "<p>x</p>"}}}
	h, _, _ := composed(t, m)
	require.Equal(t, `"Mara Lindqvist of Harbour" <halfhour@club.example>`, h.Get("From"))
}
