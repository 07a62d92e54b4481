// What the phone keeps, in IndexedDB: the week, the session that is going on with its
// events and heart rates, and what waits to be sent.
import { openDB, deleteDB } from '../vendor/idb/index.js'

/**
 * @typedef {import('./session.js').Event} Event
 * @typedef {{name: string, who?: string, date: string, time_zone: string, phase: string,
 *   plan: {kind: 'run'|'walk', planned_s: number}[], words: string, warm_s: number, cool_s: number,
 *   way: null|{kind: string, title: string, words: string[]}, heart_usable: boolean, easy: number|null,
 *   word: string, word_by: string, done: number, of: number, next: string, standing: string, moved: string,
 *   warm_steps?: import('./around.js').Step[], cool_steps?: import('./around.js').Step[], weather?: import('./around.js').Weather|null,
 *   seen: number}} Week seen is when it came onto the phone, ms
 * @typedef {import('../vendor/idb/index.js').IDBPDatabase} Database
 * @typedef {import('../vendor/idb/index.js').IDBPTransaction<unknown, string[], 'readwrite'>} Writing
 * @typedef {[number, number]} Beat ms since the start event, and beats a minute or 0
 * @typedef {{words: string, who: string}} Changed
 * @typedef {{who: string, id?: number, stop?: string|null, day: string, key: string}} Told
 * @typedef {{key: string, plan: import('./session.js').Plan, week: Week, draft?: [string, string][]}} Session
 * @typedef {{n?: number, key: string, who: string, standing: string, form: string, strap: string|null, day: string,
 *   state: 'waiting'|'held', tries: number, due: number, id?: number, stop?: string|null,
 *   held?: {at: 'form'|'strap', fields: {place: string, message: string}[], message: string, there?: string}, consents?: string[], alarmed?: boolean}} Item
 */

const name = 'halfhour'
/** @type {Promise<Database>|undefined} */
let opened

// open gives the database, made at the first time.
export function open() {
  const forget = () => { opened = undefined }
  return opened ??= lively(() => openDB(name, 1, {
    upgrade(db) {
      db.createObjectStore('kept')
      db.createObjectStore('sessions', { keyPath: 'key' })
      for (const list of ['events', 'samples']) db.createObjectStore(list, { autoIncrement: true }).createIndex('key', 'key')
      db.createObjectStore('outbox', { keyPath: 'n', autoIncrement: true })
    },
    blocking(_now, _next, event) {
      /** @type {IDBDatabase} */ (event.target).close()
      forget()
    },
    terminated: forget,
  })).catch((/** @type {unknown} */ error) => {
    forget()
    throw error
  })
}

// lively makes the database under a lock that one page alone can hold. A browser may
// freeze a page that is left while it makes the database, and Chromium 156 then lets every
// later page wait for it without end; one whose lock is asked for it lets go instead.
/** @param {() => Promise<Database>} work @returns {Promise<Database>} */
const lively = work => (navigator.locks ? navigator.locks.request('halfhour-open', work) : work())

// wipe removes all of it, at sign-out.
export async function wipe() {
  await close()
  await deleteDB(name)
}

// close lets the database go; whoever needs it opens it again.
export async function close() {
  const db = await opened?.catch(() => undefined)
  db?.close()
  opened = undefined
}

// write is a transaction that is on the disk before it says so.
/** @param {string[]} stores @returns {Promise<Writing>} */
const write = async (...stores) => (await open()).transaction(stores, 'readwrite', { durability: 'strict' })

/**
 * Single things that are kept by their names.
 * @typedef {{week: Week, settings: {sound: boolean, voice: boolean, shake: boolean}, told: Told, changed: Changed}} Kept
 */
/** @template {keyof Kept} Name @param {Name} what @returns {Promise<Kept[Name]|undefined>} */
export const kept = async what => (await open()).get('kept', what)
/** @template {keyof Kept} Name @param {Name} what @param {Kept[Name]} value */
export const keep = async (what, value) => (await open()).put('kept', value, what)
/** @param {keyof Kept} what */
export const drop = async what => (await open()).delete('kept', what)

// begin stores a session with its first event.
/** @param {Session} session @param {Event} event */
export async function begin(session, event) {
  const tx = await write('sessions', 'events')
  tx.objectStore('sessions').put(session)
  tx.objectStore('events').add({ ...event, key: session.key })
  await tx.done
}

// note adds events to the session.
/** @param {string} key @param {Event[]} events */
export async function note(key, ...events) {
  const tx = await write('events')
  for (const event of events) tx.objectStore('events').add({ ...event, key })
  await tx.done
}

// whose says whom a week is for, and with it what was begun in that week.
/** @param {Week|undefined} week */
export const whose = week => week?.who ?? week?.name ?? ''

// me is whom the phone's week is for: whoever signed in last; empty: nobody yet.
export const me = async () => whose(await kept('week'))

// current is the session of whoever is signed in that is not told of yet, with its
// events; undefined: none. What somebody else began stays for them.
/** @returns {Promise<{session: Session, events: Event[]}|undefined>} */
export async function current() {
  const db = await open()
  const who = await me()
  /** @type {Session[]} */
  const all = await db.getAll('sessions')
  const session = all.findLast(one => whose(one.week) === who)
  return session && { session, events: await db.getAllFromIndex('events', 'key', session.key) }
}

// unsent is how many sessions of anybody wait to be sent, or are not told of yet. It comes
// when the look at them is over: whoever signs out then has nothing broken off.
export async function unsent() {
  const tx = (await open()).transaction(['outbox', 'sessions'])
  const [waiting, going] = await Promise.all([tx.objectStore('outbox').count(), tx.objectStore('sessions').count(), tx.done])
  return waiting + going
}

// draft keeps what is typed into the form.
/** @param {string} key @param {[string, string][]} entries */
export async function draft(key, entries) {
  const tx = (await open()).transaction('sessions', 'readwrite')
  const session = await tx.store.get(key)
  if (session) tx.store.put({ ...session, draft: entries })
  await tx.done
}

// add keeps a chunk of heart rates: [ms since the start event, bpm or 0 for a dropout].
/** @param {string} key @param {Beat[]} list */
export const add = async (key, list) => (await open()).add('samples', { key, list })

// heard are the heart rates of a session, in order of time.
/** @param {string} key */
export async function heard(key) {
  /** @type {{list: Beat[]}[]} */
  const chunks = await (await open()).getAllFromIndex('samples', 'key', key)
  return chunks.flatMap(chunk => chunk.list).sort((a, b) => a[0] - b[0])
}

// hand puts a session that was told of into the outbox. The session and its events go
// in the same transaction, so that it is never in both places nor in none.
/** @param {Item} item */
export async function hand(item) {
  const tx = await write('outbox', 'sessions', 'events', 'samples')
  tx.objectStore('outbox').put(item)
  tx.objectStore('sessions').delete(item.key)
  await remove(tx, item.key)
  await tx.done
}

// discard gives up a session that was begun and never told of.
/** @param {string} key */
export async function discard(key) {
  const tx = await write('sessions', 'events', 'samples')
  tx.objectStore('sessions').delete(key)
  await remove(tx, key)
  await tx.done
}

/** @param {Writing} tx @param {string} key */
async function remove(tx, key) {
  for (const list of ['events', 'samples']) {
    for (const n of await tx.objectStore(list).index('key').getAllKeys(key)) tx.objectStore(list).delete(n)
  }
}

// outbox is what waits, the oldest first.
/** @returns {Promise<Item[]>} */
export const outbox = async () => (await open()).getAll('outbox')

// change stores an item anew, unless it went meanwhile.
/** @param {Item} item */
export async function change(item) {
  const tx = await write('outbox')
  const box = tx.objectStore('outbox')
  if (item.n !== undefined && await box.get(item.n)) box.put(item)
  await tx.done
}

// sent takes an item out.
/** @param {number|undefined} n */
export async function sent(n) {
  if (n === undefined) return
  const tx = await write('outbox')
  tx.objectStore('outbox').delete(n)
  await tx.done
}
