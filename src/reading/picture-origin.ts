/**
 * How a picture came about, as its file tells: what the camera wrote of itself, and what programs left that worked on it
 * since. Exif: CIPA DC-008 (Exif 2.32), 4.6; XMP: ISO 16684-1 and, for `xmpMM:History`, XMP part 2, 1.2.5 and 2.1; resources
 * of image editors in APP13: Photoshop File Formats Specification, numbers from memory.
 */
import type { PictureMark, PictureOrigin } from '../facts/reading.ts'
import { jpegSegments, readQuantisation, type Segment } from './jpeg-segments.ts'

type Entries = Record<string, { value?: unknown; description?: unknown } | undefined>

export interface OriginTags {
  exif: Entries
  xmp: Entries
  text: Entries
}

const longest = 200

/** What exifreader gives for a value that lies outside the file. */
export const faulty = '<faulty value>'

function wordsOf(entry: Entries[string]): string | null {
  const { value, description } = entry ?? {}
  const first = Array.isArray(value) && value.length === 1 ? value[0] : value
  const text = typeof first === 'string' ? first : typeof description === 'string' ? description : ''
  const plain = text.replace(/[\u0000-\u001F\u007F]+/g, ' ').trim()
  return plain === '' || plain === faulty ? null : plain.slice(0, longest)
}

/** What cameras write and other programs do not make up. */
const cameraEntries = [
  ['Make', 'Model', 'LensModel', 'BodySerialNumber', 'DateTimeOriginal'],
  ['ExposureTime', 'FNumber', 'ISOSpeedRatings', 'FocalLength', 'MakerNote'],
].flat()

/** Of a picture's tags, as exifreader gives them, and its bytes. */
export function readOrigin(tags: OriginTags, bytes: Uint8Array): PictureOrigin {
  const { exif } = tags
  const segments = jpegSegments(bytes)
  const origin: PictureOrigin = {
    cameraData: cameraEntries.some((name) => exif[name] !== undefined && wordsOf(exif[name]) !== null),
    marks: findMarks(tags, segments),
    captions: captionsOf(tags),
    stated: statedSize(exif),
    quantisation: readQuantisation(segments),
  }
  const [lens, serial] = [wordsOf(exif.LensModel), wordsOf(exif.BodySerialNumber)]
  if (lens) origin.lens = lens
  if (serial) origin.serial = serial
  return origin
}

function statedSize({ PixelXDimension, PixelYDimension }: Entries): PictureOrigin['stated'] {
  const [width, height] = [PixelXDimension?.value, PixelYDimension?.value]
  return typeof width === 'number' && typeof height === 'number' && width > 0 && height > 0 ? { width, height } : null
}

function captionsOf({ exif, xmp, text }: OriginTags): string[] {
  const entries = [
    ...[exif.ImageDescription, exif.UserComment, exif.XPTitle, exif.XPComment, exif.XPSubject, exif.XPKeywords],
    ...[xmp.title, xmp.description, xmp.subject, xmp.UserComment, text.Title, text.Description, text.Comment],
  ]
  return [...new Set(entries.map(wordsOf).filter((words) => words !== null))]
}

function findMarks({ exif, xmp }: OriginTags, segments: readonly Segment[]): PictureMark[] {
  const found: [PictureMark['kind'], string | null][] = [
    ['processing-software', wordsOf(exif.ProcessingSoftware)],
    ['creator-tool', wordsOf(xmp.CreatorTool)],
    ['history', historyOf(xmp.History)],
    ['editor-resources', hasEditorResources(segments) ? 'resources of an image editor (APP13)' : null],
    ['adobe-segment', segments.some(isAdobeSegment) ? 'colour transform segment (APP14)' : null],
    ['changed-later', changedLater(exif)],
  ]
  return found.flatMap(([kind, text]) => (text === null ? [] : [{ kind, text }]))
}

/** Steps beyond the making of the file: cameras and phones note at most that they created it. */
function historyOf(history: Entries[string]): string | null {
  const text = wordsOf(history)
  return text !== null && /\baction: (?!created\b)/.test(text) ? text : null
}

const ascii = (bytes: Uint8Array) => String.fromCharCode(...bytes)

const isAdobeSegment = ({ marker, content }: Segment): boolean =>
  marker === 0xee && ascii(content.subarray(0, 5)) === 'Adobe'

/** Quality and version of the editor and its own small copy; captions (0404) and their digest (0425) are written by others too. */
const editorResources = new Set([0x0406, 0x040c, 0x0421])

function hasEditorResources(segments: readonly Segment[]): boolean {
  return segments.some(({ marker, content }) => {
    if (marker !== 0xed || ascii(content.subarray(0, 14)) !== 'Photoshop 3.0\0') return false
    const view = new DataView(content.buffer, content.byteOffset, content.byteLength)
    // `8BIM`, number, a name of even length with its count, the length of the data, data of even length.
    for (let at = 14; at + 12 <= content.length && ascii(content.subarray(at, at + 4)) === '8BIM'; ) {
      if (editorResources.has(view.getUint16(at + 4))) return true
      const name = 1 + view.getUint8(at + 6)
      const data = at + 6 + name + (name % 2)
      if (data + 4 > content.length) break
      const length = view.getUint32(data)
      at = data + 4 + length + (length % 2)
    }
    return false
  })
}

const exifTime = /^(\d{4}):(\d{2}):(\d{2}) (\d{2}):(\d{2}):(\d{2})/

const secondsOf = (text: string | null): number | null => {
  const found = exifTime.exec(text ?? '')
  if (!found) return null
  const [year = 0, month = 1, day = 1, hour = 0, minute = 0, second = 0] = found.slice(1).map(Number)
  return Date.UTC(year, month - 1, day, hour, minute, second) / 1000
}

/** Longer than a camera takes to write a picture. */
const leastLater = 120
/** Zones lie whole quarters of an hour apart: some programs write one of the two times as UTC. */
const quarter = 900

/** The file's last change (DateTime) well after the picture was taken (DateTimeOriginal). */
function changedLater(exif: Entries): string | null {
  const [changed, taken] = [wordsOf(exif.DateTime), wordsOf(exif.DateTimeOriginal)]
  const [from, to] = [secondsOf(taken), secondsOf(changed)]
  if (from === null || to === null || to - from < leastLater) return null
  const beyond = (to - from) % quarter
  const isZone = to - from <= 26 * 3600 && Math.min(beyond, quarter - beyond) <= 5
  return isZone ? null : `changed ${changed}, taken ${taken}`
}
