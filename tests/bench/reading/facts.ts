/**
 * Facts of a page read as a picture against those of the same page read as text. Every leaf counts once: `right`,
 * `wrong` (it says something else, or something that the page does not say) or `abstained`.
 */
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { align, shareOfSame } from './align.ts'

export interface WrongFact {
  /** Dotted, with the index of the truth, or of what was read where the truth has nothing. */
  path: string
  truth: unknown
  read: unknown
}

export interface ComparedFacts {
  right: number
  abstained: string[]
  wrong: WrongFact[]
  /** Said by the page though its text layer did not lead to them: neither right nor wrong. */
  more: number
  /** How many identification numbers the truth has. */
  vins: number
}

/** Of the file, not of the page; or where on the page it was. */
const leftOut: ReadonlySet<string> = new Set(
  'file sha256 bytes media kindFrom problems evidence photo signatures pages'.split(' '),
)
/** Running text: a letter that is misread changes nothing that anybody would rest on. Its digits have to be right. */
const wordings: ReadonlySet<string> = new Set(['text', 'name', 'procedure'])
/** Not on the page itself, but concluded from words of it: alone, nothing on the page can bear it out. */
const derived: ReadonlySet<string> = new Set(['system', 'sensor', 'kind', 'method', 'outcome', 'state', 'status'])
const least = 0.9

type Leaf = string | number | boolean
type Fields = Record<string, unknown>

const isDate = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && 'local' in value && 'earliest' in value
const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value) && !isDate(value)

/** Nothing said: absent, null, or the word for it. A picture is a photo, and any other paper is `other`, for want of better. */
const isSilent = (value: unknown, path: string): boolean =>
  value === undefined ||
  value === null ||
  value === 'unknown' ||
  (path === 'kind' && (value === 'other' || value === 'photo')) ||
  (Array.isArray(value) && value.length === 0)

const leafOf = (value: unknown): Leaf =>
  isDate(value) ? `${value.local ?? value.text}${value.offset ?? ''}` : (value as Leaf)

/** Letters and digits alone, so that punctuation and case do not count. */
const plain = (value: unknown): string =>
  String(value)
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '')

const digits = (value: unknown): string => String(value).replace(/\D+/g, '')
const keyOf = (path: string): string => path.slice(path.lastIndexOf('.') + 1)

function isSame(want: unknown, have: unknown, path: string): boolean {
  const [a, b] = [leafOf(want), leafOf(have)]
  if (typeof a !== 'string' || typeof b !== 'string') return a === b
  if (plain(a) === plain(b)) return true
  if (isVin(path)) return asPrinted(a) === asPrinted(b)
  // "RO 6614" and "6614" are one number.
  if (path === 'jobNumber' && plain(a).replace(/^\p{L}+/u, '') === plain(b).replace(/^\p{L}+/u, '')) return true
  const running = wordings.has(keyOf(path)) && !path.startsWith('people') && !path.startsWith('instrument')
  return running && digits(a) === digits(b) && shareOfSame(plain(a), plain(b)) >= least
}

const spaced = (text: string): string =>
  ` ${text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()} `

/**
 * A day without its time, or a time without its seconds or its zone, holds as far as it goes; and so do some of the words
 * of a text, be it the truth that took a neighbour's words for its own.
 */
function isCutOtherwise(want: unknown, have: unknown, path: string): boolean {
  if (isDate(want) && isDate(have)) return have.local !== null && String(leafOf(want)).startsWith(String(leafOf(have)))
  if (typeof want !== 'string' || typeof have !== 'string' || isVin(path) || keyOf(path) === 'code') return false
  if (derived.has(keyOf(path))) return false
  return spaced(want).includes(spaced(have)) || spaced(have).includes(spaced(want))
}

/** On paper, a letter that no VIN holds is the digit that it looks like. */
const asPrinted = (vin: string): string => vin.replaceAll('I', '1').replace(/[OQ]/g, '0')

/** Every leaf of a value, with its path. */
function* leavesOf(value: unknown, path: string): Generator<[string, unknown]> {
  if (isSilent(value, path)) return
  if (Array.isArray(value)) for (const [index, item] of value.entries()) yield* leavesOf(item, `${path}.${index}`)
  else if (isFields(value)) {
    for (const [key, item] of Object.entries(value))
      if (!leftOut.has(key)) yield* leavesOf(item, path === '' ? key : `${path}.${key}`)
  } else yield [path, value]
}

/** How much of what both say of an item is the same, 0 to 1. */
function likenessOf(want: unknown, have: unknown): number {
  const [wanted, had] = [new Map(leavesOf(want, 'x')), new Map(leavesOf(have, 'x'))]
  let same = 0
  for (const [path, value] of wanted) if (had.has(path) && isSame(value, had.get(path), path)) same++
  return same / Math.max(1, wanted.size, had.size)
}

class Comparison {
  readonly result: ComparedFacts = { right: 0, abstained: [], wrong: [], more: 0, vins: 0 }
  readonly page: string

  constructor(words: readonly string[]) {
    this.page = plain(words.join(''))
  }

  compare(want: unknown, have: unknown, path: string): void {
    if (isSilent(want, path)) this.extra(have, path)
    else if (isSilent(have, path)) for (const [place] of leavesOf(want, path)) this.result.abstained.push(place)
    else if (Array.isArray(want)) this.compareLists(want, Array.isArray(have) ? have : [], path)
    else if (isFields(want)) this.compareFields(want, have as Fields, path)
    else if (isSame(want, have, path)) this.result.right++
    else if (isCutOtherwise(want, have, path)) this.result.abstained.push(path)
    else this.result.wrong.push({ path, truth: leafOf(want), read: leafOf(have) })
  }

  private compareFields(want: Fields, have: Fields, path: string): void {
    for (const key of new Set([...Object.keys(want), ...Object.keys(have)]))
      if (!leftOut.has(key)) this.compare(want[key], have[key], path === '' ? key : `${path}.${key}`)
  }

  /** Items stand in the order of the page; one that was missed does not shift those after it. */
  private compareLists(want: readonly unknown[], have: readonly unknown[], path: string): void {
    for (const [mine, theirs] of align(want, have, likenessOf))
      if (mine === null) this.extra(have[theirs as number], `${path}.${theirs}`)
      else this.compare(want[mine], theirs === null ? undefined : have[theirs], `${path}.${mine}`)
  }

  /** What the truth is silent about: wrong if it is not on the page, and counted once however much is said of it. */
  private extra(have: unknown, path: string): void {
    const leaves = [...leavesOf(have, path)]
    const [first] = leaves
    const alone = leaves.length === 1 && first !== undefined && derived.has(keyOf(first[0]))
    const wrong = alone ? first : leaves.find(([place, value]) => !this.isOnPage(place, value))
    if (wrong) this.result.wrong.push({ path: wrong[0], truth: null, read: leafOf(wrong[1]) })
    else this.result.more += leaves.length > 0 ? 1 : 0
  }

  private isOnPage(path: string, value: unknown): boolean {
    if (derived.has(keyOf(path)) || typeof value === 'boolean') return true
    return this.page.includes(plain(isDate(value) ? value.text : value))
  }
}

/** `words`: those of the page, by which it is told what is on it. */
export function compareFacts(want: DocumentFacts, have: DocumentFacts, words: readonly string[]): ComparedFacts {
  const comparison = new Comparison(words)
  comparison.compare(want, have, '')
  return { ...comparison.result, vins: want.vin === undefined ? 0 : 1 }
}

/** Whether a path is that of a vehicle identification number. */
export const isVin = (path: string): boolean => path === 'vin' || path.startsWith('vins.')
