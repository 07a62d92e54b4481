// What the server puts before web/static/phone/sw.js.
declare global {
  const shell: { version: string; base: string; files: string[] }
}
export {}
