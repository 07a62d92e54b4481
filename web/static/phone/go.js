// The guided session. What happens is written down before anything else; what is shown
// follows from what was written and from the clock.
import * as session from './session.js'
import * as store from './store.js'
import * as sync from './sync.js'
import * as after from './after.js'
import * as words from './words.js'
import { Cues } from './cues.js'
import { draw } from './dial.js'
import { render } from './face.js'
import { hotWhy, showSteps, showWeather } from './around.js'
import { letSleep, limits, stayAwake } from './awake.js'
import { $, all, announce, boxes, panel, picture, screen, set, shown } from './page.js'
import { Pulse } from './pulse.js'
import { show as showOutbox } from './outbox.js'

/** @typedef {import('./session.js').Event} Moment */
/** @typedef {import('./session.js').Stamp} Stamp */
/** @typedef {import('./session.js').View} View */
/** @typedef {keyof typeof cues.settings} Switch */

const hereEvery = 15_000 // ms between two signs of life
const slept = 2000 // ms by which the wall may run ahead of a page that was not looked at
const takeBack = 5000 // ms in which a tap can be taken back
const askAfter = 300_000 // ms of sleep after which the phone asks where the athlete is

const theForm = () => /** @type {HTMLFormElement} */ (document.getElementById('after'))
const newKey = () => [...crypto.getRandomValues(new Uint8Array(15))].map(b => b.toString(36).padStart(2, '0')).join('')

let life = newKey()
/** @type {import('./store.js').Week|undefined} */
let week
/** @type {import('./store.js').Session|undefined} */
let current
/** @type {Moment[]} */
let events = []
let last = stamp() // of the tick before
let hereAt = 0 // page clock of the newest sign of life
let looked = true // false: the page was hidden since the tick before
let said = '' // which change was announced last
let byHand = false // the change was tapped, so no sound was laid ahead for it
let tappedAt = -Infinity // page clock of the newest tap, while it can be taken back
let telling = false // the session is over and is told of
/** @type {import('./store.js').Item|undefined} */
let correcting // the item of the outbox that is corrected
let bones = new Set() // names of the signs that speak of a bone
const cues = new Cues({ sound: true, voice: true, shake: true })
const pulse = new Pulse({
  bluetooth: navigator.bluetooth, since, show: line => set('[data-heart]', line), easy: () => (current?.week ?? week)?.easy ?? null,
  keep: list => current && store.add(current.key, list).catch(lost),
  found: found => { if (going()) note('strap', { found }) },
})

/** @returns {Stamp} */
function stamp() { return { wall: Date.now(), mono: performance.now(), life } }
const state = () => session.view(doing().plan, events, stamp())
const going = () => Boolean(current) && document.body.classList.contains('going')
function since() { return current && !telling ? session.timeline(events, stamp()).at(-1)?.real ?? null : null }

// doing is the session that is going on; there is one wherever this is asked.
function doing() {
  if (!current) throw new Error('no session is going on')
  return current
}

// note writes events down, then acts on them. Without a disk they still count as long
// as the page lives, and the page says so.
/** @type {Promise<void>} */
let queue = Promise.resolve()
/** @param {Moment['type']} type @param {{reason?: string, found?: boolean}} more */
function note(type, more = {}, at = stamp()) {
  const event = { ...at, type, ...more }
  events.push(event)
  const { key } = doing()
  queue = queue.then(() => store.note(key, event)).catch(lost)
  return queue
}
function lost() { set('[data-awake]', 'This phone cannot write anything down at the moment. Please keep this page open until the session is stored.') }

// ---- before

function before() {
  if (!week) return nothing('Nothing is on this phone yet', ['Open this page once with a signal; from then on it works without one.'])
  if (week.way) return nothing(week.way.title, week.way.words)
  if (!week.plan?.length) return nothing('Nothing is planned', ['Please ask your coach what comes next.'])
  screen('before', week.words)
  const plan = { warm_s: 0, cool_s: 0, blocks: week.plan, phase: week.phase }
  draw(picture('[data-plan]'), session.view(plan, [], stamp()))
  const runs = week.plan.some(b => b.kind === 'run')
  set('[data-advice]', runs ? 'Run so that you could still say a short sentence. Walk until you could chat. Slow is right.' : 'Walk so that you could chat all the way.')
  set('[data-do=start]', week.warm_s ? `Start with the warm-up, ${words.time(week.warm_s)}` : 'Start')
  shown('[data-do=start-cold]', week.warm_s > 0)
  shown('[data-word]', Boolean(week.word))
  set('[data-word] .pre', week.word ?? '')
  set('[data-word] .hint', week.word_by ?? '')
  shown('[data-strap]', Boolean(navigator.bluetooth) && week.heart_usable)
  showWeather(week, Date.now())
  due(week)
}

/** @param {import('./store.js').Week} week */
function due(week) {
  const today = words.inZone(new Date().toISOString(), week.time_zone).date
  const rest = week.next > today
  shown('[data-due]', rest)
  if (rest) set('[data-due]', `The next session is due from ${new Date(`${week.next}T12:00:00`).toLocaleDateString(undefined, { weekday: 'long', day: 'numeric', month: 'long' })}. Rest is part of it.`)
}

/** @param {string} title @param {string[]} lines */
function nothing(title, lines) {
  $('[data-why]').replaceChildren(...lines.map(text => Object.assign(document.createElement('p'), { textContent: text })))
  screen('none', title)
}

/** @param {boolean} warm */
async function start(warm) {
  cues.unlock()
  if (!week) return
  const plan = { warm_s: warm ? week.warm_s : 0, cool_s: week.cool_s, blocks: week.plan, phase: week.phase }
  current = { key: newKey(), plan, week }
  telling = false
  /** @type {Moment} */
  const event = { ...stamp(), type: 'start' }
  events = [event]
  await store.begin(current, event).catch(lost)
  run(true)
}

// ---- going

// run shows the session that is going on, from wherever it stands. What was called
// before a reload is not called again.
/** @param {boolean} aloud */
function run(aloud) {
  const { week } = doing()
  screen('going', week.words)
  said = ''
  stayAwake()
  note('here')
  hereAt = performance.now()
  shown('.rest [data-strap]', Boolean(navigator.bluetooth) && week.heart_usable)
  byHand = aloud
  tick()
  if (aloud) change(state())
  else announce(words.told(state()))
  relay()
}

// tick looks at the clock. How often it comes does not matter.
function tick() {
  const now = stamp()
  if (current && (document.hidden || !looked)) woken(now)
  last = stamp()
  looked = !document.hidden
  if (!going()) return
  if (now.mono - hereAt >= hereEvery) {
    hereAt = now.mono
    note('here')
  }
  const s = state()
  render(s, performance.now() - tappedAt < takeBack, showSteps(doing().week, s))
  pulse.quiet()
  const mark = `${s.part}${s.soon ? ' soon' : ''}${s.paused ? ' paused' : ''}`
  if (mark === said) return
  const begun = said && s.part !== Number.parseInt(said, 10)
  const warned = said && s.soon && !s.paused && said === String(s.part)
  said = mark
  if (begun) change(s)
  else if (warned && s.secondsLeft > session.soon - 5) warn(s)
}

// woken is what happens when a page runs again that was not looked at. A phone that
// sleeps holds the page's clock; then the wall's is the right one, and a new life begins.
/** @param {Stamp} now */
function woken(now) {
  const gap = now.wall - last.wall - (now.mono - last.mono)
  if (gap <= slept || !events.length) return
  if (going()) note('here', {}, last)
  life = newKey()
  if (!going()) return
  if (gap > askAfter) ask()
  else note('here')
}

// change says what begins.
/** @param {View} s */
function change(s) {
  cues.lay(session.ahead(doing().plan, events, stamp()), 1)
  const cue = cueOf(s)
  if (byHand) cues.sound(cue)
  byHand = false
  const text = words.told(s)
  announce(text)
  cues.say(text)
  cues.shake(cue)
  if (s.phase === 'over') finish()
}

// cueOf is what is sounded when a part begins.
/** @param {View} s @returns {import('./cues.js').Cue} */
function cueOf(s) {
  if (s.phase === 'warm' || s.phase === 'cool') return s.phase
  return s.phase === 'block' && s.kind ? s.kind : 'end'
}

/** @param {View} s */
function warn(s) {
  const text = s.next ? `30 seconds, ${words.then(s.next).replace('cool down', 'the cool-down')}.` : '30 seconds.'
  announce(text)
  cues.say(text)
  cues.shake('soon')
}

const relay = () => cues.lay(going() ? session.ahead(doing().plan, events, stamp()) : [])

// ---- where were you?

// ask asks where the athlete was while the page was away.
function ask() {
  seen = events[events.length - 1]
  const then = session.view(doing().plan, events, seen)
  if (then.phase === 'over') return finish()
  const now = state()
  const gone = session.between(seen, stamp())
  screen('ask', 'Go on where you were?')
  const where = now.phase === 'over' ? 'the clock has run to the end since' : now.paused ? 'it was paused' : now.part === then.part ? 'the clock has run on' : `the clock has run on to ${words.part(now)}`
  set('[data-gone]', `This page was closed ${words.ago(gone)}, in ${words.part(then)}; ${where}. Nothing is lost.`)
  set('[data-do=go-on]', now.phase === 'over' ? 'I did it to the end' : `Go on in ${words.part(now)}`)
  set('[data-do=stood-still]', `I stood still: go on in ${words.part(then)}, ${words.time(then.secondsLeft)} left`)
  shown('[data-do=stood-still]', gone >= 20_000 && !now.paused)
}
/** @type {Stamp} */
let seen = last // the newest event when the page came back

// back writes down that the session stood still, or ended, when the page was last seen.
// Nothing is written between that moment and the answer, so events stay in order.
/** @param {'pause'|'stop'} type @param {{reason?: string}} [more] */
const back = (type, more) => note(type, more, { wall: seen.wall, mono: seen.mono, life: seen.life })

// ---- after

function finish() {
  if (events.at(-1)?.type !== 'stop') note('here')
  telling = true
  cues.lay([], 2)
  pulse.flush()
  letSleep()
  const own = doing()
  const result = session.result(own.plan, events, stamp())
  set('[data-summary]', after.summary(result))
  const why = hotWhy(own.week, result.begunAt)
  form(own.draft ?? after.entriesOf(own, result, why !== ''), 2 * result.taps < result.judged, why)
  screen('after', 'How was it?')
}

/** @param {after.Entries} entries @param {boolean} askBreath @param {string} [hot] why it counts as hot */
function form(entries, askBreath, hot = '') {
  const f = theForm()
  after.fill(f, entries)
  $('#breath').hidden = !askBreath
  shown('[data-hot]', hot !== '')
  set('[data-hot]', hot)
  shown('[data-do=forget]', !correcting)
  after.mark(f, [])
}

let busy = false
/** @param {SubmitEvent} event */
async function submit(event) {
  event.preventDefault()
  if (busy) return
  busy = true
  await send().finally(() => { busy = false })
}

// send puts the form and the recording into the outbox, and says so before it tries.
async function send() {
  const f = theForm()
  const entries = after.read(f)
  const wrong = after.faults(entries)
  after.mark(f, wrong)
  if (wrong.length) return
  const text = new URLSearchParams(entries).toString()
  const day = new Map(entries).get('date') ?? ''
  const alarm = after.alarm(entries, bones)
  const item = { ...correcting ?? await told(), ...waiting, form: text, day, alarmed: alarm !== null }
  try {
    await queue
    await store.hand(item)
  } catch {
    return after.mark(f, [], 'This phone could not write it down. Please do not close this page; try again, or note it on paper.')
  }
  pulse.end()
  const key = item.key
  current = correcting = undefined
  events = []
  if (location.hash) history.replaceState(null, '', location.pathname)
  stored(alarm)
  await sync.send(true)
  tellSent(key)
}

// forget gives up a session that was none, begun by mistake; it asks once.
async function forget() {
  const own = doing()
  const ask = $('[data-do=forget]')
  if (!ask.dataset.sure) {
    ask.dataset.sure = 'yes'
    ask.textContent = 'Yes, remove it: it was no session'
    return
  }
  try {
    await queue
    await store.discard(own.key)
  } catch {
    return after.mark(theForm(), [], 'This phone could not remove it. Please try again.')
  }
  current = undefined
  pulse.end()
  location.reload()
}

/** What is true of an item that is to be sent at once. @type {{state: 'waiting', due: number, held: undefined}} */
const waiting = { state: 'waiting', due: 0, held: undefined }

// told is the session that was just done, for the outbox, but for its form.
async function told() {
  const { key, week } = doing()
  return { key, who: store.whose(week), standing: week.standing, strap: await strapOf(), tries: 0 }
}

// strapOf is the strap's document; null: no strap was heard.
async function strapOf() {
  await pulse.flush()
  const { key, plan } = doing()
  const samples = await store.heard(key)
  if (!samples.length) return null
  const result = session.result(plan, events, stamp())
  return JSON.stringify({ halfhour_strap: 1, started_at: result.startedAt, samples, marks: result.marks })
}

/** @param {ReturnType<typeof after.alarm>} alarm */
function stored(alarm) {
  for (const e of all('[data-alarm]')) e.hidden = e.dataset.alarm !== alarm
  screen('sent', alarm ? $(`[data-alarm=${alarm}]`).dataset.title ?? '' : 'Stored')
  set('[data-sent]', 'Stored on this phone; sent when there is a signal.')
}

/** @param {string} key */
async function tellSent(key) {
  const item = (await store.outbox()).find(one => one.key === key)
  const sent = await store.kept('told')
  if (!item && sent?.key === key) set('[data-sent]', 'Sent.')
  else if (item?.state === 'held') set('[data-sent]', 'Stored on this phone, but not taken yet: see above.')
  else if (sync.state.signIn) set('[data-sent]', 'Stored on this phone. Sign in to send it.')
  sentKey = key
}
let sentKey = ''

// correct opens an item that the server did not take.
/** @param {number} n */
async function correct(n) {
  const who = await store.me()
  correcting = (await store.outbox()).find(item => item.n === n && item.who === who)
  if (!correcting) return false
  const entries = [...new URLSearchParams(correcting.form)]
  form(entries, entries.some(([name, value]) => name === 'breath' && value !== ''))
  screen('after', 'Correct your session')
  set('[data-summary]', 'It is stored on this phone and was not taken yet.')
  after.mark(theForm(), correcting.held?.at === 'form' ? correcting.held.fields : [], correcting.held?.message ?? '')
  return true
}

// ---- what is tapped

/** @type {Record<string, (button: HTMLElement) => unknown>} */
const deedsOf = {
  'start': () => start(true),
  'start-cold': () => start(false),
  'pause': () => { note('pause'); relay(); announce('Paused') },
  'resume': () => { note('resume'); relay(); announce(`Going on. ${words.told(state())}`) },
  'breath': () => { tappedAt = performance.now(); note('breath'); announce(`Breath back after ${words.time(state().breathAt ?? 0)}`) },
  'unbreath': () => { tappedAt = -Infinity; note('unbreath'); announce('Taken back.') },
  'leave': () => skip(),
  'ask-skip': () => panel('skip'),
  'ask-stop': () => panel('stop'),
  'fold': () => panel(''),
  'skip': () => { panel(''); skip() },
  'stop': button => { note('stop', { reason: button.dataset.reason }); cues.hush(); finish() },
  'go-on': () => (state().phase === 'over' ? finish() : run(false)),
  'stood-still': async () => { await back('pause'); note('resume'); run(false) },
  'ended': async () => { await back('stop', { reason: 'other' }); finish() },
  'forget': () => forget(),
  'strap': () => pulse.connect(),
}

function skip() {
  cues.lay([])
  byHand = true
  note('skip')
}

/** @param {MouseEvent} event */
function tapped(event) {
  const button = event.target instanceof Element && event.target.closest('[data-do]')
  if (!(button instanceof HTMLElement)) return
  cues.unlock()
  deedsOf[button.dataset.do ?? '']?.(button)
  if (going()) tick()
  if (going() && button.hidden) $('.deed button:not([hidden]), [data-ways] button:not([hidden])')?.focus()
}

// switched remembers a switch, in both places where it stands.
/** @param {HTMLInputElement} box */
function switched(box) {
  cues.settings[/** @type {Switch} */ (box.name)] = box.checked
  for (const other of boxes(`.switches [name=${box.name}]`)) other.checked = box.checked
  store.keep('settings', { ...cues.settings }).catch(lost)
  if (box.name === 'sound') relay()
  if (box.name === 'sound' && box.checked) cues.sound('soon')
}

function wire() {
  $('[data-go]').addEventListener('click', tapped)
  for (const box of boxes('.switches input')) box.addEventListener('change', () => switched(box))
  const f = theForm()
  f.addEventListener('submit', submit)
  f.addEventListener('input', event => {
    const typed = event.target instanceof HTMLInputElement && /done_(min|sec)$/.test(event.target.name)
    if (typed && new FormData(f).get('done') === 'all') for (const box of boxes('#done-part')) box.checked = true
    if (current) store.draft(current.key, after.read(f)).catch(lost)
  })
  document.addEventListener('visibilitychange', () => {
    if (document.hidden) {
      looked = false
      pulse.flush()
      if (going()) note('here')
    } else {
      tick()
      if (going()) {
        stayAwake()
        relay()
      }
    }
  })
  addEventListener('pagehide', () => {
    pulse.flush()
    if (going()) note('here')
  })
  addEventListener('hashchange', () => { if (!current) open() })
  setInterval(tick, 250)
}

// ---- the page opens

// open shows what the phone has: a form to correct, a session that is going on, or the
// next one.
async function open() {
  const wanted = /^#correct-(\d+)$/.exec(location.hash)
  if (wanted && await correct(Number(wanted[1]))) return
  const there = await store.current()
  if (there) {
    current = there.session
    events = there.events
    if (events.at(-1)?.type === 'stop' || current.draft) return finish()
    return ask()
  }
  week = await store.kept('week')
  if (week) before()
  const first = asTold(week)
  try {
    week = await sync.fetchWeek() ?? week
    if (!week) return nothing('Please sign in', ['Open your sign-in link, or ask your coach for a new one.'])
  } catch { // no signal: what is on the phone counts
    if (week) set('[data-seen]', `No signal: as it stood ${words.ago(Date.now() - week.seen)}.`)
  }
  if (!current && (!week || asTold(week) !== first)) before()
}

// asTold is a week but for when it came here.
/** @param {import('./store.js').Week|undefined} week */
const asTold = week => week && JSON.stringify({ ...week, seen: 0 })

async function begin() {
  $('[data-state]').hidden = false
  wire()
  bones = new Set(Array.from(boxes('#after #signs fieldset:last-of-type [name=signs]'), box => box.value))
  set('[data-limits]', limits())
  shown('[data-limits]', limits() !== '')
  try {
    Object.assign(cues.settings, await store.kept('settings'))
    for (const box of boxes('.switches input')) box.checked = cues.settings[/** @type {Switch} */ (box.name)]
    await open()
  } catch {
    return nothing('Nothing can be kept here', ['This browser keeps nothing, perhaps because of a private window, so the guided session could get lost. Do the session by your watch and tell about it afterwards.'])
  }
  sync.watch(() => { if (sentKey) tellSent(sentKey) })
  await showOutbox($('[data-outbox]'))
  await sync.start()
}

begin()
