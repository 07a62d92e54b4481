// Times and states in words.

/** @typedef {import('./session.js').View} View */

// clock is minutes and seconds for the dial: 2:02.
/** @param {number} seconds */
export const clock = seconds => `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, '0')}`

// time is "2 min 30", "3 min", "45 s", with spaces that do not break.
/** @param {number} seconds */
export function time(seconds) {
  const s = Math.round(seconds)
  if (s < 60) return `${s}\u00a0s`
  return s % 60 ? `${Math.floor(s / 60)}\u00a0min\u00a0${String(s % 60).padStart(2, '0')}` : `${s / 60}\u00a0min`
}

// long is the same to be read out: "2 minutes 30 seconds".
/** @param {number} seconds */
export function long(seconds) {
  /** @type {(n: number, word: string) => string[]} */
  const count = (n, word) => (n ? [`${n} ${word}${n === 1 ? '' : 's'}`] : [])
  return [...count(Math.floor(seconds / 60), 'minute'), ...count(Math.round(seconds % 60), 'second')].join(' ')
}

/** @param {string} words */
export const capital = words => words.slice(0, 1).toUpperCase() + words.slice(1)

// part names where the session stands: "walk 3", "the warm-up".
/** @param {View} state */
export function part(state) {
  if (state.phase === 'warm') return 'the warm-up'
  if (state.phase === 'cool') return 'the cool-down'
  if (state.phase !== 'block') return 'the end'
  return state.kind === 'run' ? `run ${state.runNumber}` : `walk ${state.walkNumber}`
}

// ago is how long something lies back.
/** @param {number} ms */
export function ago(ms) {
  const minutes = Math.round(ms / 60_000)
  if (minutes < 1) return 'a moment ago'
  if (minutes < 90) return `${minutes} ${minutes === 1 ? 'minute' : 'minutes'} ago`
  const hours = Math.round(minutes / 60)
  return hours < 36 ? `${hours} hours ago` : `${Math.round(hours / 24)} days ago`
}

// told is what is spoken when a part begins.
/** @param {View} state */
export function told(state) {
  switch (state.phase) {
    case 'warm': return 'Warm up. Walk easily.'
    case 'cool': return 'That was the last block. Walk easily to cool down.'
    case 'over': return 'Done. Tell how it was.'
  }
  if (state.kind === 'run') return `Run. ${long(state.secondsLeft)}.`
  return state.judged ? 'Walk. Tap when your breath is back.' : `Walk. ${long(state.secondsLeft)}.`
}

// then is what comes next: "then run 2 min".
/** @param {View['next']} next */
export function then(next) {
  if (!next) return 'then you are done'
  if (next.what === 'cool') return `then cool down, ${time(next.seconds)}`
  return `then ${next.kind} ${time(next.seconds)}`
}

// inZone is the day and the time of day of a moment, as the form has them.
/** @param {string} iso @param {string} zone */
export function inZone(iso, zone) {
  /** @type {Record<string, string>} */
  const parts = {}
  /** @type {Intl.DateTimeFormatOptions} */
  const options = { year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }
  let format
  try {
    format = new Intl.DateTimeFormat('en', { ...options, timeZone: zone })
  } catch { // a zone that this browser does not know
    format = new Intl.DateTimeFormat('en', options)
  }
  for (const { type, value } of format.formatToParts(new Date(iso))) parts[type] = value
  return { date: `${parts.year}-${parts.month}-${parts.day}`, clock: `${parts.hour}:${parts.minute}` }
}

// day is a date as the reader writes it: "Wednesday, 25 November".
/** @param {string} date such as 2026-11-25 */
export const day = date => new Date(`${date}T12:00:00`).toLocaleDateString(undefined, { weekday: 'long', day: 'numeric', month: 'long' })
