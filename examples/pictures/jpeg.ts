/**
 * A baseline JPEG writer (ITU-T T.81): 4:4:4, the example quantisation tables of Annex K.1 scaled as the IJG library does,
 * and the example Huffman tables of Annex K.3.
 */
import {
  chrominanceAc,
  chrominanceDc,
  type HuffmanTable,
  luminanceAc,
  luminanceDc,
  quantisation,
  zigzag,
} from './jpeg-tables.ts'

export interface Raster {
  width: number
  height: number
  /** Red, green, blue, 0 to 255, three numbers a pixel. */
  pixels: Float32Array
}

const basis = Array.from({ length: 64 }, (_, at) => {
  const [frequency, place] = [at >> 3, at & 7]
  return (frequency === 0 ? Math.SQRT1_2 : 1) * 0.5 * Math.cos(((2 * place + 1) * frequency * Math.PI) / 16)
})

function transform(block: Float64Array): Float64Array {
  const rows = new Float64Array(64)
  const result = new Float64Array(64)
  for (let y = 0; y < 8; y++)
    for (let u = 0; u < 8; u++) {
      let sum = 0
      for (let x = 0; x < 8; x++) sum += (block[y * 8 + x] ?? 0) * (basis[u * 8 + x] ?? 0)
      rows[y * 8 + u] = sum
    }
  for (let u = 0; u < 8; u++)
    for (let v = 0; v < 8; v++) {
      let sum = 0
      for (let y = 0; y < 8; y++) sum += (rows[y * 8 + u] ?? 0) * (basis[v * 8 + y] ?? 0)
      result[v * 8 + u] = sum
    }
  return result
}

class Bits {
  readonly bytes: number[] = []
  #held = 0
  #count = 0
  put(code: number, length: number): void {
    for (let bit = length - 1; bit >= 0; bit--) {
      this.#held = (this.#held << 1) | ((code >> bit) & 1)
      if (++this.#count < 8) continue
      this.bytes.push(this.#held)
      if (this.#held === 0xff) this.bytes.push(0)
      this.#held = 0
      this.#count = 0
    }
  }
  finish(): void {
    while (this.#count > 0) this.put(1, 1)
  }
}

function codesOf(table: HuffmanTable): Map<number, readonly [number, number]> {
  const codes = new Map<number, readonly [number, number]>()
  let [code, at] = [0, 0]
  table.counts.forEach((count, index) => {
    for (let each = 0; each < count; each++) codes.set(table.symbols[at++] ?? 0, [code++, index + 1])
    code <<= 1
  })
  return codes
}

const sizeOf = (value: number): number => (value === 0 ? 0 : 32 - Math.clz32(Math.abs(value)))
const bitsOf = (value: number, size: number): number => (value < 0 ? value + (1 << size) - 1 : value)

type Codes = ReturnType<typeof codesOf>

function writeBlock(
  bits: Bits,
  block: Float64Array,
  table: readonly number[],
  before: number,
  dc: Codes,
  ac: Codes,
): number {
  const put = (codes: Codes, symbol: number): void => {
    const [code, length] = codes.get(symbol) ?? [0, 0]
    bits.put(code, length)
  }
  const levels = transform(block)
  const ordered = zigzag.map((at) => Math.round((levels[at] ?? 0) / (table[at] ?? 1)))
  const first = ordered[0] ?? 0
  const size = sizeOf(first - before)
  put(dc, size)
  bits.put(bitsOf(first - before, size), size)
  let zeros = 0
  for (const value of ordered.slice(1)) {
    if (value === 0) {
      zeros++
      continue
    }
    for (; zeros > 15; zeros -= 16) put(ac, 0xf0)
    const width = sizeOf(value)
    put(ac, (zeros << 4) | width)
    bits.put(bitsOf(value, width), width)
    zeros = 0
  }
  if (zeros > 0) put(ac, 0)
  return first
}

/** Rows of Y, Cb and Cr (JFIF: ITU-R BT.601, full range), levels shifted by 128. */
const channels: readonly (readonly [number, number, number, number])[] = [
  [0.299, 0.587, 0.114, -128],
  [-0.168736, -0.331264, 0.5, 0],
  [0.5, -0.418688, -0.081312, 0],
]

const segment = (marker: number, body: readonly number[]): number[] => [
  0xff,
  marker,
  (body.length + 2) >> 8,
  (body.length + 2) & 255,
  ...body,
]

/** Encodes a picture; `exif` is the body of an APP1 segment. Width and height must be multiples of 8. */
export function writeJpeg(raster: Raster, quality: number, exif: readonly number[]): Uint8Array {
  const { width, height, pixels } = raster
  const tables = [quantisation('luminance', quality), quantisation('chrominance', quality)]
  const huffman = [luminanceDc, luminanceAc, chrominanceDc, chrominanceAc]
  const [dcY, acY, dcC, acC] = huffman.map(codesOf) as [Codes, Codes, Codes, Codes]
  const bits = new Bits()
  const before = [0, 0, 0]
  const block = new Float64Array(64)
  for (let top = 0; top < height; top += 8)
    for (let left = 0; left < width; left += 8)
      channels.forEach(([red, green, blue, shift], channel) => {
        for (let at = 0; at < 64; at++) {
          const place = ((top + (at >> 3)) * width + left + (at & 7)) * 3
          block[at] =
            red * (pixels[place] ?? 0) + green * (pixels[place + 1] ?? 0) + blue * (pixels[place + 2] ?? 0) + shift
        }
        const [dc, ac] = channel === 0 ? [dcY, acY] : [dcC, acC]
        before[channel] = writeBlock(bits, block, tables[Math.min(channel, 1)] ?? [], before[channel] ?? 0, dc, ac)
      })
  bits.finish()
  const frame = [8, height >> 8, height & 255, width >> 8, width & 255, 3, 1, 0x11, 0, 2, 0x11, 1, 3, 0x11, 1]
  return Uint8Array.from([
    ...[0xff, 0xd8],
    ...segment(0xe1, exif),
    ...tables.flatMap((table, id) => segment(0xdb, [id, ...zigzag.map((at) => table[at] ?? 1)])),
    ...segment(0xc0, frame),
    ...huffman.flatMap((table, at) => segment(0xc4, [((at & 1) << 4) | (at >> 1), ...table.counts, ...table.symbols])),
    ...segment(0xda, [3, 1, 0x00, 2, 0x11, 3, 0x11, 0, 63, 0]),
    ...bits.bytes,
    ...[0xff, 0xd9],
  ])
}
