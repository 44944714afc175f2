/** What pictures tell of how they came about, held against what other programs wrote into them (see the samples' SOURCE.md). */
import { readFileSync } from 'node:fs'
import * as canvases from '@napi-rs/canvas'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { PictureMark } from '../../src/facts/reading.ts'
import { jpegSegments, readQuantisation } from '../../src/reading/jpeg-segments.ts'
import { readPicture } from '../../src/reading/picture.ts'
import { readOrigin } from '../../src/reading/picture-origin.ts'
import { decodePhoto } from '../../src/reading/pixels.ts'
import { lookAtThumbnail } from '../../src/reading/thumbnail.ts'

const sample = (name: string) => Uint8Array.from(readFileSync(new URL(`../vectors/pictures/${name}`, import.meta.url)))
const originOf = (bytes: Uint8Array) => readPicture(bytes, { path: 'a', media: 'image/jpeg' }).picture?.origin

describe('quantisation tables', () => {
  test.each([20, 50, 75, 92, 100])('quality %i is told', (quality) => {
    expect(readQuantisation(jpegSegments(sample(`quality-${quality}.jpg`)))?.quality).toBe(quality)
  })

  test('tables of another kind have no quality, and a mark of their own', () => {
    const bytes = sample('quality-75.jpg')
    // ITU-T T.81, B.2.4.1: marker, length, number, then the first value.
    const at = Buffer.from(bytes).indexOf(Buffer.from([0xff, 0xdb])) + 5
    bytes[at] = (bytes[at] ?? 0) + 3
    const own = readQuantisation(jpegSegments(bytes))
    expect(own?.quality).toBeNull()
    expect(own?.mark).not.toBe(readQuantisation(jpegSegments(sample('quality-75.jpg')))?.mark)
    expect(readQuantisation(jpegSegments(sample('original.jpg')))).toEqual(
      readQuantisation(jpegSegments(sample('edited.jpg'))),
    )
  })

  test('whatever the bytes are, nothing is thrown', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (rest) => {
        readQuantisation(jpegSegments(Uint8Array.from([0xff, 0xd8, 0xff, 0xdb, ...rest])))
      }),
    )
  })
})

describe('the origin', () => {
  test('of a picture that was worked on', () => {
    expect(originOf(sample('edited.jpg'))).toMatchObject({
      cameraData: true,
      lens: 'P3 main',
      serial: '4471',
      stated: { width: 80, height: 40 },
      captions: ['target before the vehicle'],
      quantisation: { quality: 75 },
      marks: [
        { kind: 'processing-software', text: 'Blotter Raw 2' },
        { kind: 'creator-tool', text: 'Blotter Paint 4' },
        { kind: 'history', text: 'action: saved; softwareAgent: Blotter Paint 4' },
        { kind: 'changed-later', text: 'changed 2026:10:22 09:12:00, taken 2026:10:20 14:07:40' },
      ],
    })
  })

  test('of one that a camera wrote, and of one without camera data', () => {
    expect(originOf(sample('original.jpg'))).toMatchObject({
      cameraData: true,
      marks: [{ kind: 'creator-tool', text: 'P3 4.1' }],
    })
    expect(originOf(sample('quality-75.jpg'))).toMatchObject({ cameraData: false, marks: [], stated: null })
  })

  const entries = (changed: string, taken: string) => ({
    exif: { DateTime: { value: [changed] }, DateTimeOriginal: { value: [taken] } },
    xmp: {},
    text: {},
  })
  test.each([
    ['at once', '2026:10:20 14:07:41', false],
    ['within the time that saving takes', '2026:10:20 14:09:20', false],
    ['by a zone', '2026:10:20 20:07:40', false],
    ['by a zone of half an hour', '2026:10:20 19:37:42', false],
    ['before it was taken', '2026:10:19 09:00:00', false],
    ['later the same day', '2026:10:20 16:21:09', true],
    ['a week later to the second', '2026:10:27 14:07:40', true],
  ])('changed %s', (_, changed, counts) => {
    const { marks } = readOrigin(entries(changed, '2026:10:20 14:07:40'), new Uint8Array())
    expect(marks.map(({ kind }) => kind)).toEqual(counts ? ['changed-later'] : [])
  })

  /** A segment of `marker` right after the start of the file. */
  function withSegment(marker: number, content: Buffer): Uint8Array {
    const bytes = sample('original.jpg')
    const head = Buffer.from([0xff, marker, 0, 0])
    head.writeUInt16BE(content.length + 2, 2)
    return Uint8Array.from(Buffer.concat([bytes.subarray(0, 2), head, content, bytes.subarray(2)]))
  }
  const resource = (number: number) => {
    const block = Buffer.concat([Buffer.from('8BIM', 'latin1'), Buffer.alloc(8), Buffer.from([1, 2])])
    block.writeUInt16BE(number, 4)
    block.writeUInt32BE(2, 8)
    return block
  }
  const resources = (...numbers: number[]) =>
    withSegment(0xed, Buffer.concat([Buffer.from('Photoshop 3.0\0', 'latin1'), ...numbers.map(resource)]))
  test.each<[string, Uint8Array, PictureMark['kind'][]]>([
    ['the quality of an editor', resources(0x0404, 0x0406), ['editor-resources']],
    ['captions alone', resources(0x0404, 0x0425), []],
    ['a colour transform', withSegment(0xee, Buffer.from('Adobe\0d\0\0\0\0\x01', 'latin1')), ['adobe-segment']],
    ['resources that end early', resources(0x0404).subarray(0, 30), []],
  ])('%s', (_, bytes, kinds) => {
    expect(
      originOf(bytes)
        ?.marks.map(({ kind }) => kind)
        .filter((kind) => kind !== 'creator-tool'),
    ).toEqual(kinds)
  })
})

describe('the small copy', () => {
  async function look(name: string) {
    const image = await decodePhoto(canvases, sample(name), 'image/jpeg')
    if ('fault' in image) throw new Error(image.fault)
    return lookAtThumbnail(canvases, sample(name), image)
  }

  test('of the picture itself agrees', async () => {
    const seen = await look('original.jpg')
    expect(seen).toMatchObject({ width: 60, height: 40 })
    expect(seen?.levels).toBeLessThan(8)
  })

  test('is none where there is none', async () => {
    expect(await look('quality-75.jpg')).toBeUndefined()
  })

  test('that stands on its head agrees, and a mirrored one does not', async () => {
    // Cameras turn the one or the other, and mirror neither.
    expect((await look('edited.jpg'))?.levels).toBeLessThan(8)
    const whole = await decodePhoto(canvases, sample('original.jpg'), 'image/jpeg')
    if ('fault' in whole) throw new Error(whole.fault)
    const mirrored = canvases.createCanvas(whole.width, whole.height)
    const context = mirrored.getContext('2d')
    context.scale(-1, 1)
    context.drawImage(whole, -whole.width, 0)
    expect((await lookAtThumbnail(canvases, sample('original.jpg'), mirrored))?.levels).toBeGreaterThan(30)
  })
})
