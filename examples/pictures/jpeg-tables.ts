/** Tables of ITU-T T.81: order of coefficients (figure A.6), Annex K.1 quantisation, Annex K.3 Huffman codes. */

export interface HuffmanTable {
  /** Number of codes of 1 to 16 bits. */
  counts: readonly number[]
  symbols: readonly number[]
}

/** Natural position of each coefficient in zigzag order. */
export const zigzag: readonly number[] = Array.from({ length: 64 }, (_, at) => at)
  .map((at) => ({ at, row: at >> 3, column: at & 7 }))
  .sort((a, b) => {
    const [first, second] = [a.row + a.column, b.row + b.column]
    if (first !== second) return first - second
    return first % 2 === 0 ? b.row - a.row : a.row - b.row
  })
  .map(({ at }) => at)

const annexK1 = {
  luminance: [
    16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69, 56, 14, 17, 22, 29, 51,
    87, 80, 62, 18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113, 92, 49, 64, 78, 87, 103, 121, 120, 101,
    72, 92, 95, 98, 112, 100, 103, 99,
  ],
  chrominance: [
    17,
    18,
    24,
    47,
    99,
    99,
    99,
    99,
    18,
    21,
    26,
    66,
    99,
    99,
    99,
    99,
    24,
    26,
    56,
    99,
    99,
    99,
    99,
    99,
    47,
    66,
    99,
    99,
    99,
    99,
    99,
    99,
    ...Array.from({ length: 32 }, () => 99),
  ],
}

/** The table for a quality of 1 to 100, in natural order. */
export function quantisation(kind: 'luminance' | 'chrominance', quality: number): number[] {
  const scale = quality < 50 ? 5000 / quality : 200 - 2 * quality
  return annexK1[kind].map((step) => Math.max(1, Math.min(255, Math.floor((step * scale + 50) / 100))))
}

const bytes = (hex: string): number[] => (hex.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16))
const upTo11 = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]

export const luminanceDc: HuffmanTable = { counts: [0, 1, 5, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 0], symbols: upTo11 }
export const chrominanceDc: HuffmanTable = { counts: [0, 3, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0], symbols: upTo11 }

export const luminanceAc: HuffmanTable = {
  counts: [0, 2, 1, 3, 3, 2, 4, 3, 5, 5, 4, 4, 0, 0, 1, 125],
  symbols: bytes(
    '01020300041105122131410613516107227114328191a1082342b1c11552d1f02433627282090a161718191a25262728292a3435363738393a' +
      '434445464748494a535455565758595a636465666768696a737475767778797a838485868788898a92939495969798999aa2a3a4a5a6a7a8a9' +
      'aab2b3b4b5b6b7b8b9bac2c3c4c5c6c7c8c9cad2d3d4d5d6d7d8d9dae1e2e3e4e5e6e7e8e9eaf1f2f3f4f5f6f7f8f9fa',
  ),
}

export const chrominanceAc: HuffmanTable = {
  counts: [0, 2, 1, 2, 4, 4, 3, 4, 7, 5, 4, 4, 0, 1, 2, 119],
  symbols: bytes(
    '000102031104052131061241510761711322328108144291a1b1c109233352f0156272d10a162434e125f11718191a262728292a35363738393a' +
      '434445464748494a535455565758595a636465666768696a737475767778797a82838485868788898a92939495969798999aa2a3a4a5a6a7a8' +
      'a9aab2b3b4b5b6b7b8b9bac2c3c4c5c6c7c8c9cad2d3d4d5d6d7d8d9dae2e3e4e5e6e7e8e9eaf2f3f4f5f6f7f8f9fa',
  ),
}
