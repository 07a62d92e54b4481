package main

import (
	"bufio"
	"context"
	"crypto/rand"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/fake"
)

// running is a Halfhour that serves.
type running struct {
	t      *testing.T
	stop   context.CancelFunc
	lines  chan string
	status chan int
	origin string
	said   []string // up to the line with the origin
}

// dataFolder is a fresh one whose parents every account may pass through: under
// root the database runs as another.
func dataFolder(t *testing.T) string {
	t.Helper()
	parent, err := os.MkdirTemp("", "halfhour-test-")
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, os.RemoveAll(parent)) })
	require.NoError(t, os.Chmod(parent, 0o755))
	return filepath.Join(parent, "data")
}

// begin serves from the folder on a free port, and returns when it answers.
func begin(t *testing.T, args ...string) *running {
	t.Helper()
	return beginAt(t, time.Now, args...)
}

// beginAt is the same by another clock.
func beginAt(t *testing.T, now func() time.Time, args ...string) *running {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	read, write := io.Pipe()
	r := &running{t: t, stop: stop, lines: make(chan string, 20), status: make(chan int, 1)}
	go func() {
		scan := bufio.NewScanner(read)
		for scan.Scan() {
			r.lines <- scan.Text()
		}
		close(r.lines)
	}()
	go func() {
		r.status <- run(ctx, append([]string{"serve", "--listen=127.0.0.1:0"}, args...), outside{
			strings.NewReader(""), write, t.Output(), rand.Reader, now, "",
		})
		write.Close()
	}()
	t.Cleanup(stop)
	for r.origin == "" {
		line := r.line()
		r.said = append(r.said, line)
		r.origin = regexp.MustCompile(`http://127\.0\.0\.1:\d+`).FindString(line)
	}
	return r
}

// line is the next line on standard output; the test fails when there is none.
func (r *running) line() string {
	r.t.Helper()
	line, ok := <-r.lines
	require.True(r.t, ok, "the program ended early")
	return line
}

// end stops it as Ctrl-C does, and gives the exit status.
func (r *running) end() int {
	r.stop()
	return <-r.status
}

// browser is one with its own cookies, that does not follow where it is led.
func browser(t *testing.T) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	return &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

func page(t *testing.T, answer *http.Response, err error) string {
	t.Helper()
	require.NoError(t, err)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.Less(t, answer.StatusCode, 400, "%s", body)
	return string(body)
}

func TestFromAnEmptyFolderToACoachAndBack(t *testing.T) {
	data := "--data=" + dataFolder(t)
	c := call(t, "", "sign-in", data, "mara@example.org")
	require.Equal(t, 1, c.status)
	require.Contains(t, c.err, "there is no Halfhour in", "a mistyped folder is not made")

	first := begin(t, data)
	require.Contains(t, first.line(), "There is no club yet")
	setUp := strings.TrimSpace(first.line())
	mara := browser(t)
	answer, err := mara.Get(setUp)
	page(t, answer, err)
	answer, err = mara.PostForm(setUp, url.Values{
		"club": {"Harbour"}, "zone": {"Europe/Lisbon"}, "name": {"Mara"}, "email": {"mara@example.org"}, "password": {"a quiet lane at six"},
	})
	page(t, answer, err)
	answer, err = mara.Get(first.origin + "/club")
	require.Contains(t, page(t, answer, err), "Harbour")

	beside(t, first, data)
	require.Equal(t, 0, first.end())

	c = call(t, "", "migrate", "status", data)
	require.Equal(t, 0, c.status, "a command brings the database up by itself: %s", c.err)

	second := begin(t, data)
	mara = browser(t)
	answer, err = mara.PostForm(second.origin+"/sign-in", url.Values{"email": {"mara@example.org"}, "password": {"a quiet lane at six"}})
	page(t, answer, err)
	answer, err = mara.Get(second.origin + "/club")
	require.Contains(t, page(t, answer, err), "mara@example.org", "the club is there after a restart")
	require.Equal(t, 0, second.end())
	require.Empty(t, second.lines, "and no new set-up link")

	c = call(t, "", "serve", "--demo", "--listen=127.0.0.1:0", data)
	require.Equal(t, 1, c.status)
	require.Contains(t, c.err, "club of real people")
}

// beside tries the commands that work while a Halfhour runs in the folder.
func beside(t *testing.T, r *running, data string) {
	t.Helper()
	c := call(t, "", "serve", "--listen=127.0.0.1:0", data)
	require.Equal(t, 1, c.status)
	require.Contains(t, c.err, "in use")

	c = call(t, "", "serve", "--listen="+strings.TrimPrefix(r.origin, "http://"), data)
	require.Equal(t, 1, c.status)
	require.Contains(t, c.err, "choose another address")

	c = call(t, "", "sign-in", data, "nobody@example.org")
	require.Equal(t, 1, c.status)
	require.Contains(t, c.err, "no coach signs in with nobody@example.org")

	c = call(t, "", "sign-in", data, "--base-url="+r.origin, "Mara@example.org")
	require.Equal(t, 0, c.status, c.err)
	link := strings.TrimSpace(c.out)
	locked := browser(t)
	answer, err := locked.Get(link)
	key := regexp.MustCompile(`name="key" value="([^"]+)"`).FindStringSubmatch(page(t, answer, err))
	require.NotNil(t, key)
	answer, err = locked.PostForm(link, url.Values{"key": {key[1]}})
	page(t, answer, err)
	answer, err = locked.Get(r.origin + "/club")
	require.Contains(t, page(t, answer, err), "Harbour", "the link let her in")
}

func TestTheDemoNeedsNoSettings(t *testing.T) {
	data := "--data=" + dataFolder(t)
	r := begin(t, "--demo", data)
	coach, athlete := r.line(), r.line()
	require.Contains(t, coach, "A coach signs in with")
	letterBeside(t, r, data, regexp.MustCompile(`with (\S+@\S+)`).FindStringSubmatch(coach)[1])
	link := regexp.MustCompile(`http://\S+`).FindString(athlete)
	answer, err := browser(t).Get(link)
	page(t, answer, err)
	require.Equal(t, 0, r.end())
	again := begin(t, "--demo", data)
	require.Equal(t, 0, again.end(), "the same club is opened again")
}

// Without its database a Halfhour is no use: it ends and says why, so that what
// watches over it starts it again.
func TestADatabaseThatEndsByItselfEndsTheProgram(t *testing.T) {
	data := dataFolder(t)
	r := begin(t, "--data="+data)
	noted, err := os.ReadFile(filepath.Join(data, "pgdata", "postmaster.pid"))
	require.NoError(t, err)
	first, _, _ := strings.Cut(string(noted), "\n")
	pid, err := strconv.Atoi(first)
	require.NoError(t, err)
	require.NoError(t, syscall.Kill(pid, syscall.SIGKILL))
	require.Equal(t, 1, <-r.status)
}

func TestOrigin(t *testing.T) {
	for listen, want := range map[string]string{
		"127.0.0.1:8080": "http://127.0.0.1:8080", ":8080": "http://localhost:8080", "0.0.0.0:80": "http://localhost:80",
		"[::]:8080": "http://localhost:8080", "[::1]:8080": "http://[::1]:8080", "halfhour.local:8080": "http://halfhour.local:8080",
	} {
		c := settings(t, "--listen="+listen)
		require.Equal(t, want, origin(&c.Config, listen))
	}
	c := settings(t, "--base-url=https://run.example.org/")
	require.Equal(t, "https://run.example.org", origin(&c.Config, "127.0.0.1:8080"))
}

// settings reads flags as the program does.
func settings(t *testing.T, args ...string) *commands {
	t.Helper()
	var c commands
	parser, err := newParser(context.Background(), &c, outside{strings.NewReader(""), io.Discard, io.Discard, &fake.Random{}, time.Now, t.TempDir()}, func(int) {})
	require.NoError(t, err)
	_, err = parser.Parse(append([]string{"version"}, args...))
	require.NoError(t, err)
	return &c
}

// Everything there is to see must be there on the day of the run, so a demo of
// yesterday is made anew; one of today is not.
func TestADemoOfAnEarlierDayIsMadeAnew(t *testing.T) {
	folder := dataFolder(t)
	earlier := func() time.Time { return time.Now().Add(-72 * time.Hour) }
	for _, c := range []struct {
		now  func() time.Time
		anew bool
	}{{earlier, false}, {time.Now, true}, {time.Now, false}} {
		r := beginAt(t, c.now, "--demo", "--data="+folder)
		require.Equal(t, c.anew, strings.Contains(r.said[0], "made anew"), "%q", r.said)
		require.Equal(t, fine, r.end())
	}
}
