/** A sheet of text for people: paragraphs of styled words, wrapped to a width, with or without colour. */
import { cutWord, measureText, neutralise, padText } from './terminal-text.ts'

export type Style = 'plain' | 'strong' | 'quiet' | 'bad' | 'doubtful' | 'good'

export interface Span {
  text: string
  style: Style
}

export interface SheetOptions {
  /** Columns of a line, 40 at least. */
  width: number
  /** Colour only repeats what the words say. */
  color: boolean
}

// Select Graphic Rendition, ECMA-48 8.3.117: bold, faint, and the eight named colours, which follow the user's own scheme.
const renditions: Record<Style, string> = {
  plain: '',
  strong: '1',
  quiet: '2',
  bad: '1;31',
  doubtful: '1;33',
  good: '1;32',
}

export interface Sheet {
  /** One paragraph; `first` and `rest` are what its lines begin with. Text in it is neutralised here. */
  write(content: string | readonly Span[], indent?: { first?: string; rest?: string }): void
  /** A word in a narrow column, its text in a wide one. */
  label(label: string, content: string | readonly Span[], options: { indent: number; column: number }): void
  /** Cells side by side, each wrapped in its own column; the last may use what is left of the line. */
  row(cells: readonly { text: string; width: number }[], options: { indent: number; style?: Style }): void
  /** One empty line, never two. */
  gap(): void
  /** The lines, with a line break after each. */
  toString(): string
}

/** Words in one style. */
export function span(text: string, style: Style = 'plain'): Span {
  return { text, style }
}

export function makeSheet({ width, color }: SheetOptions): Sheet {
  const lines: string[] = []
  const columns = Math.max(40, width)
  const paint = ({ text, style }: Span) =>
    color && renditions[style] !== '' && text !== '' ? `\u001b[${renditions[style]}m${text}\u001b[0m` : text

  const write: Sheet['write'] = (content, { first = '', rest = first } = {}) => {
    const spans = typeof content === 'string' ? [span(content)] : content
    for (const [index, line] of wrap(spans, columns, first, rest).entries()) {
      lines.push((index === 0 ? first : rest) + line.map(paint).join(''))
    }
  }
  return {
    write,
    label(label, content, { indent, column }) {
      const margin = ' '.repeat(indent)
      const spans = typeof content === 'string' ? [span(content)] : content
      write(spans, { first: margin + padText(label, column), rest: ' '.repeat(indent + column) })
    },
    row(cells, { indent, style = 'plain' }) {
      const last = cells.length - 1
      const widths = fitColumns(
        cells.map(({ width }) => width),
        columns - indent,
      )
      const stacks = cells.map((cell, index) =>
        wrap([span(cell.text)], (widths[index] ?? 1) - (index === last ? 0 : 1), '', '').map((line) =>
          line.map(({ text }) => text).join(''),
        ),
      )
      const height = Math.max(...stacks.map((stack) => stack.length))
      for (let line = 0; line < height; line++) {
        const text = stacks.map((stack, index) => padText(stack[line] ?? '', widths[index] ?? 0)).join('')
        lines.push(' '.repeat(indent) + paint({ text: text.trimEnd(), style }))
      }
    },
    gap() {
      if (lines.length > 0 && lines.at(-1) !== '') lines.push('')
    },
    toString: () => lines.map((line) => `${line.trimEnd()}\n`).join(''),
  }
}

/** The last column takes what is left of the line; where the others leave too little, all shrink alike. */
function fitColumns(widths: readonly number[], room: number): number[] {
  const total = widths.reduce((sum, width) => sum + width, 0)
  const fitted = total <= room ? [...widths] : widths.map((width) => Math.floor((width * room) / total))
  const last = fitted.length - 1
  fitted[last] = room - fitted.slice(0, last).reduce((sum, width) => sum + width, 0)
  return fitted
}

/** Breaks at spaces; a word that is wider than a line is cut. Every line holds at least one word. */
function wrap(spans: readonly Span[], columns: number, first: string, rest: string): Span[][] {
  const lines: Span[][] = [[]]
  let room = columns - measureText(first)
  let used = 0
  const addWord = (text: string, style: Style, spaced: boolean) => {
    const space = spaced && used > 0 ? 1 : 0
    const wide = measureText(text)
    if (used > 0 && used + space + wide > room) {
      lines.push([])
      room = columns - measureText(rest)
      used = 0
    }
    const line = lines.at(-1) as Span[]
    const shown = (used > 0 && space === 1 ? ' ' : '') + text
    const last = line.at(-1)
    if (last?.style === style) last.text += shown
    else line.push({ text: shown, style })
    used += measureText(shown)
  }
  let spaced = false
  for (const { text, style } of spans) {
    for (const [index, word] of neutralise(text).split(/ +/).entries()) {
      spaced ||= index > 0
      if (word === '') continue
      for (const piece of cutWord(word, Math.max(1, columns - Math.max(measureText(first), measureText(rest))))) {
        addWord(piece, style, spaced)
        spaced = false
      }
    }
  }
  return lines
}
