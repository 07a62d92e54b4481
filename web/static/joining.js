// “None of these” and what is true put each other out. Without this the server says
// that the two do not go together.
document.addEventListener('change', event => {
  const box = event.target
  if (!(box instanceof HTMLInputElement) || box.type !== 'checkbox' || !box.checked) return
  for (const other of box.form?.elements ?? []) {
    if (!(other instanceof HTMLInputElement) || other.name !== box.name || other === box) continue
    if (box.value === 'none' || other.value === 'none') other.checked = false
  }
})
