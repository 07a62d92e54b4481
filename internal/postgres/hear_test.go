package postgres

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// decided keeps a decision about the athlete.
func (b *bench) decided(t *testing.T, c club, a roster.Athlete, choice roster.Choice, change ...func(*roster.Decision)) roster.Decision {
	t.Helper()
	a, err := b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	d := roster.Decision{
		Athlete: a.ID, Coach: c.Coach, At: noon, AsOf: today, Choice: choice, To: a.Phase, Proposal: "stay", Verdict: []byte("{}"),
		Before: a.Standing, After: a.Standing, Key: b.key(),
	}
	for _, f := range change {
		f(&d)
	}
	d.ID, err = b.Keep(t.Context(), c.Actor, d, a.Version)
	require.NoError(t, err)
	return d
}

func word(text string) func(*roster.Decision) { return func(d *roster.Decision) { d.Word = text } }

func TestADecisionIsToldToWhoeverWantsToHearIt(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.mailable(t, c, "Ana", "ana@example.org")
	for _, k := range []struct {
		sql    string
		choice roster.Choice
		word   string
		at     time.Time
		told   bool
		why    string
	}{
		{"", roster.MoveUp, "", noon, true, "the usual"},
		{"", roster.Seen, "Well run.", noon, false, "only looked at"},
		{"", roster.Hold, "", noon, false, "as before, and nothing is said"},
		{"", roster.Hold, "Same again.", noon, true, "as before, with a word"},
		{"", roster.Pause, "", noon.Add(-61 * time.Minute), false, "long ago"},
		{"mail_decisions = false", roster.MoveUp, "", noon, false, "does not want to"},
		{"mail_decisions = true, mail_refused_at = now()", roster.MoveUp, "", noon, false, "the address is refused"},
		{"mail_refused_at = null, email = ''", roster.MoveUp, "", noon, false, "has no address"},
		{"email = 'ana@example.org', left_at = now()", roster.MoveUp, "", noon, false, "has left"},
	} {
		if k.sql != "" {
			_, err := b.admin.Exec(t.Context(), "update athlete set "+k.sql)
			require.NoError(t, err)
		}
		n := len(b.work.letters)
		d := b.decided(t, c, a, k.choice, word(k.word), func(d *roster.Decision) { d.At = k.at })
		if !k.told {
			require.Len(t, b.work.letters, n, k.why)
			continue
		}
		require.Len(t, b.work.letters, n+1, k.why)
		require.Equal(t, noon.Add(90*time.Second), b.work.from[n], "and can be taken back till then")
		l, err := b.Letter(t.Context(), c.ID, b.work.letters[n])
		require.NoError(t, err)
		require.Equal(t, post.Decided, l.Kind)
		require.Equal(t, []any{a.ID, d.ID, "Owner of Harbour", roster.CoachID(0)}, []any{l.Athlete, l.Decision, l.By, l.Coach}, k.why)
	}
}

// The letter belongs to the transaction of its decision, and the same form twice is one.
func TestADecisionAndItsLetterAreOneThing(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.mailable(t, c, "Ana", "ana@example.org")
	b.work.fails = fmt.Errorf("no hands")
	d := roster.Decision{Athlete: a.ID, Coach: c.Coach, At: noon, AsOf: today, Choice: roster.MoveUp, To: "L4", Proposal: "x", Verdict: []byte("{}"), Before: a.Standing, After: a.Standing, Key: b.key()}
	a, err := b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	_, err = b.Keep(t.Context(), c.Actor, d, a.Version)
	require.Error(t, err)
	require.Zero(t, value[int](t, b, "select count(*)::int from decision"), "nothing of it is kept")
	require.Zero(t, value[int](t, b, "select count(*)::int from letter"))
	b.work.fails, b.work.letters, b.work.from = nil, nil, nil
	for range 2 {
		_, err = b.Keep(t.Context(), c.Actor, d, a.Version)
		require.NoError(t, err)
	}
	require.Len(t, b.work.letters, 1)

	quiet, err := Open(t.Context(), b.url.AppURL, Options{Now: func() time.Time { return noon }})
	require.NoError(t, err)
	t.Cleanup(quiet.Close)
	d.Key = b.key()
	_, err = quiet.Store().Keep(t.Context(), c.Actor, d, a.Version+1)
	require.NoError(t, err, "a program that sends no mail keeps it all the same")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from letter"))
}

// watchers are a club's coaches with their names.
type watchers struct {
	t *testing.T
	b *bench
	c club
	n map[roster.CoachID]string
}

func (w *watchers) join(name string, deputy bool) roster.CoachID {
	w.t.Helper()
	purpose := access.CoachInvite
	if deputy {
		purpose = access.DeputyInvite
	}
	id := w.b.joins(w.t, w.c, purpose, name+"@example.org")
	w.n[id] = name
	return id
}

// told gives who was written to since the letters numbered so many, and the alarm.
func (w *watchers) told(n int) (names []string, alarm roster.Alarm) {
	w.t.Helper()
	for _, id := range w.b.work.letters[n:] {
		l, err := w.b.Letter(w.t.Context(), w.c.ID, id)
		require.NoError(w.t, err)
		require.Equal(w.t, post.AtOnce, l.Kind)
		names, alarm = append(names, w.n[l.Coach]), l.Alarm
	}
	return names, alarm
}

func TestWhoIsToldAtOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	w := &watchers{t, b, c, map[roster.CoachID]string{c.Coach: "owner"}}
	own, deputy := w.join("own", false), w.join("deputy", true)
	a := b.athlete(t, c, "Ana")
	set := func(sql string, args ...any) string { return fmt.Sprintf(sql, args...) }
	for i, k := range []struct {
		sql   string
		who   roster.Actor
		alarm roster.Alarm
		want  []string
		why   string
	}{
		{"", roster.Actor{Athlete: a.ID}, roster.AlarmPain, []string{"owner", "own", "deputy"}, "everybody's athlete: everybody"},
		{"", roster.Actor{Coach: own}, roster.AlarmPain, []string{"owner", "deputy"}, "who logs it knows"},
		{"", roster.Actor{Athlete: a.ID}, roster.AlarmAnswers, []string{"owner", "own"}, "what was answered is not for deputies"},
		{set("update athlete set coach_id = %d", own), roster.Actor{Athlete: a.ID}, roster.AlarmSign, []string{"own"}, "the own coach alone"},
		{"", roster.Actor{Coach: own}, roster.AlarmSign, nil, "who knows already"},
		{"", roster.Actor{Coach: deputy}, roster.AlarmBone, []string{"own"}, "logged by another"},
		{set("update coach set at_once_on = false where coach_id = %d", own), roster.Actor{Athlete: a.ID}, roster.AlarmSign, []string{"owner", "deputy"}, "who does not want to be told"},
		{"update club set own_only = true", roster.Actor{Athlete: a.ID}, roster.AlarmSign, []string{"owner"}, "nobody else sees the athlete"},
		{set("update coach set at_once_on = true, mail_refused_at = now() where coach_id = %d", own), roster.Actor{Athlete: a.ID}, roster.AlarmSign, []string{"owner"}, "whose address is refused"},
		{set("update coach set mail_refused_at = null, left_at = now(), email = null, password = '' where coach_id = %d", own), roster.Actor{Athlete: a.ID}, roster.AlarmSign, []string{"owner"}, "who has left"},
		{"update coach set at_once_on = false", roster.Actor{Athlete: a.ID}, roster.AlarmSign, nil, "nobody wants to"},
	} {
		if k.sql != "" {
			_, err := b.admin.Exec(t.Context(), k.sql)
			require.NoError(t, err, k.sql)
		}
		n := len(b.work.letters)
		k.who.Club = c.ID
		_, _, err := b.Log(t.Context(), k.who, b.session(a, i+1), k.alarm)
		require.NoError(t, err)
		names, alarm := w.told(n)
		require.ElementsMatch(t, k.want, names, k.why)
		if len(names) > 0 {
			require.Equal(t, k.alarm, alarm, k.why)
		}
	}
}

func TestEachAlarmOfASessionIsToldOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	w := &watchers{t, b, c, map[roster.CoachID]string{c.Coach: "owner"}}
	a := b.athlete(t, c, "Ana")
	who := roster.Actor{Club: c.ID, Athlete: a.ID}
	s := b.session(a, 1)
	s.Signs = []readiness.Sign{readiness.ChestPressure}
	id, _, err := b.Log(t.Context(), who, s, roster.AlarmSign)
	require.NoError(t, err)
	_, again, err := b.Log(t.Context(), who, s, roster.AlarmSign)
	require.NoError(t, err)
	require.True(t, again)
	names, _ := w.told(0)
	require.Len(t, names, 1, "sent twice, told once")
	s.ID, s.Version, s.ChangedAt = id, 1, noon
	for _, k := range []struct {
		alarm, told roster.Alarm
		why         string
	}{
		{roster.AlarmSign, 0, "known"},
		{roster.AlarmSign | roster.AlarmPain, roster.AlarmPain, "a new kind"},
		{roster.AlarmSign | roster.AlarmPain, 0, "both known"},
		{roster.AlarmSign | roster.AlarmBone, roster.AlarmBone, "another one"},
		{0, 0, "none"},
	} {
		n := len(b.work.letters)
		require.NoError(t, b.Correct(t.Context(), who, s, k.alarm), k.why)
		s.Version++
		_, told := w.told(n)
		require.Equal(t, k.told, told, k.why)
	}
	n := len(b.work.letters)
	stale := s
	stale.Version = 99
	kind(t, fault.Conflict, b.Correct(t.Context(), who, stale, roster.AlarmSign), "of another version")
	require.Len(t, b.work.letters, n, "and nobody is told")
	require.NoError(t, b.Delete(t.Context(), who, a.ID, id, s.Version))
	l, err := b.Letter(t.Context(), c.ID, b.work.letters[0])
	require.NoError(t, err)
	require.Zero(t, l.Session, "the letter outlives its session, and names none")
	old := b.session(a, 9)
	old.LoggedAt = noon.Add(-61 * time.Minute)
	_, _, err = b.Log(t.Context(), who, old, roster.AlarmSign)
	require.NoError(t, err)
	require.Len(t, b.work.letters, n, "what was told long ago is no news")
}

func TestWhoHasReadOfADecisionHearsThatItWasTakenBack(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.mailable(t, c, "Ana", "ana@example.org")
	for _, k := range []struct {
		before func(id roster.LetterID)
		told   int
		why    string
	}{
		{func(roster.LetterID) {}, 0, "before the letter went"},
		{func(id roster.LetterID) { require.NoError(t, b.Drop(t.Context(), c.ID, id, post.Moot)) }, 0, "the letter was dropped"},
		{func(id roster.LetterID) { require.NoError(t, b.Compose(t.Context(), c.ID, id, told(a), noon)) }, 1, "after it was put together"},
	} {
		d := b.decided(t, c, a, roster.MoveUp)
		n := len(b.work.letters)
		k.before(b.work.letters[n-1])
		for range 2 {
			require.NoError(t, b.Undo(t.Context(), c.Actor, d.ID, noon.Add(time.Minute)))
		}
		require.Len(t, b.work.letters, n+k.told, k.why)
		if k.told > 0 {
			l, err := b.Letter(t.Context(), c.ID, b.work.letters[n])
			require.NoError(t, err)
			require.Equal(t, []any{post.Decided, d.ID, a.ID}, []any{l.Kind, l.Decision, l.Athlete})
			require.Equal(t, noon, b.work.from[n], "at once")
		}
	}
}
