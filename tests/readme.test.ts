/**
 * README.md and DEVELOPERS.md, held to the program. In README.md a `console` block is a transcript, run as it stands: `$`
 * begins what the user types, then follows what the terminal shows, and a line of `…` alone stands for one or more whole
 * lines left out.
 */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { describe, expect, test } from 'vitest'
import { loadRulebook } from '../cli/shipped-data.ts'
import type { Check } from '../src/checks/check.ts'
import { checks } from '../src/checks/index.ts'
import { parseOpenId } from '../src/desk/server/openid/settings.ts'
import { compileVocabulary, parseVocabularyPage } from '../src/facts/vocabulary.ts'
import { parseDeclaration } from '../src/packet/declaration.ts'
import { renderRules } from '../src/report/rules-text.ts'
import { parseRulebook } from '../src/rulebook/parse.ts'
import { makeDocument, makePacket } from './checks/packet-builder.ts'
import { messagesOf } from './checks/run-check.ts'
import { runProgram } from './cli/program.ts'
import { root } from './source-file.ts'

const textOf = (name: string): string => readFileSync(join(root, name), 'utf8')
const readme = textOf('README.md')
const developers = textOf('DEVELOPERS.md')

/** What stands in the fenced blocks of one language. */
const blocksOf = (text: string, language: string): string[] =>
  [...text.matchAll(/^```(\w+)\n([\s\S]*?)^```$/gm)].flatMap(([, name, body = '']) => (name === language ? [body] : []))

interface Step {
  command: string
  shown: string[]
}

function stepsOf(block: string): Step[] {
  const steps: Step[] = []
  for (const line of block.replace(/\n$/, '').split('\n')) {
    const step = steps.at(-1)
    if (line.startsWith('$ ')) steps.push({ command: line.slice(2), shown: [] })
    else if (step) step.shown.push(line)
    else throw new Error(`a transcript begins with a command, not with: ${line}`)
  }
  return steps
}

/** `a "b c" d` → `a`, `b c`, `d`. */
const splitWords = (command: string): string[] =>
  [...command.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, bare]) => quoted ?? bare ?? '')

/** The stretches between the lines of `…`, each of which must stand in the output, in this order and without overlap. */
function expectShown(shown: readonly string[], said: readonly string[]): void {
  const stretches: string[][] = [[]]
  for (const line of shown) {
    if (line === '…') stretches.push([])
    else stretches.at(-1)?.push(line)
  }
  let from = 0
  for (const [index, stretch] of stretches.entries()) {
    const least = index === 0 ? 0 : from + 1
    const most = index === 0 ? 0 : said.length - stretch.length
    let at = index === stretches.length - 1 && index > 0 ? most : least
    while (at <= most && stretch.some((line, offset) => said[at + offset] !== line)) at++
    if (at < least || at > most)
      throw new Error(`not in the output:\n${stretch.join('\n')}\n\nwhich goes on:\n${said.slice(from).join('\n')}`)
    from = at + stretch.length
  }
  expect(said.slice(from)).toEqual([])
}

describe('an example run in README.md', () => {
  const transcripts = blocksOf(readme, 'console').map(stepsOf)

  test('is there, and shows a command of each kind', () => {
    const commands = transcripts.flat().map(({ command }) => splitWords(command).slice(0, 2).join(' '))
    expect(commands).toEqual(expect.arrayContaining(['witnessmark check', 'witnessmark read', 'echo $?']))
  })

  test.each(transcripts.map((steps) => [steps[0]?.command ?? '', steps] as const))(
    '%s',
    async (_, steps) => {
      let status: number | null = null
      for (const { command, shown } of steps) {
        if (command === 'echo $?') {
          expect(shown).toEqual([String(status)])
          continue
        }
        const [program, ...words] = splitWords(command)
        expect(program).toBe('witnessmark')
        const { status: ended, stdout, stderr } = await runProgram(words)
        status = ended
        expectShown(shown, `${stdout}${stderr}`.split('\n').slice(0, -1))
      }
    },
    300_000,
  )
})

test.each([
  ['a\n…\nc', true],
  ['…\nb\n…', true],
  ['a\nb\nc', true],
  ['a\nc', false],
  ['a\n…', true],
  ['a\n…\nb\nc', false],
  ['b\n…', false],
  ['…\nb', false],
])('a transcript %j of the output a, b, c is true: %s', (shown, isTrue) => {
  const hold = () => expectShown(shown.split('\n'), ['a', 'b', 'c'])
  if (isTrue) hold()
  else expect(hold).toThrow()
})

describe('README.md', () => {
  test('shows of a custodian’s day what is played as a transcript', () => {
    const played = textOf('tests/transcripts/kept/custodian-day.txt').replaceAll(' --passphrase-file passphrase', '')
    const day = blocksOf(readme, 'sh').find((block) => block.includes('archive seal kept')) ?? ''
    const commands = day.trim().split('\n')
    expect(commands.length).toBeGreaterThan(5)
    expect(commands.filter((command) => !played.includes(`$ ${command}\n`))).toEqual([])
  })

  test('lists every check with its claim, by group, as the program does', async () => {
    const listed = /^\*\*identity\*\*[\s\S]*?(?=^`witnessmark rules NAME`)/m.exec(readme)?.[0] ?? ''
    const plain = listed.replaceAll(/\*\*|`|^- /gm, '').replaceAll(/:?\s+/g, ' ')
    const printed = renderRules(checks, await loadRulebook(), { width: 400, color: false })
    expect(plain.trim()).toBe(printed.slice(printed.indexOf('identity')).replaceAll(/:?\s+/g, ' ').trim())
  })

  test('shows a declaration, a vocabulary, a provider and a rulebook that can be used', async () => {
    const [vocabulary = '', declaration = '', provider = '', rulebook = '', ...others] = blocksOf(readme, 'yaml')
    expect(others).toEqual([])
    expect(parseDeclaration(declaration).faults).toEqual([])
    const page = parseVocabularyPage(vocabulary, 'words.yaml')
    const shipped = parseVocabularyPage(textOf('src/facts/vocabulary.yaml'), 'vocabulary.yaml')
    const known = ([key, phrases]: [string, readonly (string | number)[]], pages: (typeof page)[]) => {
      const { labels, tokens } = compileVocabulary(pages)
      const hits = labels.within(tokens(String(phrases[0])))
      return hits.some(({ entries }) => entries.some((entry) => entry.key === key))
    }
    const added = Object.entries(page.labels ?? {})
    expect(added.map((label) => known(label, [shipped, page]))).toEqual(added.map(() => true))
    expect(added.map((label) => known(label, [shipped]))).toEqual(added.map(() => false))
    expect(added.length).toBeGreaterThan(0)
    expect(parseOpenId(new TextEncoder().encode(provider)).faults).toBeNull()
    const bytes = new TextEncoder().encode(rulebook)
    expect(parseRulebook(bytes, checks, [await loadRulebook()]).faults).toBeNull()
    expect(rulebook).toBe(textOf('tests/transcripts/files/strict.yaml'))
  })
})

describe.each([
  ['README.md', readme],
  ['DEVELOPERS.md', developers],
])('what %s names', (_, text) => {
  const prose = text.replaceAll(/^```[\s\S]*?^```$/gm, '')

  test('links to files that are there', () => {
    const targets = [...prose.matchAll(/\]\(([^)#:]+)\)/g)].map(([, target = '']) => target)
    expect(targets.length).toBeGreaterThan(0)
    expect(targets.filter((target) => !existsSync(join(root, target)))).toEqual([])
  })

  test('is there: paths', () => {
    const paths = [...prose.matchAll(/`((?:src|cli|tests|examples|schemas|\.ci|\.config)\/[\w./-]*)`/g)]
    const named = paths.map(([, path = '']) => path)
    expect(named.length).toBeGreaterThan(1)
    expect(named.filter((path) => !existsSync(join(root, path)))).toEqual([])
  })

  test('is there: scripts of npm', () => {
    const { scripts } = JSON.parse(textOf('package.json')) as { scripts: Record<string, string> }
    const named = [...text.matchAll(/\bnpm (?:run (?:--silent )?)?(start|test|(?<=npm run (?:--silent )?)[\w:-]+)/g)]
    expect(named.length).toBeGreaterThan(1)
    expect(named.flatMap(([, script = '']) => (Object.hasOwn(scripts, script) ? [] : [script]))).toEqual([])
  })
})

describe('the check that DEVELOPERS.md adds', () => {
  const [source = '', , shownTest = ''] = blocksOf(developers, 'ts')
  const [rule = ''] = blocksOf(developers, 'yaml')

  /** The example as it would stand in a group's folder. */
  async function importExample(): Promise<Check> {
    const folder = mkdtempSync(join(tmpdir(), 'example-check-'))
    try {
      const room = pathToFileURL(join(root, 'src', 'checks')).href
      writeFileSync(join(folder, 'example.ts'), source.replaceAll(/from '\.\.\//g, `from '${room}/`))
      return (await import(pathToFileURL(join(folder, 'example.ts')).href)).batteryVoltageSufficient
    } finally {
      rmSync(folder, { recursive: true })
    }
  }

  test('does what its test says', async () => {
    const check = await importExample()
    const rows = [...shownTest.matchAll(/^ {2}\[([\d.]+|undefined), \['([\w-]+)'\]\],$/gm)]
    expect(rows).toHaveLength(3)
    for (const [, volts = '', message] of rows) {
      const stated = volts === 'undefined' ? {} : { batteryVolts: Number(volts) }
      const packet = makePacket([makeDocument('pre-scan', 'pre.pdf', stated)])
      expect(messagesOf(check, packet, { leastVolts: 12 })).toEqual([message])
    }
  })

  test('is weighed by the rule beside it', async () => {
    const general = readFileSync(join(root, 'src', 'rulebook', 'general.yaml'), 'utf8')
    const bytes = new TextEncoder().encode(`${general}\n${rule}`)
    expect(parseRulebook(bytes, [...checks, await importExample()]).faults).toBeNull()
  })
})
