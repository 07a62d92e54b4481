// Passkeys: a form that is sent with what a passkey signed. Its address for the
// question stands in data-passkey, the host name it works at in data-site. Without
// this, or where the browser has no passkeys, the form stays hidden.

/** @typedef {{next?: string, message?: string, fields?: {message: string}[]}} Told */
/** @typedef {{id: string, type: PublicKeyCredentialType, transports?: AuthenticatorTransport[]}} Named */
/** @typedef {Omit<PublicKeyCredentialRequestOptions, 'challenge'|'allowCredentials'> & {challenge: string, allowCredentials?: Named[]}} ToSign */
/** @typedef {Omit<PublicKeyCredentialCreationOptions, 'challenge'|'excludeCredentials'|'user'> & {challenge: string, excludeCredentials?: Named[], user: {id: string, name: string, displayName: string}}} ToMake */

// Refused is what a person reads in place of an error.
class Refused extends Error {}

/** @param {string} text base64url @returns {Uint8Array<ArrayBuffer>} */
export const bytes = text => Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), c => c.charCodeAt(0))

/** @param {ArrayBuffer|null} buffer */
export const text = buffer => buffer
  ? btoa(String.fromCharCode(...new Uint8Array(buffer))).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')
  : undefined

/** @param {Named[]} [list] */
const named = list => list?.map(k => ({ ...k, id: bytes(k.id) }))

// here says whether the browser has passkeys, and for pages of the site.
/** @param {string} [site] */
const here = site => Boolean(site) && isSecureContext && 'PublicKeyCredential' in window &&
  (location.hostname === site || location.hostname.endsWith('.' + site))

// post sends fields and gives what was answered; a refusal is thrown in its words.
/** @param {string} address @param {Iterable<[string, string]>} fields @returns {Promise<any>} */
async function post(address, fields) {
  let answer
  try {
    answer = await fetch(address, { method: 'POST', headers: { Accept: 'application/json' }, body: new URLSearchParams([...fields]) })
  } catch {
    throw new Refused('Halfhour cannot be reached just now. Try again.')
  }
  /** @type {Told} */
  const told = await answer.json().catch(() => ({}))
  if (answer.ok) return told
  throw new Refused(told.fields?.[0]?.message || told.message || 'That did not work. Load the page again.')
}

// signed asks a passkey to sign, or to be made where the question names a person.
/** @param {ToSign|ToMake} question */
async function signed(question) {
  const key = /** @type {PublicKeyCredential|null} */ ('user' in question
    ? await navigator.credentials.create({ publicKey: { ...question, challenge: bytes(question.challenge), user: { ...question.user, id: bytes(question.user.id) }, excludeCredentials: named(question.excludeCredentials) } })
    : await navigator.credentials.get({ publicKey: { ...question, challenge: bytes(question.challenge), allowCredentials: named(question.allowCredentials) } }))
  if (!key) throw new Refused('No passkey answered.')
  return JSON.stringify({ id: key.id, rawId: text(key.rawId), type: key.type, response: responseOf(key.response), clientExtensionResults: {} })
}

/** @param {AuthenticatorResponse} r */
function responseOf(r) {
  const clientDataJSON = text(r.clientDataJSON)
  if (r instanceof AuthenticatorAttestationResponse) {
    return { clientDataJSON, attestationObject: text(r.attestationObject), transports: r.getTransports?.() ?? [] }
  }
  const a = /** @type {AuthenticatorAssertionResponse} */ (r)
  return { clientDataJSON, authenticatorData: text(a.authenticatorData), signature: text(a.signature), userHandle: text(a.userHandle) }
}

// inWords is what a person reads of an error.
/** @param {unknown} error */
function inWords(error) {
  if (error instanceof Refused) return error.message
  switch (error instanceof DOMException ? error.name : '') {
    case 'NotAllowedError':
    case 'AbortError':
      return 'That was broken off, or there is no passkey for Halfhour on this device. Try again, or take another way in.'
    case 'InvalidStateError':
      return 'This device holds a passkey of yours already.'
    case 'SecurityError':
      return 'Passkeys do not work at this address.'
  }
  return 'This browser could not use a passkey. Take another way in.'
}

/** @param {HTMLFormElement} form @param {string} words */
function say(form, words) {
  const line = form.querySelector('[data-refused]')
  if (!(line instanceof HTMLElement)) return
  line.className = words && 'wrong'
  line.textContent = words
  line.hidden = !words
}

/** @param {HTMLFormElement} form */
async function send(form) {
  say(form, '')
  try {
    const question = await post(form.dataset.passkey ?? '', [])
    const answer = await signed(question)
    const fields = Array.from(new FormData(form), ([name, value]) => /** @type {[string, string]} */ ([name, String(value)]))
    location.assign((await post(form.action, [...fields, ['answer', answer]])).next ?? '/')
  } catch (error) {
    say(form, inWords(error))
    delete form.dataset.pressed // it may be sent again
  }
}

for (const form of /** @type {NodeListOf<HTMLFormElement>} */ (document.querySelectorAll('form[data-passkey]'))) {
  if (!here(form.dataset.site)) continue
  form.hidden = false
  const not = form.parentElement?.querySelector('[data-passkey-not]')
  if (not instanceof HTMLElement) not.hidden = true
  form.addEventListener('submit', event => {
    event.preventDefault()
    if (!form.dataset.pressed) send(form)
  })
}
