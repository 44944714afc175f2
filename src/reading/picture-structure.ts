/**
 * What a picture's own bytes say of its size, and whether they are all there. Nothing is decoded.
 *
 * JPEG: ITU-T T.81, annex B. PNG: W3C PNG, clause 5 and 11.2.1. WebP: RFC 9649, clause 2. TIFF: TIFF 6.0, section 2.
 * GIF: GIF89a, clause 18. HEIC: ISO/IEC 14496-12 (boxes) and 23008-12, 6.5.3 (`ispe`).
 */
import { crc32 } from 'node:zlib'

export interface PictureStructure {
  width: number
  height: number
  /** Missing end of the file, and anything else that contradicts the format, in words. */
  truncated: boolean
  fault: string | null
}

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
  for (let at = 8; at + 12 <= bytes.length; ) {
    const length = view.getUint32(at)
    const end = at + 12 + length
    if (end > bytes.length) break
    if (crc32(bytes.subarray(at + 4, end - 4)) !== view.getUint32(end - 4)) {
      return sound(width, height, false, `the check sum of chunk ${JSON.stringify(ascii(bytes, at + 4, 4))} is wrong`)
    }
    if (ascii(bytes, at + 4, 4) === 'IEND') return sound(width, height)
    at = end
  }
  return sound(width, height, true)
}

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

function lookAtTiff(bytes: Uint8Array, view: DataView): PictureStructure | null {
  const order = ascii(bytes, 0, 4)
  if (order !== 'II*\0' && order !== 'MM\0*') return null
  const little = order === 'II*\0'
  if (bytes.length < 10) return sound(0, 0, true)
  const directory = view.getUint32(4, little)
  if (directory + 2 > bytes.length) return sound(0, 0, true)
  const entries = view.getUint16(directory, little)
  const found = new Map<number, number[]>()
  for (let index = 0; index < entries; index++) {
    const at = directory + 2 + 12 * index
    if (at + 12 > bytes.length) return sound(0, 0, true)
    const type = view.getUint16(at + 2, little)
    const count = view.getUint32(at + 4, little)
    const size = type === 3 ? 2 : type === 4 ? 4 : 0
    if (size === 0) continue
    const start = size * count <= 4 ? at + 8 : view.getUint32(at + 8, little)
    if (start + size * count > bytes.length) return sound(0, 0, true)
    const values: number[] = []
    // Sizes are one value and strips at most one a row.
    for (let item = 0; item < Math.min(count, 100_000); item++) {
      values.push(size === 2 ? view.getUint16(start + 2 * item, little) : view.getUint32(start + 4 * item, little))
    }
    found.set(view.getUint16(at, little), values)
  }
  const offsets = found.get(273) ?? found.get(324) ?? []
  const lengths = found.get(279) ?? found.get(325) ?? []
  const missing = offsets.some((offset, index) => offset + (lengths[index] ?? 0) > bytes.length)
  return sound(found.get(256)?.[0] ?? 0, found.get(257)?.[0] ?? 0, missing)
}

function lookAtGif(bytes: Uint8Array, view: DataView): PictureStructure | null {
  if (!/^GIF8[79]a$/.test(ascii(bytes, 0, 6))) return null
  if (bytes.length < 13) return sound(0, 0, true)
  return sound(view.getUint16(6, true), view.getUint16(8, true), bytes.lastIndexOf(0x3b) < 13)
}

function lookAtHeic(bytes: Uint8Array, view: DataView): PictureStructure | null {
  if (ascii(bytes, 4, 4) !== 'ftyp') return null
  let width = 0
  let height = 0
  let truncated = false
  for (let at = 0; at + 8 <= bytes.length; ) {
    const size = view.getUint32(at)
    const end =
      size === 0
        ? bytes.length
        : size === 1 && at + 16 <= bytes.length
          ? Number(view.getBigUint64(at + 8)) + at
          : at + size
    if (ascii(bytes, at + 4, 4) === 'meta') {
      // A file of tiles lists their sizes too: the whole picture is the largest.
      const stop = Math.min(end, bytes.length)
      for (let inside = at; inside + 16 <= stop; inside++) {
        if (bytes[inside] !== 0x69 || ascii(bytes, inside, 4) !== 'ispe') continue
        const [w, h] = [view.getUint32(inside + 8), view.getUint32(inside + 12)]
        if (w * h > width * height) [width, height] = [w, h]
      }
    }
    truncated = end > bytes.length
    if (truncated || end <= at + 7) break
    at = end
  }
  return sound(width, height, truncated)
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
