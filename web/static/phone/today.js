// On Today: what waits to be sent, and a session that is going on. The week comes onto
// the phone too, so that Go opens without a signal when only Today was ever seen.
import * as store from './store.js'
import * as sync from './sync.js'
import { show } from './outbox.js'

/** @type {HTMLElement|null} */
const box = document.querySelector('[data-outbox]')
if (box) {
  try {
    await sync.fetchWeek().catch(() => {}) // who is signed in comes first
    if (await store.current()) {
      const start = document.querySelector('[data-start]')
      if (start) start.textContent = 'Go on with your session'
    }
    await show(box)
    await sync.start()
  } catch { /* a browser that keeps nothing: the pages work without */ }
}
