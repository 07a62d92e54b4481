package mail

import (
	"context"
	"crypto/x509"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/testing/smtpd"
)

// through is a sender that the server lets in.
func through(t *testing.T, s *smtpd.Server, set ...func(*SMTP)) *SMTP {
	t.Helper()
	c := &SMTP{Host: s.Host, Port: s.Port, Security: StartTLS, User: smtpd.User, Password: smtpd.Password, From: sender(t), Now: at, roots: s.Roots}
	c.lines.after = time.Hour // a line that ends by itself between two letters would be another trial
	for _, f := range set {
		f(c)
	}
	return c
}

func TestAServerTakesALetter(t *testing.T) {
	for name, c := range map[string]struct {
		options smtpd.Options
		set     func(*SMTP)
	}{
		"STARTTLS": {smtpd.Options{}, func(*SMTP) {}},
		"TLS":      {smtpd.Options{Implicit: true}, func(c *SMTP) { c.Security = TLS }},
		"clear":    {smtpd.Options{Bare: true}, func(c *SMTP) { c.Security, c.User, c.Password = Clear, "", "" }},
	} {
		server := smtpd.Start(t, c.options)
		client := through(t, server, c.set)
		require.NoError(t, client.Try(t.Context()), name)
		for range 2 {
			require.NoError(t, client.Carry(t.Context(), one(post.WayIn)), name)
		}
		taken := server.Taken()
		require.Len(t, taken, 2, name)
		require.Equal(t, "halfhour@club.example", taken[0].From)
		require.Equal(t, []string{"ines@example.org"}, taken[0].To)
		first, text, _ := parts(t, taken[0].Body)
		require.Contains(t, text, "https://run.example.org/in/abc")
		again, _, _ := parts(t, taken[1].Body)
		require.Equal(t, first.Get("Message-ID"), again.Get("Message-ID"), "the same letter is the same letter")
	}
}

// What a server does wrong is said in our words: in the server's own there may be
// addresses.
func TestWhatAServerRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		options smtpd.Options
		set     func(*SMTP)
		says    string
		refused bool
	}{
		"a wrong password":           {smtpd.Options{}, func(c *SMTP) { c.Password = "guess" }, "refused the user or the password", false},
		"a wrong password, over TLS": {smtpd.Options{Implicit: true}, func(c *SMTP) { c.Security, c.Password = TLS, "guess" }, "refused the user or the password", false},
		"no STARTTLS":                {smtpd.Options{Bare: true}, func(*SMTP) {}, "does not offer STARTTLS", false},
		"nobody may sign in":         {smtpd.Options{Bare: true}, func(c *SMTP) { c.Security = Clear }, "does not let anybody sign in", false},
		"a certificate of nobody's":  {smtpd.Options{}, func(c *SMTP) { c.roots = x509.NewCertPool() }, "certificate is not to be believed", false},
		"likewise over TLS":          {smtpd.Options{Implicit: true}, func(c *SMTP) { c.Security, c.roots = TLS, x509.NewCertPool() }, "certificate is not to be believed", false},
		"nobody asked to sign in":    {smtpd.Options{}, func(c *SMTP) { c.User, c.Password = "", "" }, "answered 502", false},
		"an unknown recipient":       {smtpd.Options{Refuse: "ines@example.org"}, func(*SMTP) {}, "550 5.1.1", true},
		"a busy server":              {smtpd.Options{Busy: true}, func(*SMTP) {}, "451 4.2.1", false},
		"one that does not know us":  {smtpd.Options{Stranger: true}, func(*SMTP) {}, "554 5.7.1", false},
		"another name":               {smtpd.Options{}, func(c *SMTP) { c.Host = "localhost" }, "certificate is not to be believed", false},
		"another name, over TLS":     {smtpd.Options{Implicit: true}, func(c *SMTP) { c.Host, c.Security = "localhost", TLS }, "certificate is not to be believed", false},
	} {
		client := through(t, smtpd.Start(t, c.options), c.set)
		err := client.Carry(t.Context(), one(post.WayIn))
		require.ErrorContains(t, err, c.says, name)
		require.NotContains(t, err.Error(), "ines", name)
		if c.refused {
			require.ErrorIs(t, err, post.ErrRefused, name)
		} else {
			require.NotErrorIs(t, err, post.ErrRefused, "%s: it may go another time", name)
		}
	}
}

func TestAServerThatIsNotThere(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	port := listener.Addr().(*net.TCPAddr).Port
	require.NoError(t, listener.Close())
	client := &SMTP{Host: "127.0.0.1", Port: port, Security: StartTLS, From: sender(t), Now: at}
	require.EqualError(t, client.Carry(t.Context(), one(post.WayIn)), "the mail server cannot be reached")
	require.EqualError(t, client.Try(t.Context()), "the mail server cannot be reached")
}

// What an answer to an address is about.
func TestARefusalIsOfTheAddress(t *testing.T) {
	for _, c := range []struct {
		code int
		kind string
		is   bool
		why  string
	}{
		{550, "5.1.1", true, "nobody has the mailbox"},
		{550, "", true, "the same, without a kind"},
		{553, "5.1.3", true, "no address at all"},
		{556, "5.1.10", true, "the domain takes no mail"},
		{552, "5.2.2", true, "the mailbox is full"},
		{550, "5.4.1", true, "nobody answers for the domain"},
		{450, "4.1.1", false, "not just now"},
		{550, "5.1.8", false, "the sender's domain is not known"},
		{553, "5.1.7", false, "the sender's address is no good"},
		{554, "5.7.1", false, "nothing is passed on for us"},
		{530, "5.7.0", false, "we are to sign in first"},
		{530, "", false, "the same, without a kind"},
		{503, "5.5.1", false, "in the wrong order"},
		{554, "", false, "it did not work"},
	} {
		require.Equal(t, c.is, ofAddress(c.code, c.kind), c.why)
	}
}

// A server that answers nothing keeps nobody waiting for ever, at the greeting as little
// as after the letter.
func TestASlowServer(t *testing.T) {
	mute, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { _ = mute.Close() })
	client := &SMTP{Host: "127.0.0.1", Port: mute.Addr().(*net.TCPAddr).Port, Security: StartTLS, From: sender(t), Now: at, open: 100 * time.Millisecond}
	require.EqualError(t, client.Carry(t.Context(), one(post.WayIn)), "the mail server did not answer in time")

	hold := make(chan struct{})
	t.Cleanup(func() { close(hold) })
	server := smtpd.Start(t, smtpd.Options{Hold: hold})
	hasty := func(c *SMTP) { c.letter = 300 * time.Millisecond }
	require.EqualError(t, through(t, server, hasty).Carry(t.Context(), one(post.WayIn)), "the mail server did not answer in time")

	server = smtpd.Start(t, smtpd.Options{Hold: hold})
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	client = through(t, server)
	go func() { ended <- client.Carry(ctx, one(post.WayIn)) }()
	<-server.Begun()
	cancel()
	require.Error(t, <-ended, "whoever is told to stop stops there")
}

func TestAnAddressThatIsNone(t *testing.T) {
	m := one(post.WayIn)
	m.Address = strings.Repeat("@", 3)
	require.ErrorIs(t, through(t, smtpd.Start(t, smtpd.Options{})).Carry(t.Context(), m), post.ErrRefused)
}
