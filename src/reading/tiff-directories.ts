/**
 * The directories of a TIFF file. TIFF 6.0, section 2: `II` or `MM`, 42, the offset of the first directory; a directory
 * is a count, entries of twelve bytes (tag, type, count, value or its offset), and the offset of the next, 0 at the end.
 * Nothing is decoded.
 */

/** A page, or a smaller copy of one. Tag number to whole numbers; other types are left out. */
export type TiffTags = ReadonlyMap<number, readonly number[]>

export interface TiffFile {
  directories: TiffTags[]
  /** A value or a strip lies outside the file. */
  truncated: boolean
  /** What contradicts the format, in words; null where nothing does. */
  fault: string | null
}

/** Pages and their small copies. */
const mostDirectories = 1000
/** No writer needs as many entries in one directory (TIFF 6.0 knows 74 tags, Exif and GPS about 150 more). */
const mostEntries = 4096
/** Strips are at most one a row. */
const mostValues = 100_000
/** All directories together: those of a hostile file may point to the same values again and again. */
const mostValuesInAll = 1_000_000

/** Bytes of one value: BYTE, SHORT, LONG, UNDEFINED; 0 for those that are not kept. */
const sizeOf = (type: number): number => ({ 1: 1, 3: 2, 4: 4, 7: 1 })[type] ?? 0

export const tiffTag = {
  subfile: 254,
  width: 256,
  height: 257,
  bits: 258,
  compression: 259,
  photometric: 262,
  fillOrder: 266,
  stripOffsets: 273,
  orientation: 274,
  samples: 277,
  rows: 278,
  stripLengths: 279,
  planar: 284,
  faxOptions: 292,
  predictor: 317,
  palette: 320,
  tileWidth: 322,
  tileHeight: 323,
  tileOffsets: 324,
  tileLengths: 325,
  extraSamples: 338,
  sampleFormat: 339,
  jpegTables: 347,
} as const

/** Null for what does not begin as TIFF does; BigTIFF (43 in place of 42) is another format. */
export function readTiffDirectories(bytes: Uint8Array): TiffFile | null {
  const order = String.fromCharCode(...bytes.subarray(0, 4))
  if (order !== 'II*\0' && order !== 'MM\0*') return null
  const file: TiffFile = { directories: [], truncated: bytes.length < 10, fault: null }
  if (file.truncated) return file
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const little = order === 'II*\0'
  const seen = new Set<number>()
  const left = { values: mostValuesInAll }
  for (let at = view.getUint32(4, little); at !== 0; ) {
    if (seen.has(at)) file.fault = 'its pages come round in a circle'
    else if (seen.size >= mostDirectories) file.fault = `it has more than ${mostDirectories} pages`
    else if (at + 2 > bytes.length) file.truncated = true
    if (file.fault !== null || file.truncated) break
    seen.add(at)
    at = readDirectory(view, at, little, file, left)
  }
  file.truncated ||= file.directories.some((tags) => !hasStrips(tags, bytes.length))
  return file
}

/** Adds the directory at `start` and gives the offset of the next. */
function readDirectory(
  view: DataView,
  start: number,
  little: boolean,
  file: TiffFile,
  left: { values: number },
): number {
  const entries = view.getUint16(start, little)
  const next = start + 2 + 12 * entries
  if (entries > mostEntries) file.fault = 'a page has more entries than any writer makes'
  if (next > view.byteLength) file.truncated = true
  if (file.fault !== null || file.truncated) return 0
  const tags = new Map<number, number[]>()
  for (let at = start + 2; at < next; at += 12) {
    const values = readValues(view, at, little, left)
    if (values === 'outside') file.truncated = true
    else if (values !== null) tags.set(view.getUint16(at, little), values)
  }
  if (left.values <= 0) file.fault = 'it holds more values than a picture needs'
  else file.directories.push(tags)
  // Some writers leave the end of the chain out at the end of the file.
  return next + 4 <= view.byteLength ? view.getUint32(next, little) : 0
}

function readValues(
  view: DataView,
  at: number,
  little: boolean,
  left: { values: number },
): number[] | 'outside' | null {
  const size = sizeOf(view.getUint16(at + 2, little))
  const count = view.getUint32(at + 4, little)
  // Metadata of other formats stand as bytes, of any length.
  const kept = size === 1 ? view.getUint16(at, little) === tiffTag.jpegTables : size > 0
  const start = size * count <= 4 ? at + 8 : view.getUint32(at + 8, little)
  if (size > 0 && start + size * count > view.byteLength) return 'outside'
  if (!kept) return null
  const values: number[] = []
  for (let item = 0; item < Math.min(count, mostValues, left.values); item++) {
    const from = start + size * item
    values.push(
      size === 1 ? view.getUint8(from) : size === 2 ? view.getUint16(from, little) : view.getUint32(from, little),
    )
  }
  left.values -= values.length
  return values
}

function hasStrips(tags: TiffTags, length: number): boolean {
  const offsets = tags.get(tiffTag.stripOffsets) ?? tags.get(tiffTag.tileOffsets) ?? []
  const lengths = tags.get(tiffTag.stripLengths) ?? tags.get(tiffTag.tileLengths) ?? []
  return offsets.every((offset, index) => offset + (lengths[index] ?? 0) <= length)
}

/** The directories that are pages: with a size, and neither a smaller copy nor a mask (NewSubfileType, section 8). */
export function tiffPages({ directories }: TiffFile): TiffTags[] {
  const isPage = (tags: TiffTags) => ((tags.get(tiffTag.subfile)?.[0] ?? 0) & 0b101) === 0
  return directories.filter((tags, index) => {
    const [width = 0] = tags.get(tiffTag.width) ?? []
    const [height = 0] = tags.get(tiffTag.height) ?? []
    return width > 0 && height > 0 && (index === 0 || isPage(tags))
  })
}
