package e2e

import (
	"bytes"
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

// heaviest is what a roster of a hundred may weigh with everything it loads, as
// it comes over the line, in bytes.
const heaviest = 60_000

// A roster of a hundred athletes in full training, opened by a browser that has
// nothing of it yet, weighs little, asks nobody else for anything and runs
// nothing but its own files.
func TestTheRosterIsLightAndKeepsToItself(t *testing.T) {
	c := newClub(t, program.Options{})
	c.crowd(100)
	roster := c.coach.Get("/roster")
	require.Equal(t, 100, len(roster.All("article.row, main table tbody tr")))
	policy := roster.Header.Get("Content-Security-Policy")
	require.Contains(t, policy, "default-src 'self'")
	require.NotContains(t, policy, "unsafe")

	tab := browser.New(t, browser.Desk)
	signInAsCoach(t, tab, c.Program)
	fresh := browser.New(t, browser.Desk)
	signInAsCoach(t, fresh, c.Program) // lands on the roster, with an empty cache before
	total := weigh(t, fresh, c.Address)
	t.Logf("the roster of a hundred: %d bytes", total)
	require.LessOrEqual(t, total, int64(heaviest))

	require.EqualValues(t, 200, tab.Open(reach(c.Program, "/roster")))
	require.Empty(t, tab.Faults())
	require.Zero(t, tab.Count("script:not([src]), style, [style], [onclick], [onload]"), "nothing inline")
	require.Zero(t, tab.Count("script[src]:not([type=module]):not([defer]):not([async])"), "no script holds the page up")
}

// weigh adds up what the page that is open loaded, and looks at where it came from.
func weigh(t *testing.T, tab *browser.Tab, origin string) (total int64) {
	t.Helper()
	counted := map[string]bool{}
	for _, r := range tab.Requests() {
		require.True(t, strings.HasPrefix(r.URL, origin+"/"), "a request left the site: %s", r.URL)
		u, err := url.Parse(r.URL)
		require.NoError(t, err)
		if r.Kind == "Document" && u.Path != "/roster" {
			continue // the sign-in page on the way; its files count, as the roster's own are among them
		}
		if counted[r.URL] {
			continue // from the browser's own cache the second time
		}
		counted[r.URL] = true
		t.Logf("%7d %3d %-10s %s", r.Bytes, r.Status, r.Kind, u.Path)
		require.Positive(t, r.Bytes, r.URL)
		total += r.Bytes
	}
	return total
}

func signInAsCoach(t *testing.T, tab *browser.Tab, p *program.Program) {
	t.Helper()
	require.EqualValues(t, 200, tab.Open(reach(p, "/sign-in")))
	tab.Fill("#email", email)
	tab.Fill("#password", password)
	require.EqualValues(t, 200, tab.Press("form.card button"))
	require.Equal(t, "/roster", tab.Path())
}

// crowd makes a club of so many athletes with ten weeks of sessions each: one in
// four ready to move up, others with a walk that did not settle, pain, a jump or
// silence, so that rows of every kind are there.
func (c *club) crowd(size int) {
	c.t.Helper()
	c.add("Athlete 001", "L3")
	c.since(80)
	var people bytes.Buffer
	for n := 2; n <= size; n++ {
		fmt.Fprintf(&people, `insert into athlete (club_id, key, name, zone, sessions_a_week, heart_usable, pathway_id, phase, phase_since, joined_on)
			select club_id, 'crowd-key-%03[1]d', 'Longer Name-Athlete %03[1]d', zone, 3, true, pathway_id, 'L3', phase_since + 60, joined_on
			from athlete where name = 'Athlete 001';`, n)
	}
	c.sql(people.String())
	c.sql(`insert into session (club_id, athlete_id, key, started_at, date, kind, phase, effort, talk, breath, hot, limp,
		block_kinds, planned_s, done_s, settle_s, ran_s, walked_s, pain_asked, pain_site, pain_score, pain_morning, logged_at)
	select a.club_id, a.athlete_id, 'crowd-' || a.athlete_id || '-' || w || '-' || d, t.at, t.at::date, 'planned', case when w < 3 then 'L3' else 'L2' end,
		case when a.athlete_id % 5 = 1 then 7 else 3 + w % 2 end, 'sentence', 'early', false, false,
		'rwrwrwrwrwrw', array[120,180,120,180,120,180,120,180,120,180,120,180],
		array[120,180,120,180,120,180,120,180,120,180,120,case when a.athlete_id % 4 = 2 and w = 0 then 60 else 180 end],
		array[null,50+w,null,52,null,55,null,58+d,null,60,null,59]::smallint[],
		720, case when a.athlete_id % 4 = 2 and w = 0 then 960 else 1080 end, true,
		case when a.athlete_id % 7 = 3 and w = 0 then array['left shin'] end,
		case when a.athlete_id % 7 = 3 and w = 0 then array[4]::smallint[] end,
		case when a.athlete_id % 7 = 3 and w = 0 then array[2]::smallint[] end, t.at
	from athlete a, generate_series(0, 9) w, generate_series(0, 2) d,
		lateral (select date_trunc('day', now()) + interval '6 hours 10 minutes' - make_interval(days => w * 7 + d * 2 + 1) as at) t
	where not (a.athlete_id % 9 = 4 and w < 2)`)
}
