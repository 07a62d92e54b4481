package main

import (
	"bytes"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/config"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/mail"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

// Of a week of which a letter was sent, that one is printed and no other.
func TestTheLetterOfAWeek(t *testing.T) {
	now := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	store := fake.New()
	club, owner := store.Begin("Harbour", "mara@example.org", "hash")
	who := roster.Actor{Club: club.ID, Coach: owner.ID}
	sent := func(kind post.Kind, week day.Date, words string) {
		id := store.Send(post.Letter{Club: club, Kind: kind, Coach: owner.ID, Week: week, MadeAt: now})
		require.NoError(t, store.Compose(t.Context(), club.ID, id, post.Content{Subject: "The week", Parts: []post.Part{{Plain: words + "\n", HTML: "<p>" + words + "</p>"}}}, now))
		require.NoError(t, store.Sent(t.Context(), club.ID, id))
	}
	monday := day.On(2026, 11, 9)
	sent(post.Weekly, monday, "as it was sent")
	sent(post.WeeklyNow, 0, "asked for")
	sent(post.Weekly, monday-7, "another week's")
	waits := store.Send(post.Letter{Club: club, Kind: post.Weekly, Coach: owner.ID, Week: monday + 7, MadeAt: now})
	require.NoError(t, store.Compose(t.Context(), club.ID, waits, post.Content{Subject: "The week", Parts: []post.Part{{Plain: "waits\n"}}}, now))

	clock := func() time.Time { return now }
	past := pastLetters{
		Post:     &post.Service{Store: store, Now: clock},
		Composer: &mail.Composer{Readers: store, Morning: &morning.Service{Store: store, Now: clock}, Here: "https://run.example.org"},
	}
	for _, k := range []struct {
		week  day.Date
		html  bool
		out   string
		about string
		why   string
	}{
		{monday, false, "Subject: The week\n\nas it was sent\n", "as it was sent on 25 November 2026", "its Monday"},
		{monday + 6, false, "Subject: The week\n\nas it was sent\n", "as it was sent", "its Sunday"},
		{monday, true, "<p>as it was sent</p>", "as it was sent", "as HTML"},
		{monday + 7, false, "Seven days up to Sunday 22 November", "No letter was sent for the week from 2026-11-16", "one that waits was not sent"},
		{monday - 14, false, "Seven days up to Sunday 1 November", "what it would say", "there is none"},
		{monday + 14, false, "Seven days up to Wednesday 25 November", "what it would say", "this week, up to today"},
		{monday + 400, false, "Seven days up to Wednesday 25 November", "what it would say", "a week to come"},
	} {
		var out, about bytes.Buffer
		l := letterCommand{Week: civilDate{k.week}, HTML: k.html}
		require.NoError(t, l.print(t.Context(), outside{out: &out, err: &about}, past, who), k.why)
		require.Contains(t, out.String(), k.out, k.why)
		require.Contains(t, about.String(), k.about, k.why)
	}
}

func TestLettersAreAskedForWithACoachAndADate(t *testing.T) {
	for _, args := range [][]string{
		{}, {"--coach=mara@example.org"}, {"--week=2026-11-15"}, {"--coach=mara@example.org", "--week=15.11.2026"}, {"--coach=mara@example.org", "--week=2026-02-30"},
	} {
		c := call(t, "", append([]string{"letter"}, args...)...)
		require.Equal(t, 2, c.status, args)
		require.Empty(t, c.out)
	}
}

// letterBeside prints letters while a Halfhour runs in the folder.
func letterBeside(t *testing.T, r *running, data, coach string) {
	t.Helper()
	place, err := time.LoadLocation("Europe/Lisbon") // of the club
	require.NoError(t, err)
	began := time.Now().In(place)
	today := began.Format(time.DateOnly)
	c := call(t, "", "letter", data, "--coach=nobody@example.org", "--week="+today)
	require.Equal(t, 1, c.status)
	require.Contains(t, c.err, "no coach signs in with nobody@example.org")
	c = call(t, "", "letter", data, "--base-url="+r.origin, "--coach="+coach, "--week="+today)
	require.Equal(t, 0, c.status, c.err)
	for _, words := range []string{"Subject: ", "Open the roster: " + r.origin + "/roster ", "Only initials and flags stand in it", "The letter gives no medical advice"} {
		require.Contains(t, strings.Join(strings.Fields(c.out), " "), words)
	}
	require.Regexp(t, fmt.Sprintf("Seven days up to (%s|%s)", began.Weekday(), time.Now().In(place).Weekday()), c.out, "it may be midnight")
	c = call(t, "", "letter", data, "--coach="+coach, "--week="+today, "--html")
	require.Equal(t, 0, c.status, c.err)
	require.Contains(t, c.out, "<!DOCTYPE html>")
}

// The first Sunday at six in the evening where the club is, a letter goes to each coach.
func TestAWeeklyLetterGoesOutByItself(t *testing.T) {
	folder := dataFolder(t)
	place, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	six := day.On(2026, 11, 22).At(18, place)
	serve := func(at time.Time, until func() bool) {
		r := beginAt(t, func() time.Time { return at }, "--demo", "--data="+folder)
		require.Eventually(t, until, time.Minute, 50*time.Millisecond)
		require.Equal(t, fine, r.end())
	}
	serve(six.Add(-10*time.Minute), func() bool { return !nextLetter(t, folder, "marta@ternquay.example").IsZero() })
	require.Empty(t, filesIn(t, folder), "it is not six yet")
	serve(six.Add(10*time.Minute), func() bool { return len(filesIn(t, folder)) == 2 })
	for _, file := range filesIn(t, folder) {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		head, _, _ := strings.Cut(string(text), "\r\n\r\n")
		require.Contains(t, head, "Subject: Tern Quay Starters: ")
		require.Contains(t, head, "/letters/stop/")
	}
}

// filesIn are the letters that went into files.
func filesIn(t *testing.T, folder string) []string {
	t.Helper()
	letters, err := filepath.Glob(filepath.Join(folder, "mail", "*", "*.eml"))
	require.NoError(t, err)
	return letters
}

// nextLetter is when the coach's next letter is due, as the Halfhour that runs in the
// folder worked out.
func nextLetter(t *testing.T, folder, email string) time.Time {
	t.Helper()
	d, err := reachDatabase(t.Context(), &config.Config{Data: folder}, slog.New(slog.DiscardHandler))
	require.NoError(t, err)
	db, err := postgres.Open(t.Context(), d.app, postgres.Options{Connections: 1, Now: time.Now})
	require.NoError(t, err)
	defer db.Close()
	coach, err := db.Store().ByEmail(t.Context(), email)
	require.NoError(t, err)
	r, err := db.Store().Reader(t.Context(), coach.Club, coach.Coach)
	require.NoError(t, err)
	return r.Next
}
