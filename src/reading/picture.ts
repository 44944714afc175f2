/**
 * Photographs and other pictures: their size and what the camera wrote. EXIF: CIPA DC-008 (Exif 2.32), 4.6.5 and 4.6.6;
 * PNG text: W3C PNG, 11.3.3. Times stay as written: EXIF gives the camera's clock, with its offset only since 2.31.
 */
import exifreader from 'exifreader'
import type { DocumentInformation, Page, PictureFacts, Problem, Reading } from '../facts/reading.ts'
import { faulty, readOrigin } from './picture-origin.ts'
import { isSideways, lookAtPicture, type PictureStructure } from './picture-structure.ts'

interface Tag {
  value?: unknown
  description?: unknown
}

interface Tags {
  exif: Record<string, Tag>
  xmp: Record<string, Tag>
  gps: { Latitude?: number; Longitude?: number }
  text: Record<string, Tag>
}

const most = 200

function textOf(tag: Tag | undefined): string | null {
  const value = Array.isArray(tag?.value) ? tag.value[0] : tag?.value
  if (typeof value !== 'string') return null
  const text = value.replace(/[\u0000-\u001F\u007F]+/g, ' ').trim()
  return text === '' || text === faulty ? null : text.slice(0, most)
}

const exifTime = /^(\d{4})[:/-](\d{2})[:/-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})(?:\.\d+)?(Z|[+-]\d{2}:\d{2})?$/

/** A time with its offset where it carries one; null for blanks and zeros, which stand for "not known" (4.6.5.4). */
function timeFrom(text: string | null): { local: string; offset: string | null } | null {
  const found = exifTime.exec(text ?? '')
  if (!found) return null
  const [, year = '', month = '', day = '', hour = '', minute = '', second = '', zone] = found
  const days = new Date(Date.UTC(Number(year), Number(month), 0)).getUTCDate()
  if (Number(year) === 0 || Number(month) < 1 || Number(month) > 12 || Number(day) < 1 || Number(day) > days)
    return null
  if (Number(hour) > 23 || Number(minute) > 59 || Number(second) > 59) return null
  return {
    local: `${year}-${month}-${day}T${hour}:${minute}:${second}`,
    offset: zone === 'Z' ? '+00:00' : (zone ?? null),
  }
}

function offsetFrom(text: string | null): string | null {
  if (text === 'Z') return '+00:00'
  const found = /^([+-])(\d{2}):?(\d{2})$/.exec(text ?? '')
  if (!found || Number(found[2]) > 15 || Number(found[3]) > 59) return null
  return `${found[1]}${found[2]}:${found[3]}`
}

/** A whole or fractional number from the pair that EXIF stores it as. */
function rational(value: unknown): number {
  if (typeof value === 'number') return value
  if (!Array.isArray(value) || value.length !== 2) return Number.NaN
  return Number(value[0]) / Number(value[1])
}

function satelliteTimeFrom({ exif }: Tags): string | null {
  const date = /^(\d{4}):(\d{2}):(\d{2})$/.exec(textOf(exif.GPSDateStamp) ?? '')
  const clock = exif.GPSTimeStamp?.value
  if (!date || !Array.isArray(clock) || clock.length !== 3) return null
  const [hour = Number.NaN, minute = Number.NaN, second = Number.NaN] = clock.map(rational)
  const two = (value: number) => String(Math.floor(value)).padStart(2, '0')
  const time = timeFrom(`${date[0]} ${two(hour)}:${two(minute)}:${two(second)}`)
  return time ? `${time.local}Z` : null
}

/** Degrees north and east. No fix (status V) and 0, 0, which receivers write without one, are no place. */
function locationFrom({ exif, gps }: Tags): readonly [number, number] | null {
  const { Latitude: latitude, Longitude: longitude } = gps
  if (latitude === undefined || longitude === undefined || textOf(exif.GPSStatus) === 'V') return null
  if (!(Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180) || (latitude === 0 && longitude === 0)) return null
  const rounded = (degrees: number) => Math.round(degrees * 1e7) / 1e7
  return [rounded(latitude), rounded(longitude)]
}

function cameraFrom({ exif }: Tags): string | null {
  const make = textOf(exif.Make)
  const model = textOf(exif.Model)
  if (!make || !model) return model ?? make
  return model.toLowerCase().startsWith(make.toLowerCase()) ? model : `${make} ${model}`
}

function takenFrom(tags: Tags): Pick<PictureFacts, 'taken' | 'offset'> {
  const { exif, text } = tags
  for (const [time, offset] of [
    [exif.DateTimeOriginal, exif.OffsetTimeOriginal],
    [exif.DateTimeDigitized, exif.OffsetTimeDigitized],
    [text['Creation Time'], undefined],
  ]) {
    const taken = timeFrom(textOf(time))
    if (taken) return { taken: taken.local, offset: taken.offset ?? offsetFrom(textOf(offset)) }
  }
  return { taken: null, offset: null }
}

function informationFrom({ text }: Tags): DocumentInformation | undefined {
  const time = timeFrom(textOf(text['Creation Time']))
  const entries: [keyof DocumentInformation, string | null][] = [
    ['title', textOf(text.Title)],
    ['author', textOf(text.Author)],
    ['creator', textOf(text.Software)],
    ['created', time ? time.local + (time.offset ?? '') : null],
  ]
  const given = entries.filter(([, value]) => value !== null)
  return given.length > 0 ? Object.fromEntries(given) : undefined
}

const none: Tags = { exif: {}, xmp: {}, gps: {}, text: {} }

function readTags(bytes: Uint8Array): { tags: Tags; fault: string | null } {
  try {
    // Bytes only: exifreader takes a string for an address and fetches it.
    const loaded = exifreader.load(Uint8Array.from(bytes).buffer, { expanded: true })
    const { exif, xmp, gps, pngText } = loaded as Partial<Omit<Tags, 'text'>> & { pngText?: Tags['text'] }
    return { tags: { exif: exif ?? {}, xmp: xmp ?? {}, gps: gps ?? {}, text: pngText ?? {} }, fault: null }
  } catch (error) {
    // A picture without any camera data is an ordinary picture.
    const missing = error instanceof exifreader.errors.MetadataMissingError
    return { tags: none, fault: missing ? null : error instanceof Error ? error.message : String(error) }
  }
}

function problemsOf(structure: PictureStructure | null, fault: string | null): Problem[] {
  if (!structure) return [{ code: 'damaged', message: 'The file does not begin as a picture does. Copy it again.' }]
  const problems: Problem[] = []
  if (structure.truncated) {
    problems.push({ code: 'truncated', message: 'The end of the picture is missing. Copy it again from the camera.' })
  }
  const why = structure.fault ?? (structure.width * structure.height > 0 ? fault : 'it gives no size')
  if (why !== null && !structure.truncated) {
    problems.push({ code: 'damaged', message: `The picture is damaged: ${why}. Copy it again from the camera.` })
  }
  return problems
}

/** Cameras write one picture of many shades: several pages, or black and white alone, are scanned paper. */
const isScan = ({ pages = [], bilevel = false }: PictureStructure, tags: Tags): boolean =>
  pages.length > 1 || (bilevel && cameraFrom(tags) === null && takenFrom(tags).taken === null)

function pagesOf(structure: PictureStructure, { exif }: Tags): Page[] {
  const { width, height } = structure
  const orientation = exif.Orientation?.value
  const sideways = typeof orientation === 'number' && isSideways(orientation)
  const sizes = structure.pages ?? [sideways ? { width: height, height: width } : { width, height }]
  return sizes
    .filter((size) => size.width > 0 && size.height > 0)
    .map((size, index) => ({ number: index + 1, ...size, unit: 'px', words: [], pictured: true }))
}

/**
 * Reads a picture's size and camera data. One page in pixels, without words: those are read
 * elsewhere (`picture-words/`). The page is upright (the EXIF orientation applied), `widthPixels` and `heightPixels` are as stored. A TIFF of
 * several pages, or of black and white alone, is a scanned document: its pages, and no facts of a picture.
 *
 * JPEG, PNG, WebP, TIFF, GIF and HEIC. Never throws for what the bytes hold. Problems: `empty`, `damaged`, `truncated`,
 * `no-text-layer`.
 */
export function readPicture(bytes: Uint8Array, hint: { path: string; media: string }): Reading {
  const reading: Reading = { media: hint.media, pages: [], problems: [] }
  if (bytes.length === 0) {
    reading.problems.push({ code: 'empty', message: 'The file is empty. Copy it again from the camera.' })
    return reading
  }
  const structure = lookAtPicture(bytes)
  const { tags, fault } = structure ? readTags(bytes) : { tags: none, fault: null }
  reading.problems.push(...problemsOf(structure, fault))
  if (!structure) return reading
  reading.pages = pagesOf(structure, tags)
  if (reading.pages.length > 0) reading.pageCount = reading.pages.length
  const information = informationFrom(tags)
  if (information) reading.information = information
  if (isScan(structure, tags)) {
    reading.problems.push({ code: 'no-text-layer', message: 'Scanned pages without text. Nothing on them was read.' })
    return reading
  }
  const software = textOf(tags.exif.Software) ?? textOf(tags.text.Software)
  reading.picture = {
    widthPixels: structure.width,
    heightPixels: structure.height,
    ...takenFrom(tags),
    satelliteTime: satelliteTimeFrom(tags),
    location: locationFrom(tags),
    camera: cameraFrom(tags),
    software,
    origin: readOrigin(tags, bytes),
  }
  return reading
}
