import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readPicture } from '../../src/reading/picture.ts'
import { type Directory, writeJpeg, writePng, writeTiff, writeWebp } from './pictures-by-hand.ts'

const read = (bytes: Uint8Array, media = 'image/jpeg') => readPicture(bytes, { path: 'photo', media })
const codes = (bytes: Uint8Array) => read(bytes).problems.map((problem) => problem.code)

/** Tag numbers of CIPA DC-008, tables 3 to 15. */
const tag = {
  make: 0x010f,
  model: 0x0110,
  orientation: 0x0112,
  software: 0x0131,
  changed: 0x0132,
  exif: 0x8769,
  gps: 0x8825,
  original: 0x9003,
  digitized: 0x9004,
  offsetOriginal: 0x9011,
  latitudeRef: 1,
  latitude: 2,
  longitudeRef: 3,
  longitude: 4,
  time: 7,
  status: 9,
  date: 0x1d,
}

const place: Directory = {
  [tag.latitudeRef]: 'N',
  [tag.latitude]: [
    [39, 1],
    [30, 1],
    [3600, 100],
  ],
  [tag.longitudeRef]: 'W',
  [tag.longitude]: [
    [105, 1],
    [15, 1],
    [0, 1],
  ],
  [tag.time]: [
    [20, 1],
    [7, 1],
    [40, 1],
  ],
  [tag.date]: '2026:10:20',
}

const shot: Directory = {
  [tag.original]: '2026:10:20 14:07:40',
  [tag.offsetOriginal]: '-06:00',
}

const exif = (more: Directory = {}, gps: Directory = place, taken: Directory = shot) =>
  writeTiff({
    [tag.make]: 'Orvane',
    [tag.model]: 'Orvane P3',
    [tag.software]: 'P3 4.1',
    ...more,
    [tag.exif]: taken,
    [tag.gps]: gps,
  })

describe('what the camera wrote', () => {
  it('reads time, offset, place, satellite time, camera and software of a JPEG', () => {
    expect(read(writeJpeg(4000, 3000, exif()))).toEqual({
      media: 'image/jpeg',
      pages: [{ number: 1, width: 4000, height: 3000, unit: 'px', words: [], pictured: true }],
      pageCount: 1,
      problems: [],
      picture: {
        widthPixels: 4000,
        heightPixels: 3000,
        taken: '2026-10-20T14:07:40',
        offset: '-06:00',
        satelliteTime: '2026-10-20T20:07:40Z',
        location: [39.51, -105.25],
        camera: 'Orvane P3',
        software: 'P3 4.1',
        origin: { cameraData: true, captions: [], marks: [], quantisation: null, stated: null },
      },
    })
  })

  it.each([
    ['WebP', writeWebp(800, 600, exif()), 'image/webp'],
    ['TIFF', writeTiff({ 256: 800, 257: 600, [tag.model]: 'P3', [tag.exif]: shot, [tag.gps]: place }), 'image/tiff'],
  ])('reads the same of a %s', (_, bytes, media) => {
    const { picture, problems, pages } = read(bytes, media)
    expect(problems).toEqual([])
    expect(pages[0]).toMatchObject({ width: 800, height: 600 })
    expect(picture).toMatchObject({ taken: '2026-10-20T14:07:40', offset: '-06:00', location: [39.51, -105.25] })
  })

  it('stands the page upright and keeps the stored size', () => {
    const { pages, picture } = read(writeJpeg(4000, 3000, exif({ [tag.orientation]: 6 })))
    expect(pages[0]).toMatchObject({ width: 3000, height: 4000 })
    expect(picture).toMatchObject({ widthPixels: 4000, heightPixels: 3000 })
  })

  it('takes the time of digitising where there is none of taking, but never that of the last change', () => {
    const picture = (taken: Directory) =>
      read(writeJpeg(8, 8, exif({ [tag.changed]: '2026:10:21 09:00:00' }, {}, taken))).picture
    expect(picture({ [tag.digitized]: '2026:10:20 14:07:41' })?.taken).toBe('2026-10-20T14:07:41')
    expect(picture({ [tag.original]: '0000:00:00 00:00:00' })?.taken).toBeNull()
    expect(picture({ [tag.original]: '2026:02:30 10:00:00' })?.taken).toBeNull()
    expect(picture({ [tag.original]: '    :  :     :  :  ' })?.taken).toBeNull()
    expect(picture({ [tag.original]: '2026:10:20 14:07:40' })).toMatchObject({ offset: null, location: null })
  })

  it('takes no place from a receiver without a fix', () => {
    const at = (gps: Directory) => read(writeJpeg(8, 8, exif({}, { ...place, ...gps }))).picture?.location
    const zero: Directory = {
      [tag.latitude]: [
        [0, 1],
        [0, 1],
        [0, 1],
      ],
      [tag.longitude]: [
        [0, 1],
        [0, 1],
        [0, 1],
      ],
    }
    expect(at({})).toEqual([39.51, -105.25])
    expect(at({ [tag.status]: 'V' })).toBeNull()
    expect(at(zero)).toBeNull()
    expect(
      at({
        [tag.latitude]: [
          [0, 0],
          [0, 0],
          [0, 0],
        ],
      }),
    ).toBeNull()
    expect(at({ [tag.latitudeRef]: 'S', [tag.longitudeRef]: 'E' })).toEqual([-39.51, 105.25])
  })

  it('reads the text chunks of a PNG', () => {
    const bytes = writePng(640, 480, {
      Title: 'Target setup',
      Software: 'Bay screen 2',
      'Creation Time': '2026-10-20T14:07:40-06:00',
    })
    const { picture, information, problems } = read(bytes, 'image/png')
    expect(problems).toEqual([])
    expect(picture).toMatchObject({ widthPixels: 640, heightPixels: 480, software: 'Bay screen 2' })
    expect(picture).toMatchObject({ taken: '2026-10-20T14:07:40', offset: '-06:00', location: null, camera: null })
    expect(information).toEqual({
      title: 'Target setup',
      creator: 'Bay screen 2',
      created: '2026-10-20T14:07:40-06:00',
    })
  })

  it('takes a picture without camera data for what it is', () => {
    const { picture, problems } = read(writeJpeg(320, 240))
    expect(problems).toEqual([])
    expect(picture).toMatchObject({ widthPixels: 320, heightPixels: 240, taken: null, location: null, camera: null })
  })

  it('reads from the middle of a larger buffer', () => {
    const bytes = writeJpeg(320, 240, exif())
    const within = new Uint8Array(bytes.length + 11)
    within.set(bytes, 7)
    expect(read(within.subarray(7, 7 + bytes.length)).picture?.taken).toBe('2026-10-20T14:07:40')
  })
})

describe('damaged pictures', () => {
  const whole = [writeJpeg(320, 240, exif()), writePng(320, 240, { Title: 'Target' }), writeWebp(320, 240, exif())]

  it('says that the end is missing wherever the file is cut', () => {
    for (const bytes of whole) {
      expect(codes(bytes)).toEqual([])
      for (let part = 1; part < 20; part++) {
        const cut = codes(bytes.subarray(0, Math.floor((bytes.length * part) / 20)))
        expect(cut.length).toBeGreaterThan(0)
        expect(['truncated', 'damaged']).toContain(cut[0])
      }
      expect(codes(bytes.subarray(0, bytes.length - 2))).toContain('truncated')
    }
  })

  it('names an empty file, other bytes, a broken check sum and a picture without size', () => {
    expect(codes(new Uint8Array())).toEqual(['empty'])
    expect(codes(Buffer.from('not a picture at all'))).toEqual(['damaged'])
    const broken = Buffer.from(writePng(64, 64))
    broken[18] = 9
    expect(read(broken).problems[0]).toMatchObject({ code: 'damaged', message: expect.stringContaining('IHDR') })
    expect(codes(writeJpeg(0, 0))).toEqual(['damaged'])
  })

  it('keeps the size of a photo whose camera data are broken', () => {
    const broken = exif()
    broken.writeUInt32LE(0x7fffffff, 4)
    expect(read(writeJpeg(320, 240, broken)).picture).toMatchObject({ widthPixels: 320, taken: null })
  })

  it('never throws, whatever bytes are changed', () => {
    const seeds = [
      ...whole,
      writeTiff({ 256: 800, 257: 600, [tag.exif]: shot }),
      Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic\0\0\0\x20meta', 'latin1'),
    ]
    const change = fc.tuple(fc.nat(), fc.integer({ min: 0, max: 255 }))
    fc.assert(
      fc.property(fc.constantFrom(...seeds), fc.array(change, { minLength: 1, maxLength: 12 }), (seed, changes) => {
        const bytes = Uint8Array.from(seed)
        for (const [at, value] of changes) bytes[at % bytes.length] = value
        expect(read(bytes).media).toBe('image/jpeg')
      }),
      { numRuns: 500, seed: 20261125 },
    )
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 400 }), (bytes) => read(bytes).problems.length > 0),
      { numRuns: 200, seed: 1 },
    )
  })
})
