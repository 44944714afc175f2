/**
 * Words → lines → cells, by geometry alone: no rule here knows an instrument, a shop or a label.
 *
 * - A line is a set of words whose middles lie within 0.45 of the smaller height of each other. It never grows by chains.
 * - A gap wider than 0.9 of the font size starts a new cell: an ordinary space is 0.25 to 0.35 wide in proportional type
 *   and 0.6 in fixed pitch, two spaces of fixed pitch are 1.2. Readers of delimited text say the cells themselves.
 * - A line that an earlier page carried at the same height, digits aside, is a page header or footer.
 */

import { isIllegible } from '../facts/illegible.ts'
import { boxAround, type Cell, type Layout, type Line, makeCell, placeOfCells, scaleBox } from '../facts/layout.ts'
import type { Page, Word } from '../facts/reading.ts'
import { cutIntoBlocks } from './columns.ts'
import { median } from './median.ts'
import { findWrappedTables } from './wrapped-rows.ts'

const CELL_GAP = 0.9
/** The same in fixed pitch as a picture shows it, where ink is measured and not the type: in characters. */
const PITCH_GAP = 1.8
/** Lines drawn with characters, and leader dots. */
const RULE = /^(?:[=_*~.·•─━═│┃|+#–—-]{4,}|[=_*~-]{3,})$/
/** Leader dots, of which a reader of pictures sees few: they are no word. Two may stand between the ends of a range. */
const DOTS = /^(?:\.|…|\.{3,})$/
/** Marks that set parts of a line apart, as wide a gap would. */
const BULLET = /^[•|·▪●|│]$/

/** The end of a calendar date, and the start of a time of day. */
const DAY_END = /(?:^|\D)(?:\d{4}|\d{1,2}[./-]\d{1,2}[./-]\d{2,4}),?$/
const TIME_START = /^\d{1,2}[:.h]\d{2}/

const middle = (word: Word) => (word.box[1] + word.box[3]) / 2
const height = (word: Word) => word.box[3] - word.box[1]

/** `VIN:5W9…`, `RO#4471`, `BATT=13.2V` are a label and a value without a space: cut them apart. */
function cutGluedWord(word: Word): Word[] {
  const leading = /^[.·…]{2,}(?=[^.·…])/.exec(word.text)?.[0]
  if (leading !== undefined && word.confidence !== undefined) {
    const [x0, y0, x1, y1] = word.box
    const from = x0 + ((x1 - x0) * leading.length) / word.text.length
    return cutGluedWord({ ...word, text: word.text.slice(leading.length), box: [from, y0, x1, y1] })
  }
  const led = /^(.*[\p{L}\p{N})])[.·…]{2,}$/u.exec(word.text)?.[1]
  if (led !== undefined && word.cell === undefined) {
    // "Odometer.." leads to its value by dots: without them the gap shows.
    const [x0, y0, x1, y1] = word.box
    return cutGluedWord({ ...word, text: led, box: [x0, y0, x0 + ((x1 - x0) * led.length) / word.text.length, y1] })
  }
  // ":13.8V", where a reader of pictures saw no space: the colon belongs to the label before it.
  const colon = word.confidence === undefined ? null : /^([:=])([\p{L}\p{N}+-].*)$/u.exec(word.text)
  const found = colon ?? /^(\p{L}[\p{L}./&_-]*(?:[:=]|#:?))([^\s:=/#].*)$/u.exec(word.text)
  if (!found?.[1] || !found[2]) return [word]
  const [x0, y0, x1, y1] = word.box
  const cut = x0 + ((x1 - x0) * found[1].length) / word.text.length
  return [
    { ...word, text: found[1], box: [x0, y0, cut, y1] },
    { ...word, text: found[2], box: [cut, y0, x1, y1] },
  ]
}

function groupIntoLines(words: Word[]): Word[][] {
  const rows: { middle: number; height: number; words: Word[] }[] = []
  const byRow = words.some((word) => word.cell !== undefined)
  if (byRow) {
    const lines = new Map<number, Word[]>()
    for (const word of words) {
      const row = word.cell?.row ?? -1
      const line = lines.get(row)
      if (line) line.push(word)
      else lines.set(row, [word])
    }
    return [...lines.values()].sort((a, b) => (a[0]?.box[1] ?? 0) - (b[0]?.box[1] ?? 0))
  }
  for (const word of [...words].sort((a, b) => middle(a) - middle(b) || a.box[0] - b.box[0])) {
    // Only the last few rows can hold a word at this height.
    let best: (typeof rows)[number] | undefined
    for (let i = rows.length - 1; i >= Math.max(0, rows.length - 4); i--) {
      const row = rows[i]
      if (!row) continue
      const apart = Math.abs(row.middle - middle(word))
      if (
        apart <= 0.45 * Math.min(row.height, height(word)) &&
        (!best || apart < Math.abs(best.middle - middle(word)))
      ) {
        best = row
      }
    }
    if (best) best.words.push(word)
    else rows.push({ middle: middle(word), height: Math.max(1, height(word)), words: [word] })
  }
  return rows.map((row) => row.words)
}

/** A printed line holds some dozens of words, a wide table a few hundred. */
const LINE_WORDS = 500

/** Longer lines are made, not printed: in pieces, reading one does not take the square of its length. */
function cutLongLine(words: Word[]): Word[][] {
  if (words.length <= LINE_WORDS) return [words]
  const sorted = [...words].sort((a, b) => a.box[0] - b.box[0])
  return Array.from({ length: Math.ceil(sorted.length / LINE_WORDS) }, (_, piece) =>
    sorted.slice(piece * LINE_WORDS, (piece + 1) * LINE_WORDS),
  )
}

/**
 * Width of a character where words were read from a picture and all their characters are as wide; null elsewhere. Measured
 * on pages of paper: in fixed pitch half the words deviate by 1 to 3 % from the median, in proportional type by 5 to 19 %.
 */
function pitchOf({ words }: Page): number | null {
  const seen = words.filter(
    ({ text, confidence }) => confidence !== undefined && text.length >= 4 && !isIllegible(text),
  )
  // The ink of a word begins and ends a tenth of a character within its type.
  const widths = seen.map(({ box, text }) => (box[2] - box[0]) / (text.length - 0.2))
  const pitch = median(widths)
  const deviation = median(widths.map((width) => Math.abs(width - pitch)))
  return widths.length >= 20 && deviation < 0.035 * pitch ? pitch : null
}

/** `pitch`: see `pitchOf`. */
function cutIntoCells(words: Word[], page: number, line: number, pitch: number | null): Cell[] {
  const sorted = [...words].sort((a, b) => a.box[0] - b.box[0])
  const cells: Word[][] = []
  let parted = false
  for (const [at, word] of sorted.entries()) {
    if (BULLET.test(word.text) && !word.cell) {
      // "Apr 20, 2026 · 8:14 AM" is one time.
      parted = !(DAY_END.test(sorted[at - 1]?.text ?? '') && TIME_START.test(sorted[at + 1]?.text ?? ''))
      continue
    }
    const cell = cells.at(-1)
    const last = cell?.at(-1)
    // "Scanned   : 09:12": the colon belongs to the label.
    const colon = cell !== undefined && /^[:=]$/.test(word.text)
    const joined: boolean =
      last !== undefined &&
      !parted &&
      (last.cell && word.cell
        ? last.cell.column === word.cell.column
        : word.box[0] - last.box[2] <= (pitch === null ? CELL_GAP * Math.min(last.size, word.size) : PITCH_GAP * pitch))
    if (cell && (joined || colon)) cell.push(word)
    else cells.push([word])
    parted = colon && !joined
  }
  return cells.map((cell) => makeCell(cell, page, line))
}

const PAGE_OF =
  /(?:^|\b)(?:page|pg\.?|p\.|sheet|seite|blatt)\s*(\d{1,3})\s*(?:(?:of|\/|von|-)\s*(\d{1,3}))?(?:\b|$)|^\(?(\d{1,3})\s*(?:\/|of)\s*(\d{1,3})\)?$/i

function readPageNumber(line: Line, pageCount: number, height: number): Layout['pageNumbers'][number] | null {
  const atEdge = line.box[1] < 0.15 * height || line.box[3] > 0.85 * height
  for (const [at, cell] of line.cells.entries()) {
    const found = PAGE_OF.exec(cell.text)
    if (!found) continue
    const named = found[1] !== undefined
    // "fuel level: 3/4", and any bare fraction in a file that has cells and no pages.
    const isValue = cell.words.some((word) => word.cell !== undefined) || /:$/.test(line.cells[at - 1]?.text ?? '')
    if (!named && isValue) continue
    const number = Number(named ? found[1] : found[3])
    const of = named ? (found[2] === undefined ? null : Number(found[2])) : Number(found[4])
    // A bare "2/3" is a page number only at the edge of the page and where it can be one.
    if (!named && (!atEdge || of === null || number > of || of > Math.max(pageCount, 50) || of < pageCount)) continue
    return { page: line.page, number, of, place: placeOfCells([cell]) }
  }
  return null
}

function markFurniture(lines: Line[], pages: readonly Page[]): void {
  if (pages.length < 2) return
  const seen = new Map<string, number>()
  for (const line of lines) {
    const page = pages.find((p) => p.number === line.page)
    if (!page) continue
    const atEdge = line.box[1] < 0.2 * page.height || line.box[3] > 0.88 * page.height
    if (!atEdge) continue
    const key = `${line.text.replace(/\d+/g, '0')}@${Math.round(line.box[1] / 3)}`
    const near = [0, 1, -1].map((d) => `${line.text.replace(/\d+/g, '0')}@${Math.round(line.box[1] / 3) + d}`)
    const earlier = near.map((k) => seen.get(k)).find((p) => p !== undefined)
    if (earlier !== undefined && earlier < line.page) line.furniture = 'repeated'
    else if (earlier === undefined) seen.set(key, line.page)
  }
}

const isPrinted = ({ text, turned, confidence }: Word): boolean =>
  !RULE.test(text) && !(DOTS.test(text) && confidence !== undefined) && turned !== true

/** One line of a page: its words, or its cells where a wrapped table says them. */
type Row = { words: Word[] } | { cells: Word[][] }

function rowsOfPage(page: Page): Row[] {
  const plain = (words: Word[]): Row[] =>
    cutIntoBlocks({ ...page, words }).flatMap((block) =>
      groupIntoLines(block.filter(isPrinted).flatMap(cutGluedWord))
        .flatMap(cutLongLine)
        .filter((words) => !words.every((word) => BULLET.test(word.text)))
        .map((words) => ({ words })),
    )
  const rows: Row[] = []
  let rest = page.words
  for (const table of findWrappedTables(page)) {
    const free = rest.filter((word) => !table.words.has(word))
    const isAbove = (word: Word) => middle(word) < table.top
    rows.push(...plain(free.filter(isAbove)), ...table.rows.map((cells) => ({ cells })))
    rest = free.filter((word) => !isAbove(word))
  }
  return [...rows, ...plain(rest)]
}

/** What the body of a page is commonly set in, in points. */
const commonSize = 9

/**
 * A page whose words were read from a picture, in the measure of paper: rules of layout know how far apart columns and
 * lines stand in points, and a camera has any number of pixels to one. Where words are to be seen stays as it is.
 */
function toPaper(page: Page): Page {
  const sizes = page.words.filter(({ confidence }) => confidence !== undefined).map(({ size }) => size)
  if (page.unit !== 'px' || sizes.length === 0) return page
  const by = commonSize / median(sizes)
  const words = page.words.map((word) => ({
    ...word,
    box: scaleBox(word.box, by),
    size: word.size * by,
    shown: word.shown ?? word.box,
  }))
  return { ...page, words, width: page.width * by, height: page.height * by }
}

/**
 * Sets pages out as lines of cells, in reading order. Words are taken as the reader gave them, those of pictures brought
 * to the measure of paper; pages without words give no lines. Never throws.
 */
export function layOut(given: readonly Page[]): Layout {
  const pages = given.map(toPaper)
  const lines: Line[] = []
  const sizes: number[] = []
  for (const page of pages) {
    let bottom = Number.NEGATIVE_INFINITY
    const pitch = pitchOf(page)
    for (const row of rowsOfPage(page)) {
      const index = lines.length
      const cells =
        'words' in row
          ? cutIntoCells(row.words, page.number, index, pitch)
          : row.cells.map((words) => makeCell(words, page.number, index))
      const box = boxAround(cells.map((cell) => cell.box))
      lines.push({
        index,
        page: page.number,
        box,
        cells,
        text: cells.map((cell) => cell.text).join(' '),
        size: Math.max(...cells.map((cell) => cell.size)),
        bold: cells.every((cell) => cell.bold),
        gapAbove: box[1] - bottom,
        furniture: null,
      })
      bottom = box[3]
      for (const cell of cells) for (const word of cell.words) sizes.push(word.size)
    }
  }
  markFurniture(lines, pages)
  const pageNumbers: Layout['pageNumbers'] = []
  for (const line of lines) {
    const page = pages.find((p) => p.number === line.page)
    const found = readPageNumber(line, pages.length, page?.height ?? 0)
    if (!found) continue
    pageNumbers.push(found)
    if (line.cells.length === 1 && line.text === found.place.text && PAGE_OF.exec(line.text)?.[0] === line.text)
      line.furniture = 'page-number'
  }
  sizes.sort((a, b) => a - b)
  return {
    lines,
    pageNumbers,
    pages: pages.map(({ number, width, height }) => ({ number, width, height })),
    bodySize: sizes[sizes.length >> 1] ?? 10,
  }
}
