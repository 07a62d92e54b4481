// A phone whose parts write down what they were asked for, and do what the test
// says: a screen that can be kept on, a voice, sounds, vibration, and a strap.
() => {
  if (window.testPhone) return
  const life = Math.random().toString(36).slice(2)
  const note = (kind, what = '', mono = performance.now()) => window.testNote?.(JSON.stringify({
    kind, what: String(what), life, wall: Date.now() + mono - performance.now(), mono,
  }))
  const put = (on, name, value) => Object.defineProperty(on, name, { value, configurable: true })
  const refused = () => new DOMException('not allowed', 'NotAllowedError')

  // The screen.
  let hidden = false
  const held = new Set()
  Object.defineProperty(document, 'hidden', { get: () => hidden })
  Object.defineProperty(document, 'visibilityState', { get: () => hidden ? 'hidden' : 'visible' })
  const seen = now => {
    hidden = !now
    if (hidden) for (const lock of [...held]) lock.release()
    document.dispatchEvent(new Event('visibilitychange'))
  }
  class Lock extends EventTarget {
    released = false
    type = 'screen'
    async release() {
      if (this.released) return
      this.released = true
      held.delete(this)
      note('dark')
      this.dispatchEvent(new Event('release'))
    }
  }
  let wakes = true
  put(navigator, 'wakeLock', {
    async request(what) {
      if (hidden || !wakes) throw refused()
      const lock = new Lock()
      held.add(lock)
      note('awake', what)
      return lock
    },
  })

  // What can be felt and heard.
  put(navigator, 'vibrate', pattern => { note('shake', [pattern].flat().join(' ')); return true })
  const voice = new EventTarget()
  Object.assign(voice, {
    speaking: false, pending: false, paused: false,
    getVoices: () => [],
    speak(words) {
      note('say', words.text)
      setTimeout(() => words.dispatchEvent(new Event('end')), 10)
    },
    cancel() {}, pause() {}, resume() {},
  })
  put(window, 'speechSynthesis', voice)

  // A sound is written down when it begins; one that is taken back before never is.
  class Param {
    value = 0
    setValueAtTime() { return this }
    linearRampToValueAtTime() { return this }
    exponentialRampToValueAtTime() { return this }
    setTargetAtTime() { return this }
    cancelScheduledValues() { return this }
  }
  class Node extends EventTarget {
    gain = new Param()
    frequency = new Param()
    detune = new Param()
    connect(to) { return to }
    disconnect() {}
  }
  class Tone extends Node {
    type = 'sine'
    constructor(context) { super(); this.context = context }
    start(when = 0) {
      const at = Math.max(1000 * when, performance.now())
      this.wait = setTimeout(() => { // sounds come in time, also where a page's timers are late
        note(this.context.state === 'running' ? 'tone' : 'no tone', Math.round(this.frequency.value), at)
        this.begun = true
      }, at - performance.now())
    }
    stop(when = 0) {
      if (!this.begun && when <= this.context.currentTime) clearTimeout(this.wait)
      else setTimeout(() => { this.onended?.(); this.dispatchEvent(new Event('ended')) }, 1000 * Math.max(0, when - this.context.currentTime))
    }
  }
  window.AudioContext = class extends EventTarget {
    state = 'suspended'
    destination = new Node()
    sampleRate = 48000
    get currentTime() { return performance.now() / 1000 }
    createOscillator() { return new Tone(this) }
    createGain() { return new Node() }
    createBiquadFilter() { return new Node() }
    async resume() { this.state = navigator.userActivation?.hasBeenActive === false ? 'suspended' : 'running' }
    async suspend() { this.state = 'suspended' }
    async close() { this.state = 'closed' }
  }

  // The strap.
  const measurement = new EventTarget()
  measurement.startNotifications = async () => measurement
  measurement.stopNotifications = async () => measurement
  const device = new EventTarget()
  let near = true
  const gatt = {
    connected: false,
    async connect() {
      note('connect')
      if (!near) throw new DOMException('out of reach', 'NetworkError')
      gatt.connected = true
      return gatt
    },
    disconnect() { gone() },
    getPrimaryService: async () => ({ getCharacteristic: async () => measurement }),
  }
  const gone = () => {
    if (!gatt.connected) return
    gatt.connected = false
    device.dispatchEvent(new Event('gattserverdisconnected'))
  }
  Object.assign(device, { name: 'A strap', id: 'strap', gatt, watchAdvertisements: async () => {} })
  put(navigator, 'bluetooth', {
    getAvailability: async () => true,
    getDevices: async () => [],
    requestDevice: async () => { note('choose'); return device },
  })

  // What was really hit: a page may move while a finger is on its way.
  const hits = []
  addEventListener('click', event => hits.push(event.target.closest?.('button, a, label, summary')), true)

  window.testPhone = {
    life,
    hit: selector => hits.some(e => e?.matches(selector)),
    miss() { hits.length = 0 },
    beat(bytes) { // what the strap says now; nothing where it is not connected
      if (!gatt.connected) return false
      measurement.value = new DataView(new Uint8Array(bytes).buffer)
      measurement.dispatchEvent(new Event('characteristicvaluechanged'))
      return true
    },
    away() { near = false; gone() },
    near() { near = true },
    hide() { seen(false) },
    show() { seen(true) },
    sleepless(can) { wakes = can },
    awake: () => held.size > 0,
  }
  note('opened', location.pathname)
}
