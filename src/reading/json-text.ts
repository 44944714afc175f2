/**
 * JSON (RFC 8259) to named values. Own parser, because the built-in one loses what a reviewer needs: numbers as written
 * (RFC 8259, section 6: big ones lose digits), a name that stands twice (section 4), and all that stands before damage.
 */
import type { Problem } from '../facts/reading.ts'
import { deepest, mostNodes, type StructuredNode } from './structured-node.ts'

interface Cursor {
  text: string
  at: number
  nodes: number
  depth: number
  problems: Map<string, Problem>
}

class Damage extends Error {}

const escapes: Record<string, string> = { '"': '"', '\\': '\\', '/': '/', b: ' ', f: '\n', n: '\n', r: '\n', t: '\t' }

/**
 * Parses `text`; after damage the values before it are kept. Never throws. Problems: `damaged` or `truncated` with line
 * and column, `too-deep`, `too-large`, `duplicate-key`. JSON Lines (one value a line) give a list.
 */
export function parseJson(text: string): { root: StructuredNode | null; problems: Problem[] } {
  const cursor: Cursor = { text, at: 0, nodes: 0, depth: 0, problems: new Map() }
  const roots: StructuredNode[] = []
  try {
    skipBlank(cursor)
    while (cursor.at < text.length) {
      readInto(cursor, (node) => roots.push(node))
      skipBlank(cursor)
      if (text[cursor.at] === '\u001e') cursor.at++
    }
  } catch (error) {
    if (!(error instanceof Damage)) throw error
    tell(cursor, error.message === 'end' ? 'truncated' : 'damaged', explain(error.message))
  }
  const [first = null] = roots
  return { root: roots.length > 1 ? { kind: 'list', items: roots } : first, problems: [...cursor.problems.values()] }
}

function explain(message: string): string {
  return message === 'end'
    ? 'the text ends inside a value; what stands before it was read.'
    : `${message}; what stands before it was read.`
}

function tell(cursor: Cursor, code: string, message: string): void {
  if (!cursor.problems.has(code)) cursor.problems.set(code, { code, message: `${positionOf(cursor)}: ${message}` })
}

function positionOf({ text, at }: Cursor): string {
  const before = text.slice(0, at)
  const line = before.split('\n').length
  return `line ${line}, column ${at - before.lastIndexOf('\n')}`
}

/** Hands the value to `take` before reading what is inside it, so that a damaged document keeps what was read. */
function readInto(cursor: Cursor, take: (node: StructuredNode) => void): void {
  cursor.nodes++
  if (cursor.nodes > mostNodes) {
    tell(cursor, 'too-large', `only the first ${mostNodes} values were read.`)
    throw new Damage('more values than are read')
  }
  const { text, at } = cursor
  switch (text[at]) {
    case undefined:
      throw new Damage('end')
    case '{':
      readMap(cursor, take)
      return
    case '[':
      readList(cursor, take)
      return
    case '"':
      take({ kind: 'scalar', text: readString(cursor) })
      return
    default:
      take({ kind: 'scalar', text: readBare(cursor) })
  }
}

function readMap(cursor: Cursor, take: (node: StructuredNode) => void): void {
  const entries: (readonly [string, StructuredNode])[] = []
  const seen = new Set<string>()
  if (!enter(cursor)) return
  take({ kind: 'map', entries })
  eachMember(cursor, '}', () => {
    if (cursor.text[cursor.at] !== '"')
      throw new Damage(cursor.at < cursor.text.length ? 'a name in quotes was expected' : 'end')
    const key = readString(cursor)
    if (seen.has(key)) tell(cursor, 'duplicate-key', `the name "${key.slice(0, 60)}" stands twice; both were read.`)
    seen.add(key)
    skipBlank(cursor)
    if (cursor.text[cursor.at] !== ':')
      throw new Damage(cursor.at < cursor.text.length ? 'a colon was expected' : 'end')
    cursor.at++
    skipBlank(cursor)
    readInto(cursor, (node) => {
      if (node.kind !== 'scalar' || node.text !== '') entries.push([key, node])
    })
  })
  cursor.depth--
}

function readList(cursor: Cursor, take: (node: StructuredNode) => void): void {
  const items: StructuredNode[] = []
  if (!enter(cursor)) return
  take({ kind: 'list', items })
  eachMember(cursor, ']', () => readInto(cursor, (node) => items.push(node)))
  cursor.depth--
}

/** Goes one level down; too deep, the whole value is passed over by counting brackets, without recursion. */
function enter(cursor: Cursor): boolean {
  if (cursor.depth < deepest) {
    cursor.depth++
    cursor.at++
    return true
  }
  tell(cursor, 'too-deep', `what is nested deeper than ${deepest} levels was left out.`)
  const bracket = /["[\]{}]/g
  let open = 0
  bracket.lastIndex = cursor.at
  for (let found = bracket.exec(cursor.text); found; found = bracket.exec(cursor.text)) {
    cursor.at = found.index
    if (found[0] === '"') {
      readString(cursor)
      bracket.lastIndex = cursor.at
      continue
    }
    cursor.at++
    open += found[0] === '[' || found[0] === '{' ? 1 : -1
    if (open === 0) return false
  }
  cursor.at = cursor.text.length
  throw new Damage('end')
}

function eachMember(cursor: Cursor, close: string, readMember: () => void): void {
  skipBlank(cursor)
  if (cursor.text[cursor.at] === close) {
    cursor.at++
    return
  }
  while (true) {
    readMember()
    skipBlank(cursor)
    const next = cursor.text[cursor.at++]
    if (next === close) return
    if (next === undefined) throw new Damage('end')
    if (next !== ',') {
      cursor.at--
      throw new Damage(`a comma or ${close} was expected`)
    }
    skipBlank(cursor)
  }
}

function skipBlank(cursor: Cursor): void {
  const blank = /[ \t\n\r]*/y
  blank.lastIndex = cursor.at
  cursor.at += blank.exec(cursor.text)?.[0].length ?? 0
}

function readString(cursor: Cursor): string {
  const { text } = cursor
  let value = ''
  let at = cursor.at + 1
  for (;;) {
    const plain = /[^"\\\n]*/y
    plain.lastIndex = at
    const run = plain.exec(text)?.[0] ?? ''
    value += run
    at += run.length
    const stop = text[at]
    if (stop === '"') break
    if (stop === '\n') {
      cursor.at = at
      throw new Damage('a line end inside a string')
    }
    const escaped = text[at + 1]
    if (stop === undefined || escaped === undefined) {
      cursor.at = text.length
      throw new Damage('end')
    }
    const hex = escaped === 'u' ? /^[0-9a-f]{4}/i.exec(text.slice(at + 2, at + 6))?.[0] : undefined
    const meant = hex === undefined ? escapes[escaped] : String.fromCharCode(Number.parseInt(hex, 16))
    if (meant === undefined) {
      cursor.at = at
      throw new Damage('an unknown escape')
    }
    value += meant
    at += hex === undefined ? 2 : 6
  }
  cursor.at = at + 1
  return value.toWellFormed().replace(/[\u0000-\u0008\u000b-\u001f\u007f]/g, ' ')
}

/** Numbers as written; `true`, `false`; `null` as no text. */
function readBare(cursor: Cursor): string {
  const token = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][-+]?\d+)?|true|false|null/y
  token.lastIndex = cursor.at
  const found = token.exec(cursor.text)?.[0]
  if (!found) throw new Damage(/^[-a-z]*$/.test(cursor.text.slice(cursor.at)) ? 'end' : 'no value of JSON')
  cursor.at += found.length
  if (cursor.at < cursor.text.length && /[\w.+-]/.test(cursor.text[cursor.at] ?? ''))
    throw new Damage('no value of JSON')
  return found === 'null' ? '' : found
}
