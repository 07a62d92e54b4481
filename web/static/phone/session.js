// A guided session is a list of events that only grows; everything follows from the
// list and the plan. Nothing here looks at a clock or a page: "now" goes in.

/**
 * A moment: the clock on the wall (Date.now(), ms), the clock of the page
 * (performance.now(), ms), and the page's life, a new one at each load.
 * @typedef {{wall: number, mono: number, life: string}} Stamp
 * @typedef {'start'|'pause'|'resume'|'skip'|'breath'|'unbreath'|'stop'|'strap'|'here'} Type
 * @typedef {Stamp & {type: Type, reason?: string, found?: boolean}} Event
 * @typedef {{kind: 'run'|'walk', planned_s: number}} Block
 * @typedef {{warm_s: number, cool_s: number, blocks: Block[], phase: string}} Plan
 * @typedef {{what: 'warm'|'block'|'cool', kind: 'run'|'walk', seconds: number, index: number, judged: boolean}} Part
 * @typedef {Part & {start: number, end: number, cut: boolean, began: number|null, done: number, settle: number|null}} Leg
 * @typedef {{type: string, active: number, real: number, reason?: string}} Point
 * @typedef {ReturnType<typeof view>} View
 */

// A page that was gone for longer than this was not trained with.
const longestGap = 6 * 3600_000
// A part is announced half a minute before its end, unless it is hardly longer itself.
export const soon = 30
const leastForSoon = 45

// between is how many milliseconds passed from a to b, never below 0. Within one life
// the page's clock tells, which nobody can set; across lives only the wall's can.
/** @param {Stamp} a @param {Stamp} b */
export function between(a, b) {
  return Math.max(0, a.life === b.life ? b.mono - a.mono : b.wall - a.wall)
}

// timeline puts two clocks to the events: active runs while the session does, real
// always. The last point is now, or the stop.
/** @param {Event[]} events @param {Stamp} now @returns {Point[]} */
export function timeline(events, now) {
  const first = events.findIndex(e => e.type === 'start')
  if (first < 0) return []
  /** @type {Point[]} */
  const points = []
  let active = 0
  let real = 0
  let running = false
  /** @type {Stamp|null} */
  let last = null
  /** @type {(Stamp & {type: string, reason?: string})[]} */
  const all = [...events.slice(first), { ...now, type: 'now' }]
  for (const e of all) {
    if (last) {
      const passed = between(last, e)
      const away = e.life !== last.life && passed > longestGap
      real += passed
      if (running && !away) active += passed
    }
    if (!last || e.type === 'resume') running = true
    if (e.type === 'pause') running = false
    points.push({ type: e.type, active, real, reason: e.reason })
    if (e.type === 'stop') break
    last = e
  }
  return points
}

// elapsed is how many milliseconds of the session have passed, without pauses.
/** @param {Event[]} events @param {Stamp} now */
export const elapsed = (events, now) => timeline(events, now).at(-1)?.active ?? 0

// parts are the plan in order: the warm-up, the blocks, the cool-down.
/** @param {Plan} plan @returns {Part[]} */
export function parts(plan) {
  const blocks = plan.blocks.map((b, index) => ({
    what: 'block', kind: b.kind, seconds: b.planned_s, index,
    judged: b.kind === 'walk' && index > 0 && plan.blocks[index - 1].kind === 'run',
  }))
  /** @param {'warm'|'cool'} what @param {number} seconds */
  const around = (what, seconds) => (seconds > 0 ? [{ what, kind: 'walk', seconds, index: -1, judged: false }] : [])
  return /** @type {Part[]} */ ([...around('warm', plan.warm_s), ...blocks, ...around('cool', plan.cool_s)])
}

// course lays the parts along the timeline: where each began and ended in active
// milliseconds, when it really began, how much of it is done.
/** @param {Plan} plan @param {Point[]} line @returns {Leg[]} */
function course(plan, line) {
  const active = line.at(-1)?.active ?? 0
  const skips = line.filter(p => p.type === 'skip')
  const taps = tapped(line)
  /** @type {Leg[]} */
  const legs = []
  let start = 0
  /** @type {number|null} */
  let began = line.length ? 0 : null
  for (const part of parts(plan)) {
    const whole = start + 1000 * part.seconds
    const skip = skips.length && skips[0].active < whole ? skips.shift() : undefined
    const end = skip ? Math.max(start, skip.active) : whole
    /** @type {Leg} */
    const leg = { ...part, start, end, cut: Boolean(skip), began, done: 0, settle: null }
    leg.done = began === null ? 0 : Math.round((Math.min(active, end) - start) / 1000)
    if (part.judged && ranBefore(legs)) leg.settle = settled(leg, taps)
    legs.push(leg)
    began = skip ? skip.real : reached(line, end)
    start = end
  }
  return legs
}

// ranBefore says whether anything of the run before was done.
/** @param {Leg[]} legs */
const ranBefore = legs => (legs.at(-1)?.done ?? 0) > 0

// tapped are the taps that were not taken back.
/** @param {Point[]} line */
function tapped(line) {
  const taps = []
  for (const p of line) {
    if (p.type === 'breath') taps.push(p)
    if (p.type === 'unbreath') taps.pop()
  }
  return taps
}

// settled is how many seconds after the walk began the breath was back; null: nobody
// tapped. Breath comes back while standing too, so a pause counts here.
/** @param {Leg} leg @param {Point[]} taps */
function settled(leg, taps) {
  const { began } = leg
  if (began === null) return null
  const tap = taps.find(p => p.active >= leg.start && (leg.cut ? p.active <= leg.end : p.active < leg.end) && p.real >= began)
  return tap ? Math.min(Math.round((tap.real - began) / 1000), leg.seconds) : null
}

// reached is when, in real milliseconds, so much was active for the first time; null:
// not yet.
/** @param {Point[]} line @param {number} active */
function reached(line, active) {
  const p = line.find(point => point.active >= active)
  return p ? p.real - (p.active - active) : null
}

const before = /** @type {const} */ ('before')
const over = /** @type {const} */ ('over')

// nowhere is where a session stands that is not begun, or that is over.
const nowhere = { walkNumber: 0, runNumber: 0, index: -1, kind: null, judged: false, secondsLeft: 0, secondsDone: 0, next: null, breathAt: null, soon: false }

// view is the session as it stands now.
/** @param {Plan} plan @param {Event[]} events @param {Stamp} now */
export function view(plan, events, now) {
  const line = timeline(events, now)
  const legs = course(plan, line)
  const active = line.at(-1)?.active ?? 0
  const stopped = line.at(-1)?.type === 'stop'
  const at = stopped ? -1 : legs.findIndex(leg => active < leg.end)
  const blocks = legs.filter(leg => leg.what === 'block')
  const around = {
    total: blocks.reduce((sum, b) => sum + b.seconds, 0),
    elapsed: blocks.reduce((sum, b) => sum + b.done, 0),
    walks: blocks.filter(b => b.kind === 'walk').length, runs: blocks.filter(b => b.kind === 'run').length,
    blocks, part: at, paused: line.length > 0 && !stopped && pausedAt(line),
    reason: stopped ? line.at(-1)?.reason : undefined,
  }
  if (!line.length) return { ...around, ...nowhere, phase: before, part: -1 }
  if (at < 0) return { ...around, ...nowhere, phase: over }
  const leg = legs[at]
  const left = (leg.end - active) / 1000
  const upTo = blocks.slice(0, leg.index + 1)
  return {
    ...around, phase: leg.what, index: leg.index, kind: leg.kind,
    walkNumber: upTo.filter(b => b.kind === 'walk').length, runNumber: upTo.filter(b => b.kind === 'run').length,
    judged: leg.judged && ranBefore(legs.slice(0, at)), secondsLeft: Math.ceil(left), secondsDone: Math.floor((active - leg.start) / 1000),
    next: nextOf(legs[at + 1]), breathAt: leg.settle, soon: leg.seconds >= leastForSoon && left <= soon,
  }
}

/** @param {Leg|undefined} leg */
const nextOf = leg => (leg ? { what: leg.what, kind: leg.kind, seconds: leg.seconds } : null)

/** @param {Point[]} line */
function pausedAt(line) {
  const change = line.findLast(p => p.type === 'start' || p.type === 'pause' || p.type === 'resume')
  return change?.type === 'pause'
}

// ahead are the changes to come, in seconds from now: what begins, and half a minute
// before an end. Nothing comes while paused.
/** @param {Plan} plan @param {Event[]} events @param {Stamp} now */
export function ahead(plan, events, now) {
  const state = view(plan, events, now)
  if (state.paused || state.part < 0) return []
  const line = timeline(events, now)
  const legs = course(plan, line)
  const active = line[line.length - 1].active
  /** @type {{in: number, cue: import('./cues.js').Cue}[]} */
  const list = []
  for (let i = state.part; i < legs.length; i++) {
    const warn = legs[i].end - 1000 * soon
    if (legs[i].seconds >= leastForSoon && warn > active) list.push({ in: (warn - active) / 1000, cue: 'soon' })
    const next = legs[i + 1]
    list.push({ in: (legs[i].end - active) / 1000, cue: !next ? 'end' : next.what === 'block' ? next.kind : next.what })
  }
  return list
}

// result is what the session came to, for the form and for the recording. marks are
// whole seconds since the start event, pauses included: where each block began, and
// where the last ended.
/** @param {Plan} plan @param {Event[]} events @param {Stamp} now */
export function result(plan, events, now) {
  const line = timeline(events, now)
  const legs = course(plan, line)
  const blocks = legs.filter(leg => leg.what === 'block')
  const start = events.find(e => e.type === 'start')
  const after = legs[legs.indexOf(blocks[blocks.length - 1]) + 1]
  const over = line.at(-1)?.real ?? 0
  const ended = Math.min(over, after ? after.began ?? over : reached(line, blocks[blocks.length - 1]?.end) ?? over)
  const marks = [...blocks.map(b => b.began ?? ended), ended].map(ms => Math.round(Math.min(ms, ended) / 1000))
  const done = blocks.reduce((sum, b) => sum + b.done, 0)
  const wall = start?.wall ?? now.wall
  return {
    startedAt: new Date(wall).toISOString(),
    begunAt: new Date(wall + (blocks[0]?.began ?? 0)).toISOString(), // of the first block
    outcome: outcome(blocks, done, line.at(-1)?.reason), reason: line.at(-1)?.reason,
    blocks: blocks.map(b => ({ kind: b.kind, planned_s: b.seconds, done_s: b.done, settle_s: b.settle === null ? null : Math.min(b.settle, b.done) })),
    taps: blocks.filter(b => b.settle !== null).length,
    judged: blocks.filter((b, i) => b.judged && b.done > 0 && blocks[i - 1].done > 0).length,
    marks, minutes: Math.round(done / 60),
    warm_up: whole(legs, 'warm'), cool_down: whole(legs, 'cool'),
  }
}

// whole says whether the warm-up or the cool-down was gone through to its end. Where it
// was not, it may have been done elsewhere, so nothing is said.
/** @param {Leg[]} legs @param {'warm'|'cool'} what */
const whole = (legs, what) => legs.some(leg => leg.what === what && !leg.cut && leg.done >= leg.seconds)

// outcome is what the form begins with; the athlete may say otherwise.
/** @param {Leg[]} blocks @param {number} done @param {string} [reason] */
function outcome(blocks, done, reason) {
  if (reason === 'pain') return 'pain'
  if (done === 0) return reason === 'weather' ? 'called_off' : 'missed'
  return blocks.every(b => b.done >= b.seconds) ? 'all' : 'part'
}
