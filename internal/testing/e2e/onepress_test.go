package e2e

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/mail"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// weekly makes the weekly letters due, starts the program, which looks at once, and gives
// the header of the one that comes of it. There is none beside it.
func (c *club) weekly(start func()) mail.Header {
	c.t.Helper()
	c.overdue("delete from letter where kind = 'weekly'" /* there is one a week */, "update coach set letter_next = now() - interval '1 minute'")
	for _, file := range c.letters() {
		require.NoError(c.t, os.Remove(file))
	}
	start()
	c.arrived(1)
	raw, err := os.ReadFile(c.letters()[0])
	require.NoError(c.t, err)
	m, err := mail.ReadMessage(strings.NewReader(string(raw)))
	require.NoError(c.t, err)
	return m.Header
}

// pressed sends what a mail program or its provider sends when the button is pressed:
// over a connection of its own, with nothing that a browser would add.
func pressed(t *testing.T, address, host, path, kind, body string) *http.Response {
	t.Helper()
	line, err := (&net.Dialer{Timeout: 10 * time.Second}).DialContext(t.Context(), "tcp", strings.TrimPrefix(address, "http://"))
	require.NoError(t, err)
	defer line.Close()
	require.NoError(t, line.SetDeadline(time.Now().Add(30*time.Second)))
	_, err = fmt.Fprintf(line, "POST %s HTTP/1.1\r\nHost: %s\r\nContent-Type: %s\r\nContent-Length: %d\r\nConnection: close\r\n\r\n%s", path, host, kind, len(body), body)
	require.NoError(t, err)
	answer, err := http.ReadResponse(bufio.NewReader(line), nil)
	require.NoError(t, err)
	read, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	require.NotContains(t, string(read), "Mara", "whose letters they are is not told")
	return answer
}

// A letter says where it is stopped, with one press where people come over https (RFC
// 8058), and the press stops it.
func TestOnePressStopsTheWeeklyLetter(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	on := func() bool { return c.count("select count(*) from coach where letter_on") == 1 }
	header := c.weekly(c.Again)
	plain := header.Get("List-Unsubscribe")
	require.Regexp(t, `^<`+c.Address+`/letters/stop/[0-9a-f]{32}\?of=weekly>$`, plain)
	require.NotContains(t, header, "List-Unsubscribe-Post", "over http nobody is to press")
	require.Equal(t, "auto-generated", header.Get("Auto-Submitted"))

	var secure *program.Program
	header = c.weekly(func() {
		secure = program.Start(t, program.Options{Data: c.Data(), Listen: strings.TrimPrefix(c.Address, "http://"), Env: []string{"HALFHOUR_BASE_URL=https://run.example.org"}})
	})
	require.Equal(t, "List-Unsubscribe=One-Click", header.Get("List-Unsubscribe-Post"))
	at := strings.Trim(header.Get("List-Unsubscribe"), "<>")
	require.Equal(t, strings.Trim(plain, "<>")[len(c.Address):], strings.TrimPrefix(at, "https://run.example.org"), "the secret is the coach's")
	path := strings.TrimPrefix(at, "https://run.example.org")

	looked := visitor.New(t, secure.Address).Get(path)
	require.Equal(t, 200, looked.Status)
	require.True(t, on(), "looking stops nothing")
	const parts = "--x\r\nContent-Disposition: form-data; name=\"List-Unsubscribe\"\r\n\r\nOne-Click\r\n--x--\r\n"
	for _, k := range []struct{ kind, body string }{
		{"application/x-www-form-urlencoded", "List-Unsubscribe=One-Click"}, {"multipart/form-data; boundary=x", parts},
	} {
		c.sql("update coach set letter_on = true")
		for range 2 {
			answer := pressed(t, secure.Address, "run.example.org", path, k.kind, k.body)
			require.Equal(t, 200, answer.StatusCode, k.kind)
			require.Empty(t, answer.Cookies())
			require.Equal(t, "no-store", answer.Header.Get("Cache-Control"))
			require.False(t, on(), k.kind)
		}
	}
	require.Equal(t, 404, pressed(t, secure.Address, "run.example.org", strings.Replace(path, "/stop/", "/stop/0", 1), "application/x-www-form-urlencoded", "List-Unsubscribe=One-Click").StatusCode)
	secret := path[len("/letters/stop/"):strings.Index(path, "?")]
	require.NotContains(t, secure.Said()+c.Said(), secret, "no log holds the secret")
}
