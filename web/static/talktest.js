// The guided talk test with a clock and a strap. Without this it is the same test,
// with a watch.
import { Recent, listen } from './strap.js'

const recent = new Recent(15)
let connected = false
/** @type {ReturnType<typeof setInterval>|undefined} */
let clock
let sending = false
let typed = false // the person wrote the heart rate, so the strap leaves it alone

/** @param {string} selector @param {ParentNode} [within] @returns {HTMLElement|null} */
const find = (selector, within = document) => within.querySelector(selector)

// rate is the field for the heart rate.
const rate = () => /** @type {HTMLInputElement|null} */ (document.getElementById('rate'))

// ready wires the page that is open: each stage brings a new one.
function ready() {
  clearInterval(clock)
  const field = rate()
  typed = Boolean(field?.value)
  field?.addEventListener('input', () => { typed = field.value !== '' })
  const box = find('[data-clock]')
  if (box) {
    box.hidden = false
    find('[data-start]', box)?.addEventListener('click', () => run(box))
  }
  const strap = find('[data-strap]')
  if (strap && navigator.bluetooth) {
    strap.hidden = false
    find('[data-connect]', strap)?.addEventListener('click', connect)
    if (connected) say('The strap is connected.')
  }
  for (const form of document.forms) if (form.closest('main')) form.addEventListener('submit', send)
}

// run counts the stage down by the clock of the device, so that a screen that slept
// does not make it longer.
/** @param {HTMLElement} box */
function run(box) {
  clearInterval(clock)
  stayAwake()
  const end = performance.now() + 1000 * Number(box.dataset.clock)
  const left = find('[data-left]', box)
  const start = find('[data-start]', box)
  if (!left || !start) return
  start.hidden = true
  const tick = () => {
    const seconds = Math.max(0, Math.ceil((end - performance.now()) / 1000))
    left.textContent = seconds >= 60 ? `${Math.floor(seconds / 60)} min ${String(seconds % 60).padStart(2, '0')}` : `${seconds} s`
    if (seconds > 0) return
    clearInterval(clock)
    left.textContent = 'Read aloud now'
    const said = find('[data-said]')
    if (said) said.textContent = 'Two minutes are over. Read aloud now.'
    navigator.vibrate?.([400, 200, 400])
    document.querySelector('.aloud')?.scrollIntoView({ block: 'center' })
  }
  tick()
  clock = setInterval(tick, 250)
}

// stayAwake keeps the screen on where the browser can.
function stayAwake() {
  navigator.wakeLock?.request('screen').catch(() => {})
}

/** @param {string} words */
const say = words => {
  const line = document.querySelector('[data-heard]')
  if (line) line.textContent = words
}

async function connect() {
  say('Choose your strap.')
  try {
    const name = await listen(/** @type {Bluetooth} */ (navigator.bluetooth), heard, gone)
    connected = true
    say(name ? `${name} is connected.` : 'The strap is connected.')
  } catch {
    say('No strap was connected. Type the heart rate instead.')
  }
}

function gone() {
  connected = false
  say('The strap has gone silent. Connect it again, or type the heart rate.')
}

/** @param {import('./strap.js').Beat} beat */
function heard(beat) {
  if (beat.bpm) recent.add(beat.bpm)
  else say('The strap does not feel a beat. Is it wet, and tight?')
  const mean = recent.mean()
  if (mean === null) return
  const field = rate()
  if (field && !typed) field.value = String(mean)
  if (beat.bpm) say(`Now ${beat.bpm}; mean of the last 15 s: ${mean}.`)
}

// send exchanges the page in place, so that the strap stays connected from stage to
// stage. Without a signal the page stays as it is.
/** @param {SubmitEvent} event */
async function send(event) {
  event.preventDefault()
  if (sending) return
  sending = true
  const form = /** @type {HTMLFormElement} */ (event.target)
  const unsent = find('[data-unsent]', form)
  try {
    const answer = await fetch(form.action, { method: 'POST', body: new URLSearchParams(fieldsOf(form, event.submitter)) })
    if (answer.redirected) return location.assign(answer.url)
    const page = new DOMParser().parseFromString(await answer.text(), 'text/html')
    document.title = page.title
    find('main')?.replaceWith(find('main', page) ?? '')
    scrollTo(0, 0)
    ready()
    find('.summary a, main h1')?.focus()
  } catch {
    if (unsent) unsent.hidden = false
  } finally {
    sending = false
  }
}

// fieldsOf are the form's fields as they are sent; there is no file among them.
/** @param {HTMLFormElement} form @param {HTMLElement|null} button @returns {[string, string][]} */
function fieldsOf(form, button) {
  return Array.from(new FormData(form, button), ([name, value]) => [name, String(value)])
}

ready()
