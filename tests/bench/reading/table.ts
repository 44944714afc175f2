/** The figures of a run, by level. */
import { isVin } from './facts.ts'
import type { Level } from './levels.ts'
import type { PageResult, WordScore } from './run.ts'

export interface LevelFigures {
  level: string
  pages: number
  words: number
  /** Percent of the words of the pages. */
  wordsRight: number
  /** Percent of the words read that are on the page. */
  wordsTrue: number
  /** Mean seconds a page. */
  seconds: number
  tesseract: { wordsRight: number; wordsTrue: number; seconds: number } | null
  facts: number
  factsRight: number
  factsWrong: number
  factsAbstained: number
  /** Said by the page, though not by its text layer. */
  factsMore: number
  vins: number
  vinsWrong: number
}

const sum = <T>(list: readonly T[], of: (one: T) => number): number => list.reduce((total, one) => total + of(one), 0)
const percent = (part: number, whole: number): number => (whole === 0 ? 0 : (100 * part) / whole)

function wordFigures(scores: readonly WordScore[], words: number) {
  const right = sum(scores, (score) => score.right)
  return {
    wordsRight: percent(right, words),
    wordsTrue: percent(
      right,
      sum(scores, (score) => score.read),
    ),
    seconds: sum(scores, (score) => score.seconds) / Math.max(1, scores.length),
  }
}

export function figuresOf(level: string, results: readonly PageResult[]): LevelFigures {
  const words = sum(results, (result) => result.words)
  const right = sum(results, ({ facts }) => facts.right)
  const abstained = sum(results, ({ facts }) => facts.abstained.length)
  const wrong = results.flatMap(({ facts }) => facts.wrong)
  const theirs = results.flatMap(({ tesseract }) => tesseract ?? [])
  const ours = wordFigures(
    results.map((result) => result.ours),
    words,
  )
  return {
    level,
    pages: results.length,
    words,
    ...ours,
    tesseract: theirs.length === 0 ? null : wordFigures(theirs, words),
    facts: right + abstained + wrong.length,
    factsRight: right,
    factsWrong: wrong.length,
    factsAbstained: abstained,
    factsMore: sum(results, ({ facts }) => facts.more),
    vins: sum(results, ({ facts }) => facts.vins),
    vinsWrong: wrong.filter(({ path }) => isVin(path)).length,
  }
}

/** One row a level, then those that are to be read well together, then all. */
export function tabulate(levels: readonly Level[], results: readonly PageResult[]): LevelFigures[] {
  const of = (names: readonly string[]) => results.filter(({ level }) => names.includes(level))
  const moderate = levels.filter((level) => level.moderate).map(({ name }) => name)
  const rows = levels.map(({ name }) => figuresOf(name, of([name])))
  if (levels.length > 1 && moderate.length > 0) rows.push(figuresOf('moderate *', of(moderate)))
  if (levels.length > 1) rows.push(figuresOf('all', results))
  return rows
}

const heads = 'level|pages|words %|true %|s|tess. words %|true %|s|ratio|facts|right %|wrong %|absent %|more|VINs|wrong'

/** As text, a row a level. Columns of tesseract are left out where it did not run. */
export function formatTable(figures: readonly LevelFigures[], levels: readonly Level[]): string {
  const marked = new Set(levels.filter(({ moderate }) => moderate).map(({ name }) => name))
  const rows = figures.map((one) => [
    marked.has(one.level) ? `${one.level} *` : one.level,
    String(one.pages),
    one.wordsRight.toFixed(1),
    one.wordsTrue.toFixed(1),
    one.seconds.toFixed(2),
    one.tesseract?.wordsRight.toFixed(1),
    one.tesseract?.wordsTrue.toFixed(1),
    one.tesseract?.seconds.toFixed(2),
    one.tesseract ? (one.seconds / one.tesseract.seconds).toFixed(2) : undefined,
    String(one.facts),
    percent(one.factsRight, one.facts).toFixed(1),
    percent(one.factsWrong, one.facts).toFixed(2),
    percent(one.factsAbstained, one.facts).toFixed(1),
    String(one.factsMore),
    String(one.vins),
    String(one.vinsWrong),
  ])
  const shown = heads.split('|').map((head, column) => [head, ...rows.map((row) => row[column])])
  const kept = shown.filter((cells) => cells.every((cell): cell is string => cell !== undefined))
  return alignColumns(kept)
}

/** Columns of text, the first flush left and the others flush right. */
export function alignColumns(columns: readonly (readonly string[])[]): string {
  const padded = columns.map((cells, column) => {
    const width = Math.max(...cells.map((cell) => cell.length))
    return cells.map((cell) => (column === 0 ? cell.padEnd(width) : cell.padStart(width)))
  })
  return (padded[0] ?? []).map((_, row) => padded.map((cells) => cells[row]).join('  ')).join('\n')
}

/** Every fact that was read wrongly, with its page. */
export function listWrong(results: readonly PageResult[]): string {
  return results
    .flatMap(({ level, page, form, facts }) =>
      facts.wrong.map(
        ({ path, truth, read }) =>
          `${level}, ${page} (${form}): ${path}: ${JSON.stringify(truth)} read as ${JSON.stringify(read)}`,
      ),
    )
    .join('\n')
}

/** Which facts are abstained from, by their paths without numbers, most frequent first. */
export function listAbstained(results: readonly PageResult[]): string {
  const counts = new Map<string, number>()
  for (const { facts } of results)
    for (const path of facts.abstained) {
      const name = path.replace(/\.\d+/g, '[]')
      counts.set(name, (counts.get(name) ?? 0) + 1)
    }
  return [...counts]
    .sort(([a, m], [b, n]) => n - m || (a < b ? -1 : 1))
    .map(([name, count]) => `${String(count).padStart(6)}  ${name}`)
    .join('\n')
}
