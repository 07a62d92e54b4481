// Package config is all that the environment and the command line say, in one
// struct, read once when the program starts.
package config

import (
	"fmt"
	"log/slog"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Config is what a Halfhour runs with. The tags are kong's: each field is a flag
// and an environment variable.
type Config struct {
	Listen   string        `env:"HALFHOUR_LISTEN" default:"127.0.0.1:8080" placeholder:"HOST:PORT" help:"Where to listen (default ${default}; port 0 takes a free one)."`
	BaseURL  Address       `env:"HALFHOUR_BASE_URL" name:"base-url" placeholder:"URL" help:"How people reach this Halfhour, such as https://run.example.org; sign-in links begin with it. With https, logins are kept to it."`
	Proxies  []Network     `env:"HALFHOUR_TRUSTED_PROXIES" name:"trusted-proxies" placeholder:"CIDR" help:"Proxies whose X-Forwarded-For is believed, such as 10.0.0.5 or 10.0.0.0/8."`
	Data     string        `env:"HALFHOUR_DATA" default:"${data}" type:"path" placeholder:"FOLDER" help:"The folder of the private database (default: ${data})."`
	Database Secret        `env:"DATABASE_URL" name:"database-url" placeholder:"URL" help:"A PostgreSQL server to use instead of the private one."`
	Owner    Secret        `env:"HALFHOUR_OWNER_URL" name:"owner-url" placeholder:"URL" help:"The same database as the user who may change its tables, for the steps of a new version; DATABASE_URL may then be that of halfhour_app, which can do no more than the program needs. Without it DATABASE_URL does both."`
	PGBin    string        `env:"HALFHOUR_PG_BIN" name:"pg-bin" type:"path" placeholder:"FOLDER" help:"The folder with postgres and initdb, when it is not found."`
	Hashes   int           `env:"HALFHOUR_HASHES" default:"2" placeholder:"N" help:"How many passwords are checked at once; each takes 19 MiB (default ${default})."`
	Mail     Mail          `embed:"" prefix:"smtp-"`
	Drain    time.Duration `env:"HALFHOUR_DRAIN" default:"15s" placeholder:"TIME" help:"How long requests may take to end at a stop (default ${default})."`
	LogLevel Level         `env:"HALFHOUR_LOG_LEVEL" name:"log-level" default:"info" placeholder:"LEVEL" help:"debug, info, warn or error (default ${default})."`
	LogJSON  bool          `env:"HALFHOUR_LOG_JSON" name:"log-json" help:"Write the log as JSON, one object a line."`
}

// Address is the address of a website: http or https, a host, nothing after it.
// The zero value is none.
type Address struct{ URL *url.URL }

// UnmarshalText reads the address.
func (a *Address) UnmarshalText(text []byte) error {
	typed := strings.TrimRight(string(text), "/")
	if typed == "" {
		a.URL = nil
		return nil
	}
	u, err := url.Parse(typed)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.Path != "" || u.RawQuery != "" || u.Fragment != "" || u.User != nil {
		return fmt.Errorf("an address like https://run.example.org, with nothing after the host, not %q", text)
	}
	a.URL = u
	return nil
}

// Network is a range of addresses; a single address is the range of itself.
type Network struct{ netip.Prefix }

// UnmarshalText reads 10.0.0.0/8 or 10.0.0.5.
func (n *Network) UnmarshalText(text []byte) error {
	if one, err := netip.ParseAddr(string(text)); err == nil {
		n.Prefix = netip.PrefixFrom(one, one.BitLen())
		return nil
	}
	prefix, err := netip.ParsePrefix(string(text))
	if err != nil {
		return fmt.Errorf("an address such as 10.0.0.5 or a range such as 10.0.0.0/8, not %q", text)
	}
	n.Prefix = prefix
	return nil
}

// Networks are the ranges of the proxies.
func (c *Config) Networks() []netip.Prefix {
	ranges := make([]netip.Prefix, len(c.Proxies))
	for i, n := range c.Proxies {
		ranges[i] = n.Prefix
	}
	return ranges
}

// Level is from which importance on the log is written.
type Level slog.Level

// UnmarshalText reads debug, info, warn or error.
func (l *Level) UnmarshalText(text []byte) error {
	if (*slog.Level)(l).UnmarshalText(text) != nil {
		return fmt.Errorf("debug, info, warn or error, not %q", text)
	}
	return nil
}

// Secret is a text that is never printed.
type Secret string

// String hides the text.
func (s Secret) String() string {
	if s == "" {
		return ""
	}
	return "(set)"
}

// Open is the text itself.
func (s Secret) Open() string { return string(s) }

// DataFolder is where the private database is kept when nobody says otherwise:
// the folder that systemd gives a service, else the user's own place for data. For
// root that is /var/lib: the account that runs the database then cannot pass
// through root's own folder.
func DataFolder(getenv func(string) string, root bool) string {
	if state := getenv("STATE_DIRECTORY"); state != "" {
		return state
	}
	if data := getenv("XDG_DATA_HOME"); filepath.IsAbs(data) {
		return filepath.Join(data, "halfhour")
	}
	if root {
		return "/var/lib/halfhour"
	}
	if home, err := os.UserHomeDir(); err == nil {
		return filepath.Join(home, ".local", "share", "halfhour")
	}
	return "data"
}

// Check finds what one value alone cannot tell.
func (c *Config) Check() error {
	if c.Hashes < 1 {
		return fmt.Errorf("--hashes must be 1 or more, not %d", c.Hashes)
	}
	if c.Database == "" && c.Data == "" {
		return fmt.Errorf("there is neither a data folder nor a DATABASE_URL")
	}
	if c.Owner != "" && c.Database == "" {
		return fmt.Errorf("HALFHOUR_OWNER_URL goes with a DATABASE_URL; the private database needs neither")
	}
	return c.Mail.check(c.BaseURL.URL != nil)
}
