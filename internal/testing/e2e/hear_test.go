package e2e

import (
	"io"
	"mime/quotedprintable"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/smtpd"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// reachable takes in an athlete with an address.
func (c *club) reachable(name, address string) (at, link string) {
	c.t.Helper()
	at, link = c.add(name, "L1")
	require.Equal(c.t, 200, c.coach.Get(at+"/edit").Form("main form").Set("email", address).Send().Status)
	return at, link
}

// decides makes a decision about the athlete on the athlete's page.
func (c *club) decides(at string, pairs ...string) *visitor.Page {
	c.t.Helper()
	page := c.coach.Get(at).Form(`form[action$="/decide"]`).Set(pairs...).Send()
	require.Equal(c.t, 200, page.Status, page)
	return page
}

// soonSQL are the letters that wait for less than they should.
const soonSQL = `select count(*) from river.river_job j join letter l on l.letter_id = (j.args->>'letter')::bigint
where j.kind = 'letter' and j.state = 'scheduled' and j.scheduled_at < l.made_at + interval '89 seconds'`

// waited lets the time pass that letters about decisions wait, and has the program look
// for them, as it does every few seconds.
func (c *club) waited() {
	c.t.Helper()
	require.Zero(c.t, c.count(soonSQL), "not at once")
	c.sql("update river.river_job set state = 'available', scheduled_at = now() where kind = 'letter' and state = 'scheduled'")
	c.sql(`select pg_notify('river.river_insert', '{"queue": "mail"}')`)
}

// ended waits until so many letters of the kind are sent, or dropped.
func (c *club) ended(kind string, n int) {
	c.t.Helper()
	ended := func() bool {
		return c.count("select count(*) from letter where kind = $1 and (sent_at is not null or dropped_at is not null)", kind) >= n
	}
	require.Eventually(c.t, ended, time.Minute, 50*time.Millisecond, "letters of the kind %s", kind)
}

// to are the letters that went to the address, as their text.
func to(t *testing.T, server *smtpd.Server, address string) (list []string) {
	t.Helper()
	for _, taken := range server.Taken() {
		if taken.To[0] == address {
			text, err := io.ReadAll(quotedprintable.NewReader(strings.NewReader(taken.Body)))
			require.NoError(t, err)
			list = append(list, strings.ReplaceAll(string(text), "\r\n", "\n"))
		}
	}
	return list
}

// What a coach decides arrives in the coach's words, unless it is taken back meanwhile.
func TestADecisionIsHeardOf(t *testing.T) {
	t.Parallel()
	server := smtpd.Start(t, smtpd.Options{})
	c := mailing(t, server)
	at, _ := c.reachable("Ines Okafor", "ines@example.org")
	page := c.decides(at, "choice", "move_up", "reason", "seen running at the club", "word", "Well run; the runs grow a little.")
	undo := page.Form(`form[action="/decisions/undo"]`).Send()
	require.Equal(t, 200, undo.Status, undo)
	c.waited()
	c.ended("decision", 1)
	require.Equal(t, []string{"moot"}, c.texts("select dropped_for from letter where kind = 'decision'"), "taken back: there is nothing to say")
	require.Empty(t, server.Taken())

	c.decides(at, "choice", "move_up", "reason", "seen running at the club", "word", "Well run; this time I mean it.")
	c.waited()
	c.ended("decision", 2)
	letters := to(t, server, "ines@example.org")
	require.Len(t, letters, 1)
	for _, words := range []string{
		"From: \"Mara Lindqvist of Harbour Half Hour\" <halfhour@club.example>", "List-Unsubscribe:\n <http://", "Auto-Submitted: auto-generated",
		"Hello Ines Okafor,\n\nWell run; this time I mean it.\nMara Lindqvist\n\nMara Lindqvist has moved you up to walk-led, phase 2 of 4.", c.Address + "/today",
	} {
		require.Contains(t, letters[0], words)
	}
	require.NotContains(t, letters[0], "seen running at the club", "the reason is for coaches")
	require.NotContains(t, c.Said(), "ines@")
}

// A warning sign is heard of at once by the athlete's coach, and by nobody else.
func TestAWarningSignIsHeardOfAtOnce(t *testing.T) {
	t.Parallel()
	server := smtpd.Start(t, smtpd.Options{})
	c := mailing(t, server)
	at, link := c.reachable("Ines Okafor", "ines@example.org")
	c.joins("coach", "Bo Halvorsen", "bo@example.org")
	c.sql("update athlete set coach_id = (select coach_id from coach where email = 'bo@example.org')")
	phone := c.phone(link)
	page := session(t, phone, 0, "00:00").Set("signs", "chest_pressure").Send()
	require.Contains(t, page.Text("main"), "emergency number", page)
	c.ended("at_once", 1)
	letters := to(t, server, "bo@example.org")
	require.Len(t, letters, 1)
	require.Contains(t, letters[0], "I. O. has told of a warning sign")
	require.Contains(t, letters[0], c.Address+at)
	for _, secret := range []string{"Ines", "Okafor", "chest"} {
		require.NotContains(t, letters[0], secret)
	}
	require.Empty(t, to(t, server, email), "the other coach is not woken")

	c.sql("update athlete set coach_id = null")
	page = session(t, phone, 1, "07:00").Set("signs", "faint").Send()
	require.Contains(t, page.Text("main"), "emergency number", page)
	c.ended("at_once", 3)
	require.Len(t, to(t, server, "bo@example.org"), 2)
	require.Len(t, to(t, server, email), 1, "an athlete of nobody's is everybody's")
}

// After a hard bounce nothing goes to the address by itself, and the coach reads it.
func TestAfterABounceNothingGoesByItself(t *testing.T) {
	t.Parallel()
	server := smtpd.Start(t, smtpd.Options{Refuse: "ines@example.org"})
	c := mailing(t, server)
	at, _ := c.reachable("Ines Okafor", "ines@example.org")
	c.decides(at, "choice", "move_up", "reason", "seen running")
	c.waited()
	c.ended("decision", 1)
	require.Equal(t, []string{"refused"}, c.texts("select dropped_for from letter"))
	require.Regexp(t, "was refused (today|yesterday)", c.coach.Get(at+"/edit").Text("main"), "it may be midnight")
	c.decides(at, "choice", "pause", "reason", "a sore shin", "word", "Rest it.")
	require.Equal(t, 1, c.count("select count(*) from letter"), "none is written")
	require.Equal(t, 200, c.coach.Get(at+"/edit").Form("main form").Set("email", "ines@example.com").Send().Status)
	c.decides(at, "choice", "resume", "reason", "it is well again", "word", "Slowly.")
	c.waited()
	c.ended("decision", 2)
	require.Len(t, to(t, server, "ines@example.com"), 1, "another address")
}
