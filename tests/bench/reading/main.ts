/*
 * How well words and facts are read from pictures of pages, beside Debian's tesseract-ocr on the same pictures, and bar
 * codes from pictures of labels.
 *
 *   npm run bench:reading -- [--pages N] [--seed N] [--level NAME]... [--codes | --no-codes] [--lanes N] [--details]
 *                            [--keep FOLDER] [--json]
 *
 * `--level` may stand several times. `--codes` looks at bar codes alone. `--details` prints every fact that was read
 * wrongly, and which kinds of fact were left out. `--keep` writes the pictures behind wrong or missing facts to FOLDER.
 */
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { type CodeFigures, formatCodes, runCodes } from './codes.ts'
import { type Level, levels } from './levels.ts'
import { choosePages, loadShippedVocabulary } from './pages.ts'
import { type PageResult, runPages, type Told } from './run.ts'
import { formatTable, listAbstained, listWrong, tabulate } from './table.ts'
import { hasTesseract } from './tesseract.ts'

const { values } = parseArgs({
  allowNegative: true,
  options: {
    pages: { type: 'string', default: '48' },
    seed: { type: 'string', default: '1' },
    level: { type: 'string', multiple: true, default: [] },
    codes: { type: 'boolean' },
    lanes: { type: 'string', default: '1' },
    details: { type: 'boolean', default: false },
    keep: { type: 'string' },
    json: { type: 'boolean', default: false },
  },
})

const say = (text: string): void => void process.stderr.write(text)

function chooseLevels(names: readonly string[]): readonly Level[] {
  const unknown = names.find((name) => !levels.some((level) => level.name === name))
  if (unknown !== undefined)
    throw new Error(`there is no level ${unknown}; there are ${levels.map(({ name }) => name).join(', ')}`)
  return names.length === 0 ? levels : levels.filter(({ name }) => names.includes(name))
}

function wholeNumber(name: string, text: string): number {
  if (!/^\d{1,6}$/.test(text)) throw new Error(`--${name} takes a whole number, not ${text}`)
  return Number(text)
}

async function keepPicture(folder: string, { result, bytes, media }: Told): Promise<void> {
  const { wrong, abstained } = result.facts
  if (wrong.length === 0 && abstained.length === 0) return
  const ending = media.slice(media.indexOf('/') + 1)
  const name = `${result.level} ${result.page.replaceAll('/', '_')}`
  await mkdir(folder, { recursive: true })
  await writeFile(join(folder, `${name}.${ending}`), bytes)
  await writeFile(join(folder, `${name}.json`), `${JSON.stringify(result, null, 1)}\n`)
}

async function readPages(chosen: readonly Level[], folder: string | null): Promise<PageResult[]> {
  const seed = wholeNumber('seed', values.seed)
  const pages = await choosePages(wholeNumber('pages', values.pages), seed)
  const total = pages.length * chosen.length
  const vocabulary = await loadShippedVocabulary()
  const lanes = Math.max(1, wholeNumber('lanes', values.lanes))
  const { keep } = values
  return runPages(pages, chosen, { seed, lanes, folder, vocabulary }, async (told, done) => {
    if (process.stderr.isTTY) say(`\r${done} of ${total} `)
    if (keep !== undefined) await keepPicture(keep, told)
  })
}

function print(chosen: readonly Level[], results: PageResult[], codes: CodeFigures[]): void {
  const table = tabulate(chosen, results)
  if (values.json) {
    const wrong = results.flatMap(({ level, page, facts }) => facts.wrong.map((one) => ({ level, page, ...one })))
    process.stdout.write(`${JSON.stringify({ levels: table, wrong, codes }, null, 1)}\n`)
    return
  }
  const parts: string[] = []
  if (results.length > 0) {
    const read = 'Words and facts of pages read as pictures; * moderately degraded; s: mean seconds a page.'
    parts.push(read, formatTable(table, chosen))
    if (values.details) parts.push('Wrong:', listWrong(results), 'Left out:', listAbstained(results))
  }
  if (codes.length > 0) parts.push(formatCodes(codes), ...codes.flatMap(({ falseReads }) => falseReads))
  process.stdout.write(`${parts.join('\n\n')}\n`)
}

async function main(): Promise<void> {
  const chosen = chooseLevels(values.level)
  const scratch = await mkdtemp(join(tmpdir(), 'witnessmark-bench-'))
  try {
    const theirs = hasTesseract()
    if (!theirs)
      say('tesseract is not installed, so its columns are left out (Debian: apt-get install tesseract-ocr).\n')
    const results = values.codes === true ? [] : await readPages(chosen, theirs ? scratch : null)
    const codes = values.codes === false ? [] : await runCodes(wholeNumber('seed', values.seed), () => say('.'))
    say('\n')
    print(chosen, results, codes)
  } finally {
    await rm(scratch, { recursive: true })
  }
}

try {
  await main()
} catch (error) {
  say(`bench:reading: ${error instanceof Error ? error.message : String(error)}\n`)
  process.exitCode = 1
}
