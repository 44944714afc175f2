/** What runs in a reading process: reads the files that the parent sends, one at a time. */
import type { Reading } from '../facts/reading.ts'
import { type ReadingHint, readFile } from '../reading/read.ts'
import { readShippedVocabulary } from './shipped.ts'
import { answerRequests } from './worker-channel.ts'

/** More than a thousand full pages, or a day of fixes at 5 Hz. The parent must hold what we send. */
const mostItems = 500_000

/** So few words are laid out and recognised within a second or two, whatever they are. */
const fewWords = 3000

answerRequests(async (bytes, hint) => rehearse(bound(await readFile(bytes, hint), hint.path), bytes.length, hint))

const countWords = (reading: Reading): number => reading.pages.reduce((sum, page) => sum + page.words.length, 0)

function bound(reading: Reading, path: string): Reading {
  if (countWords(reading) <= mostItems && (reading.track?.points.length ?? 0) <= mostItems) return reading
  const message = `${path} holds more than ${mostItems} words or track points: split it`
  return { media: reading.media, pages: [], problems: [...reading.problems, { code: 'too-large', message }] }
}

type Rehearsal = (reading: Reading, bytes: number, hint: ReadingHint) => void

let rehearsal: Promise<Rehearsal> | undefined

/** Loaded when first needed: most files are too small, and the process would start half a second later. */
async function loadRehearsal(): Promise<Rehearsal> {
  const { recogniseDocument } = await import('../facts/recognise/document.ts')
  const { compileVocabulary, parseVocabularyPage } = await import('../facts/vocabulary.ts')
  const { layOut } = await import('../reading/layout.ts')
  const vocabulary = compileVocabulary([parseVocabularyPage(await readShippedVocabulary(), 'vocabulary')])
  return (reading, bytes, { path, media }) =>
    void recogniseDocument(reading, layOut(reading.pages), { file: path, sha256: '', bytes, media }, vocabulary)
}

/**
 * The parent lays out and recognises what we send it, and nobody watches the parent. A file that was made to take hours
 * there is found out here first, where time and memory are watched.
 */
async function rehearse(reading: Reading, bytes: number, hint: ReadingHint): Promise<Reading> {
  if (countWords(reading) <= fewWords) return reading
  rehearsal ??= loadRehearsal()
  const recognise = await rehearsal
  recognise(reading, bytes, hint)
  return reading
}
