package httpd

import (
	"errors"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	letters "halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// filed is a folder of letters in memory, each club's apart.
type filed struct {
	clubs map[roster.ClubID][]letters.Filed
}

// oneFile is the name of a letter that is there.
const oneFile = "20260414T050000Z-7.eml"

func (f *filed) List(club roster.ClubID) ([]letters.Filed, error) { return f.clubs[club], nil }

func (f *filed) Read(club roster.ClubID, name string) (letters.Filed, error) {
	for _, l := range f.clubs[club] {
		if l.Name == name {
			return l, nil
		}
	}
	return letters.Filed{}, fault.New(fault.NotFound, "")
}

// file puts a letter into the club's folder.
func (s *site) file(club roster.ClubID) {
	s.deps.Mail.(*filed).clubs = map[roster.ClubID][]letters.Filed{club: {{
		Name: oneFile, To: "ana@example.org", Subject: "Your way in to Harbour", At: s.now.Add(-time.Hour),
		Text: "Hello Ana,\n\nhere it is:\nhttp://halfhour.example/in/code\n\nhttp://elsewhere.example/in/code\nhttp://halfhour.example.evil/x\n\n-- \nfrom <b>us</b>\n",
	}}}
}

func TestForgottenIsAnsweredTheSame(t *testing.T) {
	s := newSite(t)
	nobody := s.nobody()
	require.NotNil(t, nobody.get("/sign-in").one(`a[href="/sign-in/forgotten"]`))
	var seen []string
	for _, email := range []string{"mara@example.org", "nobody@example.org"} {
		a := nobody.post("/sign-in/forgotten", "email", email)
		a.leadsTo("/sign-in/forgotten?said=way-in")
		var heads []string
		for name, values := range a.Header {
			heads = append(heads, name+strings.Join(values, ","))
		}
		require.NotContains(t, strings.Join(heads, " "), "example.org")
		seen = append(seen, a.body)
	}
	require.Equal(t, seen[0], seen[1])
	page := nobody.get("/sign-in/forgotten?said=way-in")
	require.Contains(t, page.body, "If somebody here has that address")
	require.Contains(t, page.body, "No mail server is set up here")
	require.Len(t, s.store.AskedIn, 2)
	require.NotContains(t, s.log.String(), "example.org")

	a := nobody.post("/sign-in/forgotten", "email", "mara")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "mara", attr(a.one("input[name=email]"), "value"))
	require.Equal(t, "true", attr(a.one("input[name=email]"), "aria-invalid"))
	for range 20 {
		a = nobody.post("/sign-in/forgotten", "email", "nobody@example.org")
	}
	require.Equal(t, http.StatusTooManyRequests, a.StatusCode)
	require.Contains(t, a.body, "quarter of an hour")
}

func TestALinkIsSentByMail(t *testing.T) {
	p := newPeople(t)
	coach := p.visitors[clubCoach]
	at := athletePath(p.ana.ID)
	a := coach.post(at + "/link")
	require.Empty(t, a.all(`form[action$="/link/mail"]`), "no address, no button")
	a = coach.post(at+"/link/mail", "key", "key-of-the-form")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, a.body, "No e-mail address of Ana is known")

	p.ana.Email = "ana@example.org"
	p.store.Athletes[p.ana.ID] = p.ana
	a = coach.post(at + "/link")
	form := a.one(`form[action="` + at + `/link/mail"]`)
	require.Contains(t, a.body, "ana@example.org")
	key := attr(a.one(`form[action="`+at+`/link/mail"] input[name=key]`), "value")
	require.NotNil(t, form)
	for range 2 {
		coach.post(at+"/link/mail", "key", key).leadsTo(at + "?said=mailed")
	}
	require.Len(t, p.store.Letters, 1, "sent twice, written once")
	require.Equal(t, letters.Invitation, p.store.Letters[0].Kind)
	require.Contains(t, coach.get(at+"?said=mailed").body, "on its way by mail")
	require.Equal(t, http.StatusUnprocessableEntity, coach.post(at+"/link/mail").StatusCode, "without a key nothing is sent")

	p.ana.LeftAt = p.now
	p.store.Athletes[p.ana.ID] = p.ana
	require.Equal(t, http.StatusConflict, coach.post(at+"/link/mail", "key", "another-key").StatusCode)
	require.Len(t, p.store.Letters, 1)
}

func TestAnInvitationIsSentByMail(t *testing.T) {
	s := newSite(t)
	owner := s.as(s.owner)
	require.NotNil(t, owner.get("/club").one(`form[action="/club/invitations/mail"]`))
	a := owner.post("/club/invitations/mail", "key", "key-of-the-form", "email", "ivo@", "role", "deputy")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "ivo@", attr(a.one("#invite-email"), "value"))
	require.Equal(t, "true", attr(a.one("#invite-email"), "aria-invalid"))
	require.Len(t, a.all(`form[action="/club/invitations/mail"] button[name=role]`), 2, "as where a link is made")
	owner.post("/club/invitations/mail", "key", "key-of-the-form", "email", "Ivo@Example.org", "role", "deputy").leadsTo("/club?said=mailed")
	owner.post("/club/invitations/mail", "key", "another-key", "email", "uma@example.org").leadsTo("/club?said=mailed")
	require.Equal(t, letters.DeputyInvitation, s.store.Letters[0].Kind)
	require.Equal(t, "ivo@example.org", s.store.Letters[0].Address)
	require.Equal(t, letters.CoachInvitation, s.store.Letters[1].Kind)
	require.NotContains(t, s.log.String(), "example.org")
}

func TestOwnersReadLettersThatWentIntoFiles(t *testing.T) {
	p := newPeople(t)
	p.file(p.club.ID)
	owner := p.visitors[clubOwner]
	require.NotNil(t, owner.get("/club").one(`a[href="/mail"]`))
	list := owner.get("/mail")
	require.Contains(t, list.body, "to ana@example.org, today, 06:00", "where the club is")
	require.Contains(t, text(list.one("#who-reads")), "Whoever reads these can come in")
	require.Contains(t, text(list.one("section.stop")), "HALFHOUR_SMTP_HOST")
	one := owner.get("/mail/" + oneFile)
	require.Equal(t, "/in/code", attr(one.one(`.mono a`), "href"))
	require.Len(t, one.all(".mono a"), 1, "no address of elsewhere is a link")
	require.Contains(t, one.body, "from &lt;b&gt;us&lt;/b&gt;")
	require.Equal(t, http.StatusNotFound, owner.get("/mail/20260414T050000Z-8.eml").StatusCode)

	p.file(p.club.ID + 1)
	require.Equal(t, http.StatusNotFound, owner.get("/mail/"+oneFile).StatusCode, "another club's")
	require.Contains(t, owner.get("/mail").body, "There is no letter yet")

	through := newSite(t, func(d *Deps) { d.Mail = nil })
	b := through.as(through.owner)
	require.Equal(t, http.StatusNotFound, b.get("/mail").StatusCode, "they go through a mail server")
	require.Equal(t, http.StatusNotFound, b.get("/mail/"+oneFile).StatusCode)
	require.Empty(t, b.get("/club").all(`a[href="/mail"]`))
	require.NotContains(t, through.nobody().get("/sign-in/forgotten").body, "No mail server")
}

// cabinet is a folder of which letters are removed.
type cabinet struct {
	stamps []letters.Stamp
	fails  error
}

func (c *cabinet) Clubs() ([]roster.ClubID, error)               { return nil, nil }
func (c *cabinet) Stamps(roster.ClubID) ([]letters.Stamp, error) { return c.stamps, nil }
func (c *cabinet) Remove(_ roster.ClubID, gone []letters.Stamp) error {
	if c.fails == nil {
		c.stamps = slices.DeleteFunc(c.stamps, func(s letters.Stamp) bool { return slices.Contains(gone, s) })
	}
	return c.fails
}

func TestErasingSomebodyRemovesTheirLetters(t *testing.T) {
	p := newPeople(t)
	p.ana.Email = "ana@example.org"
	p.store.Athletes[p.ana.ID] = p.ana
	owner, at := p.visitors[clubOwner], athletePath(p.ana.ID)
	owner.post(at+"/link/mail", "key", "key-of-the-form").leadsTo(at + "?said=mailed")
	files := &cabinet{stamps: []letters.Stamp{{ID: p.store.Letters[0].ID, MadeAt: p.store.Letters[0].MadeAt}}, fails: errors.New("the folder is locked")}
	p.deps.Post.Files = files
	require.Equal(t, http.StatusUnprocessableEntity, owner.post(at+"/erase", "name", "Somebody").StatusCode)
	require.Len(t, files.stamps, 1)
	owner.post(at+"/erase", "name", p.ana.Name).leadsTo("/roster?said=erased")
	require.Contains(t, p.log.String(), "in files still", "she is erased all the same, and the errand does it again")
	require.NotContains(t, p.log.String(), p.ana.Name)
	files.fails = nil
	ben := p.store.Runner(p.club.ID, "Ben Another")
	owner.post(athletePath(ben.ID)+"/erase", "name", ben.Name).leadsTo("/roster?said=erased")
	require.Empty(t, files.stamps)
}

func TestARefusedAddressIsTold(t *testing.T) {
	p := newPeople(t)
	coach, at := p.visitors[clubCoach], athletePath(p.ana.ID)
	p.ana.Email = "ana@example.org"
	p.store.Athletes[p.ana.ID] = p.ana
	require.NotContains(t, coach.get(at).body, "was refused")
	p.ana.MailRefused = p.now.AddDate(0, 0, -20)
	p.store.Athletes[p.ana.ID] = p.ana
	require.Contains(t, coach.get(at).body, "Mail to ana@example.org was refused on 25 March.")
	require.Contains(t, text(coach.get(at+"/edit").one("#email-hint")), "Mail to this address was refused on 25 March.")
	require.NotContains(t, p.visitors[deputy].get(at).body, "was refused", "who comes in how is for coaches")
}
