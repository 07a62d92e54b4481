// What waits to be sent, said where it can be seen, with what can be done about it.
import * as store from './store.js'
import * as sync from './sync.js'
import { day } from './words.js'

/** @typedef {import('./store.js').Item} Item */

// show keeps the box up to date.
/** @param {HTMLElement} box */
export function show(box) {
  sync.watch(() => fill(box))
  return fill(box)
}

/** @param {HTMLElement} box */
async function fill(box) {
  const who = await store.me()
  const items = await store.outbox()
  const changed = await store.kept('changed')
  const lines = items.filter(item => item.who === who).flatMap(linesOf)
  if (items.some(item => item.who !== who)) lines.push(line('Something that somebody else did waits on this phone. It is sent once they sign in here again.'))
  if (changed?.who === who) lines.push(line(`Your coach changed your next sessions: ${changed.words}.`, button('I have seen it', async () => {
    await store.drop('changed')
    fill(box)
  })))
  const told = await store.kept('told')
  if (told?.stop && told.who === who) lines.unshift(line('Something in your session needs a careful look.', link('Please read this', told.stop, () => store.keep('told', { ...told, stop: null }))))
  const shown = lines.map(one => one.outerHTML).join('')
  if (shown === drawn.get(box)) return // what is read, or has the focus, is not taken away
  drawn.set(box, shown)
  box.replaceChildren(...lines)
  box.hidden = lines.length === 0
}
/** What was put into a box last. @type {WeakMap<HTMLElement, string>} */
const drawn = new WeakMap()

// linesOf say one item; its number stands on them, so that no two items look the same.
/** @param {Item} item */
function linesOf(item) {
  const lines = said(item)
  for (const one of lines) one.dataset.item = String(item.n)
  return lines
}

/** @param {Item} item */
function said(item) {
  const about = `The session of ${day(item.day)}`
  if (item.held) return refused(item, item.held, about)
  if (sync.state.signIn) return [line(`${about} is stored on this phone. Sign in to send it: open your sign-in link, or ask your coach for a new one.`, link('Sign in to send', '/sign-in'))]
  if (item.id) return [line(`${about} is sent. The strap’s recording is sent when there is a signal.`)]
  return [line(`${about} is stored on this phone; sent when there is a signal.`, button('Try now', () => sync.send(true)))]
}

/** @param {Item} item @param {NonNullable<Item['held']>} held @param {string} about */
function refused(item, held, about) {
  const { at, message, fields, there } = held
  const why = [message, ...fields.map(f => f.message)].filter(Boolean).join(' ')
  /** @param {string} words */
  const leave = words => ask('Leave it out', words, 'Yes, remove it from this phone', () => store.sent(item.n).then(() => sync.send()))
  if (at === 'strap') {
    return [line(`${about} is sent. The strap’s recording was not taken: ${why}`,
      button('Attach it anyway', () => sync.again(item, { consents: [...item.consents ?? [], ...fields.map(f => f.place)] })),
      ask('Leave the recording out', 'The recording goes for good. The session stays.', 'Yes, leave it out', () => store.sent(item.n).then(() => sync.send())))]
  }
  return [line(`${about} was not taken yet: ${why}`, link('Correct it', `/go#correct-${item.n}`),
    ...(there ? [link('Look at what is there', there)] : []), leave('What was done goes from this phone for good.'))]
}

/** @param {string} words @param {HTMLElement[]} ways */
function line(words, ...ways) {
  const p = document.createElement('p')
  p.textContent = words
  const div = document.createElement('div')
  div.className = 'notice warn'
  div.append(p, ...ways)
  return div
}

/** @param {string} words @param {() => unknown} act */
function button(words, act) {
  const b = document.createElement('button')
  b.type = 'button'
  b.className = 'btn q'
  b.textContent = words
  b.addEventListener('click', act)
  return b
}

/** @param {string} words @param {string} href @param {() => unknown} also */
function link(words, href, also = () => {}) {
  const a = document.createElement('a')
  a.className = 'btn q'
  a.href = href
  a.textContent = words
  a.addEventListener('click', also)
  return a
}

// ask is a button that asks once before it acts.
/** @param {string} words @param {string} sure @param {string} yes @param {() => unknown} act */
function ask(words, sure, yes, act) {
  const first = button(words, () => {
    const p = document.createElement('p')
    p.textContent = sure
    const second = button(yes, act)
    first.replaceWith(p, second)
    second.focus()
  })
  return first
}
