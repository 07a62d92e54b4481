package e2e

import (
	"net/mail"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/smtpd"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// letters are the files in the data folder's mail, of every club.
func (c *club) letters() []string {
	c.t.Helper()
	all, err := filepath.Glob(filepath.Join(c.Data(), "mail", "*", "*.eml"))
	require.NoError(c.t, err)
	return all
}

// arrived waits until so many letters are there.
func (c *club) arrived(n int) {
	c.t.Helper()
	require.Eventually(c.t, func() bool { return len(c.letters()) >= n }, time.Minute, 20*time.Millisecond, "letters in the folder")
	require.Len(c.t, c.letters(), n)
}

// forgot asks for a way in.
func forgot(t *testing.T, v *visitor.Visitor, address string) {
	t.Helper()
	page := v.Get("/sign-in/forgotten").Form("form.card").Set("email", address).Send()
	require.Equal(t, "/sign-in/forgotten?said=way-in", page.Path, page)
}

// A coach who forgot the password finds the way back in through the folder, where
// another device of an owner reads it; all other logins end.
func TestAForgottenPasswordFromTheFolder(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	require.Contains(t, c.Said(), "letters go into files")
	lost := visitor.New(t, c.Address)
	forgot(t, lost, "nobody@example.org")
	forgot(t, lost, email)
	c.arrived(1)

	box := c.coach.Get("/club").Link("Letters that went into files")
	one := c.coach.Get(c.coach.Get(box).Link("Your way in"))
	require.Contains(t, one.Text("main"), "Somebody asked for a way in")
	link := one.Attr(".mono a", "href")
	require.Regexp(t, `^/in/`, link)
	page := lost.Get(link).Form("form[action]").Set("password", "another calm voice, later on").Send()
	require.Equal(t, "/roster", page.Path, page)
	require.Equal(t, 401, status(t, c.coach), "the login of before has ended")

	again := visitor.New(t, c.Address)
	page = again.Get("/sign-in").Form("form.card").Set("email", email, "password", "another calm voice, later on").Send()
	require.Equal(t, "/roster", page.Path, page)
	for _, told := range []string{email, "nobody@example.org", "Mara"} {
		require.NotContains(t, c.Said(), told, "none of it is in the log")
	}
}

// status is how a form of a coach's is answered.
func status(t *testing.T, v *visitor.Visitor) int {
	t.Helper()
	page, err := v.Blunt().Post("/decisions/undo", nil)
	require.NoError(t, err)
	return page.Status
}

// A program that is killed right after it took the wish on sends the letter when it is
// back, and once.
func TestKilledBetweenAWishAndItsLetter(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	for range 3 {
		forgot(t, visitor.New(t, c.Address), email)
		c.Kill()
		c.Again()
	}
	c.arrived(3)
	subjects := map[string]bool{}
	for _, file := range c.letters() {
		raw, err := os.ReadFile(file)
		require.NoError(t, err)
		m, err := mail.ReadMessage(strings.NewReader(string(raw)))
		require.NoError(t, err)
		subjects[m.Header.Get("Message-ID")] = true
	}
	require.Len(t, subjects, 3)
	c.ended("way_in", 3) // the file is there before that is noted
	require.Equal(t, 3, c.count("select count(*) from letter where sent_at is not null"))
}

// mailing is a club whose letters go through the mail server.
func mailing(t *testing.T, server *smtpd.Server) *club {
	t.Helper()
	at := program.Free(t)
	return newClub(t, program.Options{Args: []string{"--listen=" + at}, Env: []string{
		"SSL_CERT_FILE=" + server.CA, "HALFHOUR_SMTP_HOST=" + server.Host, "HALFHOUR_SMTP_PORT=" + strconv.Itoa(server.Port),
		"HALFHOUR_SMTP_USER=" + smtpd.User, "HALFHOUR_SMTP_PASSWORD=" + smtpd.Password, "HALFHOUR_SMTP_FROM=halfhour@club.example",
		"HALFHOUR_BASE_URL=http://" + at,
	}})
}

// With a mail server named, letters go through it, and an athlete's link arrives by it.
func TestALinkThroughAMailServer(t *testing.T) {
	t.Parallel()
	server := smtpd.Start(t, smtpd.Options{})
	c := mailing(t, server)
	require.Equal(t, 404, c.coach.Get("/mail").Status, "there are no files")
	page := c.coach.Get("/athletes/new").Form("main form").Set("name", "Ines Okafor", "email", "ines@example.org", "zone", zone, "phase", "L1", "asked_on", beforeToday(), "asked_by", "Mara").Send()
	require.Equal(t, 200, page.Status, page)
	page = page.Form(`form[action$="/link/mail"]`).Send()
	require.Contains(t, page.Path, "said=mailed", page)
	require.Eventually(t, func() bool { return len(server.Taken()) == 1 }, time.Minute, 20*time.Millisecond)
	taken := server.Taken()[0]
	require.Equal(t, []string{"ines@example.org"}, taken.To)
	body := strings.ReplaceAll(strings.ReplaceAll(taken.Body, "=\r\n", ""), "=3D", "=")
	link := regexp.MustCompile(`http://127\.0\.0\.1:\d+(/in/[\w-]{43})`).FindStringSubmatch(body)
	require.NotNil(t, link, body)
	require.Equal(t, 200, visitor.New(t, c.Address).Get(link[1]).Status)
	require.NotContains(t, c.Said(), "ines@")
}

// A letter in a file goes at once with whom it is to, and every other after thirty days.
func TestLettersInFilesGo(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	for i, name := range []string{"Ines Okafor", "Ben Almeida"} {
		at, _ := c.add(name, "L1")
		require.Equal(t, 200, c.coach.Get(at+"/edit").Form("main form").Set("email", strings.ToLower(name[:3])+"@example.org").Send().Status)
		page := c.coach.Get(at).Form(`form[action$="/link"]`).Send()
		require.Contains(t, page.Form(`form[action$="/link/mail"]`).Send().Path, "said=mailed", page)
		c.arrived(i + 1)
	}
	page := c.coach.Get("/roster")
	page = c.coach.Get(page.Link("Ines Okafor"))
	kept := c.coach.Get(page.Path + "/kept")
	require.Contains(t, kept.Text("main"), "One letter by mail, kept for 30 days")
	require.Equal(t, 200, kept.Form(`form[action$="/erase"]`).Set("name", "Ines Okafor").Send().Status)
	c.arrived(1)
	box := c.coach.Get("/mail").Text("main")
	require.NotContains(t, box, "ine@example.org")
	require.Contains(t, box, "ben@example.org")

	c.overdue("update letter set made_at = made_at - interval '30 days 1 minute'")
	c.Again()
	require.Eventually(t, func() bool { return len(c.letters()) == 0 }, time.Minute, 50*time.Millisecond, "the errand of the hour")
	require.Zero(t, c.count("select count(*) from letter"))
	require.Contains(t, c.coach.Get("/mail").Text("main"), "There is no letter yet")
	require.NotContains(t, c.Said(), "Ines")
}
