/**
 * The segments before the picture data of a JPEG file: ITU-T T.81, B.1.1.4 (a marker, its length, its content). And what
 * they tell of the program that compressed it: quantisation tables (B.2.4.1), held against those of annex K scaled as the
 * Independent JPEG Group's library does, which most programs that are no camera use.
 */
import { crc32 } from 'node:zlib'

export interface Segment {
  /** The second byte of the marker. */
  marker: number
  content: Uint8Array
}

/** As many as a file of 64 kB segments within the largest picture could hold. */
const mostSegments = 10_000

/** Up to the start of the scan; none where the bytes are no JPEG. */
export function jpegSegments(bytes: Uint8Array): Segment[] {
  const segments: Segment[] = []
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return segments
  for (let at = 2; at + 4 <= bytes.length && segments.length < mostSegments; ) {
    if (bytes[at] !== 0xff) break
    const marker = bytes[at + 1] ?? 0
    if (marker === 0xff) at++
    else if (marker === 0x01 || (marker >= 0xd0 && marker <= 0xd8)) at += 2
    else {
      const length = ((bytes[at + 2] ?? 0) << 8) | (bytes[at + 3] ?? 0)
      if (marker === 0xd9 || marker === 0xda || length < 2) break
      segments.push({ marker, content: bytes.subarray(at + 4, at + 2 + length) })
      at += 2 + length
    }
  }
  return segments
}

export interface QuantisationTables {
  /** Eight hexadecimal digits (CRC-32 of the tables): the same for the same tables. */
  mark: string
  /** 1 to 100 where they are those of annex K at that quality; null where they are tables of their own. */
  quality: number | null
}

/** Null where there are none. */
export function readQuantisation(segments: readonly Segment[]): QuantisationTables | null {
  const tables = new Map<number, number[]>()
  for (const { marker, content } of segments) if (marker === 0xdb) readTables(content, tables)
  const sorted = [...tables].sort(([a], [b]) => a - b)
  if (sorted.length === 0) return null
  const text = sorted.map(([id, table]) => `${id}:${table.join()}`).join(';')
  return { mark: crc32(text).toString(16).padStart(8, '0'), quality: estimateQuality(sorted.map(([, table]) => table)) }
}

/** A byte of precision (0: bytes, 1: words) and number, and 64 values in zigzag order. */
function readTables(content: Uint8Array, tables: Map<number, number[]>): void {
  for (let at = 0; at < content.length; ) {
    const head = content[at++] ?? 0
    const wide = head >> 4 === 1
    const size = wide ? 128 : 64
    if (at + size > content.length) return
    const part = content.subarray(at, at + size)
    const value = (index: number) =>
      wide ? ((part[2 * index] ?? 0) << 8) | (part[2 * index + 1] ?? 0) : (part[index] ?? 0)
    tables.set(
      head & 15,
      Array.from({ length: 64 }, (_, index) => value(index)),
    )
    at += size
  }
}

/** T.81, table K.1, row by row. */
const luminance = [
  16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69, 56, 14, 17, 22, 29, 51,
  87, 80, 62, 18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113, 92, 49, 64, 78, 87, 103, 121, 120, 101,
  72, 92, 95, 98, 112, 100, 103, 99,
]

/** T.81, table K.2: all but the first four rows and columns are 99. */
const chrominance = Array.from({ length: 64 }, (_, index) => {
  const corner = [
    [17, 18, 24, 47],
    [18, 21, 26, 66],
    [24, 26, 56, 99],
    [47, 66, 99, 99],
  ]
  return corner[index >> 3]?.[index & 7] ?? 99
})

/** T.81, figure A.6: indexes by rows, in the order of the zigzag. */
const zigzag = Array.from({ length: 64 }, (_, index) => index).sort((a, b) => {
  const [diagonalA, diagonalB] = [(a >> 3) + (a & 7), (b >> 3) + (b & 7)]
  if (diagonalA !== diagonalB) return diagonalA - diagonalB
  return diagonalA % 2 === 0 ? (a & 7) - (b & 7) : (b & 7) - (a & 7)
})

/** As `jpeg_quality_scaling` and `jpeg_add_quant_table` of that library scale, baseline. */
function scaleTable(table: readonly number[], quality: number): number[] {
  const percent = quality < 50 ? Math.floor(5000 / quality) : 200 - 2 * quality
  return zigzag.map((from) => Math.min(255, Math.max(1, Math.floor(((table[from] ?? 0) * percent + 50) / 100))))
}

function estimateQuality(tables: readonly number[][]): number | null {
  const [luma, chroma] = tables
  if (luma === undefined || tables.length > 2) return null
  for (let quality = 1; quality <= 100; quality++) {
    const isSame = (own: readonly number[], standard: readonly number[]) =>
      scaleTable(standard, quality).every((value, index) => value === own[index])
    if (isSame(luma, luminance) && (chroma === undefined || isSame(chroma, chrominance))) return quality
  }
  return null
}
