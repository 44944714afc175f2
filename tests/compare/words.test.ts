/** Words of pages: the edits held to GNU diff, pages that moved, and bounds on what files can cost. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { compareSubmissions } from '../../src/compare/compare.ts'
import { compareWords } from '../../src/compare/compare-words.ts'
import type { WordsChange } from '../../src/compare/comparison.ts'
import { startBudget } from '../../src/compare/diff-words.ts'
import { listParts } from '../../src/compare/part.ts'
import { makeFile, makeSubmission } from './invented.ts'

const partOf = (pages: string[][]) => {
  const [part] = listParts(makeSubmission([makeFile('a.pdf', 'other', pages)]))
  if (part === undefined) throw new Error('no part')
  return part
}
const wordsOf = (before: string[][], after: string[][]): WordsChange =>
  compareWords(partOf(before), partOf(after), startBudget())
const runsOf = ({ pages }: WordsChange) =>
  pages.flatMap(({ changes }) => changes.map(({ before, after }) => [before?.text ?? '', after?.text ?? '']))

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-words-'))
})
afterAll(() => rmSync(folder, { recursive: true }))

/** How many words GNU diff (diffutils) takes out and puts in, one word a line; `--minimal` finds the fewest. */
function countByDiff(before: readonly string[], after: readonly string[]): number {
  const paths = [before, after].map((words, index) => {
    const path = join(folder, `words ${index}`)
    writeFileSync(path, words.map((word) => `${word}\n`).join(''))
    return path
  })
  const { stdout, status } = spawnSync('diff', ['--minimal', ...paths], { encoding: 'utf8' })
  expect(status === 0 || status === 1).toBe(true)
  return stdout.split('\n').filter((line) => /^[<>] /.test(line)).length
}

const word = fc.constantFrom('VIN', 'front', 'radar', 'passed', '12.6', 'V')
const page = fc.array(word, { minLength: 1, maxLength: 40 })

describe('words of one page', () => {
  test('as few are taken out and put in as GNU diff finds, and they lead from the one text to the other', () => {
    fc.assert(
      fc.property(page, page, (before, after) => {
        const changes = wordsOf([[before.join(' ')]], [[after.join(' ')]]).pages.flatMap((one) => one.changes)
        const edits = changes.reduce((sum, one) => sum + (one.before?.words ?? 0) + (one.after?.words ?? 0), 0)
        expect(edits).toBe(countByDiff(before, after))
        const bag = (list: readonly string[]) => list.toSorted().join(' ')
        const side = (name: 'before' | 'after') => changes.flatMap((one) => one[name]?.text.split(' ') ?? [])
        expect(bag([...before, ...side('after')])).toBe(bag([...after, ...side('before')]))
      }),
      { numRuns: 60 },
    )
  }, 60_000)

  test('backwards the same runs are exchanged', () => {
    fc.assert(
      fc.property(page, page, (before, after) => {
        const [there, back] = [wordsOf([before], [after]), wordsOf([after], [before])]
        expect(runsOf(back)).toEqual(runsOf(there).map(([one, other]) => [other, one]))
      }),
    )
  })

  test('have the box of their lines', () => {
    const { pages } = wordsOf([['VIN 12', 'front radar']], [['VIN 12', 'rear radar']])
    expect(pages[0]?.changes).toEqual([
      {
        before: { file: 'a.pdf', page: 1, box: [10, 12, 76, 22], text: 'front', words: 1 },
        after: { file: 'a.pdf', page: 1, box: [10, 12, 70, 22], text: 'rear', words: 1 },
      },
    ])
  })

  test('a line that was taken out from among lines that begin alike is told as that line', () => {
    expect(runsOf(wordsOf([['Calibration A', 'Calibration B', 'Total']], [['Calibration B', 'Total']]))).toEqual([
      ['Calibration A', ''],
    ])
    expect(runsOf(wordsOf([['Calibration A', 'Calibration B', 'Total']], [['Calibration A', 'Total']]))).toEqual([
      ['Calibration B', ''],
    ])
  })

  test('white space and ways to write one letter are no change (UAX 15)', () => {
    expect(wordsOf([['Pru\u0308fer  X']], [['Pr\u00fcfer X']])).toEqual({ state: 'same', pages: [] })
    expect(wordsOf([[]], [[]])).toEqual({ state: 'none', pages: [] })
  })
})

describe('pages', () => {
  const [one, two, three] = ['page of the scan', 'the list of codes', 'signed and dated'].map((text) => [text]) as [
    string[],
    string[],
    string[],
  ]

  test('in another order have moved, and no word of them changed', () => {
    expect(
      wordsOf([one, two, three], [three, one, two]).pages.map(({ before, after, state }) => [before, after, state]),
    ).toEqual([
      [3, 1, 'moved'],
      [1, 2, 'moved'],
      [2, 3, 'moved'],
    ])
  })

  test('behind one that was put in have not moved', () => {
    expect(wordsOf([one, two], [three, one, two]).pages).toMatchObject([{ before: null, after: 1, state: 'added' }])
    expect(wordsOf([three, one, two], [one, two]).pages).toMatchObject([{ before: 1, after: null, state: 'removed' }])
  })
})

describe('huge files', { timeout: 120_000 }, () => {
  const text = (name: string, count: number) => Array.from({ length: count }, (_, at) => `${name}${at}`).join(' ')

  test('that differ throughout are told to, and not listed', () => {
    expect(wordsOf([[text('a', 100_000)]], [[text('b', 100_000)]]).pages).toMatchObject([
      { state: 'too-different', changes: [], left: 0 },
    ])
    expect(wordsOf([[text('a', 600)]], [[text('b', 600)]]).pages[0]?.state).toBe('too-different')
  })

  test('with one changed word among many are compared all the same', () => {
    const long = text('a', 100_000)
    expect(runsOf(wordsOf([[`${long} x ${long}`]], [[`${long} y ${long}`]]))).toEqual([['x', 'y']])
  })

  test('with very many changes: a hundred of a page are listed, the others counted', () => {
    const marked = (mark: string) => Array.from({ length: 300 }, (_, at) => `${at} ${mark}`).join(' ')
    const [changed] = wordsOf([[marked('x')]], [[marked('y')]]).pages
    expect(changed).toMatchObject({ state: 'changed', left: 200 })
    expect(changed?.changes).toHaveLength(100)
  })

  test('share one budget: what is left when it is spent is named', () => {
    const pages = (name: string) => Array.from({ length: 60 }, (_, at) => [`page ${at} ${text(name, 480)}`])
    const { pages: found } = wordsOf(pages('a'), pages('b'))
    expect(found).toHaveLength(60)
    expect(new Set(found.map(({ state }) => state))).toEqual(new Set(['changed', 'too-different']))
  })
})

describe('any two submissions', () => {
  const kinds = ['pre-scan', 'invoice', 'calibration'] as const
  const file = fc.record({
    name: fc.constantFrom('a.pdf', 'b.pdf', 'c.pdf'),
    kind: fc.constantFrom(...kinds),
    pages: fc.array(page, { minLength: 1, maxLength: 3 }),
    facts: fc.record(
      {
        jobNumber: word,
        batteryVolts: fc.integer({ min: 10, max: 14 }),
        codes: fc.array(
          fc.record({
            code: fc.constantFrom('C1A67', 'U0100', 'B1000'),
            failureType: fc.constant('54'),
            module: fc.constantFrom('Gateway', 'Front camera'),
            status: fc.constantFrom('stored', 'active'),
          }),
          { maxLength: 4 },
        ),
      },
      { requiredKeys: [] },
    ),
  })
  const submission = fc
    .uniqueArray(file, { maxLength: 3, selector: ({ name }) => name })
    .map((files) =>
      makeSubmission(files.map(({ name, kind, pages, facts }) => makeFile(name, kind, pages, facts as object))),
    )

  test('the same one twice: nothing', () => {
    fc.assert(
      fc.property(submission, (one) => {
        expect(compareSubmissions(one, one)).toMatchObject({ identical: true, files: [], facts: [], factsLeft: 0 })
      }),
    )
  })

  test('each change read backwards is the change the other way round', { timeout: 60_000 }, () => {
    const turned: Record<string, string> = { added: 'removed', removed: 'added' }
    const keys = (list: { change: string; before: unknown; after: unknown }[], isTurned: boolean) =>
      list
        .map(({ change, before, after }) =>
          JSON.stringify(isTurned ? [turned[change] ?? change, after, before] : [change, before, after]),
        )
        .sort()
    fc.assert(
      fc.property(submission, submission, (one, other) => {
        const [there, back] = [compareSubmissions(one, other), compareSubmissions(other, one)]
        expect(keys(back.files, true)).toEqual(keys(there.files, false))
        expect(keys(back.facts, true)).toEqual(keys(there.facts, false))
        expect(JSON.stringify(compareSubmissions(one, other))).toBe(JSON.stringify(there))
      }),
    )
  })
})
