package httpd

import (
	"context"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/andybalholm/cascadia"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

// mayLift is what every kind of visitor gets of strength, as may does.
func mayLift() map[string]string {
	return map[string]string{
		"GET /strength":                                    "syynnnnny",
		"POST /strength":                                   "syynnnnny",
		"GET /strength/gear":                               "syynnnnny",
		"POST /strength/gear":                              "syynnnnny",
		"GET /sessions/{session}/sets":                     "snnnnnnnn", // only of strength, see below
		"POST /sessions/{session}/sets":                    "snnnnnnnn",
		"GET /athletes/{athlete}/strength":                 "snnynyynn",
		"GET /athletes/{athlete}/strength/log":             "snnynyynn",
		"POST /athletes/{athlete}/strength/log":            "snnynyynn",
		"GET /athletes/{athlete}/strength/gear":            "snnynyynn",
		"POST /athletes/{athlete}/strength/gear":           "snnynyynn",
		"GET /athletes/{athlete}/strength/programme":       "snnynyfnn",
		"POST /athletes/{athlete}/strength/programme":      "snnynyfnn",
		"GET /athletes/{athlete}/sessions/{session}/sets":  "snnnnnnnn",
		"POST /athletes/{athlete}/sessions/{session}/sets": "snnnnnnnn",
		"GET /exercises":                                   "snnyyyyyn",
		"POST /exercises":                                  "snnyyyfyn",
		"GET /exercises/new":                               "snnyyyfyn",
		"GET /exercises/{exercise}":                        "snnynyfyn", // it is the club's own
		"POST /exercises/{exercise}":                       "snnynyfyn",
	}
}

// exercise is one of the club's own.
func (p *people) exercise() string {
	id, err := p.store.AddExercise(context.Background(), roster.Actor{Club: p.club.ID, Coach: p.coach.ID}, strength.Exercise{
		Name: "Wall sit", Pattern: strength.Squat, Measure: strength.Hold, Level: 1, Cues: []string{"Back flat on the wall."}, Loads: body.Knee,
	}, p.now, "key-of-an-exercise")
	require.NoError(p.t, err)
	return idText(id)
}

// trained gives Ana the usual programme.
func (p *people) trained() {
	who := roster.Actor{Club: p.club.ID, Coach: p.coach.ID}
	for id := range p.store.Leaving {
		delete(p.store.Leaving, id)
	}
	require.NoError(p.t, p.deps.Lift.Give(context.Background(), who, p.ana.ID, 0, strength.Default(), nil, "key-of-a-programme"))
	a := p.store.Athletes[p.ana.ID]
	require.Equal(p.t, 3, a.Strength, "the week has what the programme asks for")
	a.Strength, a.Legs = 0, 0 // but not here: what stands in the week is tried elsewhere
	p.store.Athletes[p.ana.ID] = a
}

// lifted is a filled-in form for the session that the page shows.
func lifted(a *answer) url.Values {
	sent := url.Values{}
	for _, field := range a.all("form.moves input, form.moves select, form.moves textarea") {
		name, kind := attr(field, "name"), attr(field, "type")
		if (kind == "radio" || kind == "checkbox") || name == "" {
			continue
		}
		sent.Add(name, attr(field, "value"))
	}
	return sent
}

// sends posts a form.
func (b *browser) sends(path string, form url.Values) *answer {
	b.site.t.Helper()
	var pairs []string
	for name, values := range form {
		for _, value := range values {
			pairs = append(pairs, name, value)
		}
	}
	return b.post(path, pairs...)
}

func TestASessionIsLoggedAndShownTheNextTime(t *testing.T) {
	p := newPeople(t)
	p.trained()
	phone := p.visitors[herself]
	a := phone.get("/strength")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Equal(t, "Strength, session A", text(a.all("h1")[0]))
	require.Len(t, a.all(".move"), 6)
	require.Contains(t, text(a.all(".move .goal")[3]), "2 × 8 each side, with 2 left over")
	sent := lifted(a)
	require.Equal(t, "8", sent.Get("lift[3].set[1]"), "filled in")
	sent.Set("lift[3].kg", "8")
	sent.Set("lift[3].set[0]", "10")
	sent.Set("lift[3].set[1]", "9")
	sent.Set("effort", "4")
	sent.Set("pain", "none")

	a = phone.sends("/strength", sent)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode, "the other weights are not said")
	require.Contains(t, text(a.all(".summary")[0]), "How heavy was one dumbbell?")
	again := lifted(a)
	require.Equal(t, "10", again.Get("lift[3].set[0]"), "what was typed is still there")
	for _, at := range []string{"lift[4]"} {
		require.True(t, sent.Has(at+".kg"))
		sent.Set(at+".kg", "4,5")
	}
	a = phone.sends("/strength", sent)
	require.Equal(t, "/today?said=logged", strings.Split(a.Header.Get("Location"), "&")[0], a.body)
	a = phone.sends("/strength", sent)
	require.Equal(t, "/today?said=logged-before", a.Header.Get("Location"), "sent twice")
	require.Len(t, p.store.Logged, 2)
	stored := p.store.Logged[1]
	require.Equal(t, readiness.Strength, stored.Kind)
	require.True(t, stored.Minutes.Known(), "estimated")
	require.Len(t, stored.Lifts, 6)
	require.Equal(t, 4500, stored.Lifts[4].Grams, "with a comma")
	require.Contains(t, text(phone.get("/today").all("#strength + p")[0]), "Next is session B")

	p.now = p.now.Add(48 * time.Hour)
	p.store.Logged[1].Turn = "C" // so that A is next again
	a = phone.get("/strength")
	require.Contains(t, text(a.all(".move")[3]), "10, 9 at 8 kg")
	require.Contains(t, text(a.all(".move .goal")[3]), "2 × 10 each side at 8 kg, with 2 left over")

	coach := p.visitors[clubCoach].get(athletePath(p.ana.ID) + "/strength")
	require.Contains(t, text(coach.all("main")[0]), "10, 9 at 8 kg")
	require.Len(t, coach.all(".site"), 6)
}

func TestStepsWorkWithoutAScript(t *testing.T) {
	p := newPeople(t)
	p.trained()
	phone := p.visitors[herself]
	sent := lifted(phone.get("/strength"))
	sent.Set("lift[3].kg", "7,5")
	sent.Set("note", "typed already")
	for _, c := range []struct{ step, field, want string }{
		{"lift[3].set[0] +", "lift[3].set[0]", "9"}, {"lift[3].set[1] -", "lift[3].set[1]", "7"}, {"lift[3].kg +", "lift[3].kg", "8"},
		{"lift[3].kg -", "lift[3].kg", "7"}, {"lift[9].set[0] +", "lift[3].set[0]", "8"}, {"nonsense -", "lift[3].set[0]", "8"},
	} {
		tapped := url.Values{}
		for name := range sent {
			tapped[name] = sent[name]
		}
		tapped.Set("step", c.step)
		a := phone.sends("/strength", tapped)
		require.Equal(t, http.StatusOK, a.StatusCode, c.step)
		back := lifted(a)
		require.Equal(t, c.want, back.Get(c.field), c.step)
		require.Equal(t, "typed already", text(a.all("#note")[0]), "nothing typed is lost")
		require.Equal(t, sent.Get("key"), back.Get("key"))
	}
	require.Len(t, p.store.Logged, 1, "nothing is stored by a step")
}

func TestAllAsPlanned(t *testing.T) {
	p := newPeople(t)
	p.trained()
	sent := lifted(p.visitors[herself].get("/strength"))
	for _, name := range []string{"lift[3].kg", "lift[4].kg"} {
		sent.Set(name, "5")
	}
	sent.Set("lift[1].set[0]", "3")
	sent.Set("as", "planned")
	a := p.visitors[herself].sends("/strength", sent)
	require.Equal(t, http.StatusSeeOther, a.StatusCode, a.body)
	require.Equal(t, []int{8, 8}, p.store.Logged[1].Lifts[1].Sets)
}

func TestSetsAreCorrected(t *testing.T) {
	p := newPeople(t)
	p.trained()
	result, err := p.deps.Entry.Log(context.Background(), roster.Actor{Club: p.club.ID, Athlete: p.ana.ID}, p.ana.ID, entry.Entry{
		Key: "key-of-her-lifts", Date: day.On(2026, 4, 13), Kind: readiness.Strength, Minutes: readiness.Some(20), Turn: "A",
		Lifts: []roster.Lift{{Exercise: "chair-squat", For: "chair-squat", Grams: 8000, Sets: []int{10, 9}}},
	})
	require.NoError(t, err)
	for _, c := range []struct {
		who  who
		base string
	}{{herself, ""}, {deputy, athletePath(p.ana.ID)}} {
		at := c.base + "/sessions/" + idText(result.ID)
		require.Len(t, p.visitors[c.who].get(at).all("a[href='"+at+"/sets']"), 1, "the way there")
		a := p.visitors[c.who].get(at + "/sets")
		require.Equal(t, http.StatusOK, a.StatusCode, a.body)
		sent := lifted(a)
		require.Equal(t, "8", sent.Get("lift[0].kg"))
		require.True(t, sent.Has("lift[0].set[2]"), "room for one more set")
		sent.Set("lift[0].set[0]", "many")
		a = p.visitors[c.who].sends(at+"/sets", sent)
		require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
		require.Equal(t, "many", lifted(a).Get("lift[0].set[0]"))
		sent.Set("lift[0].set[0]", "12")
		a = p.visitors[c.who].sends(at+"/sets", sent)
		require.Equal(t, http.StatusSeeOther, a.StatusCode, a.body)
		a = p.visitors[c.who].sends(at+"/sets", sent)
		require.Equal(t, http.StatusConflict, a.StatusCode, "of an older version")
		require.Equal(t, "12", lifted(a).Get("lift[0].set[0]"))
	}
	require.Equal(t, []int{12, 9}, p.store.Logged[1].Lifts[0].Sets)
	for _, k := range []who{otherAthlete, foreignCoach} {
		at := map[who]string{otherAthlete: "", foreignCoach: athletePath(p.ana.ID)}[k] + "/sessions/" + idText(result.ID) + "/sets"
		require.Equal(t, http.StatusNotFound, p.visitors[k].get(at).StatusCode)
	}
}

// A deputy sees what is trained and enters it, and is not told what of somebody's health
// changed it.
func TestADeputyIsNotToldWhy(t *testing.T) {
	p := newPeople(t)
	p.trained()
	p.store.Logged[0].PainAsked, p.store.Logged[0].Pain = true, []readiness.Pain{{Site: "left knee", Score: 7}}
	at := athletePath(p.ana.ID) + "/strength"
	for _, page := range []string{at, at + "/log"} {
		coach, helper := text(p.visitors[clubCoach].get(page).all("main")[0]), text(p.visitors[deputy].get(page).all("main")[0])
		require.Contains(t, coach, "it loads the knee, which hurts")
		require.Contains(t, coach, "6 or more out of 10")
		require.Contains(t, helper, "left out today")
		require.NotContains(t, helper, "hurts. Instead")
		require.NotContains(t, helper, "which hurts")
		require.NotContains(t, helper, "6 or more")
	}
	require.Empty(t, p.visitors[deputy].get(at).all("a[href$='/programme']"), "no way to what a deputy may not")
}

func TestACoachChangesTheProgramme(t *testing.T) {
	p := newPeople(t)
	p.trained()
	coach, at := p.visitors[clubCoach], athletePath(p.ana.ID)+"/strength"
	a := coach.get(at + "/programme")
	require.Equal(t, http.StatusOK, a.StatusCode)
	sent := fieldsOf(a)
	require.Equal(t, "chair-squat", sent.Get("session[0].slot[0].exercise"))
	sent.Set("session[0].slot[0].sets", "9")
	a = coach.sends(at+"/programme", sent)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.all(".summary")[0]), "Session A, place 1, sets: Must be 1 to 5, not 9.")
	require.Equal(t, "9", attr(a.all("[name='session[0].slot[0].sets']")[0], "value"))

	sent.Set("session[0].slot[0].sets", "3")
	sent.Set("session[0].slot[0].exercise", "goblet-squat")
	sent.Set("session[0].slot[1].exercise", "") // left out
	sent.Set("session[0].slot[6].exercise", "plank")
	a = coach.sends(at+"/programme", sent)
	require.Equal(t, at+"?said=changed", a.Header.Get("Location"), a.body)
	slots := p.store.Programs[1].Sessions[0].Slots
	require.Len(t, slots, 6)
	require.Equal(t, "goblet-squat", slots[0].Exercise)
	require.Equal(t, 3, slots[0].Target.Sets)
	require.Equal(t, "plank", slots[5].Exercise)
	require.Equal(t, strength.BeginnerHold(), slots[5].Target, "what a beginner does, where nothing was typed")

	sent.Set("key", "another-key-of-it")
	a = coach.sends(at+"/programme", sent)
	require.Equal(t, http.StatusConflict, a.StatusCode, "made of an older one")
	sent = url.Values{"key": {"key-of-the-end"}, "of": {idText(p.store.Programs[1].ID)}, "end": {"1"}}
	require.Equal(t, http.StatusSeeOther, coach.sends(at+"/programme", sent).StatusCode)
	require.Contains(t, text(p.visitors[herself].get("/strength").all("main")[0]), "No programme yet")
}

// A programme begun from a template of two sessions can have more, up to four; a session
// is left out by leaving out its places, and what was typed stays.
func TestAProgrammeCanHaveMoreSessions(t *testing.T) {
	p := newPeople(t)
	coach, at := p.visitors[clubCoach], athletePath(p.ana.ID)+"/strength/programme"
	sent := fieldsOf(coach.get(at + "?from=two"))
	sent.Set("session[0].slot[0].sets", "3")
	for more := range 2 {
		require.False(t, sent.Has(fmt.Sprintf("session[%d].name", 2+more)))
		sent.Set("more", "1")
		a := coach.sends(at, sent)
		require.Equal(t, http.StatusOK, a.StatusCode)
		require.Empty(t, p.store.Programs, "nothing is given by this alone")
		sent = fieldsOf(a)
	}
	require.Empty(t, coach.sends(at, but(sent, "more", "1")).all("button[name=more]"), "four are enough")
	require.Equal(t, "D", sent.Get("session[3].name"))
	sent = but(sent, "a_week", "3")
	for n := range 6 {
		sent.Set(fmt.Sprintf("session[1].slot[%d].exercise", n), "")
	}
	a := coach.sends(at, sent)
	require.Equal(t, http.StatusSeeOther, a.StatusCode, a.body)
	given := p.store.Programs[0]
	require.Len(t, given.Sessions, 3)
	require.Equal(t, "C", given.Sessions[1].Name)
	require.Equal(t, 3, given.Sessions[0].Slots[0].Target.Sets)
	require.Equal(t, strength.Default().Sessions[2].Slots, given.Sessions[1].Slots, "the third is the usual one")
}

// but are the fields with one of them set to something else.
func but(fields url.Values, name, value string) url.Values {
	all := maps.Clone(fields)
	all.Set(name, value)
	return all
}

// fieldsOf is what the page's form would send as it stands, without its buttons.
func fieldsOf(a *answer) url.Values {
	sent := url.Values{}
	for _, field := range a.all("main form input") {
		sent.Set(attr(field, "name"), attr(field, "value"))
	}
	for _, field := range a.all("main form select") {
		value := ""
		for _, o := range cascadia.QueryAll(field, cascadia.MustCompile("option[selected]")) {
			if value = attr(o, "value"); value == "" {
				value = text(o)
			}
		}
		sent.Set(attr(field, "name"), value)
	}
	return sent
}

func TestGearIsTold(t *testing.T) {
	p := newPeople(t)
	p.trained()
	phone := p.visitors[herself]
	a := phone.sends("/strength/gear", url.Values{"has": {"dumbbells", "band"}, "weights": {"2 four"}})
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "2 four", attr(a.all("#weights")[0], "value"))
	a = phone.sends("/strength/gear", url.Values{"has": {"dumbbells", "band"}, "weights": {"2 4 7,5"}})
	require.Equal(t, "/strength?said=changed", a.Header.Get("Location"), a.body)
	kit := p.store.Kits[p.ana.ID]
	require.Equal(t, strength.Dumbbells|strength.Band, kit.Has)
	require.Equal(t, []int{2000, 4000, 7500}, kit.Rack.List)
	require.Equal(t, "2 4 7.5", attr(phone.get("/strength/gear").all("#weights")[0], "value"))
	require.Contains(t, text(p.visitors[clubCoach].get(athletePath(p.ana.ID) + "/strength").all("main")[0]), "Dumbbells of 2, 4, 7.5 kg, a band.")
	a = phone.sends("/strength/gear", url.Values{})
	require.Equal(t, http.StatusSeeOther, a.StatusCode, a.body)
	require.NotContains(t, text(phone.get("/strength").all(".move h2")[0]), "dumbbell", "swapped")
}

func TestOwnExercisesOnThePages(t *testing.T) {
	p := newPeople(t)
	coach := p.visitors[clubCoach]
	sent := url.Values{"key": {"key-of-the-form"}, "name": {"Step down"}, "pattern": {"single_leg"}, "measure": {"reps"}, "level": {"2"}, "cues": {"Stand on a step.\n\nLower one heel."},
		"needs": {"step"}, "sides": {"1"}, "demands": {"hops"}}
	a := coach.sends("/exercises", sent)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.all(".summary")[0]), "Say what it loads")
	sent.Set("loads", "knee")
	require.Equal(t, "/exercises?said=changed", coach.sends("/exercises", sent).Header.Get("Location"))
	e := p.store.Added[1]
	require.Equal(t, []string{"Stand on a step.", "Lower one heel."}, e.Cues)
	require.Equal(t, body.Hops, e.Demands)
	require.True(t, e.Sides)
	library := coach.get("/exercises")
	require.Len(t, library.all(".exes h3 a"), 2, "only one's own are changed")
	require.NotEmpty(t, library.all("svg.fg"))
	require.Empty(t, p.visitors[deputy].get("/exercises").all(".exes h3 a"))

	at := "/exercises/" + idText(e.Number)
	form := coach.get(at)
	require.Equal(t, "1", attr(form.all("[name=version]")[0], "value"))
	sent.Set("version", "1")
	sent.Set("away", "1")
	require.Equal(t, http.StatusSeeOther, coach.sends(at, sent).StatusCode)
	require.Equal(t, http.StatusConflict, coach.sends(at, sent).StatusCode, "of an older version")
	require.Contains(t, text(coach.get("/exercises").all("#single_leg ~ .exes")[0]), "put away")
}
