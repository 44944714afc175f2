/** What a report is written with: headings, paragraphs, lists of labels, tables, figures. */
import type { Piece } from './pdf-flow.ts'
import type { Look } from './pdf-letters.ts'
import { type Element, type Paper, sheet } from './pdf-paper.ts'

/** As in the HTML report on paper. */
export const colors = {
  ink: '#000000',
  quiet: '#50565f',
  line: '#c9c5ba',
  link: '#1d4f73',
  fail: '#8a1f14',
  warn: '#6b4700',
  pass: '#1f4d30',
  'not-checked': '#444a54',
} as const

export const looks = {
  body: { weight: 'regular', size: 9, color: colors.ink },
  strong: { weight: 'bold', size: 9, color: colors.ink },
  quiet: { weight: 'regular', size: 8, color: colors.quiet },
  title: { weight: 'bold', size: 16, color: colors.ink },
  section: { weight: 'bold', size: 12, color: colors.ink },
  group: { weight: 'bold', size: 9, color: colors.quiet },
  finding: { weight: 'bold', size: 9.5, color: colors.ink },
} as const satisfies Record<string, Look>

export const leading = (look: Look): number => Math.round(look.size * 1.36 * 10) / 10

/** How much lower smaller letters begin that stand on the line of larger ones: the font's ascent is 0.93 of its size. */
const sameBase = (large: Look, small: Look): number => Math.max(0, (large.size - small.size) * 0.93)

export interface Span {
  x: number
  width: number
}

export const whole: Span = { x: sheet.left, width: sheet.right - sheet.left }

interface LineOptions {
  /** Keeps the last line with what follows. */
  keep?: boolean
  /** Drawn beside each line, as what is no content. */
  beside?: (y: number, height: number) => void
  /** Drawn with the first line. */
  first?: (y: number) => void
}

/** Lines of one element. The first two stay together, and the last two. */
export function putLines(
  paper: Paper,
  element: Element,
  text: string,
  look: Look,
  span: Span,
  { keep = false, beside, first }: LineOptions = {},
): void {
  const lines = paper.letters.wrap(text, look, span.width)
  const height = leading(look)
  const last = lines.length - 1
  const pieces = lines.map(
    (line, index): Piece => ({
      height,
      keep: index === last ? keep : keep || index === 0 || index === last - 1,
      draw(y) {
        if (index === 0) first?.(y)
        beside?.(y, height)
        paper.draw(element, [{ text: line, x: span.x, y, look }])
      },
    }),
  )
  paper.put(...pieces)
}

export function putHeading(
  paper: Paper,
  parent: Element,
  level: 1 | 2 | 3 | 4,
  text: string,
  look: Look,
  span = whole,
) {
  const element = paper.add(parent, `H${level}`)
  const first = level === 2 ? () => paper.bookmark(text, 0) : undefined
  putLines(paper, element, text, look, span, { keep: true, ...(first ? { first } : {}) })
  if (level !== 2) return
  paper.put({
    height: 6,
    keep: true,
    draw: (y) => paper.decorate((document) => strike(document, y + 1, 1, colors.ink)),
  })
}

export function strike(document: PDFKit.PDFDocument, y: number, width: number, color: string): void {
  document.moveTo(sheet.left, y).lineTo(sheet.right, y).lineWidth(width).strokeColor(color).stroke()
}

/** Items of a list, each a label in a column of its own and lines beside it. */
export function putLabels(
  paper: Paper,
  parent: Element,
  items: readonly { label: string; labelLook: Look; lines: readonly { text: string; look: Look }[] }[],
  span: Span,
  { column, beside }: { column: number; beside?: (y: number, height: number) => void },
): void {
  const list = paper.add(parent, 'L')
  for (const { label, labelLook, lines } of items) {
    const item = paper.add(list, 'LI')
    const name = paper.add(item, 'Lbl')
    const body = paper.add(item, 'LBody')
    for (const [index, { text, look }] of lines.entries()) {
      const paragraph = lines.length === 1 ? body : paper.add(body, 'P')
      const labelled = { text: label, x: span.x, look: labelLook }
      const lower = sameBase(look, labelLook)
      putLines(
        paper,
        paragraph,
        text,
        look,
        { x: span.x + column, width: span.width - column },
        {
          ...(beside ? { beside } : {}),
          ...(index === 0 ? { first: (y: number) => paper.draw(name, [{ ...labelled, y: y + lower }]) } : {}),
        },
      )
    }
    paper.put({ height: 2, keep: false, draw: (y) => beside?.(y, 2) })
  }
}

export interface Column {
  name: string
  width: number
}

export interface Row {
  cells: readonly { text: string; look: Look }[]
  /** Drawn with the row, as what is no content. */
  beside?: (y: number, height: number) => void
}

/** A table with a heading row, which is drawn again on each further page. The first cell of a row is its heading. */
export function putTable(
  paper: Paper,
  parent: Element,
  columns: readonly Column[],
  rows: readonly Row[],
  besideHead: (y: number) => void = () => {},
): void {
  const table = paper.add(parent, 'Table')
  const head = paper.add(paper.add(table, 'THead'), 'TR')
  const names = columns.map(() => paper.add(head, 'TH', { scope: 'Column' }))
  const lefts = columns.map(
    (_, index) => sheet.left + columns.slice(0, index).reduce((sum, { width }) => sum + width, 0),
  )
  const headLook: Look = { ...looks.quiet, weight: 'bold' }
  const drawHead = (y: number, write: (index: number, at: number) => void) => {
    for (const index of columns.keys()) write(index, y)
    besideHead(y)
    paper.decorate((document) => strike(document, y + 12, 0.75, colors.quiet))
  }
  const again = {
    height: 15,
    draw: (y: number) =>
      drawHead(y, (index, at) => {
        paper.decorate((document) => {
          document.font('bold').fontSize(headLook.size).fillColor(headLook.color)
          document.text(columns[index]?.name ?? '', lefts[index] ?? 0, at, { lineBreak: false })
        })
      }),
  }
  paper.put({
    height: 15,
    keep: true,
    draw: (y) =>
      drawHead(y, (index, at) => {
        paper.draw(names[index] as Element, [
          { text: columns[index]?.name ?? '', x: lefts[index] ?? 0, y: at, look: headLook },
        ])
      }),
  })
  const body = paper.add(table, 'TBody')
  for (const row of rows) putRow(paper, body, row, columns, lefts, again)
}

/** A row is cut only where it takes more than a third of a page. */
const longest = 20

function putRow(
  paper: Paper,
  body: Element,
  { cells, beside }: Row,
  columns: readonly Column[],
  lefts: readonly number[],
  again: NonNullable<Piece['again']>,
): void {
  const element = paper.add(body, 'TR')
  const set = cells.map(({ text, look }, index) => ({
    look,
    x: lefts[index] ?? 0,
    lines: paper.letters.wrap(text, look, (columns[index]?.width ?? 1) - 8),
    element: paper.add(element, index === 0 ? 'TH' : 'TD', index === 0 ? { scope: 'Row' } : {}),
  }))
  const count = Math.max(...set.map(({ lines }) => lines.length))
  const height = Math.max(...set.map(({ look }) => leading(look)))
  for (let line = 0; line < count; line++) {
    paper.put({
      height,
      keep: count <= longest || line < 2,
      again,
      draw(y) {
        if (line === 0) beside?.(y, height)
        for (const { lines, x, look, element: cell } of set) {
          const text = lines[line]
          if (text !== undefined) paper.draw(cell, [{ text, x, y: y + sameBase(looks.body, look), look }])
        }
      },
    })
  }
  paper.put({
    height: 4,
    keep: false,
    draw: (y) => paper.decorate((document) => strike(document, y + 1, 0.4, colors.line)),
  })
}
