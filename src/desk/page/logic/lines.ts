/** Lines of words of a long page: only those that are looked at are drawn. */
import type { WordsView } from '../../contract.ts'

export type PlacedWord = WordsView['pages'][number]['words'][number]

/** A monospaced letter is so wide for its size, and on the grid on which text is set 10 units high at most. */
const [letterWidth, mostUnits] = [0.602, 10]

/** The size of a monospaced font, in units, at which a word fills its box and goes beyond none of its sides. */
export function fontUnits({ text, box: [x0, y0, x1, y1] }: PlacedWord): number {
  return Math.max(1, Math.min(mostUnits, y1 - y0, (x1 - x0) / (letterWidth * Math.max(1, [...text].length))))
}

/** Words from top to bottom, for `wordsBetween`. */
export const sortWords = (words: readonly PlacedWord[]): PlacedWord[] =>
  [...words].sort((a, b) => a.box[1] - b.box[1] || a.box[0] - b.box[0])

/** Those of sorted words whose top lies between two heights. */
export function wordsBetween(sorted: readonly PlacedWord[], from: number, to: number): PlacedWord[] {
  return sorted.slice(firstAt(sorted, from), firstAt(sorted, to))
}

/** Index of the first word whose top is at a height or below it on the page. */
function firstAt(sorted: readonly PlacedWord[], height: number): number {
  let [low, high] = [0, sorted.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if ((sorted[middle]?.box[1] ?? 0) < height) low = middle + 1
    else high = middle
  }
  return low
}

/** A line of text, with what is marked in it. */
export interface MarkedLine {
  number: number
  /** The text in pieces, each marked or not. */
  pieces: { text: string; marked: boolean }[]
}

/** Lines of a text file whose places are `[column, line, column, line]`, from 1; the last column is left out. */
export function markLines(text: string, boxes: readonly (readonly [number, number, number, number])[]): MarkedLine[] {
  return text.split(/\r\n|\r|\n/).map((line, at) => {
    const number = at + 1
    const marked = new Array<boolean>(line.length).fill(false)
    for (const [from, first, to, last] of boxes) {
      if (number < first || number > last) continue
      const [start, end] = [number === first ? from - 1 : 0, number === last ? to - 1 : line.length]
      marked.fill(true, Math.max(0, start), Math.max(0, end))
    }
    const pieces: MarkedLine['pieces'] = []
    for (const [index, character] of [...line].entries()) {
      const last = pieces.at(-1)
      const isMarked = marked[index] ?? false
      if (last?.marked === isMarked) last.text += character
      else pieces.push({ text: character, marked: isMarked })
    }
    return { number, pieces }
  })
}
