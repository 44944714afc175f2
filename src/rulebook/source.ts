/** The text of a rulebook as YAML, with the line and column of every key and value. */
import { type Document, isMap, isNode, isScalar, LineCounter, parseDocument } from 'yaml'
import type { RulebookFault } from './rulebook.ts'

export type Path = readonly (string | number)[]

export interface Source {
  value: unknown
  /** Faults of the YAML itself; `value` is then undefined. */
  faults: RulebookFault[]
  /** A fault at the value under `path`, or at the nearest one above it that stands in the text. */
  faultAt(path: Path, message: string): RulebookFault
  /** A fault at the key that ends `path`. */
  faultAtKey(path: Path, message: string): RulebookFault
}

/** Parses YAML 1.2 without tags, aliases or repeated keys. */
export function parseSource(text: string): Source {
  const lines = new LineCounter()
  const document = parseDocument(text, { lineCounter: lines, uniqueKeys: true, prettyErrors: false })
  const fault = (offset: number, path: Path, message: string): RulebookFault => {
    const { line, col } = lines.linePos(offset)
    return { line: Math.max(1, line), column: Math.max(1, col), path: path.join('.'), message }
  }
  const faults = [...document.errors, ...document.warnings].map((error) => fault(error.pos[0], [], error.message))
  return {
    value: faults.length > 0 ? undefined : readValue(document, faults, fault),
    faults,
    faultAt: (path, message) => fault(findOffset(document, path), path, message),
    faultAtKey: (path, message) => fault(findKeyOffset(document, path), path, message),
  }
}

function readValue(
  document: Document,
  faults: RulebookFault[],
  fault: (offset: number, path: Path, message: string) => RulebookFault,
): unknown {
  try {
    return document.toJS({ maxAliasCount: 0 })
  } catch (error) {
    faults.push(fault(0, [], error instanceof Error ? error.message : String(error)))
    return undefined
  }
}

function findOffset(document: Document, path: Path): number {
  for (let length = path.length; length >= 0; length--) {
    const node = length === 0 ? document.contents : document.getIn(path.slice(0, length), true)
    if (isNode(node) && node.range) return node.range[0]
  }
  return 0
}

function findKeyOffset(document: Document, path: Path): number {
  const parent = path.length === 1 ? document.contents : document.getIn(path.slice(0, -1), true)
  const key = path.at(-1)
  if (isMap(parent)) {
    for (const pair of parent.items) {
      if (isScalar(pair.key) && String(pair.key.value) === String(key) && pair.key.range) return pair.key.range[0]
    }
  }
  return findOffset(document, path)
}
