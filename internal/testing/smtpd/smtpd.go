// Package smtpd is a real mail server for tests: it listens on a free port of this
// machine, offers STARTTLS or TLS with a certificate of its own, asks for a password,
// and keeps what it takes in.
package smtpd

import (
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"net"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"
)

// Who may send.
const (
	User     = "halfhour"
	Password = "carrier pigeon"
)

// Options say how the server differs from a friendly one.
type Options struct {
	Implicit bool          // TLS from the first byte
	Bare     bool          // neither TLS nor signing in
	Refuse   string        // an address it takes nothing for
	Busy     bool          // takes nothing for anybody just now
	Stranger bool          // takes nothing for anybody: it does not know who we are
	Away     bool          // ends every connection as it begins, and takes nothing on those it has
	Hold     chan struct{} // a letter is not answered before this is closed
	Forget   bool          // keeps no text of what it takes in
}

// Taken is a letter that the server took in.
type Taken struct {
	From string
	To   []string
	Body string
}

// Server is one mail server.
type Server struct {
	Host  string
	Port  int
	Roots *x509.CertPool // who believes its certificate
	CA    string         // the same as a file

	mu      sync.Mutex
	options Options
	taken   []Taken
	visits  int           // connections that were let in
	begun   chan struct{} // something for each letter that began to come in
}

// Start starts one; it ends with the test.
func Start(t testing.TB, o Options) *Server {
	t.Helper()
	web := httptest.NewUnstartedServer(nil) // has a certificate for 127.0.0.1
	web.StartTLS()
	t.Cleanup(web.Close)
	listener, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	host, port, _ := net.SplitHostPort(listener.Addr().String())
	s := &Server{Host: host, Roots: x509.NewCertPool(), CA: filepath.Join(t.TempDir(), "ca.pem"), options: o, begun: make(chan struct{}, 100)}
	s.Port, _ = strconv.Atoi(port)
	s.Roots.AddCert(web.Certificate())
	if err := os.WriteFile(s.CA, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: web.Certificate().Raw}), 0o600); err != nil {
		t.Fatal(err)
	}
	server := smtp.NewServer(smtp.BackendFunc(func(*smtp.Conn) (smtp.Session, error) { return &session{server: s}, nil }))
	listener = door{listener, s}
	server.Domain = host
	server.ErrorLog = silence{}
	if !o.Bare {
		server.TLSConfig = &tls.Config{Certificates: web.TLS.Certificates, MinVersion: tls.VersionTLS12}
	}
	if o.Implicit {
		listener = tls.NewListener(listener, server.TLSConfig)
		server.TLSConfig = nil
	}
	go func() { _ = server.Serve(listener) }()
	t.Cleanup(func() { _ = server.Close() })
	return s
}

// Set makes the server another one from now on; how it keeps a connection from being
// read stays.
func (s *Server) Set(set func(*Options)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	set(&s.options)
}

// is how the server is now.
func (s *Server) is() Options {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.options
}

// door lets nobody in while the server is away.
type door struct {
	net.Listener
	server *Server
}

func (d door) Accept() (net.Conn, error) {
	conn, err := d.Listener.Accept()
	for err == nil && d.server.is().Away {
		_ = conn.Close()
		conn, err = d.Listener.Accept()
	}
	if err == nil {
		d.server.mu.Lock()
		d.server.visits++
		d.server.mu.Unlock()
	}
	return conn, err
}

// Visits is how many connections there were.
func (s *Server) Visits() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.visits
}

// Taken are the letters that were taken in, in the order they came.
func (s *Server) Taken() []Taken {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]Taken(nil), s.taken...)
}

// Begun gives something for each letter whose text began to come in, for the first
// hundred that nobody waits for.
func (s *Server) Begun() <-chan struct{} { return s.begun }

type silence struct{}

func (silence) Printf(string, ...any) {}
func (silence) Println(...any)        {}

// session is one connection.
type session struct {
	server *Server
	known  bool
	now    Taken
}

func (c *session) AuthMechanisms() []string {
	if c.server.is().Bare {
		return nil
	}
	return []string{sasl.Plain}
}

func (c *session) Auth(string) (sasl.Server, error) {
	return sasl.NewPlainServer(func(_, user, password string) error {
		if user != User || password != Password {
			return smtp.ErrAuthFailed
		}
		c.known = true
		return nil
	}), nil
}

func (c *session) Mail(from string, _ *smtp.MailOptions) error {
	if !c.known && !c.server.is().Bare {
		return smtp.ErrAuthRequired
	}
	if c.server.is().Away {
		return &smtp.SMTPError{Code: 421, EnhancedCode: smtp.EnhancedCode{4, 3, 2}, Message: "goodbye"}
	}
	c.now.From = from
	return nil
}

func (c *session) Rcpt(to string, _ *smtp.RcptOptions) error {
	switch is := c.server.is(); {
	case to == is.Refuse:
		return &smtp.SMTPError{Code: 550, EnhancedCode: smtp.EnhancedCode{5, 1, 1}, Message: "nobody called " + to + " lives here"}
	case is.Stranger:
		return &smtp.SMTPError{Code: 554, EnhancedCode: smtp.EnhancedCode{5, 7, 1}, Message: "to " + to + " nothing goes from here"}
	case is.Busy:
		return &smtp.SMTPError{Code: 451, EnhancedCode: smtp.EnhancedCode{4, 2, 1}, Message: "no time for " + to}
	}
	c.now.To = append(c.now.To, to)
	return nil
}

func (c *session) Data(r io.Reader) error {
	body, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	select {
	case c.server.begun <- struct{}{}:
	default:
	}
	if hold := c.server.is().Hold; hold != nil {
		<-hold
	}
	if !c.server.is().Forget {
		c.now.Body = string(body)
	}
	c.server.mu.Lock()
	defer c.server.mu.Unlock()
	c.server.taken = append(c.server.taken, c.now)
	return nil
}

func (c *session) Reset()        { c.now = Taken{} }
func (c *session) Logout() error { return nil }

var _ smtp.AuthSession = (*session)(nil)
