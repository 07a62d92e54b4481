// The parts of the page of Go, by their names in it.

// $ is a part that the page has for sure, all are those of a selector, boxes are fields.
/** @param {string} selector */
export const $ = selector => /** @type {HTMLElement} */ (document.querySelector(selector))
/** @param {string} selector @returns {NodeListOf<HTMLElement>} */
export const all = selector => document.querySelectorAll(selector)
/** @param {string} selector @returns {NodeListOf<HTMLInputElement>} */
export const boxes = selector => document.querySelectorAll(selector)
/** @param {string} selector */
export const picture = selector => /** @type {SVGElement} */ (document.querySelector(selector))

// set says something in all places of a name; what stands there already is left, so
// that nothing is announced twice.
/** @param {string} selector @param {string} text */
export const set = (selector, text) => { for (const e of all(selector)) if (e.textContent !== text) e.textContent = text }
/** @param {string} selector @param {boolean} on */
export const shown = (selector, on) => { for (const e of all(selector)) e.hidden = !on }

// announce says something to whoever does not look.
/** @param {string} text */
export const announce = text => set('[data-announce]', text)

// screen shows one part of the page and leads the reader there.
/** @param {string} name @param {string} title */
export function screen(name, title) {
  for (const section of all('[data-screen]')) section.hidden = section.dataset.screen !== name
  document.body.classList.toggle('going', name === 'going')
  set('#title', title)
  shown('[data-state]', false)
  for (const panel of all('[data-panel]')) panel.hidden = true
  scrollTo(0, 0)
  $('#title').focus()
}

// panel opens one of the questions below the dial; empty: none.
/** @param {string} name */
export function panel(name) {
  for (const p of all('[data-panel]')) p.hidden = p.dataset.panel !== name
  shown('[data-ways]', !name)
  $(name ? `[data-panel=${name}] h2` : '[data-do=pause]')?.focus()
}
