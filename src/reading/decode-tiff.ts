/** Pages of TIFF files into pixels, by utif2; with our own look at the directories, so that nothing else of it is read. */
import UTIF from 'utif2'
import { readTiffDirectories, type TiffTags, tiffPages, tiffTag } from './tiff-directories.ts'

export interface Pixels {
  /** Red, green, blue and alpha, row by row. */
  rgba: Uint8Array
  width: number
  height: number
}

/** None, CCITT 1D, Group 3 and 4, LZW, JPEG, Deflate (two numbers), PackBits. */
const compressions: readonly number[] = [1, 2, 3, 4, 5, 7, 8, 32_946, 32_773]
const jpeg = 7
/** White or black is 0, RGB, palette; YCbCr within JPEG alone. */
const photometrics: readonly number[] = [0, 1, 2, 3]
const ycbcr = 6

/** Page `number`, from 1, as stored, or a fault in words; `mostPixels` before anything is decoded. */
export function decodeTiff(
  bytes: Uint8Array,
  number: number,
  mostPixels: number,
): (Pixels & { orientation: number }) | { fault: string } {
  const file = readTiffDirectories(bytes)
  const tags = file ? tiffPages(file)[number - 1] : undefined
  if (file === null || tags === undefined) return { fault: file?.fault ?? 'it has no such page' }
  const fault = faultOf(tags, bytes.length, mostPixels)
  if (fault !== null) return { fault }
  const buffer = Uint8Array.from(bytes).buffer
  const page = Object.fromEntries([...tags].map(([tag, values]) => [`t${tag}`, [...values]])) as unknown as UTIF.IFD
  UTIF.decodeImage(buffer, page)
  if (page.data === undefined) return { fault: 'it is damaged' }
  return {
    rgba: UTIF.toRGBA8(page),
    width: page.width,
    height: page.height,
    orientation: tags.get(tiffTag.orientation)?.[0] ?? 1,
  }
}

/** Why a page is not decoded. */
function faultOf(tags: TiffTags, length: number, mostPixels: number): string | null {
  const first = (tag: number, otherwise: number) => tags.get(tag)?.[0] ?? otherwise
  const [width, height] = [first(tiffTag.width, 0), first(tiffTag.height, 0)]
  if (!(width * height > 0) || width * height > mostPixels) return 'it is damaged or too large'
  const tiled = tags.has(tiffTag.tileWidth)
  const offsets = tags.get(tiled ? tiffTag.tileOffsets : tiffTag.stripOffsets) ?? []
  const lengths = tags.get(tiled ? tiffTag.tileLengths : tiffTag.stripLengths) ?? []
  const within = offsets.every((offset, index) => offset + (lengths[index] ?? Number.NaN) <= length)
  if (offsets.length === 0 || !within) return 'it is damaged: a part of its picture lies outside the file'
  const needed = tiled ? countTiles(tags, width, height, mostPixels) : countStrips(tags, height)
  if (needed === null || offsets.length !== needed) return 'it is damaged: it has not the parts that its size asks for'
  return isKnownKind(tags) ? null : 'its kind of TIFF is not drawn'
}

const countStrips = (tags: TiffTags, height: number): number | null => {
  const rows = tags.get(tiffTag.rows)?.[0] ?? height
  return rows > 0 ? Math.ceil(height / rows) : null
}

function countTiles(tags: TiffTags, width: number, height: number, mostPixels: number): number | null {
  const [across = 0] = tags.get(tiffTag.tileWidth) ?? []
  const [down = 0] = tags.get(tiffTag.tileHeight) ?? []
  if (!(across * down > 0) || across * down > mostPixels) return null
  return Math.ceil(width / across) * Math.ceil(height / down)
}

function isKnownKind(tags: TiffTags): boolean {
  const first = (tag: number, otherwise: number) => tags.get(tag)?.[0] ?? otherwise
  const compression = first(tiffTag.compression, 1)
  const photometric = first(tiffTag.photometric, 0)
  const samples = first(tiffTag.samples, 1)
  const depths = tags.get(tiffTag.bits) ?? [1]
  const [depth = 1] = depths
  if (!compressions.includes(compression)) return false
  if (!photometrics.includes(photometric) && !(photometric === ycbcr && compression === jpeg)) return false
  if (![1, 2, 4, 8, 16].includes(depth) || depths.some((bits) => bits !== depth) || samples > 5) return false
  if (photometric === 3 && (tags.get(tiffTag.palette)?.length ?? 0) < 3 * 2 ** depth) return false
  // Planes of one colour each are written by few, and floating point by none that photographs or scans.
  return (samples === 1 || first(tiffTag.planar, 1) === 1) && first(tiffTag.sampleFormat, 1) === 1
}
