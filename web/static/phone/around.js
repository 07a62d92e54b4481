// What is around a session: the steps before and after it, and the weather of its hour.
import { $, all, set, shown } from './page.js'

/** @typedef {import('./store.js').Week} Week */
/** @typedef {{words: string, how: string, seconds: number}} Step */
/** @typedef {{at: string, now: string, of: string, words: string[], hot_why: string, near_s: number, fresh_s: number}} Weather */

// weatherOf is the weather that still counts as that of now; null: none does.
/** @param {Week|undefined} week @param {number} now ms */
function weatherOf(week, now) {
  const weather = week?.weather
  return weather && Math.abs(now - Date.parse(weather.at)) <= 1000 * weather.fresh_s ? weather : null
}

// showWeather shows it before the session.
/** @param {Week} week @param {number} now */
export function showWeather(week, now) {
  const weather = weatherOf(week, now)
  shown('[data-weather]', weather !== null)
  if (!weather) return
  set('[data-weather-now]', weather.now)
  set('[data-weather-of]', weather.of)
  $('[data-weather-words]').replaceChildren(...weather.words.map(text => Object.assign(document.createElement('p'), { textContent: text })))
}

// hotWhy says why a session that began then counts as hot; empty: it does not.
/** @param {Week|undefined} week @param {string} begun */
export function hotWhy(week, begun) {
  const weather = week?.weather
  return weather && Math.abs(Date.parse(begun) - Date.parse(weather.at)) <= 1000 * weather.near_s ? weather.hot_why : ''
}

// stepAt is which step comes after so many seconds, each as long as it is planned.
/** @param {Step[]} steps @param {number} seconds */
export function stepAt(steps, seconds) {
  let end = 0
  const at = steps.findIndex(step => (end += step.seconds) > seconds)
  return at < 0 ? steps.length - 1 : at
}

// stepsOf are the steps of where the session stands.
/** @param {Week} week @param {import('./session.js').View} state @returns {Step[]} */
function stepsOf(week, state) {
  if (state.phase === 'warm') return week.warm_steps ?? []
  return state.phase === 'cool' ? week.cool_steps ?? [] : []
}

// showSteps lists the steps of the warm-up or the cool-down and marks the one whose turn
// it is, of which it gives how it is done; empty where there is none. The time is a
// suggestion: nobody is called.
/** @param {Week} week @param {import('./session.js').View} state @returns {string} */
export function showSteps(week, state) {
  const steps = stepsOf(week, state)
  const list = $('[data-steps]')
  list.hidden = !steps.length
  if (!steps.length) return ''
  if (list.dataset.phase !== state.phase) {
    list.dataset.phase = state.phase
    list.replaceChildren(...steps.map(step => Object.assign(document.createElement('li'), { textContent: step.words })))
  }
  const at = stepAt(steps, state.secondsDone)
  Array.from(all('[data-steps] li')).forEach((item, i) => {
    if (i === at) item.setAttribute('aria-current', 'step')
    else item.removeAttribute('aria-current')
  })
  return steps[at].how
}
