package mail

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/testing/smtpd"
)

// Letters that go one after the other share a connection, up to a number.
func TestLettersShareALine(t *testing.T) {
	for name, c := range map[string]struct {
		options smtpd.Options
		set     func(*SMTP)
	}{
		"STARTTLS": {smtpd.Options{}, func(*SMTP) {}},
		"TLS":      {smtpd.Options{Implicit: true}, func(c *SMTP) { c.Security = TLS }},
	} {
		server := smtpd.Start(t, c.options)
		client := through(t, server, c.set)
		for range lettersMost + 1 {
			require.NoError(t, client.Carry(t.Context(), one(post.WayIn)), name)
		}
		require.Len(t, server.Taken(), lettersMost+1, name)
		require.Equal(t, 2, server.Visits(), name)
	}
}

// A server that has gone meanwhile, or wants no more over this line, is asked anew; no
// letter goes twice.
func TestALineThatHasEnded(t *testing.T) {
	server := smtpd.Start(t, smtpd.Options{})
	client := through(t, server)
	require.NoError(t, client.Carry(t.Context(), one(post.WayIn)))
	server.Set(func(o *smtpd.Options) { o.Away = true })
	require.Error(t, client.Carry(t.Context(), one(post.WayIn)))
	server.Set(func(o *smtpd.Options) { o.Away = false })
	require.NoError(t, client.Carry(t.Context(), one(post.WayIn)))
	require.Equal(t, 2, server.Visits())

	require.Len(t, client.lines.idle, 1)
	require.NoError(t, client.lines.idle[0].conn.Close(), "as a cable that was pulled")
	require.NoError(t, client.Carry(t.Context(), one(post.WayIn)))
	require.Equal(t, 3, server.Visits())
	require.Len(t, server.Taken(), 3)
}

// A refused address is told as ever, and says nothing of the next.
func TestARefusalOnALine(t *testing.T) {
	server := smtpd.Start(t, smtpd.Options{})
	client := through(t, server)
	require.NoError(t, client.Carry(t.Context(), one(post.WayIn)))
	server.Set(func(o *smtpd.Options) { o.Refuse = "ines@example.org" })
	require.ErrorIs(t, client.Carry(t.Context(), one(post.WayIn)), post.ErrRefused)
	server.Set(func(o *smtpd.Options) { o.Refuse = "" })
	require.NoError(t, client.Carry(t.Context(), one(post.WayIn)))
	require.Len(t, server.Taken(), 2)
}

// Many at once have a line each; few of them are kept, and none for long.
func TestLinesAreEnded(t *testing.T) {
	server := smtpd.Start(t, smtpd.Options{})
	client := through(t, server)
	var all sync.WaitGroup
	for range 3 * linesMost {
		all.Go(func() {
			if err := client.Carry(t.Context(), one(post.WayIn)); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	require.Len(t, server.Taken(), 3*linesMost)
	kept := func() int {
		client.lines.mu.Lock()
		defer client.lines.mu.Unlock()
		return len(client.lines.idle)
	}
	were := kept()
	require.Positive(t, were)
	require.LessOrEqual(t, were, linesMost)
	l := client.lines.take()
	client.lines.give(l)
	client.lines.end(l, l.sent-1)
	require.Positive(t, kept(), "it has carried something since")
	l = client.lines.take()
	client.lines.after = time.Millisecond
	client.lines.give(l)
	require.Eventually(t, func() bool { return kept() < were }, time.Minute, time.Millisecond)
}
