/**
 * What a picture's own bytes say of its size, and whether they are all there. Nothing is decoded.
 *
 * JPEG: ITU-T T.81, annex B. PNG: W3C PNG, clause 5 and 11.2.1. WebP: RFC 9649, clause 2. GIF: GIF89a, clause 18. TIFF and
 * HEIC: `tiff-directories.ts`, `heic-structure.ts`.
 */
import { crc32 } from 'node:zlib'
import { type HeicSize, readHeicSize } from './heic-structure.ts'
import { readTiffDirectories, type TiffTags, tiffPages, tiffTag } from './tiff-directories.ts'

export interface PictureStructure {
  width: number
  height: number
  /** Missing end of the file, and anything else that contradicts the format, in words. */
  truncated: boolean
  fault: string | null
  /** Of every page, upright, where the format itself says how it stands: TIFF and HEIC. */
  pages?: { width: number; height: number }[]
  /** As Exif numbers them, where the decoder of the format passes it over: PNG. */
  orientation?: number
  /** Of black and white pixels alone, as scanners and fax machines make them. */
  bilevel?: boolean
}

/** Orientations that swap width and height (CIPA DC-008, 4.6.4; TIFF 6.0, section 8). */
export const isSideways = (orientation: number): boolean => orientation >= 5 && orientation <= 8

type Look = (bytes: Uint8Array, view: DataView) => PictureStructure | null

const ascii = (bytes: Uint8Array, start: number, length: number) =>
  String.fromCharCode(...bytes.subarray(start, start + length))

const sound = (width: number, height: number, truncated = false, fault: string | null = null): PictureStructure => ({
  width,
  height,
  truncated,
  fault,
})

/** Frame headers; C4, C8 and CC in their range are a table, an extension and another table. */
const isFrame = (marker: number) => marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker)

/** The end-of-image marker, which no entropy-coded data holds; cameras may append their own data after it. */
function endsJpeg(bytes: Uint8Array, from: number): boolean {
  for (let at = bytes.length - 2; at >= from; at--) if (bytes[at] === 0xff && bytes[at + 1] === 0xd9) return true
  return false
}

function lookAtJpeg(bytes: Uint8Array, view: DataView): PictureStructure | null {
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return null
  let size: { width: number; height: number } | null = null
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) return sound(size?.width ?? 0, size?.height ?? 0, false, 'a marker is missing')
    const marker = bytes[at + 1] ?? 0
    if (marker === 0xff) {
      at++
      continue
    }
    if (marker === 0x01 || (marker >= 0xd0 && marker <= 0xd8)) {
      at += 2
      continue
    }
    if (marker === 0xd9) break
    const length = view.getUint16(at + 2)
    if (length < 2) return sound(size?.width ?? 0, size?.height ?? 0, false, 'a segment has no length')
    if (isFrame(marker) && at + 9 <= bytes.length) {
      size = { height: view.getUint16(at + 5), width: view.getUint16(at + 7) }
    }
    if (marker === 0xda) {
      const after = at + 2 + length
      if (!size) return sound(0, 0, false, 'the picture begins before its size is given')
      return sound(size.width, size.height, !endsJpeg(bytes, after))
    }
    at += 2 + length
  }
  return sound(size?.width ?? 0, size?.height ?? 0, true)
}

function lookAtPng(bytes: Uint8Array, view: DataView): PictureStructure | null {
  if (ascii(bytes, 0, 8) !== '\x89PNG\r\n\x1a\n') return null
  if (bytes.length < 24) return sound(0, 0, true)
  if (ascii(bytes, 12, 4) !== 'IHDR') return sound(0, 0, false, 'the header is missing')
  const width = view.getUint32(16)
  const height = view.getUint32(20)
  let orientation = 1
  for (let at = 8; at + 12 <= bytes.length; ) {
    const length = view.getUint32(at)
    const end = at + 12 + length
    if (end > bytes.length) break
    if (crc32(bytes.subarray(at + 4, end - 4)) !== view.getUint32(end - 4)) {
      return sound(width, height, false, `the check sum of chunk ${JSON.stringify(ascii(bytes, at + 4, 4))} is wrong`)
    }
    const type = ascii(bytes, at + 4, 4)
    if (type === 'eXIf') orientation = orientationIn(bytes.subarray(at + 8, end - 4))
    if (type === 'IEND') return { ...sound(width, height), ...(orientation > 1 ? { orientation } : {}) }
    at = end
  }
  return sound(width, height, true)
}

/** Of an Exif block, which is a TIFF file without pages. */
const orientationIn = (exif: Uint8Array): number =>
  readTiffDirectories(exif)?.directories[0]?.get(tiffTag.orientation)?.[0] ?? 1

function lookAtWebp(bytes: Uint8Array, view: DataView): PictureStructure | null {
  if (ascii(bytes, 0, 4) !== 'RIFF' || ascii(bytes, 8, 4) !== 'WEBP') return null
  if (bytes.length < 30) return sound(0, 0, true)
  const truncated = view.getUint32(4, true) + 8 > bytes.length
  const uint24 = (at: number) => view.getUint16(at, true) + ((bytes[at + 2] ?? 0) << 16)
  switch (ascii(bytes, 12, 4)) {
    case 'VP8 ':
      return sound(view.getUint16(26, true) & 0x3fff, view.getUint16(28, true) & 0x3fff, truncated)
    case 'VP8L': {
      const bits = view.getUint32(21, true)
      return sound((bits & 0x3fff) + 1, ((bits >>> 14) & 0x3fff) + 1, truncated)
    }
    case 'VP8X':
      return sound(uint24(24) + 1, uint24(27) + 1, truncated)
  }
  return sound(0, 0, truncated, 'the picture is missing')
}

function lookAtTiff(bytes: Uint8Array): PictureStructure | null {
  const file = readTiffDirectories(bytes)
  if (file === null) return null
  const pages = tiffPages(file)
  const [first] = pages
  const width = first?.get(tiffTag.width)?.[0] ?? 0
  const height = first?.get(tiffTag.height)?.[0] ?? 0
  const structure = sound(width, height, file.truncated, file.fault)
  if (pages.length > 0) structure.pages = pages.map(standUpright)
  if (first !== undefined && pages.every(isBilevel)) structure.bilevel = true
  return structure
}

/** One bit a pixel; BitsPerSample is 1 where it is not given (TIFF 6.0, section 8). */
const isBilevel = (tags: TiffTags): boolean =>
  (tags.get(tiffTag.bits)?.[0] ?? 1) === 1 && (tags.get(tiffTag.samples)?.[0] ?? 1) === 1

function standUpright(tags: TiffTags): { width: number; height: number } {
  const [width = 0] = tags.get(tiffTag.width) ?? []
  const [height = 0] = tags.get(tiffTag.height) ?? []
  const [orientation = 1] = tags.get(tiffTag.orientation) ?? []
  return isSideways(orientation) ? { width: height, height: width } : { width, height }
}

function lookAtGif(bytes: Uint8Array, view: DataView): PictureStructure | null {
  if (!/^GIF8[79]a$/.test(ascii(bytes, 0, 6))) return null
  if (bytes.length < 13) return sound(0, 0, true)
  return sound(view.getUint16(6, true), view.getUint16(8, true), bytes.lastIndexOf(0x3b) < 13)
}

function lookAtHeic(bytes: Uint8Array, view: DataView): PictureStructure | null {
  if (ascii(bytes, 4, 4) !== 'ftyp') return null
  let size: HeicSize | null = null
  let truncated = false
  for (let at = 0; at + 8 <= bytes.length; ) {
    const short = view.getUint32(at)
    const long = short === 1 && at + 16 <= bytes.length
    const end = short === 0 ? bytes.length : long ? Number(view.getBigUint64(at + 8)) + at : at + short
    if (ascii(bytes, at + 4, 4) === 'meta') {
      const stop = Math.min(end, bytes.length)
      size ??= readHeicSize(view, at + (long ? 16 : 8), stop) ?? findLargest(bytes, view, at, stop)
    }
    truncated = end > bytes.length
    if (truncated || end <= at + 7) break
    at = end
  }
  if (size === null) return sound(0, 0, truncated)
  return { ...sound(size.width, size.height, truncated), pages: [size.upright] }
}

/** Where it is not said which picture is meant: a file of tiles lists their sizes too, and the whole is the largest. */
function findLargest(bytes: Uint8Array, view: DataView, from: number, to: number): HeicSize | null {
  let largest = { width: 0, height: 0 }
  for (let at = from; at + 16 <= to; at++) {
    if (bytes[at] !== 0x69 || ascii(bytes, at, 4) !== 'ispe') continue
    const [width, height] = [view.getUint32(at + 8), view.getUint32(at + 12)]
    if (width * height > largest.width * largest.height) largest = { width, height }
  }
  return largest.width * largest.height > 0 ? { ...largest, upright: largest } : null
}

const looks: readonly Look[] = [lookAtJpeg, lookAtPng, lookAtWebp, lookAtTiff, lookAtGif, lookAtHeic]

/** Pixels as stored, before any orientation tag. Null for bytes of no format named above. */
export function lookAtPicture(bytes: Uint8Array): PictureStructure | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  for (const look of looks) {
    const found = look(bytes, view)
    if (found) return found
  }
  return null
}
