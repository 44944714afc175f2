/**
 * Text as a terminal shows it: what could steer a terminal or mislead a reader is spelt out, lines are wrapped by the
 * columns that characters take.
 */
import stringWidth from 'string-width'

/**
 * Controls (C0, DEL, C1), marks that reorder text (Unicode Bidirectional Algorithm, UAX 9), separators of lines and
 * paragraphs, invisible fillers, tags, lone surrogates and noncharacters: each can hide or forge words on a screen.
 */
const misleading =
  /[\p{Cc}\u00ad\u061c\u115f\u1160\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\u3164\ufeff\uffa0\ufff9-\ufffb\u{e0000}-\u{e007f}\p{Cs}\p{Noncharacter_Code_Point}]/gu

/**
 * Makes text from a file safe to show: white space becomes a space, whatever could steer the terminal or mislead the
 * reader is written as its code point, `<U+001B>`.
 */
export function neutralise(text: string): string {
  return text
    .replaceAll(/[\t\n\r\f\v]+/g, ' ')
    .replaceAll(misleading, (character) => `<U+${codePoint(character).toString(16).toUpperCase().padStart(4, '0')}>`)
}

const codePoint = (character: string): number => character.codePointAt(0) ?? 0

/**
 * JSON with the same characters written as escapes, so that the bytes mean the same and are safe to show. Two spaces
 * a level, a line break at the end.
 */
export function formatJson(value: unknown): string {
  const escapeUnit = (unit: string) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`
  const text = JSON.stringify(value, null, 2).replaceAll(misleading, (character) =>
    character === '\n' ? character : character.split('').map(escapeUnit).join(''),
  )
  return `${text}\n`
}

/** Columns that text takes on a terminal: two for wide East Asian characters and emoji, none for combining marks. */
export function measureText(text: string): number {
  return stringWidth(text)
}

/** Text filled up with spaces to `width` columns. */
export function padText(text: string, width: number): string {
  return text + ' '.repeat(Math.max(0, width - measureText(text)))
}

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' })

/** Cuts a word that is wider than a line into pieces that fit. */
export function cutWord(word: string, width: number): string[] {
  if (measureText(word) <= width) return [word]
  const pieces: string[] = []
  let piece = ''
  for (const { segment } of graphemes.segment(word)) {
    if (piece !== '' && measureText(piece + segment) > width) {
      pieces.push(piece)
      piece = ''
    }
    piece += segment
  }
  return [...pieces, piece]
}
