package httpd

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// sent is the form for a new athlete, filled in.
func sent(change ...string) []string {
	values := map[string]string{
		"key": "key-of-the-form-1", "name": "Ines Okafor", "email": "", "birth_year": "1985", "zone": "Europe/Lisbon",
		"sessions_a_week": "3", "phase": "L1", "asked_on": "2026-04-13", "asked_by": "Mara",
	}
	for i := 0; i < len(change); i += 2 {
		values[change[i]] = change[i+1]
	}
	var pairs []string
	for name, value := range values {
		pairs = append(pairs, name, value)
	}
	return pairs
}

// added are the athletes that were not there from the start.
func (p *people) added() []roster.Athlete {
	var list []roster.Athlete
	for _, a := range p.store.Athletes {
		if a.Name != "Ana" && a.Name != "Ben" && a.Name != "Cleo" {
			list = append(list, a)
		}
	}
	return list
}

func TestANewAthleteGetsALinkAtOnce(t *testing.T) {
	p := newPeople(t)
	b := p.visitors[clubCoach]
	form := b.get("/athletes/new")
	require.Equal(t, http.StatusOK, form.StatusCode)
	require.Equal(t, "Europe/Lisbon", attr(form.one("input[name=zone]"), "value"), "the club's, to begin with")
	require.True(t, soundKey(attr(form.one("input[name=key]"), "value")))
	require.Len(t, form.all("select[name=phase] optgroup option"), 15, "every phase, by stage")

	var code string
	for range 2 { // sent twice: one athlete, and the newest link holds
		a := b.post("/athletes", sent("name", "<i>Ines</i> & co", "heart_off", "1")...)
		require.Equal(t, http.StatusOK, a.StatusCode, a.body)
		require.Contains(t, text(a.one("main")), "<i>Ines</i> & co", "shown as typed")
		require.NotContains(t, a.body, "<i>Ines", "markup is escaped")
		require.NotEmpty(t, a.all("svg path"), "a code to scan")
		require.Contains(t, text(a.one("main")), "until 28 April")
		_, after, found := strings.Cut(a.body, "http://example.com/in/")
		require.True(t, found, "the whole address")
		code = after[:43]
	}
	require.Len(t, p.added(), 1)
	ines := p.added()[0]
	require.False(t, ines.HeartUsable)
	require.Equal(t, day.On(2026, 4, 14), ines.PhaseSince)

	phone := p.nobody()
	landing := phone.get("/in/" + code)
	require.Equal(t, http.StatusOK, landing.StatusCode)
	require.Contains(t, text(landing.one("main")), "<i>Ines</i> & co")
	key := attr(landing.one("input[name=key]"), "value")
	phone.post("/in/"+code, "key", key).leadsTo("/")
	phone.get("/").leadsTo("/today")
}

func TestWhatIsWrongStandsAtItsField(t *testing.T) {
	p := newPeople(t)
	b := p.visitors[clubCoach]
	a := b.post("/athletes", sent("name", " ", "birth_year", "2010", "zone", "Lisbon", "sessions_a_week", "often", "phase", "X9", "email", "ines")...)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Empty(t, p.added(), "nothing was stored")
	for name, typed := range map[string]string{"name": "", "birth_year": "2010", "zone": "Lisbon", "email": "ines"} {
		field := a.one("input[name=" + name + "]")
		require.Equal(t, typed, attr(field, "value"), "what was typed is kept")
		require.Equal(t, "true", attr(field, "aria-invalid"), name)
	}
	require.Contains(t, a.body, "made for adults")
	for _, place := range []string{"name", "email", "birth_year", "zone", "sessions_a_week", "phase"} {
		require.NotEmpty(t, a.all(`a[href="#`+place+`"]`), "the summary leads to %s", place)
		require.NotEmpty(t, a.all("#"+place), "and it is there: %s", place)
	}
	require.Equal(t, "key-of-the-form-1", attr(a.one("input[name=key]"), "value"), "the same form goes on")
}

func TestAFormWithoutItsKeyGetsOne(t *testing.T) {
	p := newPeople(t)
	for _, key := range []string{"", "short", strings.Repeat("x", 65), "key with spaces", "key<script>"} {
		a := p.visitors[clubCoach].post("/athletes", sent("key", key)...)
		require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
		require.True(t, soundKey(attr(a.one("input[name=key]"), "value")))
		require.Empty(t, p.added())
	}
}

func TestChangingAnAthlete(t *testing.T) {
	p := newPeople(t)
	b, path := p.visitors[clubCoach], athletePath(p.ana.ID)+"/edit"
	a := p.store.Athletes[p.ana.ID]
	a.CoachWord = "Slower on the hill"
	p.store.Athletes[p.ana.ID] = a
	form := b.get(path)
	require.Equal(t, "Ana", attr(form.one("input[name=name]"), "value"))
	version := attr(form.one("input[name=version]"), "value")
	require.Empty(t, form.all("[name=phase]"), "where somebody stands only decisions change")

	b.post(path, sent("name", "Ana B.", "version", version, "injured_on", "2026-04-01")...).leadsTo(athletePath(p.ana.ID) + "?said=changed")
	stored := p.store.Athletes[p.ana.ID]
	require.Equal(t, "Ana B.", stored.Name)
	require.Equal(t, day.On(2026, 4, 1), stored.InjuredOn)
	require.Equal(t, "Slower on the hill", stored.CoachWord, "what the form does not hold stays")

	late := b.post(path, sent("name", "Anna", "version", version)...)
	require.Equal(t, http.StatusConflict, late.StatusCode)
	require.Equal(t, "Anna", attr(late.one("input[name=name]"), "value"), "what was typed is kept")
	require.Contains(t, late.body, "Somebody else changed this meanwhile")
	require.Equal(t, "Ana B.", p.store.Athletes[p.ana.ID].Name, "nothing was overwritten")
	b.post(path, sent("name", "Anna", "version", attr(late.one("input[name=version]"), "value"))...).leadsTo(athletePath(p.ana.ID) + "?said=changed")
	require.Equal(t, "Anna", p.store.Athletes[p.ana.ID].Name, "sent again, knowingly")

	wrong := b.post(path, sent("name", "", "injured_on", "2026-05-01", "version", "3")...)
	require.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	require.Equal(t, "2026-05-01", attr(wrong.one("input[name=injured_on]"), "value"))
}

func TestLeavingAndReturning(t *testing.T) {
	p := newPeople(t)
	b, phone, path := p.visitors[clubCoach], p.visitors[herself], athletePath(p.ana.ID)
	phone.get("/").leadsTo("/today")
	b.post(path + "/left").leadsTo("/roster?said=left")
	phone.get("/").leadsTo("/sign-in")
	a := b.post(path + "/link")
	require.Equal(t, http.StatusConflict, a.StatusCode, "no link for somebody who has left")
	club := b.get("/club")
	require.Contains(t, text(club.one("main")), "left on 14 April")
	require.NotEmpty(t, club.all(`form[action="`+path+`/returned"]`))
	b.post(path + "/returned").leadsTo(path + "?said=returned")
	require.Zero(t, p.store.Athletes[p.ana.ID].LeftAt)
	require.Equal(t, http.StatusOK, b.post(path+"/link").StatusCode)
}

func TestNotes(t *testing.T) {
	p := newPeople(t)
	b, path := p.visitors[clubCoach], athletePath(p.ana.ID)
	for range 2 {
		b.post(path+"/notes", "key", "key-of-the-form-1", "text", "Left knee, ask on Friday").leadsTo(path + "?said=noted")
	}
	require.Len(t, p.store.Written, 1)
	for _, body := range [][]string{{"key", "key-of-the-form-2", "text", " "}, {"text", "no key"}, {"key", "key-of-the-form-3", "text", strings.Repeat("x", 2001)}} {
		a := b.post(path+"/notes", body...)
		require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	}
	require.Len(t, p.store.Written, 1)
}

func TestLinksBeginWithTheAddressThatWasSet(t *testing.T) {
	p := newPeople(t)
	a := p.visitors[clubCoach].post(athletePath(p.ana.ID) + "/link")
	require.Contains(t, a.body, "http://example.com/in/", "else with the one the coach came by")
}

// An address of this machine opens on no phone.
func TestWhereALinkOpens(t *testing.T) {
	for address, here := range map[string]bool{
		"http://127.0.0.1:8080/in/x": true, "http://localhost:8080/in/x": true, "http://[::1]:8080/in/x": true,
		"http://192.168.1.7:8080/in/x": false, "https://run.example.org/in/x": false, "http://%zz": false,
	} {
		require.Equal(t, here, near(address), address)
	}
}
