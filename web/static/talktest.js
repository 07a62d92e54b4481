// The guided talk test with a clock and a strap. Without this it is the same test,
// with a watch.
import { Recent, listen } from './strap.js'

const recent = new Recent(15)
let connected = false
let clock = 0
let sending = false
let typed = false // the person wrote the heart rate, so the strap leaves it alone

// ready wires the page that is open: each stage brings a new one.
function ready() {
  clearInterval(clock)
  const field = document.getElementById('rate')
  typed = Boolean(field?.value)
  field?.addEventListener('input', () => { typed = field.value !== '' })
  const box = document.querySelector('[data-clock]')
  if (box) {
    box.hidden = false
    box.querySelector('[data-start]').addEventListener('click', () => run(box))
  }
  const strap = document.querySelector('[data-strap]')
  if (strap && navigator.bluetooth) {
    strap.hidden = false
    strap.querySelector('[data-connect]').addEventListener('click', connect)
    if (connected) say('The strap is connected.')
  }
  for (const form of document.querySelectorAll('main form')) form.addEventListener('submit', send)
}

// run counts the stage down by the clock of the device, so that a screen that slept
// does not make it longer.
function run(box) {
  clearInterval(clock)
  stayAwake()
  const end = performance.now() + 1000 * box.dataset.clock
  const left = box.querySelector('[data-left]')
  box.querySelector('[data-start]').hidden = true
  const tick = () => {
    const seconds = Math.max(0, Math.ceil((end - performance.now()) / 1000))
    left.textContent = seconds >= 60 ? `${Math.floor(seconds / 60)} min ${String(seconds % 60).padStart(2, '0')}` : `${seconds} s`
    if (seconds > 0) return
    clearInterval(clock)
    left.textContent = 'Read aloud now'
    document.querySelector('[data-said]').textContent = 'Two minutes are over. Read aloud now.'
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

const say = words => {
  const line = document.querySelector('[data-heard]')
  if (line) line.textContent = words
}

async function connect() {
  say('Choose your strap.')
  try {
    const name = await listen(navigator.bluetooth, heard, gone)
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

function heard(beat) {
  if (beat.bpm) recent.add(beat.bpm)
  else say('The strap does not feel a beat. Is it wet, and tight?')
  const mean = recent.mean()
  if (mean === null) return
  const field = document.getElementById('rate')
  if (field && !typed) field.value = mean
  if (beat.bpm) say(`Now ${beat.bpm}; mean of the last 15 s: ${mean}.`)
}

// send exchanges the page in place, so that the strap stays connected from stage to
// stage. Without a signal the page stays as it is.
async function send(event) {
  event.preventDefault()
  if (sending) return
  sending = true
  const form = event.target
  const unsent = form.querySelector('[data-unsent]')
  try {
    const answer = await fetch(form.action, { method: 'POST', body: new URLSearchParams(new FormData(form, event.submitter)) })
    if (answer.redirected) return location.assign(answer.url)
    const page = new DOMParser().parseFromString(await answer.text(), 'text/html')
    document.title = page.title
    document.querySelector('main').replaceWith(page.querySelector('main'))
    scrollTo(0, 0)
    ready()
    document.querySelector('.summary a, main h1')?.focus()
  } catch {
    if (unsent) unsent.hidden = false
  } finally {
    sending = false
  }
}

ready()
