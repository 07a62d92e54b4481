package httpd

import (
	"errors"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
)

// What was typed outlives a failure that is not the fault of who typed it.
func TestWhatFailedCanBeSentAgain(t *testing.T) {
	down := fault.Wrap(fault.Unavailable, errors.New("no answer"))
	for _, c := range []struct {
		name  string
		err   error
		form  []string
		keeps bool
	}{
		{"a database that is gone", down, []string{"note", `<b> & "rain"`, "signs", "faint", "signs", "hop_pain"}, true},
		{"a fault of ours", errors.New("oh"), []string{"note", "rain"}, true},
		{"somebody who is signed out", errSignedOut, []string{"note", "rain"}, true},
		{"nothing typed", down, nil, false},
		{"a password", down, []string{"email", "mara@example.org", "password", "a quiet lane at six"}, false},
		{"what was typed wrong", fault.New(fault.Invalid, ""), []string{"note", "rain"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSite(t)
			s.handler = s.server(route{post, "/sends/{what}", anybody, func(*server, http.ResponseWriter, *http.Request) error { return c.err }})
			a := s.nobody().post("/sends/this?kind=extra", c.form...)
			forms := a.all("main form[method=post]")
			if !c.keeps {
				require.Empty(t, forms, a.body)
				require.NotContains(t, a.body, "a quiet lane")
				return
			}
			require.Len(t, forms, 1)
			require.Equal(t, "/sends/this?kind=extra", attr(forms[0], "action"))
			var got []string
			for _, field := range a.all("main form input") {
				got = append(got, attr(field, "name"), attr(field, "value"))
			}
			require.Equal(t, c.form, got)
		})
	}
}
