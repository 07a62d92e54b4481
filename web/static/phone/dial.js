// The dial of half an hour: runs thick, walks thin, what is done strong, what is to
// come pale, the time until the breath was back hatched.

/** @typedef {import('./session.js').Leg} Leg */

const space = 'http://www.w3.org/2000/svg'
const middle = 160
const radius = 142
const gap = 0.011 // of a turn, between two blocks
const turn = 2 * Math.PI

/** draw puts the session into the picture. @param {SVGElement} svg @param {import('./session.js').View} state */
export function draw(svg, state) {
  /** @type {SVGPathElement[]} */
  const paths = []
  const tapped = state.blocks.some(b => b.settle !== null)
  let from = 0
  for (const b of state.blocks) {
    const now = b.index === state.index
    const whole = Math.min(gap, b.seconds / state.total / 3)
    /** @param {number} seconds */
    const at = seconds => (from + seconds) / state.total
    /** @param {string} kind @param {number} a @param {number} z */
    const arc = (kind, a, z) => { if (at(z) - at(a) > whole) paths.push(path(kind, at(a) + whole / 2, at(z) - whole / 2)) }
    const over = b.cut || state.phase === 'over' || state.phase === 'cool'
    arc(`${b.kind} ${over ? 'left' : 'todo'}`, b.done, b.seconds)
    arc(`${b.kind} done`, 0, b.done)
    if (b.judged && b.done > 0 && (now || tapped)) arc('rust', 0, Math.min(b.settle ?? b.done, b.done))
    from += b.seconds
  }
  svg.replaceChildren(...paths, ...hand(state))
}

// hand is the dot where the session stands.
/** @param {import('./session.js').View} state */
function hand(state) {
  if (state.index < 0) return []
  const before = state.blocks.slice(0, state.index).reduce((sum, b) => sum + b.seconds, 0)
  const [x, y] = point((before + state.blocks[state.index].done) / state.total)
  const dot = document.createElementNS(space, 'circle')
  for (const [name, value] of Object.entries({ cx: x, cy: y, r: 9, class: 'hand' })) dot.setAttribute(name, String(value))
  return [dot]
}

// point is where a part of the turn lies on the dial, from the top on.
/** @param {number} part */
function point(part) {
  return [middle + radius * Math.sin(turn * part), middle - radius * Math.cos(turn * part)].map(n => n.toFixed(2))
}

/** @param {string} kind @param {number} a @param {number} z */
function path(kind, a, z) {
  const [x0, y0] = point(a)
  const [x1, y1] = point(z)
  const arc = document.createElementNS(space, 'path')
  arc.setAttribute('class', kind)
  arc.setAttribute('d', `M${x0} ${y0}A${radius} ${radius} 0 ${z - a > 0.5 ? 1 : 0} 1 ${x1} ${y1}`)
  return arc
}
