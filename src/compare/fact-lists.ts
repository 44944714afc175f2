/**
 * Lists of facts: by what an entry is known, since its number in the list tells nothing. A code is known by its number
 * and module, a calibration by sensor, position and method, a line of work by its text.
 */

import { isLeaf, isNothing, type Leaf, plain, tellLeaf } from './fact-values.ts'
import { countEntries, type Pairing, pairByKey, pairByScore, pairOnly, shareOf, startPairing } from './pairing.ts'

export type Entry = Readonly<Record<string, unknown>>

interface Identity {
  /** What names an entry, strictest first; entries are paired by each in turn. The first also tells people which it is. */
  names: ((entry: Entry, index: number) => unknown[])[]
  /** Two that are left alone are taken for one. */
  lastTwo?: true
  /** Words in common make two entries one. */
  byWords?: (entry: Entry) => string
}

const codeOf = ({ code, failureType }: Entry): string => [code, failureType].filter((part) => part).join('-')
const textOf = (value: unknown): string => (typeof value === 'string' ? value : '')
const spaced = (value: unknown): unknown => (typeof value === 'string' ? value.replaceAll('-', ' ') : value)
const dateText = (value: unknown): string => (isLeaf(value) ? tellLeaf(value, '') : '')

const people: Identity = { names: [({ role, name }) => [role, name], ({ role }) => [role], ({ name }) => [name]] }
const values: Identity = { names: [({ name }) => [name]] }
const barcodes: Identity = { names: [({ symbology, text }) => [symbology, text]], lastTwo: true }
const byIndex: Identity = { names: [(_, index) => [`no. ${index + 1}`]] }

const identities: Readonly<Record<string, Identity>> = {
  codes: { names: [(entry) => [codeOf(entry), entry.module], (entry) => [codeOf(entry)]] },
  modules: { names: [({ name }) => [name]] },
  unreadCodes: { names: [({ text }) => [text]] },
  conditions: { names: [({ about, wheel }) => [about, wheel]] },
  calibrations: {
    names: [
      ({ sensor, position, method }) => [sensor, position, method].map(spaced),
      ({ sensor, position }) => [sensor, position],
      ({ sensor }) => [sensor],
    ],
  },
  'calibrations.values': values,
  'alignment.values': values,
  'calibrations.attempts': { names: [({ outcome, at }) => [outcome, dateText(at)], ...byIndex.names] },
  operations: {
    names: [({ text }) => [text]],
    byWords: ({ text }) => textOf(text),
  },
  people,
  vins: { names: [({ value }) => [value]], lastTwo: true },
  statements: { names: [({ about, text }) => [about, text], ({ about }) => [about]] },
  signatures: { names: [({ field, kind }) => [field, kind], ...byIndex.names] },
  barcodes,
  'photo.barcodes': barcodes,
  problems: { names: [({ code }) => [code]] },
  repairs: { names: [({ what }) => [what]], lastTwo: true },
  notNeeded: { names: [({ sensor }) => [sensor]] },
}

const identityOf = (fact: string): Identity => identities[fact] ?? byIndex

/** What names the entry to people: "C1A67-54, Front camera". */
export function nameEntry(fact: string, entry: Entry, index: number): string {
  const parts = identityOf(fact).names[0]?.(entry, index) ?? []
  return parts.filter((part) => !isNothing(part) && part !== '').join(', ')
}

/** Which entry of the one list is which of the other. */
export function pairEntries(fact: string, before: readonly Entry[], after: readonly Entry[]): Pairing {
  const { names, lastTwo, byWords } = identityOf(fact)
  const numbers = new Map([...before.entries(), ...after.entries()].map(([index, entry]) => [entry, index]))
  let pairing = startPairing(before.length, after.length)
  for (const name of names)
    pairing = pairByKey(pairing, before, after, (entry) =>
      JSON.stringify(name(entry, numbers.get(entry) ?? 0).map((part) => plain(String(part ?? '')))),
    )
  if (byWords !== undefined) {
    const bag = (entry: Entry | undefined) => countEntries(entry ? plain(byWords(entry)).split(' ') : [])
    pairing = pairByScore(pairing, (one, other) => shareOf(bag(before[one]), bag(after[other])), leastShare)
  }
  return lastTwo ? pairOnly(pairing, before, after, () => 'last') : pairing
}

/** Two of three words. */
const leastShare = 0.67

/** The entry in words: its own values, without what hangs on it. */
export function tellEntry(fact: string, entry: Entry): string {
  const told = fact === 'codes' ? { ...entry, code: codeOf(entry), failureType: null } : entry
  return Object.entries(told)
    .filter((pair): pair is [string, Leaf] => !isNothing(pair[1]) && isLeaf(pair[1]) && !untold(fact, pair[0]))
    .map(([key, value]) => tellLeaf(value, key))
    .join(', ')
}

/** The text of a line of work says of what kind it is. */
const untold = (fact: string, key: string): boolean =>
  hidden(fact, key) || (fact === 'operations' && ['kind', 'method', 'position', 'scan'].includes(key))

const derived: Readonly<Record<string, readonly string[]>> = {
  '': ['file', 'sha256', 'bytes', 'kindFrom', 'evidence', 'pdf'],
  vins: ['evidence'],
  modules: ['system', 'sensor', 'position'],
  codes: ['system'],
  operations: ['calls', 'billed'],
  photo: ['likeness'],
  signatures: [
    'signer',
    'trust',
    'revocation',
    'stamp',
    'coveredBytes',
    'changes',
    'text',
    'code',
    'permits',
    'format',
  ],
}

/** About the file and not said by it, or made from what stands beside it. `fact`: what the key stands in. */
export const hidden = (fact: string, key: string): boolean => derived[fact]?.includes(key) ?? false
