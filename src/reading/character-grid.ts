/** Sets text that has no page of its own on a grid of 6 by 12 points a character. */
import type { Page, Problem, Word } from '../facts/reading.ts'

export const characterWidth = 6
export const lineHeight = 12
const fontSize = 10

/** More words than any report holds; beyond them a page is a data file and only costs memory. */
const mostWords = 150_000
const longestWord = 2_000

export interface Grid {
  words: Word[]
  /** Words left out, or cut short, because a limit was reached. */
  leftOut: number
  lines: number
  columns: number
}

export interface Setting {
  cell?: { row: number; column: number }
  bold?: boolean
}

/** An empty grid. */
export function startGrid(): Grid {
  return { words: [], leftOut: 0, lines: 0, columns: 0 }
}

/**
 * Places the words of `text` from character `column` of line `line` on (both from 0); white space inside stays as gaps.
 * `text` holds no line end. Returns the column after the last word.
 */
export function placeText(grid: Grid, line: number, column: number, text: string, setting: Setting = {}): number {
  let end = column
  for (const found of text.matchAll(/\S+/g)) {
    if (grid.words.length >= mostWords) {
      grid.leftOut++
      break
    }
    let word = found[0]
    if (word.length > longestWord) {
      word = word.slice(0, longestWord).toWellFormed()
      grid.leftOut++
    }
    const start = column + found.index
    end = start + word.length
    const top = line * lineHeight
    grid.words.push({
      text: word,
      box: [start * characterWidth, top + 1, end * characterWidth, top + 1 + fontSize],
      size: fontSize,
      ...(setting.bold ? { bold: true } : {}),
      ...(setting.cell ? { cell: setting.cell } : {}),
    })
  }
  grid.lines = Math.max(grid.lines, line + 1)
  grid.columns = Math.max(grid.columns, end)
  return end
}

/** The page that the grid has become. */
export function gridPage(grid: Grid, number = 1): Page {
  return {
    number,
    width: Math.max(grid.columns, 1) * characterWidth,
    height: Math.max(grid.lines, 1) * lineHeight,
    unit: 'pt',
    words: grid.words,
  }
}

/** `too-large` where the grid could not hold all words. */
export function gridProblems(grid: Grid): Problem[] {
  if (grid.leftOut === 0) return []
  return [
    {
      code: 'too-large',
      message: `The file holds more text than a report can (${mostWords} words, ${longestWord} characters a word); the rest was left out.`,
    },
  ]
}
