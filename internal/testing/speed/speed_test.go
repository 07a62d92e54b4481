package speed_test

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/speed"
)

// The roster as a coach's browser asks for it, compressed, beside its bare queries;
// with twelve weeks of history and with three years.
func BenchmarkRosterServed(b *testing.B) {
	for _, size := range []struct{ people, weeks int }{{100, 12}, {500, 12}, {100, 156}} {
		b.Run(fmt.Sprintf("athletes=%d/weeks=%d", size.people, size.weeks), func(b *testing.B) {
			c := newClub(b)
			c.train(size.people, size.weeks)
			c.recorder.Take()
			require.Equal(b, http.StatusOK, c.ask(c.coach.Token, http.MethodGet, "/roster", nil))
			trips := c.recorder.Take()
			sideBySide(b, func() { c.replay(b.Context(), trips) }, func() {
				require.Equal(b, http.StatusOK, c.ask(c.coach.Token, http.MethodGet, "/roster", nil))
			})
		})
	}
}

// sideBySide times both in turn, so that a machine that is busy with other things
// is as busy for the one as for the other, and reports the ratio.
func sideBySide(b *testing.B, floor, served func()) {
	b.Helper()
	var bare, whole time.Duration
	n := 0
	for b.Loop() {
		began := time.Now()
		floor()
		between := time.Now()
		served()
		bare, whole, n = bare+between.Sub(began), whole+time.Since(between), n+1
	}
	b.ReportMetric(float64(bare.Microseconds())/float64(n)/1000, "floor-ms")
	b.ReportMetric(float64(whole.Microseconds())/float64(n)/1000, "served-ms")
	b.ReportMetric(float64(whole)/float64(bare), "ratio")
}

// A session as a phone sends it, beside the statements it makes.
func BenchmarkLogServed(b *testing.B) {
	c := newClub(b)
	athlete := c.train(1, 12)[0]
	link, err := c.access.AthleteLink(b.Context(), c.actor(), athlete)
	require.NoError(b, err)
	in, err := c.access.Enter(b.Context(), link.Code, c.key(), "a phone")
	require.NoError(b, err)
	minute := 0
	form := func() url.Values {
		minute++
		at := now().Add(-time.Duration(minute) * time.Minute)
		return url.Values{
			"key": {string(c.key())}, "kind": {"extra"}, "ran": {"walk"}, "date": {at.Format(time.DateOnly)}, "clock": {at.Format("15:04")},
			"minutes": {"20"}, "effort": {"3"}, "pain": {"none"},
		}
	}
	c.recorder.Take()
	require.Equal(b, http.StatusSeeOther, c.ask(in.Token, http.MethodPost, "/log?kind=extra", form()))
	trips := c.recorder.Take()
	sideBySide(b, func() { c.replay(b.Context(), fresh(c, trips, &minute)) }, func() {
		require.Equal(b, http.StatusSeeOther, c.ask(in.Token, http.MethodPost, "/log?kind=extra", form()))
	})
}

// fresh gives the statements another key and another start, so that the floor too
// stores a session each time.
func fresh(c *club, trips speed.Trips, minute *int) speed.Trips {
	again := make(speed.Trips, len(trips))
	for i, trip := range trips {
		again[i] = append([]speed.Statement(nil), trip...)
		for j := range again[i] {
			s := &again[i][j]
			s.Args = append([]any(nil), s.Args...)
			for k, arg := range s.Args {
				switch v := arg.(type) {
				case string:
					if len(v) == len("key-00000000") && v[:4] == "key-" {
						s.Args[k] = string(c.key())
					}
				case time.Time:
					if k == 4 {
						*minute++
						s.Args[k] = now().Add(-time.Duration(*minute) * time.Minute)
					}
				}
			}
		}
	}
	return again
}
