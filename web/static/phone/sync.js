// The outbox: each session is sent once at a time, in order, until the server has it.
// The form's key makes sending twice store once.
import * as store from './store.js'

/** @typedef {import('./store.js').Item} Item */
/** @typedef {{fields?: {place: string, message: string}[], message?: string, there?: string}} Refusal what the server says of what it does not take */

// Pauses between tries, in seconds; the last one stays.
const pauses = [5, 15, 45, 120, 300, 900]
const json = { Accept: 'application/json' }

/** What the pages show of it. @type {{signIn: boolean, offline: boolean}} */
export const state = { signIn: false, offline: false }
/** @type {Set<() => void>} */
const listeners = new Set()
/** @type {ReturnType<typeof setTimeout>|undefined} */
let timer

// watch calls f whenever something about the outbox changed.
/** @param {() => void} f */
export function watch(f) {
  listeners.add(f)
}
const tell = () => { for (const f of listeners) f() }

// start sends what waits: now, when a signal comes, when the page is looked at.
export function start() {
  addEventListener('online', () => send(true))
  document.addEventListener('visibilitychange', () => { if (!document.hidden) send(true) })
  return send(true)
}

// send goes through the outbox once. now: without waiting for the next try's time.
export async function send(now = false) {
  clearTimeout(timer)
  try {
    await alone(() => through(now))
  } finally {
    const waiting = (await store.outbox()).filter(item => item.state === 'waiting')
    if (waiting.length && !state.signIn) {
      const due = Math.min(...waiting.map(item => item.due)) - Date.now()
      timer = setTimeout(send, Math.min(Math.max(due, 1000), 900_000))
    }
    tell()
  }
}

// alone keeps other tabs from sending at the same time. Where there are no locks (a
// page over plain http), this page takes turns with itself; the key does the rest.
let turn = Promise.resolve()
/** @param {() => Promise<void>} work @returns {Promise<void>} */
function alone(work) {
  if (navigator.locks) return navigator.locks.request('halfhour-outbox', work)
  turn = turn.then(work, work)
  return turn
}

/** @param {boolean} now */
async function through(now) {
  state.offline = false
  for (const { n } of await store.outbox()) {
    const item = (await store.outbox()).find(one => one.n === n)
    if (!item || item.state === 'held') continue
    if (!now && item.due > Date.now()) return
    if (!await deliver(item)) return
  }
}

// deliver sends one item; false: no use in going on with the next one now.
/** @param {Item} item */
async function deliver(item) {
  try {
    const week = await fetchWeek()
    if (!week) return false
    if (item.who && item.who !== store.whose(week)) return await wait(item)
    if (!item.id && !await sendForm(item)) return !state.signIn
    if (item.strap && !await sendStrap(item, item.strap)) return !state.signIn
    await store.keep('told', { who: item.who, id: item.id, stop: item.alarmed ? null : item.stop, day: item.day, key: item.key })
    await store.sent(item.n)
    await compare(item)
    return true
  } catch {
    return later(item)
  }
}

// later puts the next try off.
/** @param {Item} item */
async function later(item) {
  state.offline = true
  const pause = 1000 * pauses[Math.min(item.tries, pauses.length - 1)]
  await store.change({ ...item, tries: item.tries + 1, due: Date.now() + pause })
  return false
}

// wait leaves what somebody else did until they are signed in on this phone again.
/** @param {Item} item */
async function wait(item) {
  await store.change({ ...item, due: Date.now() + 900_000 })
  return true
}

// hold keeps an item for the person to look at; the next one may go.
/** @param {Item} item @param {'form'|'strap'} at @param {Refusal} answer */
async function hold(item, at, answer) {
  await store.change({ ...item, state: 'held', held: { at, fields: answer.fields ?? [], message: answer.message ?? '', there: answer.there } })
  return true
}

/** @param {Item} item @returns {Promise<boolean>} whether the session is stored there */
async function sendForm(item) {
  const answer = await ask('/log', { method: 'POST', body: new URLSearchParams(item.form) }, 30_000)
  if (answer.status === 200) {
    const told = await answer.json()
    item.id = told.id
    item.stop = told.stop ?? null
    await store.change(item)
    return true
  }
  await refused(item, 'form', answer)
  return false
}

/** @param {Item} item @param {string} strap */
async function sendStrap(item, strap) {
  const body = new FormData()
  body.append('file', new Blob([strap], { type: 'application/json' }), 'strap.json')
  for (const consent of item.consents ?? []) body.append(consent, '1')
  const answer = await ask(`/sessions/${item.id}/recording`, { method: 'POST', body }, 150_000)
  if (answer.ok) return true
  await refused(item, 'strap', answer)
  return false
}

// refused holds what the server looked at and did not take; what it could not look at
// is tried again later.
/** @param {Item} item @param {'form'|'strap'} at @param {Response} answer */
async function refused(item, at, answer) {
  if (answer.status === 401) return
  if (answer.status >= 500 || answer.status === 429 || answer.status === 408) throw new Error('later')
  const said = await answer.json().catch(() => ({}))
  await hold(item, at, { message: `It could not be taken (${answer.status}).`, ...said })
}

// ask sends a request and notices that nobody is signed in. Following a redirect would
// end at a page for people.
/** @param {string} address @param {RequestInit} options @param {number} within ms */
async function ask(address, options, within) {
  const answer = await fetch(address, { ...options, headers: json, redirect: 'manual', signal: AbortSignal.timeout(within) })
  const signIn = answer.status === 401 || answer.type === 'opaqueredirect'
  state.signIn = signIn
  return signIn ? new Response('{}', { status: 401 }) : answer
}

// fetchWeek brings the week onto the phone; undefined: nobody is signed in. It throws
// where there is no signal.
/** @returns {Promise<import('./store.js').Week|undefined>} */
export async function fetchWeek() {
  const answer = await ask('/phone/week', {}, 15_000)
  if (answer.status === 401) return undefined
  if (!answer.ok) throw new Error('later')
  const week = { ...await answer.json(), seen: Date.now() }
  await store.keep('week', week)
  return week
}

// compare notices what the coach changed since the session was begun.
/** @param {Item} item */
async function compare(item) {
  const week = await fetchWeek().catch(() => undefined)
  if (week && item.standing && week.standing !== item.standing) {
    await store.keep('changed', { who: store.whose(week), words: week.way ? week.way.title : week.words.slice(0, 1).toLowerCase() + week.words.slice(1) })
  }
}

// again lets a held item be sent once more, changed as the person said.
/** @param {Item} item @param {Partial<Item>} how */
export async function again(item, how) {
  await store.change({ ...item, ...how, state: 'waiting', held: undefined, due: 0 })
  await send(true)
}
