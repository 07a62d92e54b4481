// Without this, a tap on − or + is a round trip to the server and works all the same.

/** @param {string} typed */
const number = typed => Number(typed.trim().replace(',', '.'))

/** The next weight there is, or half a kilogram away where none is listed.
 * @param {number[]} weights @param {number} from @param {number} by */
const weight = (weights, from, by) => {
  const next = by > 0 ? weights.find(w => w > from) : weights.findLast(w => w < from)
  return next ?? Math.max(0, from + by / 2)
}

document.addEventListener('click', event => {
  const button = event.target instanceof Element ? event.target.closest('button[name=step]') : null
  if (!(button instanceof HTMLButtonElement)) return
  const input = button.parentElement?.querySelector('input')
  const by = Number(button.dataset.by)
  if (!input || !by) return
  event.preventDefault()
  const from = number(input.value) || 0
  input.value = String(input.dataset.weights ? weight(input.dataset.weights.split(' ').map(Number), from, by) : Math.max(0, from + by))
})
