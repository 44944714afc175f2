/** Words in pictures, read in the watched processes; each picture is of an invented packet. */
import { readFileSync } from 'node:fs'
import { PDFDocument } from '@cantoo/pdf-lib'
import { createCanvas, loadImage } from '@napi-rs/canvas'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { illegible } from '../../../src/facts/illegible.ts'
import { type LookingPool, startLooking } from '../../../src/io/looking-process.ts'
import { startReading } from '../../../src/io/reading-process.ts'
import { degrade } from '../../bench/reading/degrade.ts'

const label = readFileSync('tests/packets/b/p10/files/door jamb.jpg')
const sheet = readFileSync('tests/packets/b/p03/files/alignment sheet scanned.pdf')
const floor = readFileSync('tests/packets/a/p08/files/mats.jpg')
const photo = { path: 'label.jpg', media: 'image/jpeg' }
const paper = { path: 'sheet.pdf', media: 'application/pdf' }

let pool: LookingPool
beforeAll(() => {
  pool = startLooking()
})
afterAll(() => pool.close())

async function wordsOf(bytes: Uint8Array, hint = photo) {
  const read = await pool.readWords(bytes, hint, 1)
  if ('fault' in read) throw new Error(read.fault)
  return read
}

async function turn(degrees: number): Promise<Uint8Array> {
  const image = await loadImage(label)
  const side = Math.ceil(Math.hypot(image.width, image.height))
  const canvas = createCanvas(side, side)
  const context = canvas.getContext('2d')
  context.fillStyle = '#667'
  context.fillRect(0, 0, side, side)
  context.translate(side / 2, side / 2)
  context.rotate((degrees * Math.PI) / 180)
  context.drawImage(image, -image.width / 2, -image.height / 2)
  return canvas.encodeSync('jpeg', 85)
}

describe('words', { timeout: 120_000 }, () => {
  test.each([0, 4, 90, 180, -8])('of a label that is turned by %d degrees', async (degrees) => {
    const { words, confidence } = await wordsOf(await turn(degrees))
    expect(confidence).toBeGreaterThan(80)
    // As the truth of this packet has it.
    expect(words.map(({ text }) => text)).toContain('5ZTGC3PBXPV271609')
  })

  test('are to be seen where they are in the picture as it is', async () => {
    const [straight, turned] = [await wordsOf(await turn(0)), await wordsOf(await turn(180))]
    const placeOf = ({ words }: typeof straight) => words.find(({ text }) => text === '5ZTGC3PBXPV271609')?.shown
    const [a, b] = [placeOf(straight), placeOf(turned)]
    const side = Math.ceil(Math.hypot(1280, 960))
    expect(Math.abs((a?.[0] ?? 0) - (side - (b?.[2] ?? 0)))).toBeLessThan(6)
    expect(Math.abs((a?.[1] ?? 0) - (side - (b?.[3] ?? 0)))).toBeLessThan(6)
  })

  test('are not seen where there are none', async () => {
    expect((await wordsOf(floor)).words).toEqual([])
  })

  test('of a page without text stand on the page as the reader of PDFs would have them, and it is said', async () => {
    const reading = startReading({ processes: 1 })
    const { pages, problems } = await reading.read(sheet, paper)
    await reading.close()
    // A value of it is read otherwise the second time.
    expect(problems.map(({ code }) => code)).toEqual(['read-from-picture', 'look-alikes-chosen'])
    const words = pages[0]?.words ?? []
    expect(words.map(({ text }) => text)).toEqual(expect.arrayContaining(['KZWTS3JE7RW450972', 'caster', '-0.47°']))
    expect(words.filter(({ text }) => text !== illegible).every(({ confidence = 0 }) => confidence >= 80)).toBe(true)
    const [camber, value] = ['camber', '-0.47°'].map((text) => words.findLast((word) => word.text === text))
    expect(camber?.size).toBeGreaterThan(7)
    expect(camber?.size).toBeLessThan(16)
    expect(value?.box[0]).toBeGreaterThan(400)
  })

  test('of a vehicle number in boxes are left out rather than taken wrongly', async () => {
    const printed = readFileSync('tests/packets/b/p06/files/estimate #44120.pdf')
    const { bytes } = await degrade(printed, { dpi: 200 }, 1)
    const file = await PDFDocument.create()
    file.addPage([612, 792]).drawImage(await file.embedPng(bytes), { x: 0, y: 0, width: 612, height: 792 })
    const { words } = await wordsOf(await file.save(), paper)
    const texts = words.map(({ text }) => text)
    expect(texts).toEqual(expect.arrayContaining(['2023', 'Mirelle', 'Oxbow']))
    expect(texts.filter((text) => /^[A-HJ-NPR-Z0-9]{17}$/.test(text) && text !== '7ZRMX2WB0PA509164')).toEqual([])
  })

  test('of a page are not asked for where that is not wanted', async () => {
    const reading = startReading({ processes: 1 }, { pictureWords: false })
    const { pages, problems } = await reading.read(sheet, paper)
    await reading.close()
    expect(pages[0]?.words).toEqual([])
    expect(problems.map(({ code }) => code)).toEqual(['no-text-layer'])
  })

  test('that take too long cost neither the file nor what else is known of it', async () => {
    const reading = startReading({ processes: 1, milliseconds: 60 })
    const { pages, problems } = await reading.read(sheet, paper)
    await reading.close()
    expect(pages.flatMap(({ words }) => words)).toEqual([])
    expect(problems.length).toBeGreaterThan(0)
  })
})
