// Signing out takes everything that is on this phone along. What was done and is not
// sent yet would be lost, so that is asked about first.
import * as store from './store.js'

// leave signs out by the form. Where there is no signal nothing happens, and nothing is
// removed.
/** @param {HTMLFormElement} form */
export async function leave(form) {
  const waiting = await store.unsent().catch(() => 0) // of a browser that keeps nothing
  if (waiting) ask(form, waiting)
  else await go(form)
}

/** @param {HTMLFormElement} form @param {number} waiting */
function ask(form, waiting) {
  const what = waiting === 1 ? 'A session on this phone is not sent yet' : `${waiting} sessions on this phone are not sent yet`
  const yes = button('Sign out and lose it', () => go(form))
  say(form, `${what}. Signing out removes it for good.`, yes, button('Stay signed in', () => say(form, '')))
  yes.focus()
}

/** @param {HTMLFormElement} form */
async function go(form) {
  await store.close() // the browser takes it away with the answer
  try {
    const answer = await fetch(form.action, { method: 'POST', redirect: 'manual' })
    if (answer.type !== 'opaqueredirect' && !answer.ok) throw new Error(`${answer.status}`)
  } catch {
    say(form, 'Signing out needs a signal. You are still signed in, and nothing was removed.')
    return
  }
  await wipe()
  location.assign('/sign-in')
}

// wipe removes what this phone kept. The server asks browsers for the same; over plain
// http they do not do it.
export async function wipe() {
  const names = await globalThis.caches?.keys().catch(() => []) ?? []
  await Promise.all(names.map(name => caches.delete(name)))
  await store.wipe().catch(() => {})
}

// say puts words, and what can be done, before the form, in place of those of before.
/** @param {HTMLFormElement} form @param {string} words @param {HTMLButtonElement[]} ways */
function say(form, words, ...ways) {
  document.getElementById('leaving')?.remove()
  delete form.dataset.pressed
  if (!words) return
  const p = document.createElement('p')
  p.textContent = words
  const box = document.createElement('div')
  box.id = 'leaving'
  box.className = 'notice warn'
  box.setAttribute('role', 'alert')
  box.append(p, ...ways)
  form.before(box)
}

/** @param {string} words @param {() => void} act */
function button(words, act) {
  const b = document.createElement('button')
  b.type = 'button'
  b.className = 'btn q'
  b.textContent = words
  b.addEventListener('click', act)
  return b
}
