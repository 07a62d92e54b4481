// The heart rate of a strap during a session: shown, and kept in chunks. What the strap
// does not feel stays a dropout.
import { attend, beatOf, choose } from '../strap.js'

const pauses = [1, 2, 4, 8, 15, 30] // seconds between tries to find it again; the last one stays
const chunk = 10 // samples written at once
const silence = 6000 // ms after which a rate is not shown any more

export class Pulse {
  /**
   * @param {{bluetooth: Bluetooth, since: () => number|null, keep: (list: [number, number][]) => any,
   *   found: (on: boolean) => void, show: (words: string) => void, easy: () => number|null}} wires
   * since is ms since the session began, or null before it.
   */
  constructor(wires) {
    this.wires = wires
    /** @type {BluetoothDevice|null} */
    this.device = null
    /** @type {[number, number][]} */
    this.buffer = []
    this.heardAt = 0
    this.on = false
    /** @param {Event} event */
    this.listener = event => this.heard(beatOf(event))
  }

  // connect lets the person choose; it has to be called from a tap.
  async connect() {
    this.wires.show('Choose your strap.')
    try {
      this.device = await choose(this.wires.bluetooth)
      this.device.addEventListener('gattserverdisconnected', () => this.lost())
      await attend(this.device, this.listener)
      this.is(true, 'The strap is connected.')
    } catch {
      this.wires.show('No strap was connected. Everything works without it.')
    }
  }

  /** @param {boolean} on @param {string} words */
  is(on, words) {
    if (this.on !== on) this.wires.found(on)
    this.on = on
    this.wires.show(words)
  }

  /** @param {import('../strap.js').Beat|null} beat */
  heard(beat) {
    if (!beat) return
    this.heardAt = performance.now()
    this.sample(beat.bpm ?? 0)
    if (!beat.bpm) return this.wires.show('The strap does not feel a beat. Is it wet, and tight?')
    const easy = this.wires.easy()
    this.wires.show(easy ? `Heart ${beat.bpm}, your easy ceiling is ${easy}` : `Heart ${beat.bpm}`)
  }

  /** @param {number} bpm */
  sample(bpm) {
    const since = this.wires.since()
    if (since === null) return
    this.buffer.push([Math.round(since), bpm])
    if (this.buffer.length >= chunk) this.flush()
  }

  // flush writes what is not written yet.
  async flush() {
    if (this.buffer.length) await this.wires.keep(this.buffer.splice(0))
  }

  // quiet takes an old rate away.
  quiet() {
    if (this.on && this.heardAt && performance.now() - this.heardAt > silence) {
      this.heardAt = 0
      this.sample(0)
      this.wires.show('The strap is silent.')
    }
  }

  // lost looks for the strap until it is there again.
  async lost() {
    if (!this.device) return
    this.sample(0)
    this.flush()
    this.is(false, 'The strap is out of reach. It is looked for.')
    for (let tries = 0; this.device; tries++) {
      await new Promise(done => setTimeout(done, 1000 * pauses[Math.min(tries, pauses.length - 1)]))
      try {
        if (!this.device) return
        await attend(this.device, this.listener)
        return this.is(true, 'The strap is back.')
      } catch { /* out of reach still */ }
    }
  }

  // end lets the strap go.
  end() {
    this.flush()
    const device = this.device
    this.device = null
    device?.gatt?.disconnect()
  }
}
