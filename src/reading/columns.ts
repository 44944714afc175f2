/**
 * Pages with columns of their own: a side bar beside a report, two columns of text. Columns are cut apart only where
 * their lines do not share baselines: a grid of labels and values has gutters too, but it is read across.
 */
import type { Page, Word } from '../facts/reading.ts'

const MIN_GUTTER = 10
const MIN_LINES = 5

const baseline = (word: Word) => word.box[3]

/** Distinct baselines of words, from top to bottom; words within half a point share one. */
function baselines(words: readonly Word[]): number[] {
  const sorted = words.map(baseline).sort((a, b) => a - b)
  const found: number[] = []
  for (const y of sorted) if (found.length === 0 || y - (found.at(-1) ?? 0) > 1.5) found.push(y)
  return found
}

/** The gutters of a page: x positions that hardly any line crosses. */
function gutters(page: Page): number[] {
  const lines = baselines(page.words)
  if (lines.length < 2 * MIN_LINES) return []
  const step = 2
  const bins = Math.ceil(page.width / step)
  const crossed: Set<number>[] = Array.from({ length: bins }, () => new Set())
  const lineOf = (word: Word) => lines.findIndex((y) => Math.abs(y - baseline(word)) <= 1.5)
  // Between words with ordinary spaces nothing can be cut.
  const byLine = new Map<number, Word[]>()
  for (const word of page.words) {
    const line = lineOf(word)
    const words = byLine.get(line)
    if (words) words.push(word)
    else byLine.set(line, [word])
  }
  for (const [line, words] of byLine) {
    words.sort((a, b) => a.box[0] - b.box[0])
    words.forEach((word, i) => {
      const next = words[i + 1]
      const end = next && next.box[0] - word.box[2] < 0.9 * word.size ? next.box[0] : word.box[2]
      for (let bin = Math.max(0, Math.floor(word.box[0] / step)); bin < Math.min(bins, Math.ceil(end / step)); bin++)
        crossed[bin]?.add(line)
    })
  }
  const limit = Math.max(1, Math.floor(0.1 * lines.length))
  const found: number[] = []
  let from = -1
  for (let bin = 0; bin <= bins; bin++) {
    const free = bin < bins && (crossed[bin]?.size ?? 0) <= limit
    if (free && from < 0) from = bin
    if (!free && from >= 0) {
      if ((bin - from) * step >= MIN_GUTTER && from > 0 && bin < bins) found.push(((from + bin) / 2) * step)
      from = -1
    }
  }
  return found
}

/**
 * The words of a page in blocks that are to be read one after the other; one block for an ordinary page. Lines that cross
 * the gutter (a title, a footer) stand with the right-hand block.
 */
export function cutIntoBlocks(page: Page): Word[][] {
  if (page.words.some((word) => word.cell !== undefined)) return [page.words]
  for (const x of gutters(page)) {
    const left = page.words.filter((word) => word.box[2] <= x)
    const right = page.words.filter((word) => word.box[2] > x)
    const a = baselines(left)
    const b = baselines(right)
    if (a.length < MIN_LINES || b.length < MIN_LINES) continue
    const top = Math.max(a[0] ?? 0, b[0] ?? 0) - 2
    const bottom = Math.min(a.at(-1) ?? 0, b.at(-1) ?? 0) + 2
    const inside = (ys: readonly number[]) => ys.filter((y) => y >= top && y <= bottom)
    const [fewer, more] = inside(a).length <= inside(b).length ? [inside(a), b] : [inside(b), a]
    if (fewer.length < MIN_LINES) continue
    const near = 0.25 * (page.words[0]?.size ?? 10)
    const shared = fewer.filter((y) => more.some((other) => Math.abs(other - y) <= near)).length
    if (shared > 0.55 * fewer.length) continue
    // A crossing line belongs whole to one side.
    const crossing = new Set<number>()
    const sorted = [...page.words].sort((p, q) => p.box[0] - q.box[0])
    for (const word of sorted) {
      const next = sorted.find(
        (other) =>
          Math.abs(baseline(other) - baseline(word)) < 0.75 && other.box[0] >= word.box[2] - 0.5 && other !== word,
      )
      if (word.box[2] <= x && next && next.box[2] > x && next.box[0] - word.box[2] < 0.9 * word.size)
        crossing.add(Math.round(baseline(word)))
    }
    const crosses = (word: Word) => crossing.has(Math.round(baseline(word)))
    return [left.filter((word) => !crosses(word)), page.words.filter((word) => word.box[2] > x || crosses(word))]
  }
  return [page.words]
}
