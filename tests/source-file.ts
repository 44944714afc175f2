/** What a source file imports and which globals it reaches for, by its syntax tree (ESTree, parsed by oxc-parser). */
import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, posix } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseSync } from 'oxc-parser'

export const root = dirname(dirname(fileURLToPath(import.meta.url)))

export interface Import {
  /** As written, or from the root of the project where it is relative. */
  target: string
  /** Nothing of it is left when types are stripped. */
  typesOnly: boolean
}

interface Node {
  type: string
  [key: string]: unknown
}

const isNode = (value: unknown): value is Node => typeof value === 'object' && value !== null && 'type' in value

function* walk(value: unknown): Generator<Node> {
  if (Array.isArray(value)) for (const item of value) yield* walk(item)
  else if (isNode(value)) {
    yield value
    for (const child of Object.values(value)) if (typeof child === 'object') yield* walk(child)
  }
}

function parse(path: string, text: string): Node {
  const { program, errors } = parseSync(path, text)
  if (errors.length > 0) throw new Error(`${path}: ${errors[0]?.message}`)
  return program as unknown as Node
}

/** Every import and re-export of a file, static and dynamic; `path` is from the root, with forward slashes. */
export function importsOf(path: string, text: string): Import[] {
  const imports: Import[] = []
  for (const node of walk(parse(path, text))) {
    const source = node.source
    if (!isNode(source)) continue
    const named = Array.isArray(node.specifiers) ? (node.specifiers as Node[]) : []
    const allTypes = named.length > 0 && named.every((one) => one.importKind === 'type' || one.exportKind === 'type')
    const typesOnly = node.importKind === 'type' || node.exportKind === 'type' || allTypes
    // A dynamic import of something computed has no name to hold to a table.
    const name = typeof source.value === 'string' ? source.value : '(computed)'
    const target = name.startsWith('.') ? posix.join(posix.dirname(path), name) : name
    imports.push({ target, typesOnly: typesOnly || node.type === 'TSImportType' })
  }
  return imports
}

/** Where a file reaches for clock, chance or process: `Date.now`, `new Date()`, `Math.random`, `process`, … */
export function outsideUses(path: string, text: string): string[] {
  const uses: string[] = []
  for (const node of walk(parse(path, text))) {
    const callee = node.callee as Node | undefined
    const object = node.object as Node | undefined
    const property = node.property as Node | undefined
    if (node.type === 'MemberExpression' && object?.type === 'Identifier') {
      const name = `${object.name}.${property?.name ?? property?.value}`
      if (object.name === 'process' || ['Date.now', 'Math.random', 'performance.now'].includes(name)) uses.push(name)
      if (object.name === 'globalThis') uses.push(name)
      if (object.name === 'Temporal' && property?.name === 'Now') uses.push(name)
      if (object.name === 'crypto') uses.push(name)
    }
    const isDate = callee?.type === 'Identifier' && callee.name === 'Date'
    if (node.type === 'NewExpression' && isDate && (node.arguments as unknown[]).length === 0) uses.push('new Date()')
    if (node.type === 'CallExpression' && isDate) uses.push('Date()')
    if (node.type === 'CallExpression' && callee?.type === 'Identifier' && callee.name === 'fetch') uses.push('fetch()')
  }
  return uses
}

/** Paths from the root of every TypeScript file below some folders, sorted. */
export function sourceFiles(...folders: string[]): string[] {
  return folders
    .flatMap((folder) =>
      readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' }).map((name) => `${folder}/${name}`),
    )
    .map((path) => path.replaceAll('\\', '/'))
    .filter((path) => /\.tsx?$/.test(path))
    .sort()
}

export const sourceText = (path: string): string => readFileSync(join(root, path), 'utf8')
