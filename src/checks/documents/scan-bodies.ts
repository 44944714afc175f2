/**
 * Two scan reports compared line by line: where they differ, and whether in what every report changes (its heading, date,
 * number and pages), in a measured value, or in what was found on the vehicle.
 */
import type { Place } from '../../facts/reading.ts'
import { readDates, readTimesOfDay } from '../../facts/time.ts'
import { isWellFormedVin } from '../../facts/vin.ts'

/**
 * `heading`: words of a title, the file's name or the page's number; `time`: a date or time; `number`: the number of the
 * report; `value`: a measured number; `body`: anything else.
 */
export type DifferenceCause = 'heading' | 'time' | 'number' | 'value' | 'body'

export interface LineDifference {
  cause: DifferenceCause
  /** Null where the line stands in one of the two alone. */
  before: Place | null
  after: Place | null
}

export interface Body {
  file: string
  lines: readonly Place[]
}

/** Titles stand in the first lines of a page. */
const headLines = 5
/** Beyond this many pairs of lines the comparison goes line by line without looking for shifted ones. */
const mostPairs = 4_000_000

/** Every line in which two reports differ, in their order. */
export function compareBodies(before: Body, after: Body): LineDifference[] {
  const [a, b] = [before, after].map((body) => body.lines.filter((line) => line.text.trim() !== '')) as [
    Place[],
    Place[],
  ]
  const keys = [a.map((line) => plain(line.text)), b.map((line) => plain(line.text))] as const
  return pairUp(keys[0], keys[1]).map(([first, second]) => {
    const [x, y] = [first === null ? null : (a[first] ?? null), second === null ? null : (b[second] ?? null)]
    const label = `${first === null ? '' : (keys[0][first - 1] ?? '')} ${second === null ? '' : (keys[1][second - 1] ?? '')}`
    const isTop = Math.max(first ?? 0, second ?? 0) < headLines
    const names = [nameOf(before.file), nameOf(after.file)] as const
    return { cause: judge(x, y, names, label, isTop), before: x, after: y }
  })
}

const plain = (text: string): string => text.replace(/\s+/g, ' ').trim()
const nameOf = (file: string): string => file.slice(file.lastIndexOf('/') + 1).replace(/\.\w+$/, '')

type Pair = readonly [before: number | null, after: number | null]

/** Indices of the lines that differ: changed lines side by side, the others alone. */
function pairUp(a: readonly string[], b: readonly string[]): Pair[] {
  let start = 0
  while (start < Math.min(a.length, b.length) && a[start] === b[start]) start++
  let end = 0
  while (end < Math.min(a.length, b.length) - start && a.at(-1 - end) === b.at(-1 - end)) end++
  const middle = [a.slice(start, a.length - end), b.slice(start, b.length - end)] as const
  const same = middle[0].length * middle[1].length > mostPairs ? lineByLine(...middle) : longestCommon(...middle)
  const pairs: Pair[] = []
  let [i, j] = [0, 0]
  for (const [x, y] of [...same, [middle[0].length, middle[1].length] as const]) {
    for (; i < x || j < y; i++, j++) pairs.push([i < x ? start + i : null, j < y ? start + j : null])
    ;[i, j] = [x + 1, y + 1]
  }
  return pairs
}

function lineByLine(a: readonly string[], b: readonly string[]): (readonly [number, number])[] {
  return a.flatMap((line, index) => (line === b[index] ? [[index, index] as const] : []))
}

/** Pairs of indices of a longest common subsequence. */
function longestCommon(a: readonly string[], b: readonly string[]): (readonly [number, number])[] {
  const width = b.length + 1
  const lengths = new Uint32Array((a.length + 1) * width)
  const at = (i: number, j: number): number => lengths[i * width + j] ?? 0
  for (let i = a.length - 1; i >= 0; i--)
    for (let j = b.length - 1; j >= 0; j--)
      lengths[i * width + j] = a[i] === b[j] ? at(i + 1, j + 1) + 1 : Math.max(at(i + 1, j), at(i, j + 1))
  const pairs: (readonly [number, number])[] = []
  for (let i = 0, j = 0; i < a.length && j < b.length; ) {
    if (a[i] === b[j]) pairs.push([i++, j++])
    else if (at(i + 1, j) >= at(i, j + 1)) i++
    else j++
  }
  return pairs
}

function judge(
  before: Place | null,
  after: Place | null,
  names: readonly [string, string],
  label: string,
  isTop: boolean,
): DifferenceCause {
  const [x, y] = [before, after].map((line) => line?.text ?? '') as [string, string]
  const [withoutName, other] = [maskPages(x, names), maskPages(y, names)]
  if (withoutName === other) return 'heading'
  const [a, b] = [maskTimes(withoutName), maskTimes(other)]
  if (a === b) return 'time'
  const words = differingWords(a, b)
  if (words.every((word) => !/\d/.test(word))) return isTop || words.every(tellsOccasion) ? 'heading' : 'body'
  if (before === null || after === null) return 'body'
  const rest = words.filter((word) => !tellsOccasion(word))
  if (rest.every((word) => identifies(word, isTop || saysReportNumber.test(`${label} ${a}`)))) return 'number'
  return rest.every((word) => measured.test(word)) ? 'value' : 'body'
}

/** Words that tell a scan before the work from one after it, and the names of such a report. */
const occasion =
  /^(?:pre|post|before|after|initial|final|first|second|last|arrival|departure|delivery|entry|exit|check|in|out|incoming|outgoing|intake|release|repairs?|work|scan|report|test|protocol|health|diagnostic|the|of|to|and|on|vehicle|system|all|modules?)$/i
const tellsOccasion = (word: string): boolean =>
  word.split(/[^\p{L}\d]+/u).every((part) => part === '' || occasion.test(part))

const saysReportNumber = /\b(?:report|protocol|record|session|scan|document|print)\s*(?:id|no|nr|num|number|ref|#)\b/i
/** A number that a report gives itself: behind #, or letters with digits or a long number where such a number stands. */
function identifies(word: string, isPlaced: boolean): boolean {
  const bare = word.replace(/^[([]+|[)\],;.]+$/g, '')
  if (/^#\w*\d/.test(bare)) return true
  if (!isPlaced || isWellFormedVin(bare.toUpperCase()) || measured.test(bare)) return isPlaced && /^\d{5,}$/.test(bare)
  return /\p{L}/u.test(bare) && /\d/.test(bare)
}

/** "13.27", "31,406", "13.4V", "(36". */
const measured = /^[(<>~±+-]*\d[\d.,]*(?:[a-z°%]{1,3})?[),;.]*$/i

function maskPages(text: string, names: readonly [string, string]): string {
  let masked = plain(text)
  for (const name of names) if (name.length >= 3) masked = masked.replaceAll(name, '∎')
  return masked
    .replace(/\bpage:? ?\d+(?: ?(?:of|\/) ?\d+)?\b/gi, '∎')
    .replace(/(?<![\d/])\d+ (?:of|\/) \d+$/i, '∎')
    .replace(/\S+\.(?:pdf|txt|csv|html?|xml|json|xlsx?|docx?)\b/gi, '∎')
}

/** Dates, times of day and lengths of time ("took 2 min 41 s"), each as one sign; its zone goes with it. */
function maskTimes(text: string): string {
  let masked = text
  for (const { start, end } of readDates(text).toReversed()) masked = `${masked.slice(0, start)}◷${masked.slice(end)}`
  for (const { start, end } of readTimesOfDay(masked).toReversed())
    masked = `${masked.slice(0, start)}◷${masked.slice(end)}`
  return plain(
    masked
      .replace(/\b\d+(?:\.\d+)? ?(?:h|hours?|min|minutes?|s|sec|seconds?)\b/gi, '◷')
      .replace(/◷(?:[ ,]*(?:◷|UTC|GMT|Z|[ECMP][SD]T|[+-]\d\d:?\d\d))+/g, '◷'),
  )
}

/** The words that are not in both, between those that both begin and end with. */
function differingWords(a: string, b: string): string[] {
  const [x, y] = [a.split(' '), b.split(' ')]
  if (x.length === y.length) return x.flatMap((word, index) => (word === y[index] ? [] : [word, y[index] ?? '']))
  let start = 0
  while (start < Math.min(x.length, y.length) && x[start] === y[start]) start++
  let end = 0
  while (end < Math.min(x.length, y.length) - start && x.at(-1 - end) === y.at(-1 - end)) end++
  return [...x.slice(start, x.length - end), ...y.slice(start, y.length - end)].filter((word) => word !== '')
}

/** The numbers that a report gives itself, right behind their label: "Report no. 20418". */
export function findReportNumbers({ lines }: Body): Set<string> {
  const pattern =
    /\b(?:report|protocol|record)\s*(?:id|no|nr|num|number|ref|#)\b[.:#\s]*([A-Z0-9][A-Z0-9/_-]*\d[A-Z0-9/_-]*)/gi
  const found = lines.flatMap(({ text }) => [...text.matchAll(pattern)].map(([, number = '']) => number.toUpperCase()))
  return new Set(found.filter((number) => number.length >= 4))
}
