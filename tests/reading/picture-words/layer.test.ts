/** A page of the examples as a program for scanning saves it: its picture, and text that nobody sees laid with that. */

import { readFileSync } from 'node:fs'
import { PDFDocument, StandardFonts, setTextRenderingMode, TextRenderingMode } from '@cantoo/pdf-lib'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { ComparedLayer } from '../../../src/facts/reading.ts'
import { type ReadingPool, startReading } from '../../../src/io/reading-process.ts'
import { readFile } from '../../../src/reading/read.ts'
import { degrade } from '../../bench/reading/degrade.ts'

const original = new Uint8Array(readFileSync('examples/packets/windshield-camera/estimate.pdf'))
const media = 'application/pdf'

/** The first page scanned, with its own words as its layer, each as `change` has it. */
async function scanned(change: (text: string) => string): Promise<Uint8Array> {
  const { pages } = await readFile(Uint8Array.from(original), { path: 'page.pdf', media })
  const { width = 612, height = 792, words = [] } = pages[0] ?? {}
  const picture = await degrade(original, { dpi: 200, blurred: 0.4, noise: 4, quality: 75 }, 1)
  const file = await PDFDocument.create()
  const page = file.addPage([width, height])
  page.drawImage(await file.embedJpg(picture.bytes), { x: 0, y: 0, width, height })
  const font = await file.embedFont(StandardFonts.Helvetica)
  // ISO 32000-1, 9.3.6: mode 3 neither fills nor strokes.
  page.pushOperators(setTextRenderingMode(TextRenderingMode.Invisible))
  for (const { text, box, size, turned } of words) {
    const printed = change(text).replace(/[^ -~]/g, '')
    if (printed !== '' && !turned) page.drawText(printed, { x: box[0], y: height - box[3] + 0.22 * size, size, font })
  }
  return file.save()
}

let pool: ReadingPool
beforeAll(() => {
  // A busy machine takes long, which is no matter here.
  pool = startReading({ processes: 1, milliseconds: 280_000 })
})
afterAll(() => pool?.close())

const compare = async (change: (text: string) => string): Promise<ComparedLayer | undefined> =>
  (await pool.read(await scanned(change), { path: 'scan.pdf', media })).pages[0]?.compared

const hasDigits = ({ text }: { text: string }) => /\d/.test(text)

test('the text of a scan is borne out by its picture, and a digit that was changed is told', {
  timeout: 300_000,
}, async () => {
  const same = await compare((text) => text)
  expect(same?.differing).toEqual([])
  expect(same?.alike.filter(hasDigits).length).toBeGreaterThan(10)
  const vin = same?.alike.find(({ text }) => /^[A-Z0-9]{17}$/.test(text))?.text ?? ''
  expect(vin).toHaveLength(17)
  const other = `${vin.slice(0, -1)}${(Number(vin.at(-1)) + 4) % 10}`
  const changed = await compare((text) => (text === vin ? other : text))
  expect(changed?.differing).toMatchObject([{ text: other, seen: vin }])
})
