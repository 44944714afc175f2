/** What the tests of the text readers share: bytes of a text, and a page as its lines. */
import type { Reading, Track } from '../../src/facts/reading.ts'

export const hint = { path: 'log.dat', media: 'text/plain' }

export function bytesOf(text: string): Uint8Array {
  return new TextEncoder().encode(text)
}

/** The lines of a page as they would be printed in a fixed pitch, blank lines included. */
export function printedLines(reading: Reading, page = 0): string[] {
  const lines: string[] = []
  for (const word of reading.pages[page]?.words ?? []) {
    const line = Math.floor(word.box[1] / 12)
    lines[line] = (lines[line] ?? '').padEnd(Math.round(word.box[0] / 6)) + word.text
  }
  return Array.from(lines, (line) => line ?? '')
}

/** The texts of all words, joined by blanks. */
export function allText(reading: Reading): string {
  return reading.pages.flatMap((page) => page.words.map((word) => word.text)).join(' ')
}

export function codesOf(reading: { problems: readonly { code: string }[] }): string[] {
  return reading.problems.map((problem) => problem.code)
}

/** The track, or a failure that shows the problems. */
export function trackOf(reading: Reading): Track {
  if (!reading.track) throw new Error(`no track: ${JSON.stringify(reading.problems)}`)
  return reading.track
}

/** Cell texts by row and column, from the cells that the words carry. */
export function cellsOf(reading: Reading): Map<string, string> {
  const cells = new Map<string, string>()
  for (const { cell, text } of reading.pages.flatMap((page) => page.words)) {
    if (!cell) continue
    const key = `${cell.row},${cell.column}`
    cells.set(key, cells.has(key) ? `${cells.get(key)} ${text}` : text)
  }
  return cells
}

/** Seconds since 1970 of an RFC 3339 instant in UTC. */
export function utc(instant: string): number {
  return Date.parse(instant) / 1000
}
