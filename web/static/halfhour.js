// Niceties only; every page works without.

/** @param {string} selector @returns {NodeListOf<HTMLFormElement>} */
const all = selector => document.querySelectorAll(selector)

// A form is sent once, however often its button is tapped.
for (const form of all('form[method=post]')) {
  form.addEventListener('submit', event => {
    if (form.dataset.pressed) event.preventDefault()
    form.dataset.pressed = '1'
  })
}
// Coming back by the back button, it may be sent again.
addEventListener('pageshow', () => {
  for (const form of all('form[data-pressed]')) delete form.dataset.pressed
})

// Signing out takes along what is kept on this phone.
for (const form of all('form[action="/sign-out"]')) {
  form.addEventListener('submit', event => {
    if (event.defaultPrevented) return
    event.preventDefault()
    import('./phone/leave.js').then(m => m.leave(form)).catch(() => form.submit())
  })
}

// What can be undone steps back after ten seconds, unless somebody is at it.
const undo = document.querySelector('.notice form')?.parentElement
if (undo) {
  const fold = () => {
    if (undo.matches(':hover, :focus-within')) setTimeout(fold, 3000)
    else undo.classList.add('folded')
  }
  setTimeout(fold, 10000)
}

// The address of a link is picked whole when it is touched.
const address = document.getElementById('address')
if (address instanceof HTMLInputElement) address.addEventListener('focus', () => address.select())

// Whoever is asked for a time zone mostly means that of this device.
const zone = document.getElementById('zone')
if (zone instanceof HTMLInputElement) zone.value ||= Intl.DateTimeFormat().resolvedOptions().timeZone

// What is wrong is where the eyes and the screen reader begin.
document.querySelector('.summary a, .wrong')?.scrollIntoView({ block: 'center' })
