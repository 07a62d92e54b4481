// The screen stays on, where the browser can.
import { set } from './page.js'

/** @type {WakeLockSentinel|undefined} */
let awake

// stayAwake keeps the screen on; it has to be asked anew whenever the page is seen again.
export async function stayAwake() {
  if (!navigator.wakeLock) return set('[data-awake]', limits())
  if (document.hidden || awake && !awake.released) return
  try {
    awake = await navigator.wakeLock.request('screen')
    set('[data-awake]', 'The screen stays on while this page is open.')
  } catch {
    set('[data-awake]', 'The phone does not keep the screen on now, perhaps to save power. Sound comes all the same while this page is open.')
  }
}

// limits say what this browser cannot do.
export function limits() {
  if (!isSecureContext) return 'This address is plain http. So the screen cannot be kept on, no strap can be connected, and the page does not open without a signal. Let the screen of the phone stay on by its own settings; sound and voice work.'
  if (!navigator.wakeLock) return 'This browser cannot keep the screen on. Let the screen of the phone stay on by its own settings.'
  return ''
}

// letSleep gives the screen back to the phone.
export function letSleep() {
  awake?.release().catch(() => {})
}
