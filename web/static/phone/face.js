// What Go shows while a session is going on.
import * as words from './words.js'
import { draw } from './dial.js'
import { $, picture, set, shown } from './page.js'

/** @typedef {import('./session.js').View} View */

// render shows where the session stands; back: the tap of this walk can still be taken
// back; how: how the step of the warm-up or the cool-down is done.
/** @param {View} s @param {boolean} back @param {string} how */
export function render(s, back, how) {
  if (s.phase === 'over') return
  const kind = s.phase === 'block' ? s.kind : null
  const word = s.paused ? 'Paused' : kind ? words.capital(kind) : s.phase === 'warm' ? 'Warm up' : 'Cool down'
  set('[data-now]', word)
  $('[data-now]').classList.toggle('long', word.length > 4)
  set('[data-left]', words.clock(s.secondsLeft))
  set('[data-next]', words.then(s.next))
  const many = kind === 'run' ? s.runs : s.walks
  set('[data-where]', !kind ? word : many > 1 ? `${words.capital(kind)} ${kind === 'run' ? s.runNumber : s.walkNumber} of ${many}` : words.capital(kind))
  set('[data-of]', `${words.clock(s.elapsed)} of ${words.clock(s.total)}`)
  deeds(s, back, how)
  const drawn = `${s.part} ${s.elapsed} ${s.breathAt}`
  if ($('[data-dial]').dataset.drawn === drawn) return
  $('[data-dial]').dataset.drawn = drawn
  draw(picture('[data-dial]'), s)
}

// deeds shows the buttons that can be of use now.
/** @param {View} s @param {boolean} back @param {string} how */
function deeds(s, back, how) {
  const walking = s.phase === 'block' && s.judged
  const tapped = walking && s.breathAt !== null
  shown('[data-do=breath]', walking && !tapped && !s.paused)
  shown('[data-do=resume]', s.paused)
  shown('[data-settled]', tapped && !s.paused)
  if (tapped) set('[data-settled]', `Breath back after ${words.time(s.breathAt ?? 0)}`)
  shown('[data-do=unbreath]', tapped && !s.paused && back)
  shown('[data-do=leave]', s.phase !== 'block' && !s.paused)
  set('[data-do=leave]', s.phase === 'warm' ? 'Skip the warm-up' : 'Enough: tell how it was')
  shown('[data-do=pause]', !s.paused)
  shown('[data-do=ask-stop]', s.phase !== 'cool')
  shown('[data-do=ask-skip]', s.phase === 'block' && !s.paused)
  set('[data-do=ask-skip]', `Skip the rest of this ${s.kind}`)
  set('[data-hint]', !s.paused && how || hint(s, walking, tapped))
}

/** @param {View} s @param {boolean} walking @param {boolean} tapped */
function hint(s, walking, tapped) {
  if (s.paused) return 'Nothing is counted while you pause.'
  if (s.phase === 'warm') return 'Walk easily, then move what you will need.'
  if (s.phase === 'cool') return 'Walk easily until your breath is calm.'
  if (walking) return tapped ? 'Walk on; the next run is called.' : 'Tap as soon as you could chat comfortably.'
  return s.kind === 'run' ? 'Run so that you could still say a short sentence.' : 'Walk so that you could chat all the way.'
}
