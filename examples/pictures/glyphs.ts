/** Letters of five by seven dots, as dot-matrix displays show them, and the bars of Code 39 (ISO/IEC 16388). */

const rows: Record<string, string> = {
  '0': '0e11131519110e',
  '1': '040c040404040e',
  '2': '0e11010204081f',
  '3': '1f02040201110e',
  '4': '02060a121f0202',
  '5': '1f101e0101110e',
  '6': '0608101e11110e',
  '7': '1f010204080808',
  '8': '0e11110e11110e',
  '9': '0e11110f01020c',
  A: '0e11111f111111',
  B: '1e11111e11111e',
  C: '0e11101010110e',
  D: '1c12111111121c',
  E: '1f10101e10101f',
  F: '1f10101e101010',
  G: '0e11101711110f',
  H: '1111111f111111',
  I: '0e04040404040e',
  J: '0702020202120c',
  K: '11121418141211',
  L: '1010101010101f',
  M: '111b1515111111',
  N: '11111915131111',
  O: '0e11111111110e',
  P: '1e11111e101010',
  Q: '0e11111115120d',
  R: '1e11111e141211',
  S: '0f10100e01011e',
  T: '1f040404040404',
  U: '1111111111110e',
  V: '11111111110a04',
  W: '11111115151b11',
  X: '11110a040a1111',
  Y: '1111110a040404',
  Z: '1f01020408101f',
  '-': '0000001f000000',
  '.': '00000000000c0c',
  ':': '000c0c000c0c00',
  '/': '01010204081010',
  '%': '18190204081303',
  '(': '02040808080402',
  ')': '08040202020408',
  '+': '0004041f040400',
}

/** Seven rows of five bits. */
export const glyphs: Record<string, number[]> = Object.fromEntries(
  Object.entries(rows).map(([sign, hex]) => [sign, (hex.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16))]),
)

/** Wide elements of each sign: the five bars and four spaces in turn, 1 wide. */
const patterns: Record<string, string> = {
  '0': '000110100',
  '1': '100100001',
  '2': '001100001',
  '3': '101100000',
  '4': '000110001',
  '5': '100110000',
  '6': '001110000',
  '7': '000100101',
  '8': '100100100',
  '9': '001100100',
  A: '100001001',
  B: '001001001',
  C: '101001000',
  D: '000011001',
  E: '100011000',
  F: '001011000',
  G: '000001101',
  H: '100001100',
  I: '001001100',
  J: '000011100',
  K: '100000011',
  L: '001000011',
  M: '101000010',
  N: '000010011',
  O: '100010010',
  P: '001010010',
  Q: '000000111',
  R: '100000110',
  S: '001000110',
  T: '000010110',
  U: '110000001',
  V: '011000001',
  W: '111000000',
  X: '010010001',
  Y: '110010000',
  Z: '011010000',
  '-': '010000101',
  '.': '110000100',
  '*': '010010100',
}

/** Elements from left to right, start and stop sign included. Signs outside the set are an error. */
export function code39(text: string): { dark: boolean; wide: boolean }[] {
  return [...`*${text}*`].flatMap((sign) => {
    const pattern = patterns[sign]
    if (pattern === undefined) throw new Error(`Code 39 has no sign ${sign}`)
    const elements = [...pattern].map((width, index) => ({ dark: index % 2 === 0, wide: width === '1' }))
    return [...elements, { dark: false, wide: false }]
  })
}
