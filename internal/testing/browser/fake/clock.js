// A clock that stands still until the test moves it. It takes the place of Date,
// performance.now and every timer of a page, and begins at the wall time it is
// given, in milliseconds; the page's own time begins anew with each page, as
// performance.now does.
(wall) => {
  if (window.testClock) return
  const real = {
    Date, setTimeout, clearTimeout, setInterval, clearInterval, requestAnimationFrame, cancelAnimationFrame,
  }
  const firstNumber = 1_000_000_000 // numbers of timers below are the browser's own
  let mono = 100 // a page is never there at once
  let next = firstNumber
  const timers = new Map()

  const start = (run, after, every, args) => {
    timers.set(++next, { at: mono + Math.max(0, Number(after) || 0), every, run, args })
    return next
  }
  const fakes = {
    setTimeout: (run, after, ...args) => start(run, after, 0, args),
    setInterval: (run, after, ...args) => start(run, after, Math.max(1, Number(after) || 0), args),
    requestAnimationFrame: run => start(() => run(mono), 16, 0, []),
  }
  const stop = (id, other) => id > firstNumber ? timers.delete(id) : other.call(window, id)
  fakes.clearTimeout = id => stop(id, real.clearTimeout)
  fakes.clearInterval = id => stop(id, real.clearInterval)
  fakes.cancelAnimationFrame = id => stop(id, real.cancelAnimationFrame)
  fakes.Date = new Proxy(real.Date, {
    construct: (to, args, made) => Reflect.construct(to, args.length ? args : [wall], made === fakes.Date ? to : made),
    apply: () => new real.Date(wall).toString(),
    get: (to, name) => name === 'now' ? () => wall : Reflect.get(to, name),
  })
  Object.assign(window, fakes)
  performance.now = () => mono
  Object.defineProperty(performance, 'timeOrigin', { value: wall - mono })

  // turn lets everything that waits for the browser itself come to its end.
  const turn = () => new Promise(done => {
    const line = new MessageChannel()
    line.port1.onmessage = done
    line.port2.postMessage(0)
  })

  const earliest = () => {
    let at = Infinity
    for (const timer of timers.values()) at = Math.min(at, timer.at)
    return at
  }
  const move = to => {
    wall += to - mono
    mono = to
  }

  // fire runs what is due, each timer once however late it is, as a browser does.
  const fire = async () => {
    const due = [...timers].filter(([, timer]) => timer.at <= mono).sort((a, b) => a[1].at - b[1].at || a[0] - b[0])
    for (const [id, timer] of due) {
      if (!timers.has(id)) continue // an earlier one stopped it
      if (timer.every) timer.at = Math.max(timer.at + timer.every, mono + 1)
      else timers.delete(id)
      try {
        timer.run.apply(window, timer.args)
      } catch (fault) {
        reportError(fault)
      }
    }
    await turn()
  }

  window.testClock = {
    // pass lets time go by. Timers run when they are due, but never closer to each
    // other than grain, as in a page that the browser slows down; a grain as long
    // as the whole is a page that was frozen.
    async pass(ms, grain) {
      const end = mono + ms
      while (mono < end) {
        move(Math.min(end, Math.max(earliest(), mono + grain)))
        await fire()
      }
      await turn()
    },
    // shift changes the clock on the wall alone, as somebody does who sets it.
    shift(ms) { wall += ms },
    // free lets a tool of the test use the browser's own time meanwhile.
    async free(work) {
      Object.assign(window, real)
      delete performance.now
      try {
        return await work()
      } finally {
        Object.assign(window, fakes)
        performance.now = () => mono
      }
    },
    now: () => ({ wall, mono }),
    waiting: () => timers.size,
  }
}
