/**
 * Pictures that claim more than they hold, or lead a reader in circles: each is refused within limits by a fault in words or a
 * problem, and the looking process lives on, or the next file has a new one.
 */
import { crc32, deflateSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { isLook } from '../../src/facts/look.ts'
import { type LookingPool, startLooking } from '../../src/io/looking-process.ts'
import { readPicture } from '../../src/reading/picture.ts'
import { writeJpeg, writePng, writeTiff } from './pictures-by-hand.ts'

let pool: LookingPool
beforeAll(() => {
  pool = startLooking({ processes: 1 })
})
afterAll(() => pool.close())

const ascii = (text: string) => Buffer.from(text, 'latin1')
const bytesOf = (...parts: Buffer[]) => Uint8Array.from(Buffer.concat(parts))

function numbers(size: 1 | 2 | 3 | 4, little: boolean, ...values: number[]): Buffer {
  const buffer = Buffer.alloc(size * values.length)
  for (const [index, value] of values.entries()) {
    if (little) buffer.writeUIntLE(value, index * size, size)
    else buffer.writeUIntBE(value, index * size, size)
  }
  return buffer
}

/** W3C PNG, 5.3. */
function chunk(type: string, data: Buffer): Buffer {
  const body = Buffer.concat([ascii(type), data])
  return Buffer.concat([numbers(4, false, data.length), body, numbers(4, false, crc32(body))])
}

/** Sound in every check sum, and 60,000 by 60,000 pixels of one colour in what is left of them after packing. */
const pngBomb = () =>
  bytesOf(
    ascii('\x89PNG\r\n\x1a\n'),
    chunk('IHDR', Buffer.concat([numbers(4, false, 60_000, 60_000), Buffer.from([8, 0, 0, 0, 0])])),
    chunk('IDAT', deflateSync(Buffer.alloc(20_000_000), { level: 9 })),
    chunk('IEND', Buffer.alloc(0)),
  )

/** GIF89a, clause 18. */
const gifBomb = () => bytesOf(ascii('GIF89a'), numbers(2, true, 65_535, 65_535), Buffer.from([0, 0, 0, 0x3b]))

/** RFC 9649, 2.7: sizes less one, in three bytes. */
const webpBomb = () =>
  bytesOf(
    ascii('RIFF'),
    numbers(4, true, 22),
    ascii('WEBPVP8X'),
    numbers(4, true, 10, 0),
    numbers(3, true, 99_999, 99_999),
  )

type Entry = [tag: number, type: 3 | 4, count: number, value: number]

/** TIFF 6.0, section 2: one directory at 8, whose next is `next`; then `rest`. */
function tiff(entries: readonly Entry[], next = 0, rest = Buffer.alloc(0)): Uint8Array {
  const fields = entries.flatMap(([tag, type, count, value]) => [
    numbers(2, true, tag, type),
    numbers(4, true, count, value),
  ])
  return bytesOf(
    ascii('II*\0'),
    numbers(4, true, 8),
    numbers(2, true, entries.length),
    ...fields,
    numbers(4, true, next),
    rest,
  )
}

const sized = (width: number, height: number): Entry[] => [
  [256, 4, 1, width],
  [257, 4, 1, height],
  [258, 3, 1, 8],
  [259, 3, 1, 1],
  [262, 3, 1, 1],
  [277, 3, 1, 1],
]

const strip = (offset: number, length: number, rows = 40): Entry[] => [
  [273, 4, 1, offset],
  [278, 4, 1, rows],
  [279, 4, 1, length],
]

/** A directory for each of `count` pages, each of the size of a stamp, one after the other. */
function manyPages(count: number): Uint8Array {
  const length = 2 + 12 * 2 + 4
  const pages = Array.from({ length: count }, (_, index) =>
    Buffer.concat([
      numbers(2, true, 2),
      numbers(2, true, 256, 4),
      numbers(4, true, 1, 8),
      numbers(2, true, 257, 4),
      numbers(4, true, 1, 8),
      numbers(4, true, index === count - 1 ? 0 : 8 + (index + 1) * length),
    ]),
  )
  return bytesOf(ascii('II*\0'), numbers(4, true, 8), ...pages)
}

/** ISO/IEC 14496-12, 4.2. */
const box = (type: string, ...parts: Buffer[]): Buffer => {
  const content = Buffer.concat(parts)
  return Buffer.concat([numbers(4, false, content.length + 8), ascii(type), content])
}
const zero = Buffer.alloc(4)

/** A picture of 256 by 256 tiles, all of them one and the same, 65,535 pixels each way (ISO/IEC 23008-12, 6.6.2.3). */
function heicGrid(): Uint8Array {
  const ispe = box('ispe', zero, numbers(4, false, 65_535, 65_535))
  const iprp = box(
    'iprp',
    box('ipco', ispe),
    box('ipma', zero, numbers(4, false, 1), numbers(2, false, 1), Buffer.from([1, 1])),
  )
  const info = box('infe', Buffer.from([2, 0, 0, 0]), numbers(2, false, 1, 0), ascii('grid\0'))
  const meta = box(
    'meta',
    zero,
    box('hdlr', zero, zero, ascii('pict'), Buffer.alloc(13)),
    box('pitm', zero, numbers(2, false, 1)),
    box('iinf', zero, numbers(2, false, 1), info),
    iprp,
    box('iref', zero, box('dimg', numbers(2, false, 1, 65_535), Buffer.alloc(2 * 65_535, 1))),
    box('idat', Buffer.from([0, 0, 255, 255, 255, 255, 255, 255])),
  )
  return bytesOf(box('ftyp', ascii('heic'), zero, ascii('mif1heic')), meta, box('mdat', Buffer.alloc(64)))
}

/** The same boxes inside one another, deeper than any stack. */
const heicNested = () => {
  let inner: Buffer = Buffer.alloc(0)
  for (let depth = 0; depth < 3000; depth++) inner = box('iprp', inner)
  return bytesOf(box('ftyp', ascii('heic'), zero, ascii('mif1heic')), box('meta', zero, inner))
}

const pictures: [name: string, media: string, make: () => Uint8Array][] = [
  ['a PNG of 60,000 by 60,000 pixels', 'image/png', pngBomb],
  ['a GIF of 65,535 by 65,535', 'image/gif', gifBomb],
  ['a WebP of 100,000 by 100,000', 'image/webp', webpBomb],
  ['a TIFF of 60,000 by 60,000', 'image/tiff', () => tiff([...sized(60_000, 60_000), ...strip(8, 100, 60_000)])],
  ['a TIFF whose strip lies outside', 'image/tiff', () => tiff([...sized(60, 40), ...strip(1_000_000, 2400)])],
  ['a TIFF with too few strips', 'image/tiff', () => tiff([...sized(60, 40), ...strip(8, 60, 1)])],
  ['a TIFF whose strips have no rows', 'image/tiff', () => tiff([...sized(60, 40), ...strip(8, 60, 0)])],
  ['a TIFF whose pages go in a circle', 'image/tiff', () => tiff([...sized(60_000, 40_000), ...strip(8, 60)], 8)],
  ['a TIFF with a million values', 'image/tiff', () => tiff([[273, 4, 0xffffffff, 8]])],
  [
    'a TIFF whose tile is larger than memory',
    'image/tiff',
    () => tiff([...sized(60, 40), [322, 4, 1, 4e9], [323, 4, 1, 4e9], [324, 4, 1, 8], [325, 4, 1, 8]]),
  ],
  ['a TIFF that is its head alone', 'image/tiff', () => bytesOf(ascii('MM\0*'))],
  ['a HEIC of 65,535 tiles', 'image/heic', heicGrid],
  ['a HEIC of boxes within boxes', 'image/heic', heicNested],
  ['a HEIC that is its head alone', 'image/heic', () => bytesOf(box('ftyp', ascii('heic'), zero, ascii('mif1heic')))],
]

describe('looking', { timeout: 60_000 }, () => {
  test.each(pictures)('%s is refused in words', async (_, media, make) => {
    const looked = await pool.look(make(), { path: 'a', media })
    expect(looked).toEqual({ fault: expect.stringMatching(/damaged|too large|not drawn|no such page/) })
  })

  test('the next picture is looked at', async () => {
    const sound = Uint8Array.from(writePng(40, 40))
    expect(isLook(await pool.look(sound, { path: 'a.png', media: 'image/png' }))).toBe(true)
  })
})

describe('reading', () => {
  test.each(pictures)('%s harms nobody', (_, media, make) => {
    const { problems, pages } = readPicture(make(), { path: 'a', media })
    expect(pages.length).toBeLessThanOrEqual(1)
    for (const { message } of problems) expect(message).toMatch(/\.$/)
  })

  test('pages are counted up to a limit', () => {
    const read = (count: number) => readPicture(manyPages(count), { path: 'a', media: 'image/tiff' })
    expect(read(900).pageCount).toBe(900)
    const { problems, pages } = read(5000)
    expect(pages.length).toBe(1000)
    expect(problems).toContainEqual({ code: 'damaged', message: expect.stringContaining('more than 1000 pages') })
  })

  const camera = (exif: Buffer) => {
    const { pages, picture, problems } = readPicture(Uint8Array.from(writeJpeg(40, 30, exif)), {
      path: 'a',
      media: 'image/jpeg',
    })
    expect(pages).toMatchObject([{ width: 40, height: 30 }])
    return { picture, problems }
  }

  test('camera data that point outside, or to themselves, lose no picture', () => {
    // 0x8769 and 0x8825 point to directories (DC-008, 4.6.3).
    expect(camera(writeTiff({ 34665: 0xfffffff0, 34853: 0x7fffffff })).picture?.taken).toBeNull()
    expect(camera(writeTiff({ 34665: 8, 34853: 8, 272: 'P3' })).picture?.camera).toBe('P3')
    expect(camera(Buffer.from(tiff([[0x0110, 4, 0xffffffff, 8]], 8))).picture?.camera).toBeNull()
  })

  test('as many entries as a directory can have are read in time', () => {
    const entries = Array.from({ length: 5000 }, (_, index): Entry => [index, 4, 1, 1])
    expect(camera(Buffer.from(tiff(entries))).picture).toBeDefined()
  })

  test('large blocks of profiles and descriptions are passed over', () => {
    const segments = (name: string) =>
      Array.from({ length: 200 }, () => {
        const body = Buffer.concat([ascii(name), Buffer.alloc(60_000, 0x20)])
        return Buffer.concat([
          Buffer.from([0xff, name.startsWith('ICC') ? 0xe2 : 0xe1]),
          numbers(2, false, body.length + 2),
          body,
        ])
      })
    const whole = writeJpeg(40, 30)
    const bytes = bytesOf(
      whole.subarray(0, 2),
      ...segments('ICC_PROFILE\0\x01\xc8'),
      ...segments('http://ns.adobe.com/xap/1.0/\0<x:xmpmeta>'),
      whole.subarray(2),
    )
    expect(readPicture(bytes, { path: 'a', media: 'image/jpeg' }).pages).toMatchObject([{ width: 40, height: 30 }])
  })
})
