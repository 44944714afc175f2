/**
 * A report's words without what whoever copies one changes (VIN, dates, numbers of the job), and of these the pairs that
 * stand round a number: what all reports of one kind share is words, and what tells one of them from the next is values.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import { readDates, readTimesOfDay } from '../../facts/time.ts'
import { findVins } from '../../facts/vin.ts'
import { hashText } from './minhash.ts'

/** Beyond this many words of a file nothing is looked at. */
const mostWords = 40_000
/** Of the pairs of a long report the least hashes stand for all: an even sample, the same in every copy. */
export const mostPairs = 3000

/** Signs for what was masked: no digit, so that no pair rests on them. */
const [vinSign, timeSign, nameSign, pageSign] = ['∎vin', '∎time', '∎name', '∎page']

/** One line, in lower case, with signs for the vehicle, times, pages and what `names` says. */
export function maskLine(text: string, names: readonly RegExp[]): string {
  let masked = cut(text, findVins(text, { misprints: true }), vinSign)
  for (const name of names) masked = masked.replace(name, ` ${nameSign} `)
  masked = cut(masked, readDates(masked), timeSign)
  masked = cut(masked, readTimesOfDay(masked), timeSign)
  return masked
    .replace(/\bpage:? ?\d+(?: ?(?:of|\/) ?\d+)?\b|(?<![\d/])\d+ (?:of|\/) \d+$/gi, ` ${pageSign} `)
    .toLowerCase()
    .replace(/\s+/g, ' ')
    .trim()
}

function cut(text: string, found: readonly { start: number; end: number }[], sign: string): string {
  let masked = text
  for (const { start, end } of found.toSorted((a, b) => b.start - a.start))
    masked = `${masked.slice(0, start)} ${sign} ${masked.slice(end)}`
  return masked
}

/** Patterns of what names this vehicle, job and visit, as the documents of the packet state it. */
export function namesOf(documents: readonly DocumentFacts[], vin: string | null): RegExp[] {
  const stated = documents.flatMap((document) => [
    document.vin,
    document.plate,
    document.jobNumber,
    document.claimNumber,
    ...(document.odometer === undefined ? [] : [String(document.odometer.value)]),
  ])
  const ends = [vin, ...documents.map((document) => document.vin)].flatMap((own) =>
    own === null || own === undefined || own.length < 17 ? [] : [own.slice(-8), own.slice(-6)],
  )
  const wanted = new Set([...stated, ...ends].flatMap((text) => (text && text.trim().length >= 3 ? [text.trim()] : [])))
  return [...wanted].sort((a, b) => b.length - a.length || (a < b ? -1 : 1)).map(patternOf)
}

/** The letters and digits of a number, however it is grouped. */
function patternOf(text: string): RegExp {
  const signs = [...text.replace(/[^\p{L}\p{N}]/gu, '')]
  return new RegExp(`(?<![\\p{L}\\p{N}])${signs.join('[ ,./-]?')}(?![\\p{L}\\p{N}])`, 'giu')
}

const words = /∎?[\p{L}\p{N}]+(?:[.,:/+-][\p{L}\p{N}]+)*/gu

/**
 * Hashes (32 bits) of the pairs of neighbouring words of which one holds a digit, each once and sorted; at most
 * `mostPairs`.
 */
export function valuePairs(lines: readonly string[], names: readonly RegExp[]): number[] {
  const found = new Set<number>()
  let [before, count] = ['', 0]
  for (const line of lines) {
    for (const [word] of maskLine(line, names).matchAll(words)) {
      if (++count > mostWords) break
      if (/\d/.test(before) || /\d/.test(word)) found.add(hashText(`${before} ${word}`))
      before = word
    }
  }
  return [...found].sort((a, b) => a - b).slice(0, mostPairs)
}
