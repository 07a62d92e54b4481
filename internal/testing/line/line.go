// Package line is the network between a phone and Halfhour, which a test cuts and
// mends, and which may lose an answer on its way back.
package line

import (
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strings"
	"sync"
	"testing"
)

// Line carries requests to one server.
type Line struct {
	Address string // where the phone finds it: http://127.0.0.1:40123

	mu    sync.Mutex
	cut   bool
	lost  map[string]int // how many answers to POSTs under a path are still to be lost
	asked []Request
}

// Request is one that reached the server.
type Request struct {
	Method, Path string
	Status       int
	Lost         bool // the answer never came back
}

// To makes a line to a server. It goes with the test.
func To(t testing.TB, server string) *Line {
	t.Helper()
	at, err := url.Parse(server)
	if err != nil {
		t.Fatal(err)
	}
	l := &Line{lost: map[string]int{}}
	carry := &httputil.ReverseProxy{
		// What is asked and answered stays as it is, the name of the host too: Halfhour
		// compares it with where a form comes from.
		Rewrite: func(r *httputil.ProxyRequest) {
			r.Out.URL.Scheme, r.Out.URL.Host = at.Scheme, at.Host
			r.Out.Host = r.In.Host
		},
		ModifyResponse: l.back,
		ErrorHandler:   func(http.ResponseWriter, *http.Request, error) { panic(http.ErrAbortHandler) },
		Transport:      &http.Transport{DisableCompression: true},
	}
	near := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if l.isCut() {
			panic(http.ErrAbortHandler)
		}
		carry.ServeHTTP(w, r)
	}))
	t.Cleanup(near.Close)
	l.Address = near.URL
	return l
}

// back sees an answer on its way to the phone.
func (l *Line) back(answer *http.Response) error {
	r := answer.Request
	l.mu.Lock()
	defer l.mu.Unlock()
	lose := l.cut
	for path, left := range l.lost {
		if r.Method == http.MethodPost && left > 0 && strings.HasPrefix(r.URL.Path, path) {
			l.lost[path]--
			lose = true
		}
	}
	l.asked = append(l.asked, Request{Method: r.Method, Path: r.URL.Path, Status: answer.StatusCode, Lost: lose})
	if lose {
		return http.ErrAbortHandler
	}
	return nil
}

func (l *Line) isCut() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.cut
}

// Cut takes the network away, or gives it back.
func (l *Line) Cut(on bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.cut = on
}

// Lose lets so many answers to POSTs under a path get lost, after the server has
// given them.
func (l *Line) Lose(path string, answers int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.lost[path] = answers
}

// Asked are the requests that reached the server so far.
func (l *Line) Asked() []Request {
	l.mu.Lock()
	defer l.mu.Unlock()
	return append([]Request(nil), l.asked...)
}
