package line

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestALineIsCutAndMendedAndLosesAnswers(t *testing.T) {
	stored := 0
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost {
			stored++
		}
		w.Header().Set("X-Host", r.Host)
		_, _ = io.Copy(w, r.Body)
	}))
	t.Cleanup(server.Close)
	l := To(t, server.URL)
	send := func(path string) (string, error) {
		request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, l.Address+path, strings.NewReader("a=1"))
		require.NoError(t, err)
		answer, err := http.DefaultClient.Do(request)
		if err != nil {
			return "", err
		}
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		require.Equal(t, strings.TrimPrefix(l.Address, "http://"), answer.Header.Get("X-Host"))
		return string(body), err
	}
	body, err := send("/log")
	require.NoError(t, err)
	require.Equal(t, "a=1", body)
	l.Cut(true)
	_, err = send("/log")
	require.Error(t, err)
	require.Equal(t, 1, stored, "it never arrived")
	l.Cut(false)
	l.Lose("/log", 1)
	_, err = send("/log")
	require.Error(t, err)
	require.Equal(t, 2, stored, "it arrived, and the answer was lost")
	_, err = send("/other")
	require.NoError(t, err)
	_, err = send("/log")
	require.NoError(t, err)
	require.Equal(t, []Request{
		{"POST", "/log", 200, false}, {"POST", "/log", 200, true}, {"POST", "/other", 200, false}, {"POST", "/log", 200, false},
	}, l.Asked())
}
