/** Streams of structure, decoded: FlateDecode with or without the predictors of PNG (ISO 32000-1, 7.4.4). */
import { inflateSync } from 'node:zlib'
import { type PdfDictionary, type PdfStream, type PdfValue, SyntaxFault } from './syntax.ts'

/** Of one stream, in bytes: cross-references and packed objects are small. */
const mostBytes = 64 * 1024 * 1024

/** Throws SyntaxFault for a filter that structure does not use, and for data that do not decode. */
export function decodeStream({ dictionary, data }: PdfStream): Uint8Array {
  const filter = single(dictionary.entries.get('Filter'))
  if (filter === null) return data
  if (filter.kind !== 'name' || filter.value !== 'FlateDecode')
    throw new SyntaxFault(0, 'a stream of structure is encoded in an unusual way')
  const parameters = single(dictionary.entries.get('DecodeParms'))
  return unpredict(inflate(data), parameters?.kind === 'dictionary' ? parameters : null)
}

/** The value, or the only one of an array; null where there is none. */
function single(value: PdfValue | undefined): PdfValue | null {
  if (value === undefined || value.kind === 'null') return null
  if (value.kind !== 'array') return value
  if (value.items.length > 1) throw new SyntaxFault(0, 'a stream of structure is encoded more than once')
  return value.items[0] ?? null
}

function inflate(data: Uint8Array): Uint8Array {
  try {
    return inflateSync(data, { maxOutputLength: mostBytes })
  } catch (error) {
    throw new SyntaxFault(0, `a stream does not decode (${(error as Error).message})`)
  }
}

function unpredict(data: Uint8Array, parameters: PdfDictionary | null): Uint8Array {
  const number = (key: string, otherwise: number): number => {
    const value = parameters?.entries.get(key)
    return value?.kind === 'number' ? value.value : otherwise
  }
  const predictor = number('Predictor', 1)
  if (predictor === 1) return data
  const bits = number('Colors', 1) * number('BitsPerComponent', 8)
  const pixel = Math.max(1, Math.ceil(bits / 8))
  const row = Math.ceil((bits * number('Columns', 1)) / 8)
  if (predictor < 10 || !Number.isInteger(row) || row < 1 || row > mostBytes)
    throw new SyntaxFault(0, 'a stream of structure uses an unusual predictor')
  return unfilter(data, row, pixel)
}

/** PNG filters, one type byte before each row (W3C PNG, 9.2). */
function unfilter(data: Uint8Array, row: number, pixel: number): Uint8Array {
  const rows = Math.floor(data.length / (row + 1))
  const out = new Uint8Array(rows * row)
  for (let line = 0; line < rows; line++) {
    const type = data[line * (row + 1)] as number
    const start = line * row
    for (let index = 0; index < row; index++) {
      const left = index >= pixel ? (out[start + index - pixel] as number) : 0
      const up = line > 0 ? (out[start + index - row] as number) : 0
      const corner = index >= pixel && line > 0 ? (out[start + index - row - pixel] as number) : 0
      const raw = data[line * (row + 1) + 1 + index] as number
      out[start + index] = raw + guess(type, left, up, corner)
    }
  }
  return out
}

function guess(type: number, left: number, up: number, corner: number): number {
  switch (type) {
    case 0:
      return 0
    case 1:
      return left
    case 2:
      return up
    case 3:
      return (left + up) >> 1
    case 4: {
      const estimate = left + up - corner
      const [toLeft, toUp, toCorner] = [left, up, corner].map((value) => Math.abs(estimate - value)) as [
        number,
        number,
        number,
      ]
      return toLeft <= toUp && toLeft <= toCorner ? left : toUp <= toCorner ? up : corner
    }
    default:
      throw new SyntaxFault(0, 'a row of a stream has an unknown predictor')
  }
}
