package httpd

import (
	"net/http"
	"net/netip"
	"net/url"
	"strings"

	"halfhour.app/halfhour/internal/access"
)

// siteOf is where the passkeys of whoever asks belong; the zero site where there can
// be none. A configured address decides alone. Without one the address is the one
// the coach came by: a page learns the host from the request, a form also the
// scheme, from the header Origin, which only counts where it names that same host,
// as the guard against other sites has it too. A proxy that ends https in front of
// the program is seen so.
func (s *server) siteOf(r *http.Request) access.Site {
	if s.BaseURL != nil {
		return siteAt(s.BaseURL)
	}
	at, err := url.Parse(r.Header.Get("Origin"))
	if err != nil || at.Host != r.Host || r.Host == "" {
		return access.Site{}
	}
	return siteAt(at)
}

// siteName is the host name that passkeys would be made for at the page; empty
// where the program knows that there can be none. Whether the browser came over
// https, the browser knows best.
func (s *server) siteName(r *http.Request) string {
	if s.BaseURL != nil {
		return siteAt(s.BaseURL).Name
	}
	return siteAt(&url.URL{Scheme: "https", Host: r.Host}).Name
}

// siteAt is the site of an address. Browsers take passkeys where nobody can listen
// in, which is over https and on the machine itself, and only under a name, never
// under a number.
func siteAt(u *url.URL) access.Site {
	name := strings.ToLower(u.Hostname())
	local := name == "localhost" || strings.HasSuffix(name, ".localhost")
	if u.Scheme != "https" && (u.Scheme != "http" || !local) {
		return access.Site{}
	}
	if _, err := netip.ParseAddr(name); err == nil || !hostName(name) {
		return access.Site{}
	}
	host := strings.ToLower(u.Host)
	if usual := map[string]string{"http": ":80", "https": ":443"}[u.Scheme]; strings.HasSuffix(host, usual) {
		host = strings.TrimSuffix(host, usual) // browsers leave it out
	}
	return access.Site{Name: name, Origin: u.Scheme + "://" + host}
}

// hostName says whether the text has the shape of a host name that is no number: a
// browser reads 127.1 and 0x7f000001 as addresses.
func hostName(name string) bool {
	if name == "" || len(name) > 253 || strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789-.") != "" {
		return false
	}
	last := name[strings.LastIndexByte(name, '.')+1:]
	return last != "" && (last[0] < '0' || last[0] > '9')
}
