package e2e

import (
	"bufio"
	"bytes"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
)

// A body of 50 MB is refused without being read, whether it says how long it is
// or not: an answer comes while most of it is still to be sent, and the line ends.
func TestABodyOfFiftyMegabytes(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	form := session(t, phone, 1, "07:10")
	const size = 50 << 20
	for name, length := range map[string]int64{"told": size, "untold": -1} {
		t.Run(name, func(t *testing.T) {
			request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, c.Address+"/log", &spring{left: size})
			require.NoError(t, err)
			request.ContentLength = length
			request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			request.Header.Set("Cookie", phone.Cookie())
			answer, body, sent := push(t, request)
			require.Equal(t, http.StatusRequestEntityTooLarge, answer.StatusCode)
			require.Contains(t, body, "larger than 1 MB, and nothing of it was stored")
			require.Less(t, sent, int64(size/2), "the rest was never taken")
			t.Logf("%d bytes were on their way", sent)
		})
	}
	require.Zero(t, c.count("select count(*) from session"))
	require.Equal(t, 200, form.Send().Status, "and it goes on")
}

// push sends the request over a line of its own and reads the answer meanwhile. It
// gives how much could be sent until the line was cut.
func push(t *testing.T, request *http.Request) (*http.Response, string, int64) {
	t.Helper()
	line, err := (&net.Dialer{Timeout: 5 * time.Second}).DialContext(t.Context(), "tcp", request.URL.Host)
	require.NoError(t, err)
	defer line.Close()
	require.NoError(t, line.SetDeadline(time.Now().Add(20*time.Second)))
	counted := &counter{to: line}
	cut := make(chan error, 1)
	go func() { cut <- request.Write(counted) }()
	answer, err := http.ReadResponse(bufio.NewReader(line), request)
	require.NoError(t, err)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.Error(t, <-cut, "all of it was taken")
	return answer, string(body), counted.n
}

// counter counts what was written.
type counter struct {
	to io.Writer
	n  int64
}

func (c *counter) Write(b []byte) (int, error) {
	n, err := c.to.Write(b)
	c.n += int64(n)
	return n, err
}

// spring is a form with a note without end, up to so many bytes.
type spring struct{ left int64 }

func (s *spring) Read(b []byte) (int, error) {
	if s.left == 0 {
		return 0, io.EOF
	}
	b = b[:min(int64(len(b)), s.left)]
	copy(b, bytes.Repeat([]byte{'a'}, len(b)))
	s.left -= int64(len(b))
	return len(b), nil
}

// A form a little below the limit is read and refused at its field, not cut off.
func TestANoteOfNearlyAMegabyte(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L1")
	page := session(t, c.phone(link), 1, "07:10").Set("note", strings.Repeat("word ", 190_000)).Send()
	helpful(t, page, 422, "nothing was stored yet")
	require.Contains(t, page.Text("#note-wrong"), "2,000")
	require.Zero(t, c.count("select count(*) from session"))
}
