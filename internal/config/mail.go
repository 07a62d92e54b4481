package config

import (
	"errors"
	"fmt"
	"net"
	"net/mail"
	"strings"
)

// Mail is how mail goes out. Without a host it goes into files in the data folder.
type Mail struct {
	Host     string `env:"HALFHOUR_SMTP_HOST" placeholder:"HOST" help:"The mail server that letters are sent through; without one they go into files in the data folder."`
	Port     int    `env:"HALFHOUR_SMTP_PORT" placeholder:"PORT" help:"Its port (default: 587, with tls 465)."`
	Security string `env:"HALFHOUR_SMTP_TLS" name:"tls" default:"starttls" enum:"starttls,tls,none" placeholder:"HOW" help:"starttls, tls (from the first byte) or none (for a server on this machine only) (default ${default})."`
	User     string `env:"HALFHOUR_SMTP_USER" placeholder:"NAME" help:"The name to sign in there with."`
	Password Secret `env:"HALFHOUR_SMTP_PASSWORD" placeholder:"PASSWORD" help:"The password that goes with it; better in the environment than on the command line."`
	From     string `env:"HALFHOUR_SMTP_FROM" placeholder:"ADDRESS" help:"Whom letters come from, such as halfhour@example.org."`
}

// On says that mail goes through a server.
func (m *Mail) On() bool { return m.Host != "" }

// PortOr is the port that was named, else the usual one.
func (m *Mail) PortOr() int {
	switch {
	case m.Port != 0:
		return m.Port
	case m.Security == "tls":
		return 465
	}
	return 587
}

// check finds what is missing or cannot go together; base says whether it is known
// how people reach this Halfhour.
func (m *Mail) check(base bool) error {
	if !m.On() {
		if m.From != "" || m.User != "" || m.Password != "" || m.Port != 0 {
			return errors.New("mail: HALFHOUR_SMTP_HOST is missing; without it the other settings of the mail server do nothing")
		}
		return nil
	}
	switch {
	case strings.ContainsAny(m.Host, ":/@ ") && net.ParseIP(m.Host) == nil:
		return fmt.Errorf("mail: HALFHOUR_SMTP_HOST is the name of the mail server alone, such as mail.example.org, not %q; the port has a setting of its own", m.Host)
	case m.Port < 0 || m.Port > 65535:
		return fmt.Errorf("mail: HALFHOUR_SMTP_PORT must be 1 to 65535, not %d", m.Port)
	case m.From == "":
		return errors.New("mail: HALFHOUR_SMTP_FROM is missing: the address that letters come from")
	case (m.User == "") != (m.Password == ""):
		return errors.New("mail: HALFHOUR_SMTP_USER and HALFHOUR_SMTP_PASSWORD go together; one of them is missing")
	case m.Security == "none" && !nearby(m.Host):
		return errors.New("mail: HALFHOUR_SMTP_TLS=none would send letters and the password in the clear over the network; it is for a mail server on this machine only")
	case !base:
		return errors.New("mail: HALFHOUR_BASE_URL is missing: links in letters begin with it, such as https://run.example.org")
	}
	if _, err := mail.ParseAddress(m.From); err != nil {
		return fmt.Errorf("mail: HALFHOUR_SMTP_FROM must be an address like halfhour@example.org, or Halfhour <halfhour@example.org>, not %q", m.From)
	}
	return nil
}

// nearby says whether the host is this machine.
func nearby(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}
