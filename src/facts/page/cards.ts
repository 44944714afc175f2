/**
 * Cards side by side, each headed by the name of a sensor: read across, the outcome of one would be taken for that of its
 * neighbour. Their lines are set one card after the other, as if the page had been cut along the gaps between them.
 */
import { boxAround, type Cell, type Layout, type Line } from '../layout.ts'
import { sensorOf } from '../recognise/sensors.ts'
import type { Vocabulary } from '../vocabulary.ts'

/** A card is headed by a few words, of which the sensor's name is the greater part. */
const MOST_WORDS = 8
const LEAST_SHARE = 0.3

/** The layout with cards set one after the other; the same layout where there are none. */
export function unfoldCards(layout: Layout, vocabulary: Vocabulary): Layout {
  const lines: Line[] = []
  let changed = false
  for (let at = 0; at < layout.lines.length; at++) {
    const heading = layout.lines[at]
    if (!heading) continue
    const rows = headsCards(heading, vocabulary) ? findCardRows(layout, at, vocabulary) : []
    if (rows.length < 2) {
      lines.push(heading)
      continue
    }
    for (const left of heading.cells.map((_, card) => card)) lines.push(...cutCard([heading, ...rows], heading, left))
    changed = true
    at += rows.length
  }
  return changed ? { ...layout, lines: renumber(lines) } : layout
}

/** Two or more cells, each of which names a sensor and little else. */
function headsCards({ cells, furniture }: Line, vocabulary: Vocabulary): boolean {
  if (furniture !== null || cells.length < 2) return false
  return cells.every((cell) => {
    const found = sensorOf(cell.text, vocabulary)
    const isName = cell.words.length <= MOST_WORDS && !/[:=]|[.!?;]$|\d{3}/.test(cell.text)
    return found !== null && found.sensor !== 'other' && found.share >= LEAST_SHARE && isName
  })
}

/**
 * The lines beneath that belong to the cards: close beneath each other, no cell reaching over into the next card, each card's
 * part beginning where its heading does. In a table of sensors the rows begin to the left of all headings.
 */
function findCardRows({ lines, bodySize }: Layout, at: number, vocabulary: Vocabulary): Line[] {
  const heading = lines[at]
  if (!heading) return []
  const rows: Line[] = []
  for (const line of lines.slice(at + 1)) {
    const closely = 1.2 * (rows.length === 0 ? Math.max(heading.size, bodySize) : bodySize)
    if (line.page !== heading.page || line.gapAbove > closely || headsCards(line, vocabulary)) break
    const parts = heading.cells.map((_, card) => line.cells.filter((cell) => cardOf(cell, heading) === card))
    const fits = parts.every((cells, card) => {
      const [first] = cells
      const last = cells.at(-1)
      const next = heading.cells[card + 1]
      if (!first || !last) return true
      return Math.abs(first.box[0] - (heading.cells[card]?.box[0] ?? 0)) < 12 && (!next || last.box[2] < next.box[0])
    })
    if (!fits) break
    rows.push(line)
  }
  // One card may be longer than its neighbour, but a neighbour it must have.
  const isShared = rows.some(({ cells }) => new Set(cells.map((cell) => cardOf(cell, heading))).size > 1)
  return isShared ? rows : []
}

/** The last heading that begins at or before the cell. */
function cardOf({ box }: Cell, heading: Line): number {
  return Math.max(
    0,
    heading.cells.findLastIndex((cell) => cell.box[0] <= box[0] + 12),
  )
}

function cutCard(rows: readonly Line[], heading: Line, card: number): Line[] {
  return rows.flatMap((line) => {
    const cells = line.cells.filter((cell) => cardOf(cell, heading) === card)
    if (cells.length === 0) return []
    const text = cells.map((cell) => cell.text).join(' ')
    const size = Math.max(...cells.map((cell) => cell.size))
    return [
      {
        ...line,
        cells,
        text,
        size,
        bold: cells.every(({ bold }) => bold),
        box: boxAround(cells.map(({ box }) => box)),
      },
    ]
  })
}

/** Lines in their new order, each cell knowing its line. */
function renumber(lines: readonly Line[]): Line[] {
  return lines.map((line, index) => {
    const above = lines[index - 1]
    const isBeneath = above !== undefined && above.page === line.page && above.box[3] <= line.box[1] + line.size
    const gapAbove = isBeneath ? line.box[1] - above.box[3] : line.gapAbove
    return { ...line, index, gapAbove, cells: line.cells.map((cell) => ({ ...cell, line: index })) }
  })
}
