/**
 * Parts of a page that stand side by side and are to be read one after the other: a side bar beside a report, a list
 * beside a table, two columns of text. They are cut apart only where their lines do not share baselines: a grid of labels
 * and values has gutters too, but it is read across.
 *
 * A page is first cut into bands by white space that runs across it, so that cards one above the other keep their parts
 * together; each band is then searched for a gutter.
 */
import type { Page, Word } from '../facts/reading.ts'

const MIN_GUTTER = 9

interface Row {
  y: number
  top: number
  words: Word[]
}

/** Words by baseline, from top to bottom; baselines within an eighth of the type size are one. */
function rowsOf(words: readonly Word[]): Row[] {
  const rows: Row[] = []
  for (const word of [...words].sort((a, b) => a.box[3] - b.box[3])) {
    const last = rows.at(-1)
    if (last && word.box[3] - last.y <= 0.25 * word.size) {
      last.words.push(word)
      last.top = Math.min(last.top, word.box[1])
    } else rows.push({ y: word.box[3], top: word.box[1], words: [word] })
  }
  return rows
}

/**
 * Rows between stretches of white space that run across the whole page. Where the page has a gutter, only a heading that
 * stands on both of its sides starts a new band: that of a card does, the next line of a side bar does not.
 */
function bandsOf(rows: readonly Row[], bodySize: number): Row[][] {
  const bands: Row[][] = []
  const gutters = guttersOf(rows)
  const isHeading = (row: Row) =>
    row.words.some((word) => word.size > 1.08 * bodySize) || row.words.every((word) => word.bold)
  const startsBand = (row: Row) =>
    gutters.length === 0 || (isHeading(row) && gutters.some((x) => ['both', 'across'].includes(sideOf(row, x))))
  let bottom = Number.NEGATIVE_INFINITY
  for (const row of rows) {
    const band = bands.at(-1)
    if (band && (row.top - bottom < 0.8 * bodySize || !startsBand(row))) band.push(row)
    else bands.push([row])
    bottom = Math.max(bottom, row.y)
  }
  return bands
}

/** The ink of a row as spans; words with an ordinary space between them are one span. */
function spansOf(row: Row): [number, number][] {
  const spans: [number, number][] = []
  for (const word of [...row.words].sort((a, b) => a.box[0] - b.box[0])) {
    const last = spans.at(-1)
    if (last && word.box[0] - last[1] < 0.9 * word.size) last[1] = Math.max(last[1], word.box[2])
    else spans.push([word.box[0], word.box[2]])
  }
  return spans
}

/** The middles of the gutters of some rows: what hardly any row crosses, with ink on both sides. */
function guttersOf(rows: readonly Row[]): number[] {
  const edges: { x: number; step: 1 | -1 }[] = []
  let left = Number.POSITIVE_INFINITY
  let right = Number.NEGATIVE_INFINITY
  for (const row of rows) {
    for (const [from, to] of spansOf(row)) {
      edges.push({ x: from, step: 1 }, { x: to, step: -1 })
      left = Math.min(left, from)
      right = Math.max(right, to)
    }
  }
  edges.sort((a, b) => a.x - b.x || b.step - a.step)
  const most = Math.max(2, Math.floor(0.1 * rows.length))
  const found: number[] = []
  let depth = 0
  let open = Number.NEGATIVE_INFINITY
  for (const { x, step } of edges) {
    if (step === 1 && depth === most && x > left && x - open >= MIN_GUTTER) found.push((open + x) / 2)
    depth += step
    if (step === -1 && depth === most && x < right) open = x
    if (depth > most) open = Number.POSITIVE_INFINITY
  }
  return found
}

type Side = 'left' | 'right' | 'both' | 'across'

function sideOf(row: Row, x: number): Side {
  const spans = spansOf(row)
  if (spans.some(([from, to]) => from < x && to > x)) return 'across'
  const left = spans.some(([, to]) => to <= x)
  const right = spans.some(([from]) => from >= x)
  return left && right ? 'both' : left ? 'left' : 'right'
}

/**
 * The stretch of a band whose rows stand on one side of the gutter or the other and seldom on both: from its first row to
 * its last, or null. A first row on both sides belongs to it, since a heading stands over each part.
 */
function stretchBeside(sides: readonly Side[]): readonly [number, number] | null {
  const worth: Record<Side, number> = { left: 1, right: 1, both: -1.2, across: -4 }
  let best: { sum: number; from: number; to: number } = { sum: 0, from: 0, to: 0 }
  let sum = 0
  let from = 0
  sides.forEach((side, i) => {
    if (sum <= 0) {
      sum = 0
      from = i
    }
    sum += worth[side]
    if (sum > best.sum) best = { sum, from, to: i + 1 }
  })
  const inside = sides.slice(best.from, best.to)
  const count = (side: Side) => inside.filter((other) => other === side).length
  const alone = Math.min(count('left'), count('right'))
  if (alone < 1 || count('left') + count('right') < 5 || count('both') > (alone < 2 ? 0.25 : 0.45) * inside.length)
    return null
  // Beside each other the two sides take turns. A row on the right alone beneath a row on both is the rest of a table's cell.
  const isOneSide = (side: Side | undefined) => side === 'left' || side === 'right'
  const turns = inside.filter((side, i) => isOneSide(side) && isOneSide(inside[i - 1]) && side !== inside[i - 1])
  if (turns.length < Math.max(2, alone)) return null
  return [sides[best.from - 1] === 'both' ? best.from - 1 : best.from, best.to]
}

function cutBand(band: readonly Row[]): Word[][] {
  const whole = [band.flatMap((row) => row.words)]
  if (band.length < 5) return whole
  for (const x of guttersOf(band)) {
    const stretch = stretchBeside(band.map((row) => sideOf(row, x)))
    if (!stretch) continue
    const [from, to] = stretch
    const beside = band.slice(from, to).flatMap((row) => row.words)
    const inner = (words: readonly Word[]) => cutBand(rowsOf(words))
    return [
      band.slice(0, from).flatMap((row) => row.words),
      ...inner(beside.filter((word) => word.box[2] <= x)),
      ...inner(beside.filter((word) => word.box[2] > x)),
      ...cutBand(band.slice(to)),
    ].filter((words) => words.length > 0)
  }
  return whole
}

/** The words of a page in parts that are to be read one after the other; one part for an ordinary page. */
export function cutIntoBlocks(page: Page): Word[][] {
  if (page.words.length === 0 || page.words.some((word) => word.cell !== undefined)) return [page.words]
  const sizes = page.words.map((word) => word.size).sort((a, b) => a - b)
  const bodySize = sizes[sizes.length >> 1] ?? 10
  const cut = bandsOf(rowsOf(page.words), bodySize).map(cutBand)
  // Bands without parts of their own are one again, so that lines and gaps between them stay as they are.
  const blocks: Word[][] = []
  let open: Word[] | null = null
  for (const parts of cut) {
    if (parts.length === 1) {
      if (open) open.push(...(parts[0] ?? []))
      else {
        open = [...(parts[0] ?? [])]
        blocks.push(open)
      }
    } else {
      blocks.push(...parts)
      open = null
    }
  }
  return blocks
}
