package mail

import (
	"cmp"
	"context"
	"crypto/tls"
	"errors"
	"net"
	"slices"
	"sync"
	"time"

	gomail "github.com/wneessen/go-mail"
	"github.com/wneessen/go-mail/smtp"
)

// A connection that is open costs four answers of the server a letter; one that is made
// for each, with TLS and signing in, a dozen, which over a network is most of the time.
// So it is kept for the next letter: not for long, and not for many, since servers end
// what is idle or goes on for ever. The numbers are ours.
const (
	idleMost    = 5 * time.Second
	lettersMost = 100
	linesMost   = 4
)

// line is a connection to the mail server, signed in.
type line struct {
	client *gomail.Client
	server *smtp.Client
	conn   net.Conn
	sent   int
}

// dial makes one. It is cut when its time is over or the context ends meanwhile, whatever
// the server is doing.
func (s *SMTP) dial(ctx context.Context) (*line, error) {
	ctx, cancel := context.WithTimeout(ctx, cmp.Or(s.open, openWithin))
	defer cancel()
	l := &line{}
	keep := func() bool { return true }
	client, err := s.client(func(dial context.Context, network, address string) (net.Conn, error) {
		conn, err := s.connect(dial, network, address)
		if err == nil {
			l.conn, keep = conn, context.AfterFunc(ctx, func() { _ = conn.Close() })
		}
		return conn, err
	})
	if err != nil {
		return nil, err
	}
	l.client = client
	l.server, err = client.DialToSMTPClientWithContext(ctx)
	if kept := keep(); err == nil && !kept {
		err = context.Cause(ctx)
	}
	if err != nil && l.conn != nil {
		_ = l.conn.Close()
	}
	return l, err
}

func (s *SMTP) connect(ctx context.Context, network, address string) (net.Conn, error) {
	if plain := (&net.Dialer{}); s.Security != TLS {
		return plain.DialContext(ctx, network, address)
	}
	return (&tls.Dialer{Config: s.secure()}).DialContext(ctx, network, address)
}

// send sends a letter and keeps the line for the next; done says that the server took
// it, whatever went wrong afterwards.
func (s *SMTP) send(ctx context.Context, l *line, msg *gomail.Msg) (done bool, err error) {
	keep := context.AfterFunc(ctx, func() { _ = l.conn.Close() })
	err = l.client.SendWithSMTPClient(l.server, msg)
	l.sent++
	if kept := keep(); kept && err == nil && l.sent < lettersMost {
		s.lines.give(l)
	} else {
		err = errors.Join(err, l.hangUp()) // which of the two says why is the library's affair
	}
	return msg.IsDelivered(), err
}

// hungUp says that the server had ended the line, or does so now, before it was told
// of any letter: it can be sent over another.
func hungUp(err error) bool {
	var failed *gomail.SendError
	return errors.As(err, &failed) && (failed.Reason == gomail.ErrConnCheck || failed.Reason == gomail.ErrSMTPMailFrom)
}

// hangUp says goodbye.
func (l *line) hangUp() error {
	return errors.Join(l.client.CloseWithSMTPClient(l.server), l.conn.Close())
}

// lines are those that carry nothing.
type lines struct {
	mu    sync.Mutex
	idle  []*line
	after time.Duration // when one that is idle is ended; 0: idleMost
}

// take gives one; nil: there is none.
func (ls *lines) take() *line {
	ls.mu.Lock()
	defer ls.mu.Unlock()
	n := len(ls.idle)
	if n == 0 {
		return nil
	}
	l := ls.idle[n-1]
	ls.idle = ls.idle[:n-1]
	return l
}

// give keeps one, for a while.
func (ls *lines) give(l *line) {
	ls.mu.Lock()
	full := len(ls.idle) >= linesMost
	if !full {
		ls.idle = append(ls.idle, l)
	}
	ls.mu.Unlock()
	if full {
		_ = l.hangUp()
		return
	}
	sent := l.sent
	time.AfterFunc(cmp.Or(ls.after, idleMost), func() { ls.end(l, sent) })
}

// end ends one that has carried nothing since.
func (ls *lines) end(l *line, sent int) {
	ls.mu.Lock()
	at := slices.Index(ls.idle, l)
	idle := at >= 0 && l.sent == sent
	if idle {
		ls.idle = slices.Delete(ls.idle, at, at+1)
	}
	ls.mu.Unlock()
	if idle {
		_ = l.hangUp()
	}
}
