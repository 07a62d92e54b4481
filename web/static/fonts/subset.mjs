// node subset.mjs FOLDER: makes the fonts of web/static/fonts.
import subsetFont from 'subset-font'
import { readFileSync, writeFileSync } from 'node:fs'

const folder = process.argv[2]
const chars = (...ranges) => ranges.map(([a, b = a]) =>
  Array.from({ length: b - a + 1 }, (_, i) => String.fromCodePoint(a + i)).join('')).join('')

// Latin: ASCII and the punctuation that the pages use.
const latin = chars([0x20, 0x7e], [0xa0], [0xb7], [0xbd], [0xd7], [0x2013], [0x2018, 0x2019], [0x201c, 0x201d], [0x2026], [0x2212])
const latinHeads = chars([0x20, 0x22], [0x25, 0x3b], [0x3f], [0x41, 0x5a], [0x61, 0x7a], [0xa0], [0x2013], [0x2019], [0x201c, 0x201d])
// Accented letters of Latin-1, and those of Latin Extended-A with a few Romanian ones.
const accents = chars([0xc0, 0xd6], [0xd8, 0xf6], [0xf8, 0xff])
const extended = chars([0x100, 0x17f], [0x218, 0x21b])

const from = name => readFileSync(`node_modules/@fontsource-variable/${name}.woff2`)
// Pairs across files are never kerned, so that only the main files carry kerning.
const make = async (name, source, text, variationAxes, keepFeatures) => {
  const font = await subsetFont(from(source), text, { targetFormat: 'woff2', variationAxes, keepFeatures })
  writeFileSync(`${folder}/${name}.woff2`, font)
  console.log(name, font.length)
}
const heads = { wght: 600, opsz: 40 }
const serif = 'fraunces/files/fraunces-', sans = 'atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-'
const weights = { wght: { min: 400, max: 700 } }
await make('fraunces', serif + 'latin-opsz-normal', latinHeads, heads, ['kern'])
await make('fraunces-accents', serif + 'latin-opsz-normal', accents, heads, [])
await make('fraunces-extended', serif + 'latin-ext-opsz-normal', extended, heads, [])
await make('atkinson', sans + 'latin-wght-normal', latin, weights, ['kern', 'tnum'])
await make('atkinson-accents', sans + 'latin-wght-normal', accents, weights, [])
await make('atkinson-extended', sans + 'latin-ext-wght-normal', extended, weights, [])
