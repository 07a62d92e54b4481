package e2e

import (
	"fmt"
	"net/url"
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/line"
	"halfhour.app/halfhour/internal/testing/program"
)

// outing is one athlete with a phone, and the line between the phone and the
// program.
type outing struct {
	*club
	*browser.Device

	t    *testing.T
	wire *line.Line
	at   string // the path of the athlete's page, for the coach
	id   string // of the athlete
}

// goOut starts a program with one athlete of a phase, whose phone has been signed
// in and has Go in it. Where own is true the phone's browser can be killed.
func goOut(t *testing.T, phase string, own bool) *outing {
	t.Helper()
	return newClub(t, program.Options{}).goOut(t, "Ines Okafor", phase, own)
}

// goOut is one more athlete of the club, with a phone.
func (c *club) goOut(t *testing.T, name, phase string, own bool) *outing {
	t.Helper()
	place, now := afternoon(t)
	o := &outing{club: c, t: t, wire: line.To(t, c.Address)}
	var link string
	o.at, link = c.newcomer(name, phase)
	o.id = o.at[len("/athletes/"):]
	take := browser.NewDevice
	if own {
		take = browser.OwnDevice
	}
	o.Device = take(t, browser.Phone, place, now.Add(-6*time.Hour).Truncate(time.Minute))
	o.signIn(link)
	return o
}

// newcomer takes in an athlete who lives where it is afternoon, and gives the path
// of the athlete's page and the one-time link.
func (c *club) newcomer(name, phase string) (at, link string) {
	c.t.Helper()
	place, _ := afternoon(c.t)
	return c.addIn(name, phase, place)
}

// signIn comes in by the link and waits until the phone works without a signal.
func (o *outing) signIn(link string) {
	o.t.Helper()
	to, err := url.Parse(link)
	require.NoError(o.t, err)
	require.EqualValues(o.t, 200, o.Open(o.wire.Address+to.Path))
	require.EqualValues(o.t, 200, o.Press("main form button"))
	require.Equal(o.t, "/today", o.Path())
}

// afternoon is a time zone in which it is about six in the afternoon now, so that
// a session of some hours ago was today, whenever the tests run.
func afternoon(t *testing.T) (zone string, now time.Time) {
	t.Helper()
	east := 18 - time.Now().UTC().Hour()
	if east > 12 {
		east -= 24
	}
	zone = "Etc/GMT" // whose names count westwards
	if east != 0 {
		zone = fmt.Sprintf("Etc/GMT%+d", -east)
	}
	place, err := time.LoadLocation(zone)
	require.NoError(t, err)
	return zone, time.Now().In(place)
}

// stored is a session as the program keeps it.
type stored struct {
	ID        int64
	StartedAt time.Time
	Phase     *string
	Outcome   *string
	Kinds     string // r and w, a letter a block
	Planned   []int32
	Done      []int32
	Settle    []*int32
	Effort    *int16
	Talk      string
	Recorded  bool
}

// settledAt is when the breath was back in a block; nil: not told.
func (s stored) settledAt(block int) *int32 {
	if s.Settle == nil {
		return nil
	}
	return s.Settle[block]
}

// stored are the athlete's sessions, the oldest first.
func (o *outing) stored() (all []stored) {
	o.t.Helper()
	conn := o.connect()
	defer conn.Close(o.t.Context())
	rows, err := conn.Query(o.t.Context(), `
		select s.session_id, s.started_at, s.phase::text, s.outcome::text, coalesce(s.block_kinds::text, ''), s.planned_s::int[], s.done_s::int[], s.settle_s::int[],
			s.effort::smallint, coalesce(s.talk::text, ''), exists (select from recording r where r.club_id = s.club_id and r.session_id = s.session_id)
		from session s where s.athlete_id = $1::text::bigint order by s.started_at`, o.id)
	require.NoError(o.t, err)
	defer rows.Close()
	for rows.Next() {
		var s stored
		require.NoError(o.t, rows.Scan(&s.ID, &s.StartedAt, &s.Phase, &s.Outcome, &s.Kinds, &s.Planned, &s.Done, &s.Settle, &s.Effort, &s.Talk, &s.Recorded))
		all = append(all, s)
	}
	require.NoError(o.t, rows.Err())
	return all
}

// signal takes the phone's signal away or gives it back: the line and what the
// browser says of it.
func (o *outing) signal(on bool) {
	o.t.Helper()
	o.wire.Cut(!on)
	o.Offline(!on)
}

// noSignal is what a browser complains of where the network was cut. Whether it asks for
// the icons again, by which it would install, is up to it.
var noSignal = regexp.MustCompile(`Failed to load resource: net::|icon from the Manifest: \S+ \(Download error`)

// quiet says that no page complained of anything but the network that was cut.
func (o *outing) quiet() {
	o.t.Helper()
	for _, fault := range o.Faults() {
		require.Regexp(o.t, noSignal, fault, "the browser complains")
	}
}
