// Sound, voice and shakes at the changes of a session. Each can be switched off.

/** @typedef {'run'|'walk'|'cool'|'end'|'soon'|'warm'} Cue */

// Tones: hertz and seconds. Running rises, walking falls.
/** @type {Record<Cue, [number, number][]>} */
const tones = {
  run: [[523, 0.16], [659, 0.16], [784, 0.34]],
  walk: [[784, 0.16], [587, 0.16], [440, 0.34]],
  cool: [[587, 0.2], [440, 0.4]],
  end: [[523, 0.2], [523, 0.2], [784, 0.6]],
  soon: [[660, 0.12]],
  warm: [[440, 0.2]],
}
/** @type {Record<Cue, number[]>} */
const shakes = { run: [150, 80, 150, 80, 300], walk: [600], cool: [300, 100, 300], end: [200, 100, 200, 100, 600], soon: [90], warm: [200] }

// Cues makes itself heard and felt; what the page is for the eyes.
export class Cues {
  /** @param {{sound: boolean, voice: boolean, shake: boolean}} settings */
  constructor(settings) {
    this.settings = settings
    /** @type {AudioContext|null} */
    this.context = null
    /** @type {[number, OscillatorNode][]} */
    this.coming = [] // sounds that were laid ahead: [when, oscillator]
  }

  // unlock has to be called from a tap: browsers let no page sound before one.
  unlock() {
    const Audio = globalThis.AudioContext
    if (!Audio) return
    this.context ??= new Audio()
    if (this.context.state !== 'running') this.context.resume().catch(() => {})
  }

  // lay puts the sounds of the next changes ahead into the sound clock, so that they
  // come in time while the page is asleep. What begins within keep seconds stays.
  /** @param {{in: number, cue: Cue}[]} list @param {number} keep */
  lay(list, keep = 0) {
    const now = this.context?.currentTime ?? 0
    this.coming = this.coming.filter(([when, tone]) => {
      if (when <= now + keep) return when > now
      tone.stop(0)
      return false
    })
    if (!this.context || !this.settings.sound) return
    for (const { in: seconds, cue } of list) if (seconds > keep && seconds < 3600) this.tone(cue, now + seconds)
  }

  // sound plays a cue at once.
  /** @param {Cue} cue */
  sound(cue) {
    if (this.context && this.settings.sound) this.tone(cue, this.context.currentTime + 0.03)
  }

  /** @param {Cue} cue @param {number} at */
  tone(cue, at) {
    const { context } = this
    if (!context) return
    for (const [hertz, seconds] of tones[cue]) {
      const tone = context.createOscillator()
      const gain = context.createGain()
      tone.frequency.value = hertz
      gain.gain.setValueAtTime(0.0001, at)
      gain.gain.exponentialRampToValueAtTime(0.5, at + 0.02)
      gain.gain.exponentialRampToValueAtTime(0.0001, at + seconds)
      tone.connect(gain).connect(context.destination)
      tone.start(at)
      tone.stop(at + seconds + 0.02)
      this.coming.push([at, tone])
      at += seconds
    }
  }

  /** @param {string} words */
  say(words) {
    if (!this.settings.voice || !globalThis.speechSynthesis) return
    const speech = new SpeechSynthesisUtterance(words)
    speech.lang = 'en'
    speechSynthesis.cancel()
    speechSynthesis.speak(speech)
  }

  /** @param {Cue} cue */
  shake(cue) {
    if (this.settings.shake) navigator.vibrate?.(shakes[cue])
  }

  hush() {
    this.lay([])
    globalThis.speechSynthesis?.cancel()
  }
}
