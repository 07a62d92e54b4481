package e2e

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// left is what a try to send left behind.
type left struct {
	Asked []string // "POST /log a=1", in order
	Box   []struct {
		Key, State string
		ID         int
		Tries      int
		Due        bool // a later try has its time
		Held       *struct {
			At, Message, There string
			Fields             []struct{ Place, Message string }
		}
	}
	Told    *struct{ ID int }
	Changed *struct{ Words string }
	SignIn  bool
}

// outbox runs a script beside the modules of the phone, with a server that answers as
// it is told: answers are lists by "POST /log", the last one of a list stays; a number
// is a status, an object an answer with 200, and null no signal.
func outbox(tab *browser.Tab, answers, script string) left {
	return browser.Eval[left](tab, fmt.Sprintf(`(async () => {
		const store = await import('/phone/store.js')
		const sync = await import('/phone/sync.js')
		await store.wipe()
		const asked = []
		const answers = {'GET /phone/week': [{who: 'ana', standing: 'one', words: 'Run 2 minutes', way: null}], ...%s}
		window.fetch = async (at, how = {}) => {
			const name = (how.method ?? 'GET') + ' ' + at
			const body = how.body instanceof FormData ? [...how.body.keys()].join() : how.body ?? ''
			asked.push((name + ' ' + body).trim())
			const list = answers[name.replace(/\d+/, 'N')]
			const answer = list.length > 1 ? list.shift() : list[0]
			if (answer === null) throw new TypeError('no signal')
			const [status, json] = Array.isArray(answer) ? answer : typeof answer === 'number' ? [answer, {}] : [200, answer]
			return new Response(JSON.stringify(json), {status})
		}
		const item = (key, more) => store.hand({key, who: 'ana', standing: 'one', form: 'key=' + key, strap: null, day: '2026-04-14', state: 'waiting', tries: 0, due: 0, ...more})
		const first = async () => (await store.outbox())[0]
		%s
		return {
			asked, box: (await store.outbox()).map(i => ({...i, due: i.due > Date.now()})), told: await store.kept('told') ?? null,
			changed: await store.kept('changed') ?? null, signIn: sync.state.signIn,
		}
	})()`, answers, script))
}

const week = "GET /phone/week"

// What waits is sent once, in order, and is never dropped.
func TestTheOutboxSendsOnceAndInOrder(t *testing.T) {
	t.Parallel()
	tab := modules(t)
	const stored, attached = `{id: 5, again: false, stop: null}`, `{id: 5, again: false, at: 5}`
	for _, row := range []struct {
		why, answers, script string
		asked                []string
		box                  []string // key, state, tries
	}{
		{"one session", `{'POST /log': [` + stored + `]}`, `await item('a'); await sync.send(true)`,
			[]string{week, "POST /log key=a", week}, nil},
		{"with a recording", `{'POST /log': [` + stored + `], 'POST /sessions/N/recording': [` + attached + `]}`, `await item('a', {strap: '{}'}); await sync.send(true)`,
			[]string{week, "POST /log key=a", "POST /sessions/5/recording file", week}, nil},
		{"the signal goes between the two: the session is not sent again", `{'POST /log': [` + stored + `], 'POST /sessions/N/recording': [null, ` + attached + `]}`,
			`await item('a', {strap: '{}'}); await sync.send(true); await sync.send(true)`,
			[]string{week, "POST /log key=a", "POST /sessions/5/recording file", week, "POST /sessions/5/recording file", week}, nil},
		{"two at once", `{'POST /log': [` + stored + `]}`, `await item('a'); await Promise.all([sync.send(true), sync.send(true), sync.send(true)])`,
			[]string{week, "POST /log key=a", week}, nil},
		{"two sessions, the older first", `{'POST /log': [` + stored + `]}`, `await item('a'); await item('b'); await sync.send(true)`,
			[]string{week, "POST /log key=a", week, week, "POST /log key=b", week}, nil},
		{"no signal: the second one waits for the first", `{'GET /phone/week': [null]}`, `await item('a'); await item('b'); await sync.send(true)`,
			[]string{week}, []string{"a waiting 1", "b waiting 0"}},
		{"a try that is not due yet is left", `{'GET /phone/week': [null]}`, `await item('a'); await sync.send(true); await sync.send()`,
			[]string{week}, []string{"a waiting 1"}},
		{"the server is being mended", `{'POST /log': [503]}`, `await item('a'); await sync.send(true)`,
			[]string{week, "POST /log key=a"}, []string{"a waiting 1"}},
		{"and works again", `{'POST /log': [503, 429, ` + stored + `]}`, `await item('a'); for (let i = 0; i < 3; i++) await sync.send(true)`,
			[]string{week, "POST /log key=a", week, "POST /log key=a", week, "POST /log key=a", week}, nil},
		{"the answer is lost on its way: the same key is sent again", `{'POST /log': [null, {id: 5, again: true, stop: null}]}`, `await item('a'); await sync.send(true); await sync.send(true)`,
			[]string{week, "POST /log key=a", week, "POST /log key=a", week}, nil},
		{"what is wrong is held, the next one goes", `{'POST /log': [[422, {fields: [{place: 'note', message: 'too long'}]}], ` + stored + `]}`, `await item('a'); await item('b'); await sync.send(true); await sync.send(true)`,
			[]string{week, "POST /log key=a", week, "POST /log key=b", week}, []string{"a held 0"}},
		{"corrected it goes", `{'POST /log': [[422, {fields: []}], ` + stored + `]}`, `await item('a'); await sync.send(true); await sync.again(await first(), {form: 'key=a&note=short'})`,
			[]string{week, "POST /log key=a", week, "POST /log key=a&note=short", week}, nil},
		{"one is there already", `{'POST /log': [[409, {message: 'At that time there is one.', there: '/sessions/4'}]]}`, `await item('a'); await sync.send(true)`,
			[]string{week, "POST /log key=a"}, []string{"a held 0"}},
		{"an answer that nobody thought of", `{'POST /log': [404]}`, `await item('a'); await sync.send(true)`,
			[]string{week, "POST /log key=a"}, []string{"a held 0"}},
		{"a recording that may be another’s is asked about", `{'POST /log': [` + stored + `], 'POST /sessions/N/recording': [[409, {message: 'Another day.', fields: [{place: 'anyway', message: 'attach it'}]}], ` + attached + `]}`,
			`await item('a', {strap: '{}'}); await sync.send(true); await sync.again(await first(), {consents: ['anyway']})`,
			[]string{week, "POST /log key=a", "POST /sessions/5/recording file", week, "POST /sessions/5/recording file,anyway", week}, nil},
		{"a recording that is refused stays, with its session sent", `{'POST /log': [` + stored + `], 'POST /sessions/N/recording': [[422, {fields: [{place: 'file', message: 'damaged'}]}]]}`,
			`await item('a', {strap: '{}'}); await sync.send(true); await sync.send(true)`,
			[]string{week, "POST /log key=a", "POST /sessions/5/recording file"}, []string{"a held 0"}},
		{theirs, `{}`, `await item('a', {who: 'bo'}); await sync.send(true)`, []string{week}, []string{"a waiting 0"}},
	} {
		got := outbox(tab, row.answers, row.script)
		require.Equal(t, row.asked, got.Asked, row.why)
		var box []string
		for _, item := range got.Box {
			box = append(box, fmt.Sprint(item.Key, " ", item.State, " ", item.Tries))
			require.Equal(t, item.Tries > 0 || row.why == theirs, item.Due, row.why)
		}
		require.Equal(t, row.box, box, row.why)
		require.False(t, got.SignIn, row.why)
		if len(got.Box) == 0 {
			require.Equal(t, 5, got.Told.ID, row.why)
		}
	}
	require.Empty(t, tab.Faults())
}

// What the server said stays with what is held, so that it can be shown and corrected.
func TestTheOutboxKeepsWhatWasSaid(t *testing.T) {
	t.Parallel()
	tab := modules(t)
	wrong := outbox(tab, `{'POST /log': [[422, {fields: [{place: 'note', message: 'too long'}]}]]}`, `await item('a'); await sync.send(true)`)
	require.Equal(t, "form", wrong.Box[0].Held.At)
	require.Equal(t, "note", wrong.Box[0].Held.Fields[0].Place)
	there := outbox(tab, `{'POST /log': [[409, {message: 'At that time there is one.', there: '/sessions/4'}]]}`, `await item('a'); await sync.send(true)`)
	require.Equal(t, "/sessions/4", there.Box[0].Held.There)
	require.Equal(t, "At that time there is one.", there.Box[0].Held.Message)
	strap := outbox(tab, `{'POST /log': [{id: 5, stop: null}], 'POST /sessions/N/recording': [[422, {fields: [{place: 'file', message: 'damaged'}]}]]}`, `await item('a', {strap: '{}'}); await sync.send(true)`)
	require.Equal(t, "strap", strap.Box[0].Held.At)
	require.Equal(t, 5, strap.Box[0].ID)
}

// Signed out nothing is sent and nothing is lost.
func TestTheOutboxWaitsForASignIn(t *testing.T) {
	t.Parallel()
	tab := modules(t)
	for _, answers := range []string{`{'GET /phone/week': [401]}`, `{'POST /log': [401]}`} {
		got := outbox(tab, answers, `await item('a'); await item('b'); await sync.send(true)`)
		require.True(t, got.SignIn, answers)
		require.Len(t, got.Box, 2, answers)
		require.Equal(t, "waiting", got.Box[0].State, answers)
		require.NotContains(t, got.Asked, "POST /log key=b", answers)
	}
	got := outbox(tab, `{'POST /log': [401, {id: 5, stop: null}]}`, `await item('a'); await sync.send(true); await sync.send(true)`)
	require.False(t, got.SignIn)
	require.Empty(t, got.Box)
}

// What the coach changed meanwhile is noticed by the week that comes after sending.
func TestTheOutboxNoticesWhatTheCoachChanged(t *testing.T) {
	t.Parallel()
	tab := modules(t)
	send := `await item('a'); await sync.send(true)`
	require.Nil(t, outbox(tab, `{'POST /log': [{id: 5, stop: null}]}`, send).Changed)
	for words, week := range map[string]string{
		"run 1 minute":       `{who: 'ana', standing: 'two', words: 'Run 1 minute', way: null}`,
		"No running for now": `{who: 'ana', standing: 'two', words: '', way: {kind: 'paused', title: 'No running for now', words: []}}`,
	} {
		got := outbox(tab, `{'POST /log': [{id: 5, stop: null}], 'GET /phone/week': [`+week+`]}`, send)
		require.NotNil(t, got.Changed)
		require.Equal(t, words, got.Changed.Words)
	}
}

// theirs is the case in which what waits is somebody else's.
const theirs = "somebody else is signed in: it waits for them"
