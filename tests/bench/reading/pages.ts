/** Pages of known text: papers of many authors' layouts with a text layer, which the program itself reads as PDF. */
import { readdirSync, readFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { PDFDocument } from '@cantoo/pdf-lib'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { Reading } from '../../../src/facts/reading.ts'
import { recogniseDocument } from '../../../src/facts/recognise/document.ts'
import { compileVocabulary, parseVocabularyPage, type Vocabulary } from '../../../src/facts/vocabulary.ts'
import { readShippedVocabulary } from '../../../src/io/shipped.ts'
import { layOut } from '../../../src/reading/layout.ts'
import { readFile } from '../../../src/reading/read.ts'
import { root } from '../../source-file.ts'
import { makeChance } from '../defects/chance.ts'
import { compareFacts } from './facts.ts'

/** One page, by itself, and what it says. */
export interface KnownPage {
  /** File and page, from the root of the project. */
  name: string
  pdf: Uint8Array
  /** Points. */
  width: number
  height: number
  /** As the text layer has them. */
  words: readonly string[]
  facts: DocumentFacts
}

/** A page with less tells nothing of reading. */
const fewestWords = 25
const fewestFacts = 4

/** What a reading says, whatever file it came from: names and digests of files are left out. */
export function factsOf(reading: Reading, vocabulary: Vocabulary): DocumentFacts {
  const source = { file: 'page', sha256: '', bytes: 0, media: reading.media }
  return recogniseDocument(reading, layOut(reading.pages), source, vocabulary)
}

/** The words of a reading that run upright, in its order. */
export const wordsOf = (reading: Reading): string[] =>
  reading.pages.flatMap(({ words }) => words.filter(({ turned }) => !turned).map(({ text }) => text))

export const loadShippedVocabulary = async (): Promise<Vocabulary> =>
  compileVocabulary([parseVocabularyPage(await readShippedVocabulary(), 'vocabulary.yaml')])

/** Every PDF of the packets that stand in the tree, by the packet that holds it. */
function listPapers(): Map<string, string[]> {
  const papers = new Map<string, string[]>()
  for (const folder of [join(root, 'tests', 'packets'), join(root, 'examples', 'packets')])
    for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
      if (!entry.isFile() || !/\.pdf$/i.test(entry.name)) continue
      const path = relative(root, join(entry.parentPath, entry.name))
      const packet = path.split('/').slice(0, 4).join('/')
      papers.set(packet, [...(papers.get(packet) ?? []), path].sort())
    }
  return new Map([...papers].sort(([a], [b]) => (a < b ? -1 : 1)))
}

/** A page of a file cut out by itself; null for what does not open or holds no page with enough on it. */
async function cutPage(path: string, vocabulary: Vocabulary): Promise<KnownPage | null> {
  const bytes = new Uint8Array(readFileSync(join(root, path)))
  const whole = await PDFDocument.load(bytes).catch(() => null)
  for (const index of whole?.getPageIndices() ?? []) {
    const single = await PDFDocument.create()
    const [page] = await single.copyPages(whole as PDFDocument, [index]).catch(() => [])
    if (!page) return null
    single.addPage(page)
    const pdf = await single.save()
    const known = await describePage(`${path} ${index + 1}`, pdf, vocabulary)
    if (known) return known
  }
  return null
}

async function describePage(name: string, pdf: Uint8Array, vocabulary: Vocabulary): Promise<KnownPage | null> {
  const reading = await readFile(pdf, { path: 'page.pdf', media: 'application/pdf' })
  const [page] = reading.pages
  // What a reader has doubts about (hidden words, other revisions, words inside pictures) is no truth to measure by.
  if (!page || reading.pages.length > 1 || reading.problems.length > 0) return null
  const words = wordsOf(reading)
  const facts = factsOf(reading, vocabulary)
  const { right } = compareFacts(facts, facts, words)
  if (words.length < fewestWords || right < fewestFacts) return null
  return { name, pdf, width: page.width, height: page.height, words, facts }
}

/**
 * `count` pages or as many as there are: in turn from every packet, so that as many authors as possible are met; which
 * paper of a packet comes first is chance, by the seed.
 */
export async function choosePages(count: number, seed: number): Promise<KnownPage[]> {
  const vocabulary = await loadShippedVocabulary()
  const chance = makeChance(seed)
  const shuffle = <T>(list: readonly T[]) =>
    list
      .map((entry) => ({ entry, rank: chance.even() }))
      .sort((a, b) => a.rank - b.rank)
      .map(({ entry }) => entry)
  const queues = shuffle([...listPapers().values()].map(shuffle))
  const chosen: KnownPage[] = []
  while (chosen.length < count && queues.some((queue) => queue.length > 0))
    for (const queue of queues) {
      for (let path = queue.shift(); path !== undefined; path = queue.shift()) {
        const page = await cutPage(path, vocabulary)
        if (!page) continue
        chosen.push(page)
        break
      }
      if (chosen.length === count) break
    }
  return chosen
}
