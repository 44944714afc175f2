/** Pages drawn by hand: text at a place in a type size becomes words with boxes, as the readers give them. */
import type { Page, Word } from '../../src/facts/reading.ts'

export interface Type {
  /** Font size in points; 10 unless said otherwise. */
  size?: number
  /** Every character, the space too, is 0.6 of the size wide. Else letters are half the size wide and a space 0.28 of it. */
  fixed?: boolean
  bold?: boolean
  turned?: true
}

/** Text at `x`, its top at `y`. Each space is one space of the type: several in a row make a wide gap. */
export function draw(x: number, y: number, text: string, type: Type = {}): Word[] {
  const { size = 10, fixed = false, bold = false } = type
  const letter = (fixed ? 0.6 : 0.5) * size
  const space = (fixed ? 0.6 : 0.28) * size
  const words: Word[] = []
  let at = x
  for (const part of text.split(/( )/)) {
    if (part === ' ') at += space
    else if (part !== '') {
      const end = at + part.length * letter
      words.push({
        text: part,
        box: [at, y, end, y + size],
        size,
        ...(bold ? { bold } : {}),
        ...(type.turned ? { turned: true as const } : {}),
      })
      at = end
    }
  }
  return words
}

/** A row of texts, each starting at its `x`. */
export function drawRow(y: number, cells: readonly (readonly [x: number, text: string])[], type: Type = {}): Word[] {
  return cells.flatMap(([x, text]) => draw(x, y, text, type))
}

/** Lines beneath each other, 14 points apart, from `y` on. */
export function drawLines(x: number, y: number, texts: readonly string[], type: Type = {}): Word[] {
  return texts.flatMap((text, i) => draw(x, y + 14 * i, text, type))
}

/** A page of US letter size (612 by 792 points) unless said otherwise. */
export function page(words: readonly Word[], rest: Partial<Page> = {}): Page {
  return { number: 1, width: 612, height: 792, unit: 'pt', words: [...words], ...rest }
}

/** A page typed in fixed pitch, 12 points a line: two blanks or more part the cells. */
export function typed(lines: readonly string[], number = 1): Page {
  return page(
    lines.flatMap((line, i) => draw(36, 30 + 12 * i, line, { fixed: true })),
    { number },
  )
}

/** A delimited table or structured text: every word knows its row and column. */
export function celled(rows: readonly (readonly string[])[]): Page {
  return page(
    rows.flatMap((row, r) =>
      row.flatMap((text, c) =>
        draw(20 + 90 * c, 20 + 12 * r, text).map((word) => ({ ...word, cell: { row: r, column: c } })),
      ),
    ),
  )
}
