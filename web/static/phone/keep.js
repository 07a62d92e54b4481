// The worker that keeps the pages for where there is no signal. Over plain http, but on
// this machine itself, browsers have none: then every page needs a signal.
navigator.serviceWorker?.register('/sw.js', { updateViaCache: 'none' }).catch(() => {})
