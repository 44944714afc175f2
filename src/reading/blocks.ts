/**
 * Words → runs on one baseline → blocks of lines close beneath each other and aligned, as the cells of wrapped tables and
 * the paragraphs of running text are. Boxes in the unit of the page.
 */
import { boxAround } from '../facts/layout.ts'
import type { Box, Word } from '../facts/reading.ts'

/** Words in reading order. */
export interface Block {
  words: Word[]
  box: Box
  lines: { words: Word[]; box: Box }[]
}

/** Ordinary space between words is narrower than this share of the type size, and so is white space inside a cell. */
const WORD_GAP = 0.9
const LINE_GAP = 0.4
/** Of the type size: by how much lines of one block may overlap. */
const OVERLAP = 0.5
/** Edges less than that apart are one. */
const EDGE = 2

/** Runs of words on one baseline, from top to bottom. */
export function findRuns(words: readonly Word[]): Block['lines'] {
  const sorted = [...words].sort((a, b) => a.box[3] - b.box[3] || a.box[0] - b.box[0])
  const rows: Word[][] = []
  for (const word of sorted) {
    const row = rows.at(-1)
    if (row?.[0] && word.box[3] - row[0].box[3] <= 0.25 * word.size) row.push(word)
    else rows.push([word])
  }
  return rows.flatMap((row) => {
    const runs: Word[][] = []
    for (const word of row.sort((a, b) => a.box[0] - b.box[0])) {
      const last = runs.at(-1)?.at(-1)
      if (last && word.box[0] - last.box[2] <= WORD_GAP * Math.min(last.size, word.size)) runs.at(-1)?.push(word)
      else runs.push([word])
    }
    return runs.map((run) => ({ words: run, box: boxAround(run.map(({ box }) => box)) }))
  })
}

/** Whether two edges are one. */
export const near = (a: number, b: number): boolean => Math.abs(a - b) < EDGE

function isAligned(a: Box, b: Box): boolean {
  if (Math.min(a[2], b[2]) <= Math.max(a[0], b[0])) return false
  return near(a[0], b[0]) || near(a[2], b[2]) || near((a[0] + a[2]) / 2, (b[0] + b[2]) / 2)
}

/** Where the last line of each block ends, by where it stands across, so that a run looks only at those about its own edges. */
type Ends = Map<string, { bottom: number; block: number }[]>

const edgesOf = ([x0, , x1]: Box): number[] => [x0, x1, (x0 + x1) / 2].map((edge) => Math.floor(edge / EDGE))

/** The first place in a list, sorted by `bottom`, of what ends at `bottom` or beneath. */
function placeIn(list: readonly { bottom: number }[], bottom: number): number {
  let [from, to] = [0, list.length]
  while (from < to) {
    const half = (from + to) >> 1
    if ((list[half]?.bottom ?? 0) < bottom) from = half + 1
    else to = half
  }
  return from
}

function addEnd(ends: Ends, block: number, box: Box): void {
  for (const [kind, edge] of edgesOf(box).entries()) {
    const list = ends.get(`${kind} ${edge}`)
    if (list) list.splice(placeIn(list, box[3]), 0, { bottom: box[3], block })
    else ends.set(`${kind} ${edge}`, [{ bottom: box[3], block }])
  }
}

function removeEnd(ends: Ends, block: number, box: Box): void {
  for (const [kind, edge] of edgesOf(box).entries()) {
    const list = ends.get(`${kind} ${edge}`) ?? []
    let at = placeIn(list, box[3])
    while (at < list.length && list[at]?.block !== block) at++
    list.splice(at, 1)
  }
}

/** The blocks whose last line shares an edge with a run and ends between two heights. */
function endsAbout(ends: Ends, run: Box, top: number, bottom: number): number[] {
  const found: number[] = []
  for (const [kind, edge] of edgesOf(run).entries()) {
    for (const beside of [edge - 1, edge, edge + 1]) {
      const list = ends.get(`${kind} ${beside}`) ?? []
      for (let at = placeIn(list, top); at < list.length; at++) {
        const end = list[at]
        if (!end || end.bottom > bottom) break
        found.push(end.block)
      }
    }
  }
  return found
}

/**
 * Runs from top to bottom that stand close beneath each other and aligned are the lines of one block; of several blocks
 * above a run, it goes on with the one begun last.
 */
export function findBlocks(runs: Block['lines']): Block[] {
  const blocks: Block[] = []
  const ends: Ends = new Map()
  for (const run of runs) {
    const size = run.words[0]?.size ?? 10
    const follows = (last: Box | undefined): boolean => {
      if (!last) return false
      const gap = run.box[1] - last[3]
      return gap <= LINE_GAP * size && gap > -OVERLAP * size && isAligned(last, run.box)
    }
    // A point more on both sides: which of them it is, the gap tells.
    const [top, bottom] = [run.box[1] - LINE_GAP * size - 1, run.box[1] + OVERLAP * size + 1]
    const about = endsAbout(ends, run.box, top, bottom).filter((at) => follows(blocks[at]?.lines.at(-1)?.box))
    const above = about.reduce((a, b) => Math.max(a, b), -1)
    const block = blocks[above]
    const last = block?.lines.at(-1)
    if (block && last) {
      removeEnd(ends, above, last.box)
      addEnd(ends, above, run.box)
      block.lines.push(run)
      block.box = boxAround([block.box, run.box])
    } else {
      addEnd(ends, blocks.length, run.box)
      blocks.push({ words: [], box: run.box, lines: [run] })
    }
  }
  for (const block of blocks) block.words = joinLines(block.lines.map(({ words }) => words))
  return blocks
}

/** The words of a wrapped cell; what was broken at a hyphen is one word again. */
function joinLines(lines: readonly Word[][]): Word[] {
  const words: Word[] = []
  for (const line of lines) {
    const [first, ...rest] = line
    const last = words.at(-1)
    if (last && first && /[\p{L}\p{N}]-$/u.test(last.text) && /^[\p{L}\p{N}]/u.test(first.text)) {
      words[words.length - 1] = { ...last, text: last.text + first.text, box: boxAround([last.box, first.box]) }
      words.push(...rest)
    } else words.push(...line)
  }
  return words
}
