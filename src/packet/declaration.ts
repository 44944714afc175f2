/**
 * `packet.yaml`: what a shop declares where no file of the packet says so (YAML 1.2, schemas/packet.schema.json).
 *
 * Strict on purpose, because a misspelt key would otherwise be silently ignored and a review would rest on less than the
 * shop thought: unknown keys, aliases, tags and impossible dates are faults, and all of them are reported at once, each
 * with its line and column.
 */
import type { DefinedError } from 'ajv/dist/2020.js'
import { isAlias, isMap, isScalar, isSeq, LineCounter, type Node, parseDocument } from 'yaml'
import packetSchema from '../../schemas/packet.schema.json' with { type: 'json' }
import { isKnownZone, localSpan, minutesOfOffset } from '../facts/instant.ts'
import { findNearestName } from '../facts/nearest-name.ts'
import type { FilePlace } from '../facts/reading.ts'
import { checkBySchema } from '../facts/schema-check.ts'
import type { Declaration } from './packet.ts'

/** The name of the declaration in a packet. */
export const declarationFile = 'packet.yaml'

/** `line` and `column` count from 1; `path` is dotted (`repairs.0.ended`), empty for the file as a whole. */
export interface DeclarationFault {
  line: number
  column: number
  path: string
  message: string
}

export type DeclarationResult =
  | { declaration: Declaration; faults: [] }
  | { declaration: null; faults: DeclarationFault[] }

/** A declaration is a page of text; more than this is not one. */
const largestText = 262_144

/** What brackets may be open at once: three levels are all that the schema has, the rest is room for brackets in text. */
const deepestBrackets = 100

/** Everything else is text even where YAML would read a number: a job number 00731 keeps its zeros. */
const isNumberPath = (path: string): boolean =>
  path === 'packet' || path === 'vehicle.year' || path.startsWith('shop.location.')

interface Draft {
  text: string
  lines: LineCounter
  places: Record<string, FilePlace>
  faults: DeclarationFault[]
}

function addFault(draft: Draft, offset: number, path: string, message: string): void {
  const { line, col } = draft.lines.linePos(offset)
  draft.faults.push({ line, column: col, path, message })
}

function placeOf(draft: Draft, start: number, end: number): FilePlace {
  const from = draft.lines.linePos(start)
  const to = draft.lines.linePos(Math.max(start, end))
  const text = draft.text.slice(start, end).split(/\r?\n/)[0]?.trim() ?? ''
  return { file: declarationFile, page: 1, box: [from.col, from.line, to.col, to.line], text }
}

const join = (path: string, key: string | number): string => (path === '' ? String(key) : `${path}.${key}`)

/** The plain value of a node, with the place of everything in it. `start`: where its key begins. */
function readNode(draft: Draft, node: Node | null, path: string, start: number): unknown {
  const end = node?.range?.[1] ?? start
  draft.places[path] = placeOf(draft, start, end)
  if (node !== null && isAlias(node)) {
    addFault(draft, node.range?.[0] ?? start, path, 'is an alias (*); write the value out')
    return null
  }
  if (node?.tag !== undefined)
    addFault(draft, node.range?.[0] ?? start, path, `has a tag (${node.tag}); write plain text`)
  if (isMap(node)) {
    const entries = node.items.flatMap(({ key, value }): [string, unknown][] => {
      const keyStart = (key as Node).range?.[0] ?? start
      if (!isScalar(key)) {
        addFault(draft, keyStart, path, 'has a key that is not a word')
        return []
      }
      const name = typeof key.value === 'string' ? key.value : (key.source ?? '')
      return [[name, readNode(draft, value as Node | null, join(path, name), keyStart)]]
    })
    return Object.fromEntries(entries)
  }
  if (isSeq(node))
    return node.items.map((item, index) =>
      readNode(draft, item as Node | null, join(path, index), (item as Node | null)?.range?.[0] ?? start),
    )
  if (!isScalar(node) || node.value === null) return null
  const asNumber = typeof node.value === 'number' && isNumberPath(path)
  return asNumber || typeof node.value === 'string' ? node.value : (node.source ?? String(node.value))
}

const validate = checkBySchema(packetSchema)

const kindsOfValue: Record<string, string> = {
  object: 'a mapping (key: value)',
  array: 'a list',
  string: 'text',
  number: 'a number',
  integer: 'a whole number',
}

const patternMessages: Readonly<Record<string, string>> = {
  [packetSchema.$defs.text.pattern]: 'must not be blank',
  [packetSchema.$defs.date.pattern]:
    'is not a date; write YYYY-MM-DD, YYYY-MM-DDTHH:MM, or the same with Z or an offset such as -06:00',
  [packetSchema.properties.vehicle.properties.vin.pattern]: 'is not a VIN: 17 letters and digits without I, O and Q',
}

const suggest = (written: string, names: readonly string[], otherwise: string): string => {
  const nearest = findNearestName(written, names)
  return nearest === null ? otherwise : `did you mean ${nearest}?`
}

function describeError(error: DefinedError): string {
  const value: unknown = error.data
  if (error.keyword === 'type') {
    const wanted = kindsOfValue[error.params.type] ?? error.params.type
    return value === null ? `is empty; it must be ${wanted}` : `must be ${wanted}`
  }
  if (error.keyword === 'additionalProperties') {
    const known = Object.keys((error.parentSchema as { properties?: object }).properties ?? {})
    const written = error.params.additionalProperty
    return `is not a key known here; ${suggest(written, known, `known: ${known.join(', ')}`)}`
  }
  if (error.keyword === 'enum') {
    const allowed = (error.params as unknown as { allowedValues: string[] }).allowedValues
    return `"${String(value)}" is not known here; ${suggest(String(value), allowed, `one of: ${allowed.join(', ')}`)}`
  }
  if (error.keyword === 'pattern') return patternMessages[error.params.pattern] ?? 'is malformed'
  if (error.keyword === 'required') return `lacks "${error.params.missingProperty}"`
  if (error.keyword === 'const') return `must be 1, the version of the format that this program reads`
  return error.message ?? 'is not allowed'
}

/** `/repairs/0/ended` (JSON pointer, RFC 6901) to the dotted path. */
const dotted = (pointer: string): string =>
  pointer
    .split('/')
    .slice(1)
    .map((part) => part.replaceAll('~1', '/').replaceAll('~0', '~'))
    .join('.')

function checkShape(draft: Draft, value: unknown): void {
  for (const error of validate(value).errors ?? []) {
    const parent = dotted(error.instancePath)
    const path = error.keyword === 'additionalProperties' ? join(parent, error.params.additionalProperty) : parent
    const place = draft.places[path] ?? draft.places['']
    // An empty string breaks both its least length and its pattern: one fault is enough.
    if (error.keyword === 'pattern' && error.data === '') continue
    draft.faults.push({
      line: place?.box?.[1] ?? 1,
      column: place?.box?.[0] ?? 1,
      path,
      message: describeError(error),
    })
  }
}

/** The dates of a declaration: `YYYY-MM-DD` or a date-time, with `Z` or an offset behind it or not. */
export function splitDeclaredDate(written: string): { local: string; offset: string | null } {
  const [local = '', offset] = written.split(/(?<=^.{16,})(?=Z$|[+-]\d\d:\d\d$)/)
  return { local: local.replace(' ', 'T'), offset: offset === 'Z' ? '+00:00' : (offset ?? null) }
}

/** A year outside these is a slip of the pen: no vehicle with such sensors was there, or will be. */
const earliestYear = 1980
const latestYear = 2200

function isDate(written: string): boolean {
  const { local, offset } = splitDeclaredDate(written)
  const minutes = offset === null ? 0 : minutesOfOffset(offset)
  const year = Number(local.slice(0, 4))
  if (year < earliestYear || year > latestYear) return false
  return localSpan(local) !== null && minutes !== null && Math.abs(minutes) <= 14 * 60
}

const datePath = /^(loss|intake|release|repairs\.\d+\.(started|ended))$/
const datePattern = new RegExp(packetSchema.$defs.date.pattern)

/** What a pattern cannot tell: that a day, a time of day, a zone exists. */
function checkValues(draft: Draft, path: string, value: unknown): void {
  if (Array.isArray(value)) for (const [index, inner] of value.entries()) checkValues(draft, join(path, index), inner)
  else if (typeof value === 'object' && value !== null)
    for (const [key, inner] of Object.entries(value)) checkValues(draft, join(path, key), inner)
  if (typeof value !== 'string') return
  const place = draft.places[path]
  const report = (message: string): void => {
    draft.faults.push({ line: place?.box?.[1] ?? 1, column: place?.box?.[0] ?? 1, path, message })
  }
  if (path === 'zone' && value.trim() !== '' && !isKnownZone(value))
    report(`"${value}" is not an IANA time zone name; write one such as America/Denver`)
  if (datePath.test(path) && datePattern.test(value) && !isDate(value))
    report(`"${value}" does not exist: no such day, time of day or offset`)
}

function read(draft: Draft): unknown {
  const document = parseDocument(draft.text, { lineCounter: draft.lines, version: '1.2', prettyErrors: false })
  const notes = [...document.errors, ...document.warnings]
  if (notes.some(({ message }) => /call stack|stack overflow/i.test(message))) throw new RangeError('nested too deeply')
  for (const { pos, message, code } of notes)
    addFault(draft, pos[0], '', code === 'MULTIPLE_DOCS' ? 'a second document (---) begins here; keep one' : message)
  if (document.errors.some((error) => error.code !== 'DUPLICATE_KEY')) return undefined
  return readNode(draft, document.contents as Node | null, '', document.contents?.range?.[0] ?? 0)
}

/**
 * Reads the text of a `packet.yaml`. Never throws: what is wrong comes back as faults, all of them, by line and column;
 * a declaration with a fault is not used at all.
 */
export function parseDeclaration(text: string): DeclarationResult {
  const draft: Draft = { text, lines: new LineCounter(), places: {}, faults: [] }
  const refuse = (message: string): DeclarationResult => ({
    declaration: null,
    faults: [{ line: 1, column: 1, path: '', message }],
  })
  if (text.length > largestText) return refuse(`is too long: more than ${largestText} characters`)
  let depth = 0
  for (const [bracket] of text.matchAll(/[[{\]}]/g)) {
    depth += bracket === '[' || bracket === '{' ? 1 : -1
    if (depth > deepestBrackets) return refuse('is nested too deeply to be a declaration')
  }
  let value: unknown
  try {
    value = read(draft)
  } catch (error) {
    // The parser recurses; a file of nothing but opening brackets exhausts the stack.
    if (error instanceof RangeError) return refuse('is nested too deeply to be a declaration')
    throw error
  }
  if (value !== undefined) {
    checkShape(draft, value)
    checkValues(draft, '', value)
  }
  if (draft.faults.length === 0) {
    const { packet: _, ...declared } = value as Omit<Declaration, 'places'> & { packet: 1 }
    return { declaration: { ...declared, places: draft.places }, faults: [] }
  }
  const faults = draft.faults.toSorted((a, b) => a.line - b.line || a.column - b.column)
  return { declaration: null, faults }
}

/** Faults as lines for people: `packet.yaml:3:7: zone "Denver" is not …`. */
export function formatFaults(faults: readonly DeclarationFault[]): string {
  return faults
    .map(
      ({ line, column, path, message }) =>
        `${declarationFile}:${line}:${column}: ${[path, message].filter(Boolean).join(' ')}`,
    )
    .join('\n')
}
