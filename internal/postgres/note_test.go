package postgres

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

func TestWhoHearsByTheClock(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	ana, ben := b.mailable(t, c, "Ana", "ana@example.org"), b.mailable(t, other, "Ben", "ben@example.org")
	set := func(sql string) {
		_, err := b.admin.Exec(t.Context(), sql)
		require.NoError(t, err, sql)
	}
	lisbon := []string{"Europe/Lisbon"}
	hearers := func(k post.Kind, zones []string, after post.Hearer) []post.Hearer {
		all, err := b.Hearers(t.Context(), k, zones, after, 10)
		require.NoError(t, err)
		return all
	}
	require.Empty(t, hearers(post.Monday, lisbon, post.Hearer{}), "nobody asked for it")
	require.Empty(t, hearers(post.Gentle, lisbon, post.Hearer{}), "no club switched it on")
	set("update athlete set mail_monday = true")
	set("update club set gentle_on = true")
	a, o := post.Hearer{Club: c.ID, Athlete: ana.ID, Zone: "Europe/Lisbon"}, post.Hearer{Club: other.ID, Athlete: ben.ID, Zone: "Europe/Lisbon"}
	for _, k := range []post.Kind{post.Monday, post.Gentle} {
		require.Equal(t, []post.Hearer{a, o}, hearers(k, lisbon, post.Hearer{}), k)
		require.Equal(t, []post.Hearer{o}, hearers(k, lisbon, a), "after the first")
		require.Empty(t, hearers(k, []string{"America/New_York"}, post.Hearer{}), "in another zone")
		zones, err := b.HearerZones(t.Context(), k)
		require.NoError(t, err)
		require.Equal(t, lisbon, zones)
	}
	for _, k := range []struct {
		sql            string
		monday, gentle bool
		why            string
	}{
		{"update athlete set mail_monday = false", false, true, "no note, please"},
		{"update athlete set mail_monday = true, mail_gentle = false", true, false, "no word, please"},
		{"update athlete set mail_gentle = true, mail_refused_at = now()", false, false, "the address is refused"},
		{"update athlete set mail_refused_at = null, email = ''", false, false, "no address"},
		{"update athlete set email = 'x@example.org', left_at = now()", false, false, "has left"},
		{"update athlete set left_at = null", true, true, "is back"},
		{"update club set gentle_on = false", true, false, "the club does not wish it"},
	} {
		set(k.sql)
		require.Equal(t, k.monday, len(hearers(post.Monday, lisbon, post.Hearer{})) == 2, k.why)
		require.Equal(t, k.gentle, len(hearers(post.Gentle, lisbon, post.Hearer{})) == 2, k.why)
	}
	require.Empty(t, hearers(post.Decided, lisbon, post.Hearer{}), "a kind that comes by no clock")
}

func TestANoteIsWrittenOnceAndToWhoeverMayTrain(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	ana, ben, cleo := b.mailable(t, c, "Ana", "ana@example.org"), b.athlete(t, c, "Ben"), b.athlete(t, c, "Cleo")
	_, err := b.admin.Exec(t.Context(), "update athlete set held = 'paused', held_since = '2026-04-01' where athlete_id = $1", ben.ID)
	require.NoError(t, err)
	_, err = b.admin.Exec(t.Context(), "update athlete set arrival = 'invited' where athlete_id = $1", cleo.ID)
	require.NoError(t, err)
	var to []post.Addressed
	for _, a := range []roster.Athlete{ana, ben, cleo} {
		to = append(to, post.Addressed{Athlete: a.ID, Week: today - 1, Key: roster.Key(fmt.Sprintf("monday-%d-20260413", a.ID))})
	}
	for i, want := range []int{1, 0} {
		n, err := b.WriteTo(t.Context(), c.ID, post.Monday, to)
		require.NoError(t, err)
		require.Equal(t, want, n, i)
	}
	require.Len(t, b.work.letters, 1)
	l, err := b.Letter(t.Context(), c.ID, b.work.letters[0])
	require.NoError(t, err)
	require.Equal(t, []any{post.Monday, ana.ID, today - 1, ""}, []any{l.Kind, l.Athlete, l.Week, l.By})

	_, err = b.admin.Exec(t.Context(), "update athlete set coach_id = $1", c.Coach)
	require.NoError(t, err)
	_, err = b.WriteTo(t.Context(), c.ID, post.Gentle, []post.Addressed{{Athlete: ana.ID, Key: "gentle-1-20260407"}})
	require.NoError(t, err)
	l, err = b.Letter(t.Context(), c.ID, b.work.letters[1])
	require.NoError(t, err)
	require.Equal(t, []any{post.Gentle, "Owner of Harbour", day.Date(0)}, []any{l.Kind, l.By, l.Week}, "signed by the own coach")
	b.work.fails = fmt.Errorf("no hands")
	_, err = b.WriteTo(t.Context(), c.ID, post.Gentle, []post.Addressed{{Athlete: ana.ID, Key: "gentle-1-20260408"}})
	require.Error(t, err)
	require.Equal(t, 2, value[int](t, b, "select count(*)::int from letter"), "all or nothing")
}

func TestForWhomASilenceMayBegin(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	for i, k := range []struct {
		ago  int // of the last session; 0: there is none
		sql  string
		then func(a roster.Athlete)
		want bool
		why  string
	}{
		{5, "", nil, false, "five days: nowhere on earth a week"},
		{7, "", nil, true, "a week"},
		{20, "", nil, false, "it began long ago"},
		{0, "phase_since = '2026-04-07'", nil, true, "none since the start a week ago"},
		{20, "cleared_on = '2026-04-07', cleared_at = '2026-04-07T12:00:00Z'", nil, true, "cleared a week ago"},
		{20, "", func(a roster.Athlete) {
			_, err := b.AddLeave(t.Context(), c.Actor, roster.Leave{Athlete: a.ID, Kind: roster.OnHoliday, Span: day.Span{From: today - 15, To: today - 2}}, b.key())
			require.NoError(t, err)
		}, true, "was away meanwhile"},
		{7, "", func(a roster.Athlete) { b.decided(t, c, a, roster.Seen) }, false, "a coach decided"},
		{7, "", func(a roster.Athlete) {
			b.decided(t, c, a, roster.Seen, func(d *roster.Decision) { d.At = noon.Add(-7*24*time.Hour - time.Second) })
		}, true, "a coach decided longer ago"},
		{7, "email = 'x@example.org'", func(a roster.Athlete) {
			require.NoError(t, b.Write(t.Context(), c.Actor, post.Invitation, a.ID, "", b.key()))
		}, false, "a coach wrote"},
	} {
		a := b.athlete(t, c, fmt.Sprintf("Ana %d", i))
		if k.ago > 0 {
			b.log(t, c, b.session(a, k.ago))
		}
		if k.sql != "" {
			_, err := b.admin.Exec(t.Context(), "update athlete set "+k.sql+" where athlete_id = $1", a.ID)
			require.NoError(t, err)
		}
		if k.then != nil {
			k.then(a)
		}
		maybe, err := b.MaybeSilent(t.Context(), c.ID, []roster.AthleteID{a.ID, 999}, noon, noon.Add(-7*24*time.Hour))
		require.NoError(t, err)
		require.Equal(t, k.want, len(maybe) == 1, k.why)
	}
}

func TestWhoIsTakenInIsToldSo(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.mailable(t, c, "Ana", "ana@example.org")
	_, err := b.admin.Exec(t.Context(), "update athlete set arrival = 'answered', arrival_since = joined_on")
	require.NoError(t, err)
	a, err = b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	m := join.Move{Change: "athlete.confirm", Athlete: a}
	m.Athlete.Arrival = roster.Here
	require.NoError(t, b.Move(t.Context(), c.Actor, m))
	require.Len(t, b.work.letters, 1)
	l, err := b.Letter(t.Context(), c.ID, b.work.letters[0])
	require.NoError(t, err)
	require.Equal(t, []any{post.Decided, a.ID, roster.DecisionID(0), "Owner of Harbour"}, []any{l.Kind, l.Athlete, l.Decision, l.By})
	m.Athlete.Version++
	m.Change, m.Alarm, m.Check = "athlete.answer", roster.AlarmAnswers, roster.HealthCheck{}
	m.Check.HandedAt = noon
	require.NoError(t, b.Move(t.Context(), roster.Actor{Club: c.ID, Athlete: a.ID}, m))
	require.Len(t, b.work.letters, 2, "answers that ask for a doctor, to the coach; here already, nothing to the athlete")
	l, err = b.Letter(t.Context(), c.ID, b.work.letters[1])
	require.NoError(t, err)
	require.Equal(t, []any{post.AtOnce, c.Coach, roster.AlarmAnswers}, []any{l.Kind, l.Coach, l.Alarm})
}
