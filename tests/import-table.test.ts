/** Who may import whom. Data flows one way: from files to facts, packet, checks, findings, report. */
import { describe, expect, test } from 'vitest'
import { importsOf, outsideUses, sourceFiles, sourceText } from './source-file.ts'

interface Permission {
  /** Rooms whose code may be imported; the own room always may. */
  code: readonly string[]
  /** Rooms of which only types may. */
  types?: readonly string[]
}

const rooms = [
  'facts',
  'reading',
  'intake',
  'packet',
  'checks',
  'rulebook',
  'findings',
  'explain',
  'plan',
  'compare',
  'report',
  'seal',
  'archive',
] as const

const table: Record<string, Permission> = {
  facts: { code: [] },
  reading: { code: ['facts'] },
  intake: { code: ['facts'] },
  packet: { code: ['facts'] },
  checks: { code: ['facts', 'packet'] },
  rulebook: { code: ['facts', 'checks'] },
  findings: { code: ['checks', 'rulebook'], types: ['facts', 'packet'] },
  explain: { code: ['packet', 'checks', 'findings', 'rulebook'], types: ['facts'] },
  plan: { code: ['facts', 'packet', 'checks', 'rulebook'] },
  compare: { code: ['facts'], types: ['intake', 'packet', 'findings'] },
  report: {
    code: ['findings'],
    types: ['facts', 'packet', 'checks', 'rulebook', 'explain', 'plan', 'compare', 'seal', 'archive'],
  },
  seal: { code: ['facts'] },
  archive: { code: ['facts', 'seal', 'packet'], types: ['findings'] },
  io: { code: ['facts', 'reading'] },
  // From end to end, and the only file beside the public face that knows every room.
  'review.ts': { code: [...rooms.filter((room) => room !== 'report'), 'gate.ts', 'pdf-parts.ts'] },
  'pdf-parts.ts': { code: ['facts', 'seal'] },
  'pictures.ts': { code: ['facts', 'intake', 'findings'] },
  'gate.ts': { code: [] },
  'sealing.ts': { code: ['facts', 'intake', 'seal'] },
  'archiving.ts': { code: ['facts', 'intake', 'packet', 'archive', 'sealing.ts'] },
  'keeping.ts': { code: ['archive', 'archiving.ts', 'findings', 'report', 'review.ts'] },
  'kept-seals.ts': { code: ['facts', 'intake', 'archive', 'archiving.ts', 'seal', 'sealing.ts'], types: ['findings'] },
  'redacting.ts': { code: ['facts', 'reading', 'intake', 'archive', 'archiving.ts'] },
  'index.ts': {
    code: [
      ...rooms,
      'review.ts',
      'pictures.ts',
      'sealing.ts',
      'archiving.ts',
      'keeping.ts',
      'kept-seals.ts',
      'redacting.ts',
    ],
  },
  desk: { code: ['index.ts', 'contract', 'gate.ts'] },
  // What server and page say to each other; the page is built for browsers, so nothing else of ours may come into it.
  contract: { code: [], types: ['index.ts'] },
  page: { code: ['contract'], types: ['index.ts'] },
  cli: { code: ['index.ts', 'io', 'desk', 'contract'] },
}

const isPage = (path: string): boolean => path.startsWith('src/desk/page/')

/** `src/facts/vin.ts` → `facts`; null for what is not ours. */
function roomOf(path: string): string | null {
  if (path.startsWith('cli/')) return 'cli'
  if (isPage(path)) return 'page'
  if (path === 'src/desk/contract.ts') return 'contract'
  const [top, room] = path.split('/')
  return top === 'src' && room !== undefined ? room : null
}

function faultsOf(path: string, text: string): string[] {
  const room = roomOf(path) ?? ''
  const { code, types = [] } = table[room] ?? { code: [] }
  return importsOf(path, text).flatMap(({ target, typesOnly }) => {
    const other = roomOf(target)
    // A schema is data, and the version of the program stands in package.json.
    if (other === null || other === room) return []
    return code.includes(other) || (typesOnly && types.includes(other)) ? [] : [`${path} imports ${target}`]
  })
}

const files = sourceFiles('src', 'cli')

describe('the table', () => {
  test('knows a room for every file', () => {
    expect(files.length).toBeGreaterThan(100)
    expect(files.filter((path) => !Object.hasOwn(table, roomOf(path) ?? ''))).toEqual([])
  })

  test('is kept by every file', () => {
    expect(files.flatMap((path) => faultsOf(path, sourceText(path)))).toEqual([])
  })

  test('knows the public packages that a published file may import', async () => {
    const { dependencies } = JSON.parse(sourceText('package.json')) as { dependencies: Record<string, string> }
    // The demonstration is not published, and the page is published as it was built, with all that it imports.
    const published = files.filter((path) => path !== 'cli/demo.ts' && !isPage(path))
    const foreign = published.flatMap((path) =>
      importsOf(path, sourceText(path))
        .filter(({ target }) => !/^(src|cli|schemas)\/|^node:|^package\.json$/.test(target))
        .map(({ target }) =>
          target
            .split('/')
            .slice(0, target.startsWith('@') ? 2 : 1)
            .join('/'),
        ),
    )
    expect([...new Set(foreign)].filter((name) => !Object.hasOwn(dependencies, name))).toEqual([])
  })
})

describe('the outside', () => {
  const pure = files.filter((path) => !['io', 'cli'].includes(roomOf(path) ?? ''))
  const closed =
    /^node:(fs|child_process|net|http|https|http2|dgram|dns|tls|os|process|worker_threads|cluster|readline|repl)\b/

  test('is imported by io and the command line alone', () => {
    const faults = pure.flatMap((path) =>
      importsOf(path, sourceText(path))
        .filter(({ target }) => closed.test(target))
        .map(({ target }) => `${path} imports ${target}`),
    )
    expect(faults).toEqual([])
  })

  test('no clock, chance or process is reached for elsewhere', () => {
    // A page asks its server, and is asked for nothing that has to come out the same twice.
    const uses = pure
      .filter((path) => !isPage(path))
      .flatMap((path) => outsideUses(path, sourceText(path)).map((use) => `${path} uses ${use}`))
    // pdfjs leaves promises rejected when it reads damaged files; only a listener on the process can catch those.
    const listeners = /^src\/reading\/pdf-library\.ts uses process\.(on|listeners|removeListener|removeAllListeners)$/
    expect(uses.filter((use) => !listeners.test(use))).toEqual([])
  })
})

describe('what these tests see', () => {
  const seen = (text: string) => importsOf('src/report/text.ts', text)

  test.each([
    ["import { a } from '../facts/vin.ts'", [{ target: 'src/facts/vin.ts', typesOnly: false }]],
    ["import type { A } from '../facts/vin.ts'", [{ target: 'src/facts/vin.ts', typesOnly: true }]],
    ["import { type A, type B } from './a.ts'", [{ target: 'src/report/a.ts', typesOnly: true }]],
    ["import { type A, b } from './a.ts'", [{ target: 'src/report/a.ts', typesOnly: false }]],
    ["import './a.ts'", [{ target: 'src/report/a.ts', typesOnly: false }]],
    ["export * from './a.ts'", [{ target: 'src/report/a.ts', typesOnly: false }]],
    ["export type { A } from './a.ts'", [{ target: 'src/report/a.ts', typesOnly: true }]],
    ["const a = await import('node:fs')", [{ target: 'node:fs', typesOnly: false }]],
    ['const a = await import(name)', [{ target: '(computed)', typesOnly: false }]],
    ["const a = \"import './a.ts'\" // import './b.ts'", []],
  ])('imports: %s', (text, expected) => {
    expect(seen(text)).toEqual(expected)
  })

  test.each([
    ['const a = new Date()', ['new Date()']],
    ['const a = new Date(0)', []],
    ['const a = Date.now()', ['Date.now']],
    ['const a = Math.random() + Math.round(1)', ['Math.random']],
    ['const a = process.env.TZ', ['process.env']],
    ['// process.env and Date.now()', []],
    ['const a = Temporal.Now.instant()', ['Temporal.Now']],
  ])('uses: %s', (text, expected) => {
    expect(outsideUses('src/report/text.ts', text)).toEqual(expected)
  })

  test('a forbidden import is a fault', () => {
    expect(faultsOf('src/facts/vin.ts', "import { judge } from '../findings/judge.ts'")).toHaveLength(1)
    expect(faultsOf('src/report/text.ts', "import { checks } from '../checks/index.ts'")).toHaveLength(1)
    expect(faultsOf('src/report/text.ts', "import type { Check } from '../checks/check.ts'")).toEqual([])
    expect(faultsOf('src/desk/page/app.tsx', "import { readQueue } from '../server/queue.ts'")).toHaveLength(1)
    expect(faultsOf('src/desk/page/app.tsx', "import { checks } from '../../index.ts'")).toHaveLength(1)
    expect(faultsOf('cli/check.ts', "import { judge } from '../src/findings/judge.ts'")).toHaveLength(1)
  })
})
