/** Text set in lines of a width, in the letters that a font has. */
import { neutralise } from './terminal-text.ts'

export type Weight = 'regular' | 'bold'

export interface Look {
  weight: Weight
  /** In points. */
  size: number
  color: string
}

export interface Letters {
  /** Of text in one line, in points. */
  measure(text: string, look: Look): number
  /**
   * Breaks at spaces; a word that is wider than a line is cut. A line that ends at a space keeps it, so that words stay
   * apart for whoever reads the text out or copies it. At least one line.
   */
  wrap(text: string, look: Look, width: number): string[]
}

/**
 * Letters that run from right to left, which cannot be put among others without an algorithm of their own (UAX 9), and
 * those whose forms depend on their neighbours in ways that a cut between lines would break.
 */
const foreign =
  /[\p{Script=Hebrew}\p{Script=Arabic}\p{Script=Syriac}\p{Script=Thaana}\p{Script=Nko}\p{Script=Adlam}\p{Script=Mandaic}\p{Script=Samaritan}]/u

/**
 * Text that the font can show: what could mislead, and each character that the font has no letter for, is written as its
 * code point, `<U+6E2C>`. Nothing is left out.
 */
export function spellMissing(text: string, hasLetter: (codePoint: number) => boolean): string {
  return [...neutralise(text.normalize('NFC'))]
    .map((character) => {
      const point = character.codePointAt(0) ?? 0
      if (!foreign.test(character) && hasLetter(point)) return character
      return `<U+${point.toString(16).toUpperCase().padStart(4, '0')}>`
    })
    .join('')
}

/** `measureRun`: the width of text that the font can show. */
export function makeLetters(
  measureRun: (text: string, look: Look) => number,
  hasLetter: (codePoint: number, weight: Weight) => boolean,
): Letters {
  const widths = new Map<string, number>()
  const measure = (text: string, look: Look): number => {
    const key = `${look.weight} ${look.size} ${text}`
    const known = widths.get(key)
    if (known !== undefined) return known
    const width = measureRun(text, look)
    widths.set(key, width)
    return width
  }
  const wrap = (text: string, look: Look, width: number): string[] => {
    const lines = ['']
    const space = measure(' ', look)
    let used = 0
    const words = spellMissing(text, (point) => hasLetter(point, look.weight)).split(/ +/)
    for (const word of words.filter((one) => one !== '')) {
      for (const [index, piece] of cut(word, width, (part) => measure(part, look)).entries()) {
        const wide = measure(piece, look)
        const gap = used > 0 && index === 0 ? space : 0
        if (used > 0 && used + gap + wide > width) {
          if (gap > 0) lines[lines.length - 1] += ' '
          lines.push('')
          used = 0
        }
        const last = lines.length - 1
        lines[last] += (used > 0 && gap > 0 ? ' ' : '') + piece
        used += (used > 0 ? gap : 0) + wide
      }
    }
    return lines
  }
  return { measure, wrap }
}

/** A word in pieces that fit; cut between characters, after a slash, hyphen or dot where there is one. */
function cut(word: string, width: number, measure: (text: string) => number): string[] {
  if (measure(word) <= width) return [word]
  const pieces: string[] = []
  let rest = [...word]
  while (rest.length > 0) {
    let fits = 1
    while (fits < rest.length && measure(rest.slice(0, fits + 1).join('')) <= width) fits++
    if (fits < rest.length) {
      const seam = rest.slice(0, fits).findLastIndex((character) => /[-/._:]/.test(character))
      if (seam > fits / 2) fits = seam + 1
    }
    pieces.push(rest.slice(0, fits).join(''))
    rest = rest.slice(fits)
  }
  return pieces
}
