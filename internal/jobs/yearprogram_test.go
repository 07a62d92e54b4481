package jobs

import (
	"bufio"
	"context"
	"crypto/rand"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/mail"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	halfhourmail "halfhour.app/halfhour/internal/mail"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/testing/smtpd"
)

// clock is a file of ten bytes that shows the time to every program that works on the
// simulated year: eight of nanoseconds, and two that tell one of the programs to stop
// for ever at a letter, so that it can be killed exactly there.
type clock struct{ file *os.File }

// Where a program stops.
const (
	before = 'b' // the letter goes to the mail server
	after  = 'a' // the mail server took it; that is not noted yet
)

func (c *clock) now() time.Time {
	var b [8]byte
	if _, err := c.file.ReadAt(b[:], 0); err != nil {
		panic("the clock cannot be read")
	}
	return time.Unix(0, int64(binary.BigEndian.Uint64(b[:]))).UTC()
}

func (c *clock) set(t testing.TB, at time.Time) {
	t.Helper()
	_, err := c.file.WriteAt(binary.BigEndian.AppendUint64(nil, uint64(at.UnixNano())), 0)
	require.NoError(t, err)
}

// stopAt tells the program to stop there; 0 and 0: none does.
func (c *clock) stopAt(t testing.TB, slot, where byte) {
	t.Helper()
	_, err := c.file.WriteAt([]byte{slot, where}, 8)
	require.NoError(t, err)
}

// stops says whether the program is to stop there.
func (c *clock) stops(slot, where byte) bool {
	var b [2]byte
	_, err := c.file.ReadAt(b[:], 8)
	return err == nil && b == [2]byte{slot, where}
}

// What a program of the simulated year is told.
const (
	asProgram = "HALFHOUR_TEST_PROGRAM" // its slot: one character
	atClock   = "HALFHOUR_TEST_CLOCK"
	atURL     = "HALFHOUR_TEST_URL"
	atPort    = "HALFHOUR_TEST_PORT"
)

// program is the test binary started again, as one of several programs on one
// database: the real post, store, crew and mail, and a clock that only the test moves.
// It works until it is killed, or its input ends.
func program() int {
	if err := work(context.Background()); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

func work(ctx context.Context) error {
	file, err := os.Open(os.Getenv(atClock))
	if err != nil {
		return err
	}
	defer file.Close()
	shown := &clock{file}
	errands, err := NewErrands()
	if err != nil {
		return err
	}
	db, err := postgres.Open(ctx, os.Getenv(atURL), postgres.Options{Now: shown.now, Errands: errands, Connections: 5})
	if err != nil {
		return err
	}
	defer db.Close()
	port, err := strconv.Atoi(os.Getenv(atPort))
	if err != nil {
		return err
	}
	carrier := &stopping{clock: shown, slot: os.Getenv(asProgram)[0], SMTP: &halfhourmail.SMTP{
		Host: "127.0.0.1", Port: port, Security: halfhourmail.StartTLS, User: smtpd.User, Password: smtpd.Password,
		From: &mail.Address{Address: "halfhour@club.example"}, Now: shown.now,
	}}
	letters := &post.Service{
		Store: db.Store(), Carrier: carrier, Composer: &writer{shown}, Here: "https://run.example.org", Now: shown.now,
		Link: func(context.Context, *post.Letter) (post.Link, error) { return post.Link{Path: "/in/x"}, nil },
	}
	crew := New(db.Pool(), letters, slog.New(slog.NewTextHandler(os.Stderr, nil)), shown.now)
	crew.hasty, crew.told = true, func(job int64) { fmt.Println("done", job) }
	crew.Every(turnOfLetters, "letters", func(ctx context.Context) error {
		_, err := letters.WriteDue(ctx)
		return err
	})
	if err := crew.Start(ctx); err != nil {
		return err
	}
	fmt.Println("ready", crew.client.ID())
	_, err = io.Copy(io.Discard, bufio.NewReader(os.Stdin))
	return errors.Join(err, crew.Stop(ctx))
}

// turnOfLetters is how often it is looked whose letter is due.
const turnOfLetters = 5 * time.Minute

// stopping is a carrier that stops where the test says.
type stopping struct {
	*halfhourmail.SMTP
	clock *clock
	slot  byte
}

// Carry sends a letter.
func (s *stopping) Carry(ctx context.Context, m *post.Mail) error {
	s.stop(before)
	err := s.SMTP.Carry(ctx, m)
	if err == nil {
		s.stop(after)
	}
	return err
}

func (s *stopping) stop(where byte) {
	if s.clock.stops(s.slot, where) {
		fmt.Println("stopped")
		select {}
	}
}

// writer composes letters that are never the same twice, so that one that was put
// together anew is seen. For some coach it fails for a while, and panics for another.
type writer struct{ clock *clock }

// Compose puts a letter together.
func (w *writer) Compose(_ context.Context, l *post.Letter) (*post.Content, error) {
	now := w.clock.now()
	switch trouble(l.Name, now) {
	case fails:
		return nil, errors.New("something is wrong with this letter")
	case panics:
		panic("nothing was thought of here")
	}
	text := fmt.Sprintf("Week: %s\nAs of: %s\n%s\n", l.Week, now.Format(time.RFC3339), rand.Text())
	return &post.Content{Subject: "The week at " + l.Club.Name, Parts: []post.Part{{Plain: text, HTML: "<pre>" + text}, {Plain: "Bye.\n", HTML: "</pre>"}}}, nil
}

// Trouble with one coach's letters.
const (
	fails  = "fails"
	panics = "panics"
)

// trouble is what is wrong with the letters of a coach at the instant.
func trouble(name string, at time.Time) string {
	week := int(at.Sub(firstMonday) / (7 * 24 * time.Hour))
	switch {
	case strings.HasPrefix(name, "Uma") && (week == 20 || week == 21):
		return fails
	case strings.HasPrefix(name, "Ivo") && week == 30:
		return panics
	}
	return ""
}
