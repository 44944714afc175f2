/** Reads again what one reading leaves in doubt, each word by itself, and tells what two readings agree on. */
import { illegible } from '../../facts/illegible.ts'
import type { Box, Word } from '../../facts/reading.ts'
import { codeFromPicture } from '../../facts/trouble-code-look-alikes.ts'
import { agreeOn, isRival } from './agree.ts'
import { agreeOnCode } from './agree-on-code.ts'
import { agreeOnVin, mayBeVin } from './agree-on-vin.ts'
import { cutOut, type Look, type SeenPage } from './closer.ts'
import { recogniseWords, type SeenWord } from './engine.ts'
import type { Grey } from './grey.ts'
import { hasUnclearO, tellOs } from './letter-o.ts'
import { showsPoint } from './points.ts'

export type Settled = Pick<Word, 'text' | 'confidence' | 'readAs'>

/** A word as sure as that is not read again. */
const sureOfDigits = 93
const sureOfLetters = 90
/** Of a word that two readings agree on, and of a vehicle's number whose check digit holds as well. */
const agreedWord = 92
const agreedVin = 97
/** A reading less sure than that may be of nothing. */
const guess = 50
/** In heights of a letter: the gap that a point needs, in wide print. */
const widestPoint = 1.4
/** Of a word that was sure until the others contradicted it. */
const contradicted = 50

const closely: Look = { from: 'work', larger: 1.45 }
/** The first from what was read, so that only the place on the grid differs; the others from the picture itself. */
const again: readonly Look[] = [closely, { from: 'base', larger: 1.8 }]
const againForVin: readonly Look[] = [...again, { from: 'base', larger: 1.15 }]

/** A page of paper has some dozens of doubtful words; a floor or a hedge has any number, and each costs a reading. */
const mostDoubtful = 400

/** What each word of the page is after all; null where it stays as it was read. */
export async function settleWords(page: SeenPage): Promise<(Settled | null)[]> {
  let left = mostDoubtful
  const settled: (Settled | null)[] = []
  for (const word of page.words) {
    if (!isSure(word)) left--
    settled.push(left >= 0 || mayBeVin(word.text) ? await settleWord(page, word) : null)
  }
  return settled
}

const isSure = ({ text, confidence }: SeenWord): boolean =>
  confidence >= (/\d/.test(text) ? sureOfDigits : sureOfLetters)

async function settleWord(page: SeenPage, word: SeenWord): Promise<Settled | null> {
  if (mayBeVin(word.text)) return settleVin(page, word)
  const settled = await settleByReading(page, word)
  const { text, confidence = word.confidence } = settled ?? word
  if (!hasUnclearO(text)) return settled
  const clear = tellOs(cutOut(page, word.ink, closely), page.size * closely.larger, text)
  // The structure of a trouble code tells more than the width of a mark that cannot be measured.
  if (clear === null && codeFromPicture(text) !== null) return settled
  if (clear === null) return { ...settled, text, confidence: Math.min(confidence, contradicted) }
  return { text: clear, confidence, ...asRead(word.text, clear) }
}

async function settleByReading(page: SeenPage, word: SeenWord): Promise<Settled | null> {
  const { text, confidence } = word
  if (text.replace(/[^\p{L}\p{N}]/gu, '').length < 2) return null
  if (isTornNumber(page, word)) return { text, confidence: Math.min(confidence, contradicted) }
  const isWhole = /^\D{0,2}\d{2,6}\D{0,2}$/.test(text)
  const pointed = isWhole && showsPoint(cutOut(page, word.ink, closely), page.size * closely.larger)
  if (isSure(word) && !pointed) return null
  // What was hardly more than a guess is no reading to agree with.
  const readings = confidence < guess ? [] : [text]
  for (const look of again) {
    readings.push(await readAlone(cutOut(page, word.ink, look)))
    const agreed = agreeOn(readings) ?? agreeOnCode(readings)
    if (agreed === null || (pointed && !/[.,]/.test(agreed))) continue
    return { text: agreed, confidence: Math.max(confidence, agreedWord), ...asRead(text, agreed) }
  }
  const isContradicted = pointed || readings.some((other) => isRival(text, other))
  return isContradicted ? { text, confidence: Math.min(confidence, contradicted) } : null
}

/** Whether a point stands between a number and another one close by it, so that both are parts of one. */
function isTornNumber(page: SeenPage, { text, ink }: SeenWord): boolean {
  if (!/\d/.test(text)) return false
  const { size, words } = page
  const { larger } = closely
  return words.some(({ text: other, ink: beside }) => {
    if (beside === ink || beside[3] <= ink[1] || beside[1] >= ink[3]) return false
    const isAfter = beside[0] + beside[2] > ink[0] + ink[2]
    if (!/\d$/.test(isAfter ? text : other) || !/^\d/.test(isAfter ? other : text)) return false
    const [from, to] = isAfter ? [ink[2], beside[0]] : [beside[2], ink[0]]
    if (to - from > widestPoint * size) return false
    // Two digits behind a sum are its cents, whether or not their point shows.
    if (/[$€£,]/.test(isAfter ? text : other) && /^\d{2}$/.test(isAfter ? other : text)) return true
    const both: Box = [Math.min(ink[0], beside[0]), ink[1], Math.max(ink[2], beside[2]), ink[3]]
    const pair = { ...page, words: [] }
    const [start, end] = [from - both[0] + 0.9 * size, to - both[0] + 1.1 * size]
    return showsPoint(cutOut(pair, both, closely), size * larger, start * larger, end * larger)
  })
}

/** So many borders of boxes among the characters of a number are no specks beside it. */
const mostBorders = 3

/**
 * Reads what may be a vehicle's number again, since one reading of seventeen characters is often wrong. A number that is
 * written into boxes is left out: their borders change letters the same way in each reading, and an M taken for a U has the
 * same weight in the check digit.
 */
async function settleVin(page: SeenPage, word: SeenWord): Promise<Settled> {
  if ((word.text.match(/[[\]|]/g)?.length ?? 0) > mostBorders)
    return { text: illegible, confidence: 0, readAs: word.text }
  const readings = [word.text]
  for (const look of againForVin) readings.push(await readAlone(cutOut(page, word.ink, look)))
  const vin = agreeOnVin(readings)
  if (vin !== null) return { text: vin, confidence: agreedVin, ...asRead(word.text, vin) }
  return { text: illegible, confidence: 0, readAs: word.text }
}

const asRead = (text: string, settled: string) => (text === settled ? {} : { readAs: text })

async function readAlone(picture: Grey): Promise<string> {
  const words = await recogniseWords(picture, true)
  return words.map(({ text }) => text).join('')
}
