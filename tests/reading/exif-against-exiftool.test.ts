/**
 * Camera data against exiftool (Debian's libimage-exiftool-perl), on every picture of the packets and samples and on copies
 * that exiftool wrote other forms of the entries into. Its tag names: exiftool's documentation, Image::ExifTool::TagNames.
 */
import { execFileSync, spawnSync } from 'node:child_process'
import { copyFileSync, globSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { extname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Reading } from '../../src/facts/reading.ts'
import { sniff } from '../../src/intake/sniff.ts'
import { readPicture } from '../../src/reading/picture.ts'

const isThere = spawnSync('exiftool', ['-ver']).status === 0
const root = fileURLToPath(new URL('../..', import.meta.url))
const samples = globSync(['tests/packets/*/*/files/*', 'examples/packets/*/*', 'tests/vectors/pictures/*'], {
  cwd: root,
})
  .filter((path) => /\.(jpe?g|png|webp|tiff?|heic|gif)$/i.test(path))
  .sort()

interface Told {
  taken: string | null
  offset: string | null
  location: [number, number] | null
  make: string | null
  model: string | null
  software: string | null
  width: number
  height: number
}

/** What exiftool reads of many files; the groups EXIF, Composite and File, so that nothing is taken from XMP. */
function ask(paths: readonly string[]): Told[] {
  const wanted = [
    'DateTimeOriginal',
    'CreateDate',
    'OffsetTimeOriginal',
    'OffsetTimeDigitized',
    'Make',
    'Model',
    'Software',
  ].map((name) => `-EXIF:${name}`)
  const sizes = ['-Composite:GPSLatitude', '-Composite:GPSLongitude', '-ImageWidth', '-ImageHeight']
  const answer = execFileSync('exiftool', ['-json', '-n', ...wanted, ...sizes, ...paths], { maxBuffer: 1 << 26 })
  return (JSON.parse(answer.toString()) as Record<string, unknown>[]).map((entry) => {
    const text = (name: string) => {
      const value = entry[name]
      return value === undefined || String(value).trim() === '' ? null : String(value).trim()
    }
    const time = text('DateTimeOriginal') ?? text('CreateDate')
    const found = /^(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)/.exec(time ?? '')
    const offset = text('DateTimeOriginal') === null ? text('OffsetTimeDigitized') : text('OffsetTimeOriginal')
    const [latitude, longitude] = [entry.GPSLatitude, entry.GPSLongitude]
    return {
      taken: found ? `${found[1]}-${found[2]}-${found[3]}T${found[4]}` : null,
      offset: offset === 'Z' ? '+00:00' : offset,
      location: typeof latitude === 'number' && typeof longitude === 'number' ? [latitude, longitude] : null,
      make: text('Make'),
      model: text('Model'),
      software: text('Software'),
      width: Number(entry.ImageWidth),
      height: Number(entry.ImageHeight),
    }
  })
}

/** The camera as we name it: make and model, the make once. */
function nameCamera({ make, model }: Told): string | null {
  if (!make || !model) return model ?? make
  return model.toLowerCase().startsWith(make.toLowerCase()) ? model : `${make} ${model}`
}

/** Every point in which a reading says something else. */
function disagreements(told: Told, { picture, pages }: Reading): string[] {
  if (picture === undefined) return pages[0] === undefined ? ['nothing was read'] : []
  const pairs: [string, unknown, unknown][] = [
    ['time', told.taken, picture.taken],
    ['offset', told.offset, picture.offset],
    ['camera', nameCamera(told), picture.camera],
    ['software', told.software, picture.software],
    ['width', told.width, picture.widthPixels],
    ['height', told.height, picture.heightPixels],
  ]
  const unlike = pairs.filter(([, theirs, ours]) => theirs !== ours)
  const far = (at: 0 | 1) => Math.abs((told.location?.[at] ?? 0) - (picture.location?.[at] ?? 0))
  const isPlaced = (told.location === null) === (picture.location === null) && far(0) < 1e-6 && far(1) < 1e-6
  const place: typeof pairs = isPlaced ? [] : [['location', told.location, picture.location]]
  return [...unlike, ...place].map(
    ([what, theirs, ours]) => `${what}: ${JSON.stringify(theirs)}, not ${JSON.stringify(ours)}`,
  )
}

const read = (path: string) => {
  const bytes = Uint8Array.from(readFileSync(path))
  return readPicture(bytes, { path, media: sniff(bytes) })
}

describe.skipIf(!isThere)('camera data as exiftool reads them', { timeout: 60_000 }, () => {
  let folder: string
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'exif-'))
  })
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  test(`of ${samples.length} samples`, () => {
    expect(samples.length).toBeGreaterThan(60)
    const told = ask(samples.map((path) => join(root, path)))
    const unlike = samples.flatMap((path, index) =>
      disagreements(told[index] as Told, read(join(root, path))).map((one) => `${path}: ${one}`),
    )
    expect(unlike).toEqual([])
  })

  const shot = ['-Make=Orvane', '-Model=Orvane P3', '-Software=P3 4.1', '-DateTimeOriginal=2026:10:20 14:07:40']
  const north = ['-GPSLatitude=39.51', '-GPSLatitudeRef=N', '-GPSLongitude=105.25', '-GPSLongitudeRef=W']
  const forms: [string, string[]][] = [
    ['an offset', [...shot, '-OffsetTimeOriginal=-06:00']],
    ['an offset of half an hour, ahead', [...shot, '-OffsetTimeOriginal=+05:30']],
    ['an offset of nothing', [...shot, '-OffsetTimeOriginal=Z']],
    ['parts of a second', [...shot, '-SubSecTimeOriginal=250']],
    ['the time of digitising alone', ['-Model=P3', '-CreateDate=2026:10:20 14:07:41', '-OffsetTimeDigitized=-06:00']],
    ['the time of the last change alone', ['-Model=P3', '-ModifyDate=2026:10:20 14:07:42']],
    ['north and west', [...shot, ...north]],
    ['south and east', ['-GPSLatitude=33.8567', '-GPSLatitudeRef=S', '-GPSLongitude=151.2153', '-GPSLongitudeRef=E']],
    [
      'a place in the far corner',
      ['-GPSLatitude=0.000004', '-GPSLatitudeRef=S', '-GPSLongitude=179.99999', '-GPSLongitudeRef=W'],
    ],
    ['make without model', ['-Make=Orvane']],
    ['model without make', ['-Model=P3']],
    ['an orientation', [...shot, '-Orientation#=6']],
    ['a description', [...shot, '-ImageDescription=target before the vehicle']],
    ['another time in XMP', [...shot, '-XMP-exif:DateTimeOriginal=2020:01:01 00:00:00', '-XMP-tiff:Model=P9']],
    ['the time in XMP alone', ['-XMP-exif:DateTimeOriginal=2026:10:20 14:07:40', '-XMP-tiff:Model=P3']],
  ]
  const bases = ['quality-75.jpg', 'rgb-lzw.tif', 'rgb16-zip-big-endian.tif', 'still.heic', 'plain.png', 'plain.webp']

  test.each(bases)('of copies of %s', (base) => {
    const paths = forms.map(([, entries], index) => {
      const path = join(folder, `${index}-${base.replace(/\..*/, '')}${extname(base)}`)
      copyFileSync(join(root, 'tests/vectors/pictures', base), path)
      execFileSync('exiftool', ['-q', '-m', '-overwrite_original', ...entries, path], { stdio: 'ignore' })
      return path
    })
    // The order of bytes is that of whoever writes Exif first.
    for (const order of ['II', 'MM']) {
      const path = join(folder, `${order}-${base}`)
      copyFileSync(join(root, 'tests/vectors/pictures', base), path)
      const entries = [...shot, ...north, '-OffsetTimeOriginal=-06:00', `-ExifByteOrder=${order}`]
      execFileSync('exiftool', ['-q', '-m', '-overwrite_original', ...entries, path], { stdio: 'ignore' })
      paths.push(path)
    }
    const told = ask(paths)
    const unlike = paths.flatMap((path, index) =>
      disagreements(told[index] as Told, read(path)).map((one) => `${forms[index]?.[0] ?? 'order of bytes'}: ${one}`),
    )
    expect(unlike).toEqual([])
  })
})
