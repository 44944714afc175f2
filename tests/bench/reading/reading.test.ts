/** What the bench of reading counts, and by what it degrades pages. */
import { describe, expect, test } from 'vitest'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { makeChance } from '../defects/chance.ts'
import { align, countSame, shareOfSame } from './align.ts'
import { degrade } from './degrade.ts'
import { compareFacts } from './facts.ts'
import { levels } from './levels.ts'
import { choosePages } from './pages.ts'
import { figuresOf, formatTable, tabulate } from './table.ts'
import { type Point, project, projectionOf } from './warp.ts'

const date = (local: string) => ({ text: local, local, offset: null, earliest: '', latest: '' })

const truth: DocumentFacts = {
  file: 'a.pdf',
  sha256: '',
  bytes: 0,
  media: 'application/pdf',
  kind: 'pre-scan',
  kindFrom: 'heading',
  vin: '1ZZTE5T11NB000421',
  date: date('2026-03-14T09:30'),
  codes: [
    { code: 'C1A67', failureType: '04', status: 'active', text: 'Radar sensor misaligned' },
    { code: 'U0235', failureType: null, status: 'stored', text: 'Lost communication with cruise control' },
  ],
  problems: [],
  evidence: {},
}
const words =
  'Scan 1ZZTE5T11NB000421 2026-03-14T09:30 C1A67-04 active Radar sensor misaligned U0235 stored Lost communication with cruise control 86 %'.split(
    ' ',
  )

const compare = (read: Partial<DocumentFacts>) => compareFacts(truth, { ...truth, ...read }, words)
const codes = truth.codes ?? []
const counts = ({ right, wrong, abstained }: ReturnType<typeof compareFacts>) => [right, wrong.length, abstained.length]

describe('facts', () => {
  test('that are the same are right, each of them', () => {
    expect(counts(compare({}))).toEqual([10, 0, 0])
  })

  test('that are left out are neither right nor wrong, and shift no others', () => {
    expect(counts(compare({ codes: codes.slice(1) }))).toEqual([6, 0, 4])
    expect(compare({ vin: undefined as never }).abstained).toEqual(['vin'])
    expect(counts(compare({ kind: 'other' }))).toEqual([9, 0, 1])
    expect(counts(compare({ date: date('2026-03-14') }))).toEqual([9, 0, 1])
  })

  test('that say some words of what is printed are not wrong, and numbers are cut nowhere', () => {
    const named = { ...truth, technician: 'Ann Example' }
    const graded = (technician: string) => counts(compareFacts(named, { ...truth, technician }, words))
    expect(graded('Ann Example')).toEqual([11, 0, 0])
    expect(graded('Ann')).toEqual([10, 0, 1])
    expect(graded('Ann Exampel')).toEqual([10, 1, 0])
    expect(compare({ vin: '1ZZTE5T11NBOOO421' }).wrong).toEqual([])
  })

  test('that say something else are wrong, with their path', () => {
    expect(compare({ vin: '1ZZTE5T11NB000427' }).wrong).toEqual([
      { path: 'vin', truth: '1ZZTE5T11NB000421', read: '1ZZTE5T11NB000427' },
    ])
    expect(compare({ date: date('2026-03-14T09:36') }).wrong).toHaveLength(1)
    const misread = codes.map((code) => ({ ...code, code: code.code.replace('67', '61') }))
    expect(compare({ codes: misread }).wrong).toEqual([{ path: 'codes.0.code', truth: 'C1A67', read: 'C1A61' }])
  })

  test('that the page does not say are wrong, once each', () => {
    const more = [...codes, { code: 'B1234', failureType: '11', status: 'active' as const }]
    expect(compare({ codes: more }).wrong).toEqual([{ path: 'codes.2.code', truth: null, read: 'B1234' }])
    expect(compare({ batteryVolts: 13.7 }).wrong).toHaveLength(1)
  })

  test('that the page says though its text did not lead to them are counted apart', () => {
    expect(compare({ statedCodeCount: 86 })).toMatchObject({ right: 10, wrong: [], more: 1 })
  })

  test('in running text may have a letter wrong, and no digit', () => {
    const said = (text: string) =>
      compare({ codes: codes.map((code, index) => (index === 0 ? { ...code, text } : code)) })
    expect(counts(said('Radar sens0r misaligned'))).toEqual([9, 1, 0])
    expect(counts(said('Radar sensar misaligned'))).toEqual([10, 0, 0])
    expect(counts(said('Radio cover mismatched'))).toEqual([9, 1, 0])
  })
})

test('lists are set beside one another in their order', () => {
  const same = (a: string, b: string) => (a === b ? 1 : 0)
  expect(align(['a', 'b', 'c'], ['a', 'c', 'd'], same)).toEqual([
    [0, 0],
    [1, null],
    [2, 1],
    [null, 2],
  ])
})

test('texts are compared by their edit distance (Levenshtein: kitten, sitting: 3)', () => {
  expect(shareOfSame('kitten', 'sitting')).toBeCloseTo(1 - 3 / 7)
  expect(shareOfSame('', '')).toBe(1)
})

test('each word read counts once', () => {
  expect(countSame(['a', 'a', 'b'], ['a', 'b', 'b'])).toBe(2)
})

test('four corners decide a projection, and straight lines stay straight', () => {
  const from: Point[] = [
    [0, 0],
    [100, 0],
    [100, 80],
    [0, 80],
  ]
  const to: Point[] = [
    [3, 5],
    [90, -2],
    [104, 88],
    [-6, 70],
  ]
  const map = projectionOf(from, to)
  for (const [index, [x, y]] of from.entries()) {
    const [u, v] = project(map, x, y)
    expect([u, v]).toEqual(to[index]?.map((value) => expect.closeTo(value, 6)))
  }
  const [a, b, c] = [10, 40, 90].map((x) => project(map, x, 20)) as [Point, Point, Point]
  expect((b[0] - a[0]) * (c[1] - a[1])).toBeCloseTo((c[0] - a[0]) * (b[1] - a[1]), 6)
})

describe('pages', { timeout: 60_000 }, () => {
  test('are at least forty, of many packets', async () => {
    const pages = await choosePages(48, 1)
    expect(pages).toHaveLength(48)
    expect(new Set(pages.map(({ name }) => name.split('/').slice(0, 4).join('/'))).size).toBeGreaterThan(35)
  })

  test('are degraded alike each time, and otherwise by another seed', async () => {
    const [page] = await choosePages(1, 1)
    const harm = { dpi: 72, turned: 2, blurred: 0.5, noise: 5, quality: 60 }
    const make = (seed: number) => degrade(page?.pdf ?? new Uint8Array(), harm, seed)
    const [one, again, other] = [await make(1), await make(1), await make(2)]
    expect(Buffer.compare(one.bytes, again.bytes)).toBe(0)
    expect(Buffer.compare(one.bytes, other.bytes)).not.toBe(0)
    expect(one.width).toBeGreaterThan((page?.width ?? 0) + 10)
  })
})

test('levels cover what is promised: 150, 200 and 300 dpi, 3 degrees, qualities of 30 to 90', () => {
  const harms = levels.flatMap((level) => Array.from({ length: 200 }, (_, seed) => level.draw(makeChance(seed + 1))))
  for (const dpi of [150, 200, 300]) expect(harms.some((harm) => harm.dpi === dpi)).toBe(true)
  const turns = harms.map(({ turned = 0 }) => turned)
  expect([Math.min(...turns), Math.max(...turns)]).toEqual([expect.closeTo(-3, 1), expect.closeTo(3, 1)])
  const qualities = harms.flatMap(({ quality }) => quality ?? [])
  expect([Math.min(...qualities), Math.max(...qualities)]).toEqual([30, 90])
})

test('figures are shares of the whole, and columns of a program that did not run are left out', () => {
  const result = {
    page: 'a.pdf 1',
    level: 'turned',
    harm: { dpi: 200 },
    form: 'picture' as const,
    words: 20,
    ours: { right: 18, read: 19, seconds: 2 },
    tesseract: null,
    facts: {
      right: 7,
      abstained: ['date', 'plate'],
      wrong: [{ path: 'vin', truth: 'A', read: 'B' }],
      more: 0,
      vins: 1,
    },
  }
  expect(figuresOf('turned', [result, result])).toMatchObject({
    wordsRight: 90,
    facts: 20,
    factsRight: 14,
    factsWrong: 2,
    factsAbstained: 4,
    vinsWrong: 2,
  })
  const chosen = levels.filter(({ name }) => name === 'turned')
  expect(formatTable(tabulate(chosen, [result]), chosen)).not.toContain('tess')
})
