package httpd

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	letters "halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// composer writes letters of three parts; how they are really put together, the tests
// of mail ask.
type composer struct{}

func (composer) Compose(_ context.Context, l *letters.Letter) (*letters.Content, error) {
	return &letters.Content{Subject: "The week at " + l.Club.Name, Parts: []letters.Part{
		{Plain: "Hello " + l.Name + ",\n", HTML: `<!DOCTYPE html><html lang="en"><head><title>The week</title></head><body style="margin:0">`},
		{Athlete: 1, Plain: "one is ready.\n", HTML: `<p><a href="http://halfhour.example/athletes/1">A.</a> is ready</p>`},
		{Plain: "The end.\n", HTML: "</body></html>"},
	}}, nil
}

func (c composer) Preview(ctx context.Context, club roster.ClubID, coach roster.CoachID, _ day.Date) (*letters.Content, error) {
	return c.Compose(ctx, &letters.Letter{Club: roster.Club{ID: club, Name: "Harbour"}, Coach: coach, Name: "you"})
}

// sent is a weekly letter that the coach got last Sunday.
func (s *site) sent(to roster.Coach) roster.LetterID {
	s.t.Helper()
	club := s.store.Clubs[to.Club]
	id := s.store.Send(letters.Letter{Club: club, Kind: letters.Weekly, Coach: to.ID, MadeAt: s.now.Add(-37 * time.Hour), Week: day.On(2026, 4, 6)})
	c, err := composer{}.Compose(context.Background(), &letters.Letter{Club: club, Name: to.Name})
	require.NoError(s.t, err)
	require.NoError(s.t, s.store.Compose(context.Background(), club.ID, id, *c, s.now))
	require.NoError(s.t, s.store.Sent(context.Background(), club.ID, id))
	return id
}

func TestACoachChoosesLetters(t *testing.T) {
	s := newSite(t)
	b := s.as(s.owner)
	require.NotEmpty(t, b.get("/club").all(`a[href="/letter"]`), "the way there")
	a := b.get("/letter")
	require.Contains(t, text(a.one(".sub")), "The next one is due on Sunday, 18:00.", "in the club's time")
	require.Contains(t, text(a.one("#hour-hint")), "Europe/Lisbon")
	require.Equal(t, "Sunday", text(a.one("#day option[selected]")))
	require.Equal(t, "18:00", text(a.one("#hour option[selected]")))
	require.True(t, has(a.one("#detail-initials"), "checked"), "the least, until somebody chooses")

	b.post("/letter", "letter_on", "1", "day", "3", "hour", "7", "news_only", "1", "whose", "all", "detail", "reasons").leadsTo("/letter?said=letters")
	require.Equal(t, roster.Wishes{On: true, Day: 3, Hour: 7, NewsOnly: true, All: true, Detail: roster.Reasons}, s.store.Wishes[s.owner.ID])
	a = b.get("/letter?said=letters")
	require.Contains(t, text(a.one(".notice")), "Kept")
	require.Contains(t, text(a.one(".sub")), "due tomorrow, 07:00")
	require.True(t, has(a.one("#whose-all"), "checked"))
	require.False(t, has(a.one("[name=at_once]"), "checked"))

	a = b.post("/letter", "day", "8", "hour", "seven", "detail", "names", "whose", "own", "at_once", "1")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.NotEmpty(t, a.all(`.summary a[href="#hour"]`), "what is wrong leads to its field")
	require.True(t, has(a.one("#detail-names"), "checked"), "what was chosen is kept")
	require.True(t, has(a.one("[name=at_once]"), "checked"))
	require.Equal(t, 3, s.store.Wishes[s.owner.ID].Day, "and nothing stored")
	a = b.post("/letter", "day", "8", "hour", "24", "detail", "names")
	require.Len(t, a.all(".summary li"), 2)
	require.Len(t, a.all(".field.bad"), 2)

	b.post("/letter", "day", "7", "hour", "18", "detail", "initials").leadsTo("/letter?said=letters")
	require.Contains(t, text(b.get("/letter").one(".sub")), "You get no weekly letter")
}

func TestThePreviewOfALetter(t *testing.T) {
	s := newSite(t)
	b := s.as(s.owner)
	frame := b.get("/letter").one("iframe")
	require.Equal(t, "/letter/preview", attr(frame, "src"))
	before := len(s.store.Audit)
	a := b.get(attr(frame, "src"))
	require.Equal(t, "text/html; charset=utf-8", a.Header.Get("Content-Type"))
	require.Contains(t, a.body, `<head><base target="_top">`, "what is followed opens in place of the page")
	require.Contains(t, a.body, "is ready</p>")
	a = b.get("/letter/preview?as=text")
	require.Equal(t, "text/plain; charset=utf-8", a.Header.Get("Content-Type"))
	require.Equal(t, "Hello you,\none is ready.\nThe end.\n", a.body)
	require.Empty(t, s.store.Letters, "nothing of it is kept")
	require.Len(t, s.store.Audit, before)
}

func TestALetterIsSentNow(t *testing.T) {
	s := newSite(t)
	b := s.as(s.owner)
	key := attr(b.get("/letter").one("#now [name=key]"), "value")
	for range 2 {
		b.post("/letter/now", "key", key).leadsTo("/letter?said=letter-now")
	}
	require.Len(t, s.store.Letters, 1, "sent twice, stored once")
	a := b.get("/letter?said=letter-now")
	require.Contains(t, text(a.one("[aria-labelledby=past]")), "Asked for today, 07:00 on its way")
	require.Equal(t, http.StatusUnprocessableEntity, b.post("/letter/now").StatusCode, "a form without its key")
	for i := range 5 {
		b.post("/letter/now", "key", "key-of-form-"+idText(roster.LetterID(i))).leadsTo("/letter?said=letter-now")
	}
	a = b.post("/letter/now", "key", "key-of-form-seven")
	require.Equal(t, http.StatusTooManyRequests, a.StatusCode)
	require.Contains(t, text(a.one("#now .wrong")), "six letters within an hour")
	require.Len(t, s.store.Letters, 6)
}

func TestALetterAsItWasSent(t *testing.T) {
	s := newSite(t)
	id := s.sent(s.owner)
	b := s.as(s.owner)
	row := b.get("/letter").one(`a[href="/letter/` + idText(id) + `"]`)
	require.Equal(t, "The week of 6 April", text(row))
	a := b.get(attr(row, "href"))
	require.Equal(t, "The week at Harbour", text(a.one("h1")))
	require.Contains(t, text(a.one("main")), "Sent on Sunday, 18:00.")
	require.NotContains(t, a.body, "erased since")
	whole := attr(a.one("iframe"), "src")
	require.Contains(t, b.get(whole).body, "is ready</p>")
	require.Contains(t, b.get(whole+"?as=text").body, "one is ready.\n")

	l := &s.store.Letters[0]
	l.Content.Parts, l.Erased = l.Content.Parts[:1], 2
	require.Contains(t, b.get(attr(row, "href")).body, "erased since")
	other := s.as(s.store.Coach(s.club.ID, "Ivo", "ivo@example.org", s.store.People[s.owner.ID].Hash))
	for _, at := range []string{attr(row, "href"), whole, "/letter/0", "/letter/none", "/letter/999/whole"} {
		require.Equal(t, http.StatusNotFound, other.get(at).StatusCode, at)
	}
	require.NotContains(t, other.get("/letter").body, "The week of 6 April")
}

func TestWhatBecameOfALetter(t *testing.T) {
	for why, want := range map[letters.Why]string{
		letters.Moot: "there was no news", letters.Refused: "the mail server refused the address", letters.Late: "no mail server took it in time",
		letters.Stopped: "you had stopped them", letters.Nobody: "no address was known",
	} {
		s := newSite(t)
		id := s.store.Send(letters.Letter{Club: s.club, Kind: letters.Weekly, Coach: s.owner.ID, MadeAt: s.now, Week: day.On(2026, 4, 13)})
		require.NoError(t, s.store.Drop(context.Background(), s.club.ID, id, why))
		a := s.as(s.owner).get("/letter")
		require.Contains(t, text(a.one("[aria-labelledby=past]")), want)
		require.Empty(t, a.all("[aria-labelledby=past] a"), "there is nothing to read")
	}
}

// A coach whose mail is refused reads it where letters are and on the roster, and owners
// read it of others.
func TestMailOfACoachThatIsRefused(t *testing.T) {
	s := newSite(t)
	ivo := s.store.Coach(s.club.ID, "Ivo", "ivo@example.org", s.store.People[s.owner.ID].Hash)
	b, owner := s.as(ivo), s.as(s.owner)
	for _, at := range []string{"/letter", "/roster"} {
		require.NotContains(t, b.get(at).body, "was refused", at)
	}
	p := s.store.People[ivo.ID]
	p.MailRefused = s.now.Add(-24 * time.Hour)
	s.store.People[ivo.ID] = p
	require.Contains(t, text(b.get("/letter").one(".stop")), "Mail to ivo@example.org was refused yesterday")
	require.Contains(t, text(b.get("/letter").one(".sub")), "waits until your mail arrives")
	notice := b.get("/roster").one(`aside[aria-label="Your mail"]`)
	require.Contains(t, text(notice), "was refused yesterday")
	require.Contains(t, text(owner.get("/club").one("[aria-labelledby=coaches]")), "mail was refused yesterday")
	require.NotContains(t, owner.get("/roster").body, "was refused", "nobody else's roster")
	require.NotContains(t, text(b.get("/club").one("[aria-labelledby=coaches]")), "refused", "who is no owner reads the own one only")
}

func TestAnAthleteChoosesMail(t *testing.T) {
	p := newPeople(t)
	b := p.visitors[herself]
	card := func() string { return text(b.get("/me").one("[aria-labelledby=mails]")) }
	require.Contains(t, card(), "No e-mail address of yours is known here")
	p.ana.Email = "ana@example.org"
	p.store.Athletes[p.ana.ID] = p.ana
	require.Contains(t, card(), "It goes to ana@example.org.")
	p.ana.MailRefused = p.now
	p.store.Athletes[p.ana.ID] = p.ana
	require.Contains(t, card(), "was refused today")
	b.post("/me/letters", "monday", "1").leadsTo("/me?said=mails")
	require.Equal(t, letters.Mails{Monday: true}, p.store.Mailed[p.ana.ID])
	a := b.get("/me?said=mails")
	require.Contains(t, text(a.one(".notice")), "Kept")
	require.True(t, has(a.one("[name=monday]"), "checked"))
	require.False(t, has(a.one("[name=decisions]"), "checked"))
	require.Empty(t, p.visitors[clubOwner].get(athletePath(p.ana.ID)+"/kept").all("[name=monday]"), "what she wants is hers to say")
}

func TestTheWordAfterSilence(t *testing.T) {
	s := newSite(t)
	b := s.as(s.owner)
	a := b.get("/club")
	require.Equal(t, letters.OurGentleWord, a.one("[name=gentle_words]").FirstChild.Data, "there is something to begin with")
	require.False(t, has(a.one("[name=gentle_on]"), "checked"), "until an owner switches it on, nobody is written to")
	b.post("/club/gentle", "gentle_on", "1", "gentle_words", "Come by?\r\nThursday at six.").leadsTo("/club?said=gentle")
	require.Equal(t, letters.GentleWord{On: true, Words: "Come by?\nThursday at six."}, s.store.Gentle[s.club.ID])
	long := strings.Repeat("ä", 2001)
	a = b.post("/club/gentle", "gentle_words", long)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, long, a.one("[name=gentle_words]").FirstChild.Data, "what was typed is kept")
	require.Equal(t, "true", attr(a.one("[name=gentle_words]"), "aria-invalid"))
	require.True(t, s.store.Gentle[s.club.ID].On)
	coach := s.as(s.store.Coach(s.club.ID, "Ivo", "ivo@example.org", s.store.People[s.owner.ID].Hash))
	require.Empty(t, coach.get("/club").all("[name=gentle_words]"))
	require.NotEmpty(t, coach.get("/club").all(`a[href="/letter"]`))
}
