/** Which facts of a file changed: both sides are walked key by key, lists entry by entry. */
import type { FactChange, FactSide } from './comparison.ts'
import { type Entry, hidden, nameEntry, pairEntries, tellEntry } from './fact-lists.ts'
import { isGroup, isLeaf, isNothing, type Leaf, saysSame, tellLeaf } from './fact-values.ts'
import { type Part, placesOf } from './part.ts'

/** Without what it means for the findings. */
export type FoundChange = Omit<FactChange, 'findings'>

/** A value and its path on one side. */
interface Spot {
  part: Part
  path: string
  value: unknown
}

/** Where both sides are in the facts. */
interface Walk {
  before: Spot
  after: Spot
  fact: string
  about: string
}

/** In the order of the facts. */
export function compareFacts(before: Part, after: Part): FoundChange[] {
  return walk({
    before: { part: before, path: '', value: withoutMainVin(before.facts) },
    after: { part: after, path: '', value: withoutMainVin(after.facts) },
    fact: '',
    about: '',
  })
}

/** The number that the file goes by stands in `vin` and among `vins`, and changes once. */
function withoutMainVin(facts: Entry): Entry {
  if (!Array.isArray(facts.vins)) return facts
  return { ...facts, vins: facts.vins.map((entry) => (entry?.value === facts.vin ? null : entry)) }
}

function walk(at: Walk): FoundChange[] {
  const { before, after } = at
  if (isNothing(before.value) && isNothing(after.value)) return []
  if (isEntries(before.value) || isEntries(after.value)) return walkList(at)
  if (isGroup(before.value) || isGroup(after.value)) return walkGroup(at)
  return compareLeaves(at)
}

const isEntries = (value: unknown): value is readonly (Entry | null)[] => Array.isArray(value) && !value.every(isLeaf)

function compareLeaves(at: Walk): FoundChange[] {
  const [one, other] = [leafOf(at.before), leafOf(at.after)]
  if (one !== null && other !== null && saysSame(one, other)) return []
  const tell = (spot: Spot, leaf: Leaf | null) => (leaf === null ? null : sideOf(spot, tellLeaf(leaf, lastKey(spot))))
  return report(at, tell(at.before, one), tell(at.after, other))
}

const leafOf = ({ value }: Spot): Leaf | null => (isNothing(value) || !isLeaf(value) ? null : value)
const lastKey = ({ path }: Spot): string => path.slice(path.lastIndexOf('.') + 1)

const sideOf = ({ part, path }: Spot, text: string): FactSide => ({
  file: part.file,
  path,
  text,
  places: placesOf(part, path),
})

function report({ fact, about }: Walk, before: FactSide | null, after: FactSide | null): FoundChange[] {
  if (before === null && after === null) return []
  const change = before === null ? 'added' : after === null ? 'removed' : 'changed'
  return [{ change, fact, about, before, after }]
}

function walkGroup(at: Walk): FoundChange[] {
  const [one, other] = [withUnits(at.before.value), withUnits(at.after.value)]
  const keys = [...new Set([...Object.keys(one), ...Object.keys(other)])].filter((key) => !hidden(at.fact, key))
  return keys.flatMap((key) => {
    const step = (spot: Spot, group: Entry): Spot => ({ ...spot, path: join(spot.path, key), value: group[key] })
    const next = { ...at, before: step(at.before, one), after: step(at.after, other) }
    // What packet.yaml says of a file stands under the name of that file.
    if (at.fact === 'files') return walk({ ...next, about: key })
    return walk({ ...next, fact: join(at.fact, key) })
  })
}

const join = (path: string, key: string): string => (path === '' ? key : `${path}.${key}`)

const measures = ['value', 'least', 'most', 'wanted']

/** Numbers beside a unit are in it. */
function withUnits(value: unknown): Entry {
  if (!isGroup(value)) return {}
  const { unit, ...rest } = value
  if (unit === undefined) return value
  const entries = Object.entries(rest).map(([key, one]) => [
    key,
    typeof one === 'number' && measures.includes(key) ? { quantity: one, unit } : one,
  ])
  return Object.fromEntries(entries)
}

function walkList(at: Walk): FoundChange[] {
  const [one, other] = [entriesOf(at.before), entriesOf(at.after)]
  const pairing = pairEntries(
    at.fact,
    one.map(({ entry }) => entry),
    other.map(({ entry }) => entry),
  )
  const changes = pairing.pairs
    .toSorted(([a], [b]) => a - b)
    .flatMap(([first, second]) => walkPair(at, one[first], other[second]))
  const removed = pairing.first.flatMap((index) => wholeEntry(at, one[index], null))
  const added = pairing.second.flatMap((index) => wholeEntry(at, null, other[index]))
  return [...changes, ...removed, ...added]
}

interface Numbered {
  index: number
  entry: Entry
}

const entriesOf = ({ value }: Spot): Numbered[] =>
  Array.isArray(value) ? value.flatMap((entry, index) => (isGroup(entry) ? [{ index, entry }] : [])) : []

const stepInto = (spot: Spot, { index, entry }: Numbered): Spot => ({
  ...spot,
  path: join(spot.path, String(index)),
  value: entry,
})

function walkPair(at: Walk, one: Numbered | undefined, other: Numbered | undefined): FoundChange[] {
  if (one === undefined || other === undefined) return []
  const names = [one, other].map(({ entry, index }) => nameEntry(at.fact, entry, index))
  const name = names[0] === names[1] ? names[0] : names.join(' → ')
  return walkGroup({
    ...at,
    before: stepInto(at.before, one),
    after: stepInto(at.after, other),
    about: joinNames(at.about, name),
  })
}

function wholeEntry(at: Walk, one: Numbered | null | undefined, other: Numbered | null | undefined): FoundChange[] {
  const numbered = one ?? other
  if (!numbered) return []
  const name = nameEntry(at.fact, numbered.entry, numbered.index)
  const tell = (spot: Spot, numbered: Numbered | null | undefined) =>
    numbered ? sideOf(stepInto(spot, numbered), tellEntry(at.fact, numbered.entry)) : null
  return report({ ...at, about: joinNames(at.about, name) }, tell(at.before, one), tell(at.after, other))
}

const joinNames = (...names: (string | undefined)[]): string => names.filter((name) => name).join('; ')
