// The worker keeps what a phone needs where there is no signal: the guided session and
// its files, which are the same for everybody, and a copy of Today of the person who is
// signed in. It answers GETs alone. The server puts a line before this file: `shell` is
// what belongs together, and the hash that it has.

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self))
const shellName = `shell-${shell.version}`
const mine = 'mine-' // and whose copy it is
const patience = 5000 // ms that a page is waited for where there is a copy of it
const goAt = '/go'
const todayAt = '/today'
const noSignalAt = '/no-signal'

// A new version fetches all of its shell before it takes over, or none of it: a page
// and its files always go together. Where nobody is signed in /go is not to be had, so
// that it is tried again later.
worker.addEventListener('install', event => {
  event.waitUntil(fill().then(() => worker.skipWaiting()))
})

async function fill() {
  const cache = await caches.open(shellName)
  const pages = [goAt, noSignalAt].map(at => new Request(at, { cache: 'reload', redirect: 'error' }))
  try {
    await cache.addAll([...pages, ...shell.files])
  } catch (error) {
    await caches.delete(shellName) // half of it is worse than none
    throw error
  }
}

worker.addEventListener('activate', event => {
  event.waitUntil(tidy().then(() => worker.clients.claim()))
})

// tidy leaves the shell of this version, and that of the one before, from which a page
// may still be open.
async function tidy() {
  const shells = (await caches.keys()).filter(name => name.startsWith('shell-') && name !== shellName)
  await Promise.all(shells.slice(0, -1).map(name => caches.delete(name)))
}

worker.addEventListener('fetch', event => {
  const { request } = event
  const at = new URL(request.url)
  if (at.origin !== location.origin) return
  // Who comes in sees nothing that was kept for somebody else. (Who goes takes it along
  // by leave.js, which first makes sure that there is a signal.)
  if (request.method === 'POST' && /^\/(sign-in|in\/|join\/|set-up\/)/.test(at.pathname)) event.waitUntil(forget())
  if (request.method !== 'GET') return
  if (at.pathname.startsWith('/static/')) event.respondWith(file(request))
  else if (request.mode === 'navigate') event.respondWith(page(event, at))
})

// file is one of the files that pages load: its address changes with its content.
/** @param {Request} request */
async function file(request) {
  return await caches.match(request, { ignoreVary: true }) ?? fetch(request)
}

// page asks the server. The copy is shown where there is no signal, where the server
// cannot answer, and where the answer takes too long.
/** @param {FetchEvent} event @param {URL} at */
async function page(event, at) {
  const asked = ask(event.request, at)
  event.waitUntil(asked)
  const copy = await copyOf(at.pathname)
  const answer = await (copy ? Promise.race([asked, after(patience)]) : asked)
  if (answer && (answer.status < 500 || !copy)) return answer
  if (copy) return copy
  return await caches.match(noSignalAt) ?? Response.error()
}

// ask gives the server's answer and keeps it where it is to be kept; undefined: no
// signal.
/** @param {Request} request @param {URL} at */
async function ask(request, at) {
  let answer
  try {
    answer = await fetch(request)
  } catch {
    return undefined
  }
  try {
    await keep(answer, at)
  } catch { /* full, perhaps: then there is no copy */ }
  return answer
}

/** @param {Response} answer @param {URL} at */
async function keep(answer, at) {
  if (at.pathname === todayAt && answer.type === 'opaqueredirect') return forget() // signed out
  if (answer.status !== 200 || at.search) return
  if (at.pathname === todayAt) return keepToday(answer.clone())
  // Only a page whose files are those of this shell.
  if (at.pathname === goAt && (await answer.clone().text()).includes(shell.base)) {
    await (await caches.open(shellName)).put(goAt, answer.clone())
  }
}

/** @param {Response} answer */
async function keepToday(answer) {
  const who = answer.headers.get('Halfhour-Who')
  if (!who) return
  await forget(mine + who)
  await (await caches.open(mine + who)).put(todayAt, answer)
}

// forget removes the copies of everybody, or of everybody but one.
async function forget(but = '') {
  const copies = (await caches.keys()).filter(name => name.startsWith(mine) && name !== but)
  await Promise.all(copies.map(name => caches.delete(name)))
}

// copyOf is what is kept of a page; undefined: nothing.
/** @param {string} path */
async function copyOf(path) {
  if (path === goAt) return caches.match(goAt, { cacheName: shellName })
  if (path !== todayAt && path !== '/') return undefined
  const copy = await caches.match(todayAt)
  return copy && marked(copy)
}

// marked says on the copy of when it is.
/** @param {Response} copy */
async function marked(copy) {
  const html = await copy.text()
  const headers = new Headers(copy.headers)
  for (const name of ['Content-Encoding', 'Content-Length']) headers.delete(name)
  const notice = `<div class="notice warn" role="status"><p>${asOf(new Date(headers.get('Date') ?? 0), new Date())}</p></div>`
  return new Response(html.replace('<main id="main">', `$&${notice}`), { headers })
}

// asOf is "As of 7.40; no signal.", in the form of time that the reader uses.
/** @param {Date} then @param {Date} now */
function asOf(then, now) {
  const time = then.toLocaleTimeString(undefined, { hour: 'numeric', minute: '2-digit' })
  const day = then.toDateString() === now.toDateString() ? '' : `${then.toLocaleDateString('en-GB', { weekday: 'long', day: 'numeric', month: 'long' })}, `
  return `As of ${day}${time}; no signal.`
}

/** @param {number} ms @returns {Promise<undefined>} */
const after = ms => new Promise(done => { setTimeout(() => done(undefined), ms) })
