/** What JSON, YAML and XML have in common: named values, lists and text, with every scalar kept as written. */
import { partWords } from './word-parts.ts'

export type StructuredNode =
  | { kind: 'scalar'; text: string }
  | { kind: 'map'; entries: (readonly [key: string, node: StructuredNode])[] }
  | { kind: 'list'; items: StructuredNode[] }

/** Deeper nesting is left out with the problem `too-deep`. */
export const deepest = 64
/** Values beyond this number are left out with the problem `too-large`. */
export const mostNodes = 1_000_000

/** A table of records: heads, and a row of texts for each record. */
export interface RecordTable {
  heads: string[]
  rows: string[][]
}

const mostColumns = 256
/** Keys that say nothing without the list they stand in. */
const vagueKeys = new Set(['name', 'id', 'no', 'number', 'type'])

/** A key as words: `vinNumber`, `vin_number`, `VIN-Number` all give `vin number`. */
export function keyWords(key: string): string {
  return partWords(key)
    .toLowerCase()
    .replace(/[\s_:-]+/g, ' ')
    .trim()
}

/** The text of a scalar or of a list of scalars, null for anything else. */
export function scalarText(node: StructuredNode): string | null {
  if (node.kind === 'scalar') return node.text
  if (node.kind === 'map') return null
  const texts: string[] = []
  for (const item of node.items) {
    if (item.kind !== 'scalar') return null
    texts.push(item.text)
  }
  return texts.join(', ')
}

/** So many facts of a record are repeated beside each record of a list in it; no table that people print has more columns. */
const mostRepeated = 11

/**
 * A list of records as a table, or null where it is none: at least one map, every value a scalar, a list of scalars or a
 * map of such. One nested list of records is unfolded: its rows repeat the values of the record around it, so that each
 * trouble code stands beside its module; a record of many facts with a list in it is no row but a sheet of its own. A list of equally long lists is a table too, its first row the heads if it is text.
 */
export function recordTable(listKey: string, list: StructuredNode): RecordTable | null {
  if (list.kind !== 'list' || list.items.length === 0) return null
  const owner = singular(keyWords(listKey))
  const heads = new Map<string, number>()
  const rows: string[][] = []
  for (const item of list.items) {
    if (item.kind !== 'map') return null
    const inner: [string, StructuredNode][] = []
    const flat = flatten(item.entries, '', inner)
    if (!flat || inner.length > 1) return null
    if (inner.length > 0 && flat.length > mostRepeated) return null
    const row: string[] = []
    for (const [key, text] of flat) put(heads, row, headOf(key, owner), text)
    const [nested] = inner
    const children = nested ? recordTable(nested[0], nested[1]) : null
    if (nested && !children) return null
    if (!nested || !children) {
      rows.push(row)
      continue
    }
    const own = singular(keyWords(nested[0]))
    const taken = new Set(flat.map(([key]) => headOf(key, owner)))
    for (const childRow of children.rows) {
      const joined = [...row]
      children.heads.forEach((head, index) => {
        const clear = taken.has(head) || (head === 'status' && own !== '') ? `${own} ${head}` : head
        put(heads, joined, clear, childRow[index] ?? '')
      })
      rows.push(joined)
    }
  }
  if (heads.size === 0 || heads.size > mostColumns) return null
  return {
    heads: [...heads.keys()],
    rows: rows.map((row) => Array.from({ length: heads.size }, (_, at) => row[at] ?? '')),
  }
}

/** Lists of equal length side by side, or a list of rows: `{ time: […], lat: […] }`, `[["time", "lat"], [0, 41.3], …]`. */
export function columnTable(node: StructuredNode): RecordTable | null {
  if (node.kind === 'list') {
    const rows = node.items.map((item) => (item.kind === 'list' ? textsOf(item) : null))
    const width = rows[0]?.length ?? 0
    if (rows.length < 2 || width < 2 || width > mostColumns || rows.some((row) => row?.length !== width)) return null
    const [heads = [], ...rest] = rows.filter((row) => row !== null)
    return heads.some((head) => /^[-+]?\d/.test(head)) ? null : { heads: heads.map(keyWords), rows: rest }
  }
  if (node.kind !== 'map') return null
  const columns = node.entries.map(([key, value]) => ({ key, texts: value.kind === 'list' ? textsOf(value) : null }))
  const lists = columns.filter((column) => column.texts !== null && column.texts.length >= 3)
  const length = lists[0]?.texts?.length ?? 0
  if (lists.length < 2 || lists.length > mostColumns || lists.some((column) => column.texts?.length !== length))
    return null
  return {
    heads: lists.map((column) => keyWords(column.key)),
    rows: Array.from({ length }, (_, at) => lists.map((column) => column.texts?.[at] ?? '')),
  }
}

/**
 * Heads in one list and rows in the next, `{ "columns": ["name", "low"], "rows": [["Pitch", -1], …] }`; null where a map holds
 * anything else.
 */
export function splitTable(node: StructuredNode): RecordTable | null {
  if (node.kind !== 'map' || node.entries.length !== 2) return null
  const [heads, rows] = node.entries.map(([, value]) => value)
  if (heads?.kind !== 'list' || rows?.kind !== 'list' || rows.items.length === 0) return null
  const names = textsOf(heads)
  const texts = rows.items.map((item) => (item.kind === 'list' ? textsOf(item) : null))
  if (!names || names.length < 2 || names.length > mostColumns || names.some((name) => /^[-+]?\d/.test(name)))
    return null
  if (texts.some((row) => row?.length !== names.length)) return null
  return { heads: names.map(keyWords), rows: texts.filter((row) => row !== null) }
}

function textsOf(list: { items: StructuredNode[] }): string[] | null {
  const texts: string[] = []
  for (const item of list.items) {
    if (item.kind !== 'scalar') return null
    texts.push(item.text)
  }
  return texts
}

function put(heads: Map<string, number>, row: string[], head: string, text: string): void {
  const at = heads.get(head) ?? heads.size
  heads.set(head, at)
  row[at] = text
}

function headOf(key: string, owner: string): string {
  return vagueKeys.has(key) && owner !== '' ? `${owner} ${key}` : key
}

/** Key words to text for every scalar below `entries`; lists of records go to `inner`; null where another list stands. */
function flatten(
  entries: readonly (readonly [string, StructuredNode])[],
  prefix: string,
  inner: [string, StructuredNode][],
): [string, string][] | null {
  const flat: [string, string][] = []
  for (const [key, node] of entries) {
    const words = prefix === '' ? keyWords(key) : `${prefix} ${keyWords(key)}`
    if (node.kind === 'list' && node.items.length === 0) continue
    const text = scalarText(node)
    if (text !== null) flat.push([words, text])
    else if (node.kind === 'map') {
      const below = flatten(node.entries, words, inner)
      if (!below) return null
      for (const pair of below) flat.push(pair)
    } else if (node.kind === 'list' && node.items.every((item) => item.kind === 'map')) inner.push([key, node])
    else return null
  }
  return flat
}

/** `modules` to `module`, `batteries` to `battery`; a word that is no plural stays. */
export function singular(words: string): string {
  if (/ies$/.test(words)) return words.replace(/ies$/, 'y')
  return /(?:ss|us|is|as)$/.test(words) ? words : words.replace(/s$/, '')
}
