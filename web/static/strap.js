// A strap that speaks Bluetooth: what its bytes mean, and how to listen to it.

/** @typedef {{bpm: number|null, contact: boolean|null, energy: number|null, rr: number[]}} Beat */

// decode reads the Heart Rate Measurement characteristic (0x2A37) of the Heart
// Rate Service of the Bluetooth SIG: flags, heart rate, energy expended, beat to
// beat intervals. null: these bytes are none. bpm null: the strap feels no skin,
// or no beat, which is a dropout and never a heart rate of 0.
/** @param {DataView} view @returns {Beat|null} */
export function decode(view) {
  if (view.byteLength < 2) return null
  const flags = view.getUint8(0)
  const wide = flags & 1 ? 2 : 1
  const energyAt = 1 + wide
  let at = energyAt + (flags & 8 ? 2 : 0)
  if (view.byteLength < at) return null
  if (flags & 16 && (view.byteLength - at) % 2) return null
  const rate = wide === 2 ? view.getUint16(1, true) : view.getUint8(1)
  const contact = flags & 4 ? Boolean(flags & 2) : null // null: it cannot tell
  const rr = []
  if (flags & 16) for (; at < view.byteLength; at += 2) rr.push(view.getUint16(at, true) / 1.024)
  return {
    bpm: rate === 0 || contact === false ? null : rate,
    contact,
    energy: flags & 8 ? view.getUint16(energyAt, true) : null, // kilojoules; 65535 is full
    rr, // milliseconds, the oldest first
  }
}

// Recent keeps the heart rates of the last seconds. A notification carries no time,
// so each counts from its arrival.
export class Recent {
  /** @type {[number, number][]} when, and beats a minute */
  #beats = []

  /** @param {number} seconds */
  constructor(seconds, now = () => performance.now()) {
    this.span = 1000 * seconds
    this.now = now
  }

  /** @param {number} bpm */
  add(bpm) {
    this.#beats.push([this.now(), bpm])
  }

  // mean is the mean of the last seconds in whole beats; null: nothing was heard.
  mean() {
    const since = this.now() - this.span
    this.#beats = this.#beats.filter(([at]) => at >= since)
    if (!this.#beats.length) return null
    return Math.round(this.#beats.reduce((sum, [, bpm]) => sum + bpm, 0) / this.#beats.length)
  }
}

// choose lets the person choose a strap. It has to be called from a tap.
/** @param {Bluetooth} bluetooth */
export const choose = bluetooth => bluetooth.requestDevice({ filters: [{ services: ['heart_rate'] }] })

// attend connects a chosen strap and gives its notifications to the listener; the same
// listener may be given again after the strap was lost.
/** @param {BluetoothDevice} device @param {(event: Event) => void} listener */
export async function attend(device, listener) {
  if (!device.gatt) throw new Error('this strap cannot be connected')
  const server = await device.gatt.connect()
  const service = await server.getPrimaryService('heart_rate')
  const measurement = await service.getCharacteristic('heart_rate_measurement')
  measurement.addEventListener('characteristicvaluechanged', listener)
  await measurement.startNotifications()
}

// beatOf is what a notification says; null: nothing that can be read.
/** @param {Event} event */
export function beatOf(event) {
  const { value } = /** @type {BluetoothRemoteGATTCharacteristic} */ (event.target)
  return value ? decode(value) : null
}

// listen lets the person choose a strap and hears it: heard gets what decode gives,
// gone is called once it falls silent. It has to be called from a tap.
/** @param {Bluetooth} bluetooth @param {(beat: Beat) => void} heard @param {() => void} gone */
export async function listen(bluetooth, heard, gone) {
  const device = await choose(bluetooth)
  device.addEventListener('gattserverdisconnected', gone)
  await attend(device, event => {
    const beat = beatOf(event)
    if (beat) heard(beat)
  })
  return device.name || ''
}
