/** Reads degraded pages by the program's own reading processes, and by tesseract in turn. */
import { PDFDocument } from '@cantoo/pdf-lib'
import type { Vocabulary } from '../../../src/facts/vocabulary.ts'
import { type ReadingPool, startReading } from '../../../src/io/index.ts'
import { makeChance } from '../defects/chance.ts'
import { countSame } from './align.ts'
import { degrade, type PagePicture } from './degrade.ts'
import { type ComparedFacts, compareFacts } from './facts.ts'
import type { Harm, Level } from './levels.ts'
import { factsOf, type KnownPage, wordsOf } from './pages.ts'
import { readByTesseract } from './tesseract.ts'

export interface WordScore {
  /** Of the page's words, each as it is but for punctuation at its ends. */
  right: number
  /** How many words were read at all. */
  read: number
  seconds: number
}

export interface PageResult {
  page: string
  level: string
  harm: Harm
  form: 'picture' | 'pdf'
  words: number
  ours: WordScore
  tesseract: WordScore | null
  facts: ComparedFacts
}

/** A result, and the file that was read, for whoever wants to look at it. */
export interface Told {
  result: PageResult
  bytes: Uint8Array
  media: string
}

interface Run {
  pool: ReadingPool
  vocabulary: Vocabulary
  /** For tesseract's files; null where it is not installed. */
  folder: string | null
}

/** Quotation marks, dashes and points at the ends of words are told apart by no reader. */
const bare = (word: string): string =>
  word
    .normalize('NFKC')
    .replace(/[‐-―−]/g, '-')
    .replace(/^[^\p{L}\p{N}]+|[^\p{L}\p{N}%°)]+$/gu, '')

const bareWords = (words: readonly string[]): string[] => words.map(bare).filter((word) => word !== '')

/** Every third picture comes as a PDF of nothing else, as scanners save them. */
async function wrap(picture: PagePicture, { width, height }: KnownPage, harm: Harm): Promise<Uint8Array> {
  const file = await PDFDocument.create()
  const image = await (picture.media === 'image/png' ? file.embedPng(picture.bytes) : file.embedJpg(picture.bytes))
  const scale = 72 / harm.dpi
  const size: [number, number] =
    harm.turned || harm.corners ? [picture.width * scale, picture.height * scale] : [width, height]
  file.addPage(size).drawImage(image, { x: 0, y: 0, width: size[0], height: size[1] })
  return file.save()
}

const secondsSince = (from: number): number => (performance.now() - from) / 1000

/** One page at one level; `index` is the page's place in the run, from which form and amounts follow. */
async function runPage(run: Run, page: KnownPage, level: Level, index: number, seed: number): Promise<Told> {
  const salt = seed * 1000 + index
  const harm = level.draw(makeChance(salt).branch(Buffer.from(level.name).reduce((sum, byte) => sum + byte)))
  const picture = await degrade(page.pdf, harm, salt)
  const form = index % 3 === 2 ? 'pdf' : 'picture'
  const bytes = form === 'pdf' ? await wrap(picture, page, harm) : picture.bytes
  const media = form === 'pdf' ? 'application/pdf' : picture.media
  const truth = bareWords(page.words)
  const score = (read: readonly string[], seconds: number): WordScore => {
    const words = bareWords(read)
    return { right: countSame(truth, words), read: words.length, seconds }
  }
  const from = performance.now()
  const reading = await run.pool.read(bytes, { path: 'page', media })
  const ours = score(wordsOf(reading), secondsSince(from))
  const facts = compareFacts(page.facts, factsOf(reading, run.vocabulary), page.words)
  const tesseract =
    run.folder === null ? null : await runTesseract(run.folder, picture, `${level.name}-${index}`, score)
  const result = {
    page: page.name,
    level: level.name,
    harm,
    form,
    words: truth.length,
    ours,
    tesseract,
    facts,
  } as const
  return { result, bytes, media }
}

async function runTesseract(
  folder: string,
  { bytes, media }: PagePicture,
  name: string,
  score: (words: string[], seconds: number) => WordScore,
): Promise<WordScore> {
  const from = performance.now()
  const words = await readByTesseract(bytes, folder, `${name}.${media === 'image/png' ? 'png' : 'jpg'}`)
  return score(words, secondsSince(from))
}

/** All pages at all levels, `lanes` at once; ours and tesseract's of one page follow one another, so both meet the same load. */
export async function runPages(
  pages: readonly KnownPage[],
  levels: readonly Level[],
  options: { seed: number; lanes: number; folder: string | null; vocabulary: Vocabulary },
  tell: (told: Told, done: number) => Promise<void>,
): Promise<PageResult[]> {
  const { seed, lanes, folder, vocabulary } = options
  const pool = startReading()
  const run: Run = { pool, vocabulary, folder }
  const tasks = levels.flatMap((level) => pages.map((page, index) => ({ level, page, index })))
  const results: PageResult[] = []
  let [next, done] = [0, 0]
  const work = async (): Promise<void> => {
    for (let at = next++; at < tasks.length; at = next++) {
      const { level, page, index } = tasks[at] as (typeof tasks)[number]
      const told = await runPage(run, page, level, index, seed)
      results[at] = told.result
      await tell(told, ++done)
    }
  }
  try {
    // The first page of a process loads what all others use.
    const [first] = pages
    const [level] = levels
    if (first && level)
      await Promise.all(Array.from({ length: lanes }, () => runPage({ ...run, folder: null }, first, level, 0, seed)))
    await Promise.all(Array.from({ length: lanes }, work))
    return results
  } finally {
    await pool.close()
  }
}
