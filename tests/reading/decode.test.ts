/** Pictures of many encodings and orientations, made by other programs, against the colours that were put into them. */
import { readFileSync } from 'node:fs'
import { crc32 } from 'node:zlib'
import * as canvases from '@napi-rs/canvas'
import { describe, expect, test } from 'vitest'
import { drawFile } from '../../src/reading/draw.ts'
import { readPicture } from '../../src/reading/picture.ts'
import { decodePhoto, type Raster } from '../../src/reading/pixels.ts'
import { turnHeic } from './heic-by-hand.ts'

const sample = (name: string) => Uint8Array.from(readFileSync(new URL(`../vectors/pictures/${name}`, import.meta.url)))
const mediaOf = (name: string) => (name.endsWith('.heic') ? 'image/heic' : 'image/tiff')

async function decode(bytes: Uint8Array, media: string, page = 1): Promise<Raster> {
  const raster = await decodePhoto(canvases, bytes, media, page)
  if ('fault' in raster) throw new Error(raster.fault)
  return raster
}

/** The colours of the four quarters, upper left, upper right, lower left, lower right, as letters. */
function quarters(raster: Raster): string {
  const context = canvases.createCanvas(raster.width, raster.height).getContext('2d')
  context.drawImage(raster, 0, 0)
  const letter = (x: number, y: number) => {
    const [red = 0, green = 0, blue = 0] = context.getImageData(raster.width * x, raster.height * y, 1, 1).data
    const lit = [red, green, blue].map((level) => (level > 200 ? 1 : level < 60 ? 0 : 2)).join('')
    return { '100': 'r', '010': 'g', '001': 'b', '111': 'w', '000': 'k' }[lit] ?? `(${red} ${green} ${blue})`
  }
  return [letter(0.25, 0.25), letter(0.75, 0.25), letter(0.25, 0.75), letter(0.75, 0.75)].join('')
}

describe('TIFF and HEIC', () => {
  test.each([
    ['rgb-none.tif', 'rgbw'],
    ['rgb-lzw.tif', 'rgbw'],
    ['rgb-zip.tif', 'rgbw'],
    ['rgb-rle.tif', 'rgbw'],
    ['rgb-jpeg.tif', 'rgbw'],
    ['rgb16-zip-big-endian.tif', 'rgbw'],
    ['rgb-lzw-predictor-strips.tif', 'rgbw'],
    ['rgb-zip-tiles.tif', 'rgbw'],
    ['palette.tif', 'rgbw'],
    ['bilevel-fax.tif', 'kwkw'],
    ['bilevel-group4.tif', 'kwkw'],
    ['oriented-3.tif', 'wbgr'],
    ['oriented-6.tif', 'brwg'],
    ['still.heic', 'rgbw'],
    ['with-camera.heic', 'rgbw'],
  ])('%s shows %s, of the size that reading gives', async (name, colours) => {
    const raster = await decode(sample(name), mediaOf(name))
    expect(quarters(raster)).toBe(colours)
    const [page] = readPicture(sample(name), { path: name, media: mediaOf(name) }).pages
    expect([raster.width, raster.height]).toEqual([page?.width, page?.height])
  })

  test('grey stays grey', async () => {
    // Luma of pure red, green and blue, ITU-R BT.709: 54, 182 and 18 of 255.
    expect(quarters(await decode(sample('grey-lzw.tif'), 'image/tiff'))).toBe('k(182 182 182)kw')
  })

  test('what is not drawn says so', async () => {
    expect(await decodePhoto(canvases, sample('cmyk-lzw.tif'), 'image/tiff')).toEqual({
      fault: 'its kind of TIFF is not drawn',
    })
  })

  // 23008-12, 6.5.10: anticlockwise.
  test.each([
    [1, 'gwrb'],
    [2, 'wbgr'],
    [3, 'brwg'],
  ])('HEIC turned by %i quarters shows %s', async (turned, colours) => {
    const bytes = turnHeic(sample('still.heic'), turned)
    const raster = await decode(bytes, 'image/heic')
    expect(quarters(raster)).toBe(colours)
    expect(readPicture(bytes, { path: 'a', media: 'image/heic' })).toMatchObject({
      pages: [{ width: raster.width, height: raster.height }],
      picture: { widthPixels: 60, heightPixels: 40 },
      problems: [],
    })
  })
})

describe('the orientation', () => {
  // CIPA DC-008, 4.6.4, table of Orientation: where row 0 and column 0 stand.
  const upright = ['rgbw', 'grwb', 'wbgr', 'bwrg', 'rbgw', 'brwg', 'wgbr', 'gwrb'] as const
  const orientations = upright.map((colours, index) => [index + 1, colours] as const)
  const quartered = () => {
    const canvas = canvases.createCanvas(60, 40)
    const context = canvas.getContext('2d')
    for (const [index, colour] of ['#f00', '#0f0', '#00f', '#fff'].entries()) {
      context.fillStyle = colour
      context.fillRect((index % 2) * 30, index < 2 ? 0 : 20, 30, 20)
    }
    return canvas
  }

  /** One directory with one entry: Orientation, a SHORT (DC-008, 4.6.4). */
  const writeOrientation = (orientation: number) =>
    Buffer.from([0x49, 0x49, 42, 0, 8, 0, 0, 0, 1, 0, 0x12, 1, 3, 0, 1, 0, 0, 0, orientation, 0, 0, 0, 0, 0, 0, 0])

  /** After the start of the file (T.81, B.1.1.3) or its header (W3C PNG, 5.6). */
  const withOrientation = {
    'image/jpeg': (exif: Buffer) => {
      const bytes = quartered().encodeSync('jpeg', 98)
      const body = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), exif])
      const head = Buffer.from([0xff, 0xe1, 0, 0])
      head.writeUInt16BE(body.length + 2, 2)
      return Buffer.concat([bytes.subarray(0, 2), head, body, bytes.subarray(2)])
    },
    'image/png': (exif: Buffer) => {
      const bytes = quartered().encodeSync('png')
      const body = Buffer.concat([Buffer.from('eXIf', 'latin1'), exif])
      const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)]
      length.writeUInt32BE(exif.length)
      sum.writeUInt32BE(crc32(body))
      return Buffer.concat([bytes.subarray(0, 33), length, body, sum, bytes.subarray(33)])
    },
  } as const

  test.each(orientations)('%i stands as %s, as JPEG and PNG', async (orientation, colours) => {
    for (const media of ['image/jpeg', 'image/png'] as const) {
      const bytes = Uint8Array.from(withOrientation[media](writeOrientation(orientation)))
      const raster = await decode(bytes, media)
      expect([media, quarters(raster)]).toEqual([media, colours])
      const { pages } = readPicture(bytes, { path: 'a', media })
      expect([pages[0]?.width, pages[0]?.height]).toEqual([raster.width, raster.height])
    }
  })
})

describe('a TIFF of several pages', () => {
  const bytes = sample('three-pages-group4.tif')

  test('is a scanned document, not a photo', () => {
    const reading = readPicture(bytes, { path: 'scan.tif', media: 'image/tiff' })
    expect(reading.pages.map(({ number, width, height }) => [number, width, height])).toEqual([
      [1, 60, 40],
      [2, 40, 60],
      [3, 60, 40],
    ])
    expect(reading.pageCount).toBe(3)
    expect(reading.picture).toBeUndefined()
    expect(reading.problems.map(({ code }) => code)).toEqual(['no-text-layer'])
  })

  test('is drawn page by page', async () => {
    expect(quarters(await decode(bytes, 'image/tiff', 2))).toBe('kkww')
    expect(quarters(await decode(bytes, 'image/tiff', 3))).toBe('wkwk')
    const wishes = [3, 2, 4].map((page) => ({ page, marks: [] }))
    expect(await drawFile(bytes, { path: 'scan.tif', media: 'image/tiff' }, wishes)).toMatchObject([
      { widthPixels: 60, heightPixels: 40 },
      { widthPixels: 40, heightPixels: 60 },
      { fault: 'it has no such page' },
    ])
  })
})
