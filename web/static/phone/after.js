// The form after a session: filled in from what happened, read again when it is sent.
import { inZone, time } from './words.js'

/** @typedef {[string, string][]} Entries */

// Why somebody stopped, as far as no other field says it: the note begins with it.
/** @type {Record<string, string>} */
const stopped = { tired: 'Stopped early: too tired.', weather: 'Stopped early: the weather.' }

// entriesOf are the form's fields as the session left them.
/** @param {import('./store.js').Session} session @param {ReturnType<typeof import('./session.js').result>} result
 * @param {boolean} [hot] the weather of its hour says so @returns {Entries} */
export function entriesOf(session, result, hot = false) {
  const { date, clock } = inZone(result.begunAt, session.week.time_zone)
  /** @type {Entries} */
  const list = [['kind', 'planned'], ['key', session.key], ['phase', session.plan.phase], ['date', date], ['clock', clock], ['done', result.outcome]]
  if (result.outcome === 'pain') list.push(['pain', 'some'])
  if (result.reason && stopped[result.reason]) list.push(['note', stopped[result.reason]])
  if (hot) list.push(['hot', '1'])
  for (const name of /** @type {const} */ (['warm_up', 'cool_down'])) if (result[name]) list.push([name, 'done'])
  result.blocks.forEach((b, i) => {
    const at = `blocks[${i}].`
    list.push([`${at}kind`, b.kind], [`${at}planned_s`, String(b.planned_s)], [`${at}done_min`, String(Math.floor(b.done_s / 60))],
      [`${at}done_sec`, String(b.done_s % 60)], [`${at}settle_s`, b.settle_s === null ? '' : String(b.settle_s)])
  })
  return list
}

// summary says what happened: "6 of 6 runs, 30 min. Breath back after 52 s, 48 s."
/** @param {ReturnType<typeof import('./session.js').result>} result */
export function summary(result) {
  const runs = result.blocks.filter(b => b.kind === 'run')
  const whole = runs.filter(b => b.done_s >= b.planned_s).length
  const done = result.blocks.reduce((sum, b) => sum + b.done_s, 0)
  const what = runs.length ? `${whole} of ${runs.length} ${runs.length === 1 ? 'run' : 'runs'} in full, ${time(done)} in all.` : `${time(done)} of walking.`
  const settled = result.blocks.flatMap(b => (b.settle_s === null ? [] : [time(b.settle_s)]))
  return settled.length ? `${what} Breath back after ${settled.join(', ')}.` : what
}

// one is an element that the page has for sure.
/** @param {ParentNode} within @param {string} selector */
const one = (within, selector) => /** @type {HTMLElement} */ (within.querySelector(selector))

/** @param {ParentNode} within @param {string} selector @returns {NodeListOf<HTMLInputElement>} */
const fields = (within, selector) => within.querySelectorAll(selector)

// fill puts the entries into the form, with one row for each block.
/** @param {HTMLFormElement} form @param {Entries} entries */
export function fill(form, entries) {
  form.reset()
  const all = new Map(entries)
  rows(form, all)
  for (const [name, value] of entries) {
    for (const field of fields(form, `[name="${CSS.escape(name)}"]`)) {
      if (field.type === 'radio') field.checked ||= field.value === value
      else if (field.type === 'checkbox') field.checked ||= field.value === value
      else if (!(field.type === 'hidden' && name.startsWith('pain['))) field.value = value
    }
  }
  const runs = entries.some(([name, value]) => /^blocks\[\d+\]\.kind$/.test(name) && value === 'run')
  one(form, '#talk legend').textContent = runs ? 'While running, could you talk?' : 'While walking, could you talk?'
  elsewhere(form, entries)
}

// elsewhere puts back a place that was typed: the last pain row is the free one.
/** @param {HTMLFormElement} form @param {Entries} entries */
function elsewhere(form, entries) {
  const [free] = fields(form, '.else input[name^="pain["]')
  const site = free && new Map(entries).get(free.name)
  if (site) free.value = site
}

// rows makes the rows of the blocks anew.
/** @param {HTMLFormElement} form @param {Map<string, string>} all */
function rows(form, all) {
  const box = one(form, '[data-rows]')
  const template = /** @type {HTMLTemplateElement} */ (document.getElementById('row')).content
  const counts = { run: 0, walk: 0 }
  box.replaceChildren()
  for (let i = 0; all.has(`blocks[${i}].planned_s`); i++) {
    const kind = all.get(`blocks[${i}].kind`) === 'run' ? 'run' : 'walk'
    const row = /** @type {DocumentFragment} */ (template.cloneNode(true))
    for (const e of row.querySelectorAll('[name],[id],[aria-labelledby]')) {
      for (const a of ['name', 'id', 'aria-labelledby']) {
        const value = e.getAttribute(a)
        if (value !== null) e.setAttribute(a, value.replace('blocks[0].', `blocks[${i}].`))
      }
    }
    const block = one(row, '.block')
    block.className = `block ${kind}`
    one(block, 'span').replaceChildren(`${kind === 'run' ? 'Run' : 'Walk'} ${++counts[kind]} `, small(time(Number(all.get(`blocks[${i}].planned_s`)))))
    if (!(kind === 'walk' && all.get(`blocks[${i - 1}].kind`) === 'run')) one(block, '.bb').remove()
    box.append(row)
  }
}

/** @param {string} words */
function small(words) {
  const s = document.createElement('small')
  s.textContent = words
  return s
}

// read gives the form's entries as they are sent: what does not go with the answers
// stays out.
/** @param {HTMLFormElement} form @returns {Entries} */
export function read(form) {
  /** @type {Entries} */
  const list = Array.from(new FormData(form), ([name, value]) => [name, String(value)])
  const told = new Map(list)
  const undone = ['missed', 'called_off'].includes(told.get('done') ?? '')
  const noPain = told.get('pain') !== 'some'
  const hidden = one(form, '#breath')?.hidden
  return list.filter(([name, value]) => {
    if (name.startsWith('pain[') || name === 'limp') return !noPain && (!name.endsWith('.score') || value !== '')
    if (undone && ['effort', 'talk', 'breath', 'hot', 'warm_up', 'cool_down'].includes(name)) return false
    return !(name === 'breath' && hidden)
  })
}

// faults are what can be seen to be wrong without asking anybody.
/** @param {Entries} entries @returns {{place: string, message: string}[]} */
export function faults(entries) {
  const told = new Map(entries)
  const list = []
  if (!told.get('done')) list.push({ place: 'done', message: 'Please say what became of the session.' })
  if (told.get('pain') === 'some' && !entries.some(([name, value]) => name.endsWith('.score') && value)) list.push({ place: 'pain', message: 'Please say where it hurt, and how much.' })
  if (!['part', 'pain', 'all'].includes(told.get('done') ?? '')) return list
  let short = false
  for (let i = 0; told.has(`blocks[${i}].planned_s`); i++) {
    const [min, sec, settle] = ['done_min', 'done_sec', 'settle_s'].map(what => told.get(`blocks[${i}].${what}`) ?? '')
    short ||= 60 * Number(min) + Number(sec) < Number(told.get(`blocks[${i}].planned_s`))
    if (![min, sec, settle].every(n => /^\d*$/.test(n)) || min + sec === '') list.push({ place: `blocks[${i}].done_s`, message: 'Whole minutes and seconds, please.' })
    else if (settle && Number(settle) > 60 * Number(min) + Number(sec)) list.push({ place: `blocks[${i}].settle_s`, message: 'The breath cannot be back after the end of the walk.' })
  }
  if (told.get('done') === 'part' && !short) list.push({ place: 'blocks', message: 'Please say how far it went.' })
  return list
}

// mark shows what is wrong, at its field and on top, and leads there.
/** @param {HTMLFormElement} form @param {{place: string, message: string}[]} list @param {string} message */
export function mark(form, list, message = '') {
  for (const old of form.querySelectorAll('.wrong,.summary')) old.remove()
  if (!list.length && !message) return
  const top = document.createElement('section')
  top.className = 'summary'
  top.setAttribute('role', 'alert')
  const words = [message, ...list.map(f => f.message)].filter(Boolean)
  top.append(...words.map(text => Object.assign(document.createElement('p'), { textContent: text })))
  form.prepend(top)
  for (const { place, message: text } of list) {
    const at = form.querySelector(`#${CSS.escape(place)}`) ?? form.querySelector(`[name="${CSS.escape(place.replace('done_s', 'done_min'))}"]`)
    const wrong = Object.assign(document.createElement('p'), { className: 'wrong', textContent: text })
    const box = at?.closest('.block, fieldset, .field, .else') ?? null
    if (!box) continue
    for (let up = box.parentElement; up; up = up.parentElement) if (up instanceof HTMLDetailsElement) up.open = true
    const legend = box.tagName === 'FIELDSET' ? box.querySelector('legend') : null
    if (legend) legend.after(wrong)
    else box.prepend(wrong)
  }
  top.tabIndex = -1
  top.focus()
}

// alarm is what has to be said at once: the same as the server says after storing it
// (rules 6.1, 6.4 and 6.5). null: nothing.
/** @param {Entries} entries @param {Set<string>} bones @returns {'stop'|'bone'|'paused'|null} */
export function alarm(entries, bones) {
  const signs = entries.filter(([name]) => name === 'signs').map(([, value]) => value)
  if (signs.some(sign => !bones.has(sign))) return 'stop'
  if (signs.length) return 'bone'
  const hurts = entries.some(([name, value]) => /^pain\[\d+\]\.score$/.test(name) && Number(value) >= pauseScore)
  const told = new Map(entries)
  return hurts || told.has('limp') || told.get('done') === 'pain' ? 'paused' : null
}

// pauseScore is the pain from which running pauses (rule 6.1).
const pauseScore = 6
