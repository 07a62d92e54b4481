package mail

import (
	"cmp"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/mail"
	"net/textproto"
	"slices"
	"strconv"
	"strings"
	"time"

	gomail "github.com/wneessen/go-mail"
	"github.com/wneessen/go-mail/smtp"

	"halfhour.app/halfhour/internal/post"
)

// How the connection to a mail server is kept from being read by others.
const (
	StartTLS = "starttls" // begins in the clear and must go over to TLS before anything is said
	TLS      = "tls"      // TLS from the first byte
	Clear    = "none"     // in the clear; only for a server on the same machine
)

// How long a mail server may take: until it has let us in, and then for a letter. One
// that reads what it takes for spam or viruses answers late, and whoever has not waited
// for it sends the letter again and again, although it arrived each time; RFC 5321
// section 4.5.3.2.6 asks for ten minutes for that reason (from memory). Ours are shorter,
// since other letters wait meanwhile.
const (
	openWithin   = 30 * time.Second
	letterWithin = 4 * time.Minute
)

// Within is how long carrying one letter takes at most: it may be that a line that was
// kept has ended, so that another is opened.
const Within = openWithin + letterWithin

// SMTP sends letters through a mail server. TLS, when it is asked for, is never left
// out because the server does not offer it.
type SMTP struct {
	Host     string
	Port     int
	Security string // StartTLS, TLS or Clear
	User     string // empty: without signing in
	Password string
	From     *mail.Address
	Now      func() time.Time

	roots  *x509.CertPool // whom to believe; nil: whom the machine believes
	open   time.Duration  // how long it may take to be let in; 0: openWithin
	letter time.Duration  // how long a letter may take then; 0: letterWithin
	lines  lines          // those that are open and carry nothing just now
}

// Carry sends one letter.
func (s *SMTP) Carry(ctx context.Context, m *post.Mail) error {
	ctx, cancel := context.WithTimeout(ctx, Within)
	defer cancel()
	msg, err := compose(ctx, m, s.From, s.Now())
	if err != nil {
		return err
	}
	if l := s.lines.take(); l != nil {
		done, err := s.send(ctx, l, msg)
		if done || !hungUp(err) {
			return outcome(done, err)
		}
	}
	l, err := s.dial(ctx)
	if err != nil {
		return explain(err)
	}
	return outcome(s.send(ctx, l, msg))
}

// outcome is what became of a letter: what goes wrong after the server took it is only
// the goodbye.
func outcome(done bool, err error) error {
	if done {
		return nil
	}
	return explain(err)
}

// Try signs in and leaves again, to know at the start whether mail will go.
func (s *SMTP) Try(ctx context.Context) error {
	l, err := s.dial(ctx)
	if err != nil {
		return explain(err)
	}
	_ = l.hangUp()
	return nil
}

// client is one for one connection.
func (s *SMTP) client(dial gomail.DialContextFunc) (*gomail.Client, error) {
	_, domain, _ := strings.Cut(s.From.Address, "@")
	options := []gomail.Option{
		gomail.WithPort(s.Port), gomail.WithTimeout(cmp.Or(s.letter, letterWithin)), gomail.WithTLSConfig(s.secure()), gomail.WithHELO(domain),
		gomail.WithDialContextFunc(dial), gomail.WithoutNoop(), // a line that is gone is seen at the first word
	}
	switch s.Security {
	case TLS:
		options = append(options, gomail.WithSSL())
	case Clear:
		options = append(options, gomail.WithTLSPolicy(gomail.NoTLS))
	default:
		options = append(options, gomail.WithTLSPolicy(gomail.TLSMandatory))
	}
	switch {
	case s.User == "":
	case s.Security == TLS:
		options = append(options, gomail.WithSMTPAuthCustom(&signIn{user: s.User, password: s.Password}))
	case s.Security == Clear:
		options = append(options, gomail.WithSMTPAuth(gomail.SMTPAuthPlainNoEnc), gomail.WithUsername(s.User), gomail.WithPassword(s.Password))
	default:
		options = append(options, gomail.WithSMTPAuth(gomail.SMTPAuthAutoDiscover), gomail.WithUsername(s.User), gomail.WithPassword(s.Password))
	}
	return gomail.NewClient(s.Host, options...)
}

// secure is how the server is to prove who it is.
func (s *SMTP) secure() *tls.Config {
	return &tls.Config{ServerName: s.Host, MinVersion: tls.VersionTLS12, RootCAs: s.roots}
}

// signIn signs in on a connection that was encrypted before go-mail saw it, of which
// go-mail cannot know that.
type signIn struct {
	user, password string
	asked          int
}

// Start chooses the way: PLAIN (RFC 4616), or LOGIN where there is nothing else.
func (a *signIn) Start(server *smtp.ServerInfo) (way string, first []byte, err error) {
	switch {
	case slices.Contains(server.Auth, "PLAIN"):
		return "PLAIN", []byte("\x00" + a.user + "\x00" + a.password), nil
	case slices.Contains(server.Auth, "LOGIN"):
		return "LOGIN", nil, nil
	}
	return "", nil, gomail.ErrNoSupportedAuthDiscovered
}

// Next answers what LOGIN asks for: the name, then the password.
func (a *signIn) Next(_ []byte, more bool) ([]byte, error) {
	if !more {
		return nil, nil
	}
	a.asked++
	if a.asked == 1 {
		return []byte(a.user), nil
	}
	return []byte(a.password), nil
}

// explain says what went wrong without the server's own words, in which addresses
// may stand.
func explain(err error) error {
	var failed *gomail.SendError
	var answer *textproto.Error
	var authority x509.UnknownAuthorityError
	var name x509.HostnameError
	var expired x509.CertificateInvalidError
	switch {
	case errors.As(err, &failed) && failed.Reason == gomail.ErrSMTPRcptTo && ofAddress(failed.ErrorCode(), failed.EnhancedStatusCode()):
		return fmt.Errorf("%w (%s)", post.ErrRefused, codes(failed.ErrorCode(), failed.EnhancedStatusCode()))
	case errors.As(err, &failed) && failed.ErrorCode() > 0:
		return fmt.Errorf("the mail server answered %s (%s)", codes(failed.ErrorCode(), failed.EnhancedStatusCode()), failed.Reason)
	case errors.As(err, &answer) && (answer.Code == 535 || answer.Code == 534 || answer.Code == 530):
		return fmt.Errorf("the mail server refused the user or the password (%d)", answer.Code)
	case errors.As(err, &answer):
		return fmt.Errorf("the mail server answered %d", answer.Code)
	case errors.As(err, &authority), errors.As(err, &name), errors.As(err, &expired):
		return errors.New("the mail server's certificate is not to be believed: it belongs to another name, is too old, or is signed by somebody this machine does not know")
	case isTimeout(err):
		return errors.New("the mail server did not answer in time")
	case errors.As(err, new(*net.OpError)), errors.As(err, new(*net.DNSError)):
		return errors.New("the mail server cannot be reached")
	}
	return plainly(err)
}

// ofAddress says whether what a server answers to an address is about that address, for
// good. Many servers say only there that they do not know us, our sender or our network
// (Postfix does unless it is told otherwise, from memory): that is for whoever runs
// Halfhour to mend, and no reason to write to nobody any more. The kinds are those of RFC
// 3463 (from memory): 1 is about addresses, 7 and 8 of them about the sender's, 2 about
// mailboxes, 4 about the way there. Of a server that names no kind, the codes of RFC 5321
// section 4.2.3 for mailboxes count.
func ofAddress(code int, kind string) bool {
	switch {
	case code < 500:
		return false
	case kind == "":
		return code >= 550 && code <= 553
	case kind == "5.1.7" || kind == "5.1.8":
		return false
	}
	return strings.HasPrefix(kind, "5.1.") || strings.HasPrefix(kind, "5.2.") || strings.HasPrefix(kind, "5.4.")
}

// plainly names the faults that go-mail finds by itself, and no others.
func plainly(err error) error {
	for _, known := range []error{gomail.ErrPlainAuthNotSupported, gomail.ErrLoginAuthNotSupported, gomail.ErrNoSupportedAuthDiscovered} {
		if errors.Is(err, known) {
			return errors.New("the mail server offers no way to sign in that could be used")
		}
	}
	switch text := err.Error(); {
	case strings.Contains(text, "does not support STARTTLS"):
		return errors.New("the mail server does not offer STARTTLS, and without it nothing is sent")
	case strings.Contains(text, "does not support SMTP AUTH"):
		return errors.New("the mail server does not let anybody sign in")
	}
	return errors.New("the mail server broke off")
}

func codes(code int, enhanced string) string {
	if enhanced == "" {
		return strconv.Itoa(code)
	}
	return strconv.Itoa(code) + " " + enhanced
}

func isTimeout(err error) bool {
	var slow net.Error
	return errors.Is(err, context.DeadlineExceeded) || errors.Is(err, net.ErrClosed) || errors.As(err, &slow) && slow.Timeout()
}
