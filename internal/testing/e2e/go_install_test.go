package e2e

import (
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// lightest is what all JavaScript of the phone's pages may weigh, compressed, in
// bytes.
const lightest = 60_000

// The browser itself would install Halfhour as an app; it opens at its start page
// without a signal, and all its JavaScript weighs little.
func TestThePhoneCanInstallHalfhour(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L2", true)
	o.ready()
	for _, path := range []string{"/go", "/today"} {
		require.EqualValues(t, 200, o.Open(o.wire.Address+path))
		require.Empty(t, o.Hindrances(), path)
		require.True(t, browser.Eval[bool](o.Tab, "navigator.serviceWorker.controller !== null"), path)
	}
	scripts := o.scripts()
	sum := 0
	for _, path := range scripts {
		sum += o.weighs(path)
	}
	t.Logf("%d files of JavaScript, %d bytes", len(scripts), sum)
	require.LessOrEqual(t, sum, lightest)
	for _, r := range o.Requests() {
		if at, err := url.Parse(r.URL); r.Kind == "Script" {
			require.NoError(t, err)
			require.Contains(t, scripts, at.Path, "what a page loads is weighed")
		}
	}
	o.signal(false)
	require.EqualValues(t, 200, o.Open(o.wire.Address+"/"))
	require.Contains(t, o.Text("main"), "Run 1 min 30")
	o.quiet()
}

// scripts are all files of JavaScript that the phone keeps, and the worker itself.
func (o *outing) scripts() []string {
	o.t.Helper()
	worker := o.coach.Get("/sw.js").Body
	files := regexp.MustCompile(`"(/static/[^"]+\.js)"`).FindAllStringSubmatch(worker, -1)
	all := []string{"/sw.js"}
	for _, f := range files {
		all = append(all, f[1])
	}
	require.Greater(o.t, len(all), 10)
	return all
}

// weighs is the size of a file as it comes over the line.
func (o *outing) weighs(path string) int {
	o.t.Helper()
	request, err := http.NewRequestWithContext(o.t.Context(), http.MethodGet, strings.TrimRight(o.Address, "/")+path, nil)
	require.NoError(o.t, err)
	request.Header.Set("Accept-Encoding", "gzip")
	answer, err := http.DefaultClient.Do(request)
	require.NoError(o.t, err)
	defer answer.Body.Close()
	require.Equal(o.t, http.StatusOK, answer.StatusCode, path)
	body, err := io.ReadAll(answer.Body)
	require.NoError(o.t, err)
	return len(body)
}
