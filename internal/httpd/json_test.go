package httpd

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// program sends a form as the phone's own program does: names and values in turn.
func (b *browser) program(path string, pairs ...string) *answer {
	b.site.t.Helper()
	form := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		form.Add(pairs[i], pairs[i+1])
	}
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return b.asJSON(r)
}

func (b *browser) asJSON(r *http.Request) *answer {
	b.site.t.Helper()
	r.Header.Set("Accept", "application/json")
	a := b.do(r)
	require.Equal(b.site.t, "application/json", a.Header.Get("Content-Type"), a.body)
	return a
}

// into reads the answer, which must hold nothing that the type does not name.
func into[T any](a *answer) (v T) {
	a.t.Helper()
	in := json.NewDecoder(strings.NewReader(a.body))
	in.DisallowUnknownFields()
	require.NoError(a.t, in.Decode(&v), a.body)
	return v
}

// guided is the form of a guided session on L3, block by block: seconds done, and
// seconds until the breath was back (below 0: not told).
func guided(key string, done, settle []int) []string {
	pairs := []string{"kind", "planned", "key", key, "phase", "L3", "date", "2026-04-14", "clock", "18:20", "done", "part", "effort", "4", "talk", "sentence", "pain", "none"}
	for i, block := range l3() {
		at := blockField(i)
		pairs = append(pairs, at+"kind", block.Kind.String(), at+"planned_s", strconv.Itoa(block.Planned), at+"done_s", strconv.Itoa(done[i]))
		if settle[i] >= 0 {
			pairs = append(pairs, at+"settle_s", strconv.Itoa(settle[i]))
		}
	}
	return pairs
}

// wholeL3 is every block done in full, with nothing told of the breath.
func wholeL3() (done, settle []int) {
	for _, block := range l3() {
		done, settle = append(done, block.Planned), append(settle, -1)
	}
	return done, settle
}

func TestASessionFromThePhoneIsStoredOnceToTheSecond(t *testing.T) {
	k := newTrack(t)
	done, settle := wholeL3()
	done[3], done[10], settle[1], settle[5] = 177, 59, 52, 0
	form := guided("key-of-the-phone", done, settle)
	first := k.phone.program("/log", form...)
	require.Equal(t, http.StatusOK, first.StatusCode, first.body)
	got := into[kept](first)
	require.Equal(t, kept{ID: k.store.Logged[0].ID}, got)
	require.Contains(t, first.body, `"stop":null`)
	for range 3 {
		require.Equal(t, kept{ID: got.ID, Again: true}, into[kept](k.phone.program("/log", form...)))
	}
	require.Len(t, k.store.Logged, 1, "sent four times")
	one := k.store.Logged[0]
	require.Equal(t, []int32{177, 59}, []int32{one.Blocks[3].Done, one.Blocks[10].Done})
	require.Equal(t, []readiness.Maybe{readiness.Some(52), {}, readiness.Some(0)}, []readiness.Maybe{one.Blocks[1].Settle, one.Blocks[3].Settle, one.Blocks[5].Settle})
	require.Equal(t, readiness.Shortened, one.Became())
	require.Equal(t, []string{"L3", "2026-04-14T17:20:00Z"}, []string{one.Phase, one.StartedAt.UTC().Format(time.RFC3339)})
}

// Every block in full, told block by block, is in full: the seconds say how far it
// went, so nobody is asked.
func TestSecondsThatAreAllAsPlanned(t *testing.T) {
	k := newTrack(t)
	a := k.phone.program("/log", guided("key-of-the-phone", wholeOf(), noneOf())...)
	require.Equal(t, http.StatusOK, a.StatusCode, a.body)
	require.Equal(t, readiness.InFull, k.store.Logged[0].Became())
}

func wholeOf() []int { done, _ := wholeL3(); return done }
func noneOf() []int  { _, settle := wholeL3(); return settle }

// Seconds that a phone counted win over minutes that were typed, and have bounds.
func TestCountedSecondsWinAndHaveBounds(t *testing.T) {
	for _, c := range []struct {
		why, place string
		change     []string // names and values put in place of the form's
	}{
		{"seconds beside minutes", "", []string{"blocks[0].done_s", "61", "blocks[0].done_min", "9", "blocks[0].done_sec", "9"}},
		{"no seconds: the minutes that were typed", "", []string{"blocks[0].done_s", "", "blocks[0].done_min", "1", "blocks[0].done_sec", "1"}},
		{"a run of a second below none", "blocks[0].done_s", []string{"blocks[0].done_s", "-1"}},
		{"a walk of more than four hours", "blocks[1].done_s", []string{"blocks[1].done_s", "14401"}},
		{"more than can be counted", "blocks[1].done_s", []string{"blocks[1].done_s", "99999999999999999999"}},
		{"parts of a second", "blocks[1].done_s", []string{"blocks[1].done_s", "60.5"}},
		{"the breath back after the walk", "blocks[1].settle_s", []string{"blocks[1].done_s", "100", "blocks[1].settle_s", "101"}},
		{"the breath back before the walk", "blocks[1].settle_s", []string{"blocks[1].settle_s", "-1"}},
		{"the breath back in a run", "blocks[0].settle_s", []string{"blocks[0].settle_s", "5"}},
	} {
		k := newTrack(t)
		form := url.Values{}
		pairs := guided("key-of-the-phone", wholeOf(), noneOf())
		for i := 0; i < len(pairs); i += 2 {
			form.Set(pairs[i], pairs[i+1])
		}
		for i := 0; i < len(c.change); i += 2 {
			form.Set(c.change[i], c.change[i+1])
		}
		var sent []string
		for name := range form {
			sent = append(sent, name, form.Get(name))
		}
		a := k.phone.program("/log", sent...)
		if c.place == "" {
			require.Equal(t, http.StatusOK, a.StatusCode, "%s: %s", c.why, a.body)
			require.EqualValues(t, 61, k.store.Logged[0].Blocks[0].Done, c.why)
			continue
		}
		require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode, "%s: %s", c.why, a.body)
		fields := into[refusal](a).Fields
		require.Len(t, fields, 1, "%s: %s", c.why, a.body)
		require.Equal(t, c.place, fields[0].Place, c.why)
		require.NotEmpty(t, fields[0].Message)
		require.Empty(t, k.store.Logged)
	}
}

// A form that comes back with faults shows the seconds that were counted.
func TestCountedSecondsComeBack(t *testing.T) {
	k := newTrack(t)
	done, settle := wholeL3()
	done[0], settle[1] = 61, 999
	a := k.phone.post("/log", guided("key-of-the-phone", done, settle)...)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, []string{"1", "1"}, []string{attr(a.one("input[name='blocks[0].done_min']"), "value"), attr(a.one("input[name='blocks[0].done_sec']"), "value")})
}

// The coach may have moved the athlete on while the phone had no signal, or changed
// the pathway: what was done is kept as what it was.
func TestASessionOfAPhaseThatIsNotThePresentOne(t *testing.T) {
	for why, change := range map[string]func(k *track){
		"moved up": func(k *track) {
			a := k.store.Athletes[k.ines]
			a.Phase, a.LastPassed = "L4", "L3"
			k.store.Athletes[k.ines] = a
		},
		"paused": func(k *track) {
			a := k.store.Athletes[k.ines]
			a.Held = roster.Paused
			k.store.Athletes[k.ines] = a
		},
		"eased back by half a step": func(k *track) {
			a := k.store.Athletes[k.ines]
			a.Phase = "L3-"
			k.store.Athletes[k.ines] = a
		},
	} {
		t.Run(why, func(t *testing.T) {
			k := newTrack(t)
			before := into[week](k.phone.asJSON(httptest.NewRequest(http.MethodGet, "/phone/week", nil)))
			change(k)
			a := k.phone.program("/log", guided("key-of-the-phone", wholeOf(), noneOf())...)
			require.Equal(t, http.StatusOK, a.StatusCode, a.body)
			one := k.store.Logged[0]
			require.Equal(t, "L3", one.Phase)
			require.Len(t, one.Blocks, len(l3()))
			require.Equal(t, readiness.InFull, one.Became())
			after := into[week](k.phone.asJSON(httptest.NewRequest(http.MethodGet, "/phone/week", nil)))
			require.NotEqual(t, before.Standing, after.Standing, "the phone sees that something changed")
			require.Equal(t, before.Who, after.Who)
		})
	}
}

func TestASecondSessionOfTheSameMinute(t *testing.T) {
	k := newTrack(t)
	require.Equal(t, http.StatusOK, k.phone.program("/log", guided("key-of-the-phone", wholeOf(), noneOf())...).StatusCode)
	a := k.phone.program("/log", guided("key-of-another", wholeOf(), noneOf())...)
	require.Equal(t, http.StatusConflict, a.StatusCode)
	got := into[refusal](a)
	require.Equal(t, "/sessions/"+idText(k.store.Logged[0].ID), got.There)
	require.Contains(t, got.Message, "is there already. There: today at 18:20")
	require.Equal(t, http.StatusOK, k.phone.get(got.There).StatusCode)
}

func TestThePhoneIsToldToStop(t *testing.T) {
	k := newTrack(t)
	form := append(guided("key-of-the-phone", wholeOf(), noneOf()), "signs", "chest_pressure")
	got := into[kept](k.phone.program("/log", form...))
	require.NotNil(t, got.Stop)
	require.Equal(t, "/sessions/"+idText(got.ID)+"/stopped", *got.Stop)
	require.Contains(t, text(k.phone.get(*got.Stop).one("main")), "emergency")
	v := into[week](k.phone.asJSON(httptest.NewRequest(http.MethodGet, "/phone/week", nil)))
	require.Equal(t, "stop", v.Way.Kind)
	require.NotEmpty(t, v.Way.Words)
	require.Equal(t, []any{[]weekBlock{}, "", 0, 0}, []any{v.Plan, v.Words, v.Warm, v.Cool}, "nothing is prescribed")
	require.NotContains(t, k.phone.get("/phone/week").body, `"plan":null`)
}

func TestTheWeekOnThePhone(t *testing.T) {
	k := newTrack(t)
	k.logs(k.ines, 1)
	k.talked(132, 5)
	a := k.phone.get("/phone/week")
	require.Equal(t, "no-store", a.Header.Get("Cache-Control"))
	v := into[week](a)
	plan := v.Plan
	require.Len(t, plan, 12)
	require.Equal(t, []weekBlock{{"run", 120}, {"walk", 180}}, plan[:2])
	easy := 132
	require.Equal(t, week{
		Who: v.Who, Name: "Ines", Date: "2026-04-14", Zone: "Europe/Lisbon", Phase: "L3", Plan: plan,
		Words: "Run 2 minutes, walk 3, six times", Warm: 530, Cool: 300, WarmSteps: v.WarmSteps, CoolSteps: v.CoolSteps, HeartUsable: true, Easy: &easy,
		Done: 1, Of: 3, Next: "2026-04-15", Standing: v.Standing,
	}, v)
	require.Regexp(t, `^[0-9a-f]{12}$`, v.Who)
	require.Regexp(t, `^[0-9a-f]{12}$`, v.Standing)
	require.Equal(t, v.Who, k.phone.get("/today").Header.Get(whoHeader), "the page is kept for the same person")
	ben := k.asAthlete(k.store.Athletes[k.runner("Ben Adu", "L3")])
	require.NotEqual(t, v.Who, into[week](ben.get("/phone/week")).Who)
}

func TestAHeartThatTellsNothingHasNoCeilingOnThePhone(t *testing.T) {
	k := newTrack(t)
	k.talked(132, 5)
	a := k.store.Athletes[k.ines]
	a.HeartUsable = false
	k.store.Athletes[k.ines] = a
	v := into[week](k.phone.get("/phone/week"))
	require.False(t, v.HeartUsable)
	require.Nil(t, v.Easy)
}

func TestTheWalkingBaseNeedsNoWarmUp(t *testing.T) {
	k := newTrack(t)
	base := k.asAthlete(k.store.Athletes[k.runner("Salma Haddad", "B2")])
	v := into[week](base.get("/phone/week"))
	require.Equal(t, []int{0, 0}, []int{v.Warm, v.Cool})
	require.Equal(t, pathway.Walk.String(), v.Plan[0].Kind)
}

// A program that is signed out is told so; it is led nowhere.
func TestAProgramIsToldOfFailures(t *testing.T) {
	k := newTrack(t)
	out := k.nobody()
	a := out.get("/phone/week")
	require.Equal(t, http.StatusUnauthorized, a.StatusCode)
	require.Equal(t, "application/json", a.Header.Get("Content-Type"))
	require.Empty(t, a.Header.Get("Location"))
	require.Contains(t, into[refusal](a).Message, "Sign in")
	a = out.program("/log", "key", "key-of-the-phone")
	require.Equal(t, http.StatusUnauthorized, a.StatusCode)

	a = k.phone.program("/sessions/99", "version", "1")
	require.Equal(t, http.StatusNotFound, a.StatusCode)
	require.NotEmpty(t, into[refusal](a).Reference)
	k.store.Down = fault.New(fault.Unavailable, "")
	a = k.phone.program("/log", guided("key-of-the-phone", wholeOf(), noneOf())...)
	require.Equal(t, http.StatusServiceUnavailable, a.StatusCode)
	require.Contains(t, into[refusal](a).Message, "Nothing was stored")
}

// Browsers and their forms get pages, whatever else they would take.
func TestWhoWantsJSON(t *testing.T) {
	for accept, wants := range map[string]bool{
		"application/json": true, "application/json; q=1, */*;q=0.1": true, "text/html, Application/JSON;q=0.9": true,
		"": false, "*/*": false, "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8": false, "application/jsonp": false,
	} {
		require.Equal(t, wants, wantsJSON(with("/log", "Accept", accept)), accept)
	}
	require.True(t, wantsJSON(with("/phone/week", "Accept", "*/*")))
	require.False(t, wantsJSON(with("/phoney", "Accept", "*/*")))
}

func TestAStrapsRecordingFromThePhone(t *testing.T) {
	k, id := heard(t)
	at := "/sessions/" + idText(id) + "/recording"
	send := func(file string, pairs ...string) *answer { return k.phone.asJSON(upload(at, []byte(file), pairs...)) }
	file := string(beating(l3(), ""))
	require.Equal(t, attached{ID: id, At: id}, into[attached](send(file)))
	require.Equal(t, attached{ID: id, At: id, Again: true}, into[attached](send(file)), "sent twice, stored once")
	require.Len(t, k.store.Recorded, 1)

	a := send(file + "120\n")
	require.Equal(t, http.StatusConflict, a.StatusCode)
	require.Equal(t, []string{"replace"}, places(into[refusal](a).Fields))
	require.Contains(t, into[refusal](a).Message, "another recording already")
	require.Equal(t, http.StatusOK, send(file+"120\n", "replace", "1").StatusCode)

	a = send("no heart")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, []string{"file"}, places(into[refusal](a).Fields))
	a = send("")
	require.Equal(t, []string{"file"}, places(into[refusal](a).Fields))
	a = send(strings.Repeat("1", mostFile+1))
	require.Equal(t, http.StatusRequestEntityTooLarge, a.StatusCode)
	require.Equal(t, []string{"file"}, places(into[refusal](a).Fields))
	a = k.nobody().asJSON(upload(at, []byte(file)))
	require.Equal(t, http.StatusUnauthorized, a.StatusCode)
}

func places(fields []refusedHere) (all []string) {
	for _, f := range fields {
		all = append(all, f.Place)
	}
	return all
}

// What the phone stores leaves the same line in the audit as what a form stores.
func TestThePhonesChangesAreAudited(t *testing.T) {
	k := newTrack(t)
	before := len(k.store.Audit)
	k.phone.program("/log", guided("key-of-the-phone", wholeOf(), noneOf())...)
	require.Len(t, k.store.Audit, before+1)
	k.phone.program("/log", guided("key-of-the-phone", wholeOf(), noneOf())...)
	require.Len(t, k.store.Audit, before+1, "nothing was changed the second time")
	k.phone.get("/phone/week")
	require.Len(t, k.store.Audit, before+1)
}
