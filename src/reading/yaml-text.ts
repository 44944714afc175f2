/** YAML 1.2 to named values: scalars as written, no tags obeyed, aliases followed up to a limit. */
import { Alias, isMap, isScalar, isSeq, LineCounter, type Node, type ParsedNode, parseAllDocuments } from 'yaml'
import type { Problem } from '../facts/reading.ts'
import { deepest, mostNodes, type StructuredNode } from './structured-node.ts'

/** The parser takes time with the square of the faults in a file: more is not handed to it. */
const mostCharacters = 256 * 1024
const mostAliases = 100
/** Flow collections that open deeper than this are not handed to the parser, which recurses. */
const deepestFlow = 200

interface Walk {
  nodes: number
  aliases: number
  problems: Map<string, Problem>
}

/**
 * Parses all documents of a text. Never throws. Problems: `damaged` with line and column, `too-large`, `too-deep`,
 * `alias-limit`, `duplicate-key`.
 */
export function parseYaml(whole: string): { root: StructuredNode | null; problems: Problem[] } {
  const walk: Walk = { nodes: 0, aliases: 0, problems: new Map() }
  let text = whole
  if (text.length > mostCharacters) {
    tell(walk, 'too-large', `The YAML has ${text.length} characters; about the first ${mostCharacters} were read.`)
    text = text.slice(0, text.lastIndexOf('\n', mostCharacters) + 1)
  }
  if (nestsTooDeep(text)) {
    tell(walk, 'too-deep', `The YAML nests deeper than ${deepestFlow} levels; it was not read.`)
    return finish(walk, [])
  }
  const lines = new LineCounter()
  try {
    const parsed = parseAllDocuments(text, {
      schema: 'core',
      lineCounter: lines,
      prettyErrors: false,
      uniqueKeys: false,
      strict: false,
      resolveKnownTags: false,
      logLevel: 'silent',
      keepSourceTokens: false,
    })
    const documents = 'empty' in parsed ? [] : parsed
    const roots: StructuredNode[] = []
    for (const document of documents) {
      const [error] = document.errors
      if (error) {
        const { line, col } = lines.linePos(error.pos[0])
        tell(walk, 'damaged', `line ${line}, column ${col}: ${error.message.slice(0, 200)}`)
      }
      const node = document.contents ? nodeOf(walk, document.contents, 0, (alias) => alias.resolve(document)) : null
      if (node) roots.push(node)
    }
    return finish(walk, roots)
  } catch (error) {
    tell(
      walk,
      'damaged',
      `The YAML could not be parsed: ${String(error instanceof Error ? error.message : error).slice(0, 200)}`,
    )
    return finish(walk, [])
  }
}

function finish(walk: Walk, roots: StructuredNode[]) {
  const [first = null] = roots
  const root: StructuredNode | null = roots.length > 1 ? { kind: 'list', items: roots } : first
  return { root, problems: [...walk.problems.values()] }
}

function tell(walk: Walk, code: string, message: string): void {
  if (!walk.problems.has(code)) walk.problems.set(code, { code, message })
}

function nestsTooDeep(text: string): boolean {
  let open = 0
  for (const [bracket] of text.matchAll(/[[\]{}]/g)) {
    open += bracket === '[' || bracket === '{' ? 1 : open > 0 ? -1 : 0
    if (open > deepestFlow) return true
  }
  return /^(?:[-?:] ){200}/m.test(text)
}

function nodeOf(
  walk: Walk,
  node: Node | ParsedNode,
  depth: number,
  resolve: (alias: Alias) => Node | undefined,
): StructuredNode | null {
  if (depth > deepest) {
    tell(walk, 'too-deep', `What is nested deeper than ${deepest} levels was left out.`)
    return null
  }
  if (++walk.nodes > mostNodes) {
    tell(walk, 'too-large', `Only the first ${mostNodes} values were read.`)
    return null
  }
  if (node instanceof Alias) {
    if (++walk.aliases > mostAliases) {
      tell(walk, 'alias-limit', `More than ${mostAliases} aliases; the rest were left out.`)
      return null
    }
    const target = resolve(node)
    return target ? nodeOf(walk, target, depth + 1, resolve) : null
  }
  if (isScalar(node)) {
    const written = node.value === null ? '' : (node.source ?? String(node.value))
    return { kind: 'scalar', text: written.replace(/[\u0000-\u0008\u000b-\u001f\u007f]/g, ' ').toWellFormed() }
  }
  if (isSeq(node)) {
    const items = node.items
      .map((item) => nodeOf(walk, item as Node, depth + 1, resolve))
      .filter((item) => item !== null)
    return { kind: 'list', items }
  }
  if (!isMap(node)) return null
  const entries: (readonly [string, StructuredNode])[] = []
  const seen = new Set<string>()
  for (const pair of node.items) {
    const key = isScalar(pair.key) ? (pair.key.source ?? String(pair.key.value)) : ''
    if (seen.has(key)) tell(walk, 'duplicate-key', `The key "${key.slice(0, 60)}" stands twice; both were read.`)
    seen.add(key)
    const value = pair.value ? nodeOf(walk, pair.value as Node, depth + 1, resolve) : null
    if (value && !(value.kind === 'scalar' && value.text === '')) entries.push([key, value])
  }
  return { kind: 'map', entries }
}
