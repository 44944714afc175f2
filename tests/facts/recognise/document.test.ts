/** Whatever a page holds, it is read without a throw, the same in any order of its words, and every fact is placed. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type DocumentFacts, documentKinds } from '../../../src/facts/document.ts'
import type { Page, Word } from '../../../src/facts/reading.ts'
import { layOut } from '../../../src/reading/layout.ts'
import { listErrors, validateDocument } from '../../findings/schemas.ts'
import { draw, page, typed } from '../../reading/page-builder.ts'
import { recognise, recognisePages } from './recognised.ts'

/** Pieces of the papers of this trade, so that a random page looks like one. */
const piece = fc.oneof(
  fc.constantFrom(
    'VIN:', '5W9HA4E2XNB104472', 'Odometer', '48,211 mi', 'Scan date:', '03/04/2026 14:05', '2026-05-21', '09:10', '9:10 PM',
    'RO#4471', 'Claim:', 'BW-77120', 'Technician', 'Odalys Fenwright', 'Module', 'Result', 'Code', 'Status', 'Description',
    'Front radar', 'Front camera', 'Corner radar left', 'OK', 'Fault', 'No response', 'Not fitted', 'C1A67-54', 'U0121',
    'Active', '(stored)', 'Sensor', 'Method', 'Dynamic', 'Static', 'Started', 'Ended', 'Completed', 'Not completed', '100 %',
    '42 %', 'Progress', 'Run', 'Actual', 'Min', 'Max', 'Limits', '-1.0 to 1.0', '0,25', '± 1.0', 'deg', 'Pitch', 'Amount',
    '$280.00', '1.462,95 EUR', 'Total', 'Front bumper, replace', 'Scan before repair', 'Page 1 of 2', '12.6 V', '✓', '-', ':',
    'F fault', '- no fault', 'Attempt 1: aborted at 38 %', 'CALIBRATION RECORD', 'POST-REPAIR SCAN', 'INVOICE', 'Codes found: 3',
    'Codes cleared 17-SEP-2026', 'S/N LK8-220741', 'Drive time: 14 min 20 s', '(', ')', '/', '|', '•',
  ),
  fc.stringMatching(/^\S{1,12}$/),
) // biome-ignore format: a list

const placed = fc.record({
  text: piece,
  column: fc.integer({ min: 0, max: 3 }),
  line: fc.integer({ min: 0, max: 24 }),
  size: fc.constantFrom(7, 10, 10, 10, 14),
})

const anyPages: fc.Arbitrary<Page[]> = fc
  .array(fc.array(placed, { maxLength: 60, size: 'max' }), { minLength: 1, maxLength: 2 })
  .map((pages) =>
    pages.map((pieces, i) => {
      // One piece a place, so that no two words lie on each other.
      const byPlace = new Map(pieces.map((one) => [`${one.column},${one.line}`, one]))
      const words = [...byPlace.values()].flatMap(({ text, column, line, size }) =>
        draw(30 + 150 * column, 20 + 16 * line, text, { size }),
      )
      return page(words, { number: i + 1, width: 960 })
    }),
  )

const anyKind = fc.constantFrom(undefined, ...documentKinds)

/** Words without white space and punctuation, so that a cut or joined word compares. */
const plain = (text: string) => text.replace(/[^\p{L}\p{N}]/gu, '')

function lostPlaces(facts: DocumentFacts, pages: readonly Page[]): string[] {
  const texts = new Map(
    layOut(pages).pages.map(({ number }) => [
      number,
      new Set(
        layOut(pages)
          .lines.filter((line) => line.page === number)
          .flatMap(({ cells }) => cells.flatMap(({ words }) => words.map(({ text }) => plain(text)))),
      ),
    ]),
  )
  const places = [
    ...Object.entries(facts.evidence).flatMap(([path, list]) => list.map((place) => ({ path, place }))),
    ...(facts.vins ?? []).flatMap(({ value, evidence }) => evidence.map((place) => ({ path: `vins ${value}`, place }))),
  ]
  return places.flatMap(({ path, place }) => {
    const drawn = pages.find(({ number }) => number === place.page)
    const known = texts.get(place.page)
    if (!drawn || !known) return [`${path}: page ${place.page}`]
    const [x0, y0, x1, y1] = place.box
    if (x0 < -0.1 || y0 < -0.1 || x1 > drawn.width + 0.1 || y1 > drawn.height + 0.1 || x0 > x1 || y0 > y1)
      return [`${path}: box ${place.box}`]
    const strange = place.text.split(/\s+/).filter((word) => !known.has(plain(word)))
    return strange.length > 0 ? [`${path}: ${strange.join(' ')}`] : []
  })
}

describe('any page', () => {
  test('is read without a throw, to the shape of the schema', () => {
    fc.assert(
      fc.property(anyPages, anyKind, (pages, kind) => {
        expect(listErrors(validateDocument, recognisePages(pages, kind))).toEqual([])
      }),
      { numRuns: 150 },
    )
  }, 60_000)

  test('has every fact placed on a page of its own, on words that stand there', () => {
    fc.assert(
      fc.property(anyPages, anyKind, (pages, kind) => {
        expect(lostPlaces(recognisePages(pages, kind), pages)).toEqual([])
      }),
      { numRuns: 150 },
    )
  }, 60_000)

  test('reads the same in whatever order its words come', () => {
    const shuffled = anyPages.chain((pages) =>
      fc
        .tuple(...pages.map(({ words }) => fc.shuffledSubarray(words, { minLength: words.length })))
        .map((orders): [Page[], Page[]] => [pages, pages.map((one, i) => ({ ...one, words: orders[i] as Word[] }))]),
    )
    fc.assert(
      fc.property(shuffled, anyKind, ([pages, other], kind) => {
        expect(recognisePages(other, kind)).toEqual(recognisePages(pages, kind))
      }),
      { numRuns: 150 },
    )
  }, 60_000)
})

test('a fact whose words stand on two pages is placed on the first', () => {
  const places = recognise('Front radar\fNo codes', 'scan').evidence['modules.0'] ?? []
  expect(places.map(({ page: at, text }) => [at, text])).toEqual([[1, 'Front radar']])
})

test('a whole scan reads the same with its words in reverse', () => {
  const drawn = typed([
    'POST-REPAIR SCAN',
    'VIN: 5W9HA4E2XNB104472     Odometer: 48211 mi',
    'Module              Result',
    'Engine control      OK',
    'Front radar         Fault',
  ])
  const facts = recognisePages([drawn])
  expect(facts.modules).toHaveLength(2)
  expect(recognisePages([{ ...drawn, words: [...drawn.words].reverse() }])).toEqual(facts)
})

describe('what a document states in words', () => {
  test('is kept with its date: codes cleared, released, repaired', () => {
    const { statements } = recognise(
      `QUALITY CHECK
      All fault codes were cleared 17-SEP-2026 14:05 after the work.
      The windshield was replaced on 16 September 2026.
      The vehicle was released on 18 September 2026 at noon.`.replace(/^ {6}/gm, ''),
    )
    expect(statements?.map(({ about, date }) => [about, date?.local?.slice(0, 10)])).toEqual([
      ['codes-cleared', '2026-09-17'],
      ['repaired', '2026-09-16'],
      ['released', '2026-09-18'],
    ])
  })

  test('takes the day of a release from the date that stands beside the name of who released it', () => {
    const sheet = (head: string) => `RELEASE SHEET\nRepair order: 26-3317\n${head}\nNo warning lamps lit.`
    const released = (head: string) => recognise(sheet(head)).statements?.map(({ about, date }) => [about, date?.local])
    const told = [['released', '2026-09-18T14:01']]
    expect(released('Date: 2026-09-18 14:01\nReviewed and released by: Hale Morrow')).toEqual(told)
    expect(released('Released by: Hale Morrow   Date: 2026-09-18 14:01')).toEqual(told)
    expect(
      released(
        'Vehicle               Checked on\n2024 Marrick Oxbow    2026-09-18 14:01\nReviewed and released by\nHale Morrow',
      ),
    ).toEqual(told)
    // The date in the head of a form may be that of the day on which it was begun; a review is no release.
    expect(released('Date: 2026-09-16\nVehicle: 2024 Marrick Oxbow\nReleased by: Hale Morrow')).toBeUndefined()
    expect(released('Date: 2026-09-18 14:01\nReviewed by: Hale Morrow')).toBeUndefined()
  })

  test('is nothing where the day of a repair or release is missing', () => {
    expect(recognise('QUALITY CHECK\nThe windshield was replaced by hand.').statements).toBeUndefined()
  })
})

test('an alignment keeps its angles and how it ended', () => {
  const facts = recognise(`
    WHEEL ALIGNMENT
    Angle              Before   Actual   Min     Max
    Toe left front     0.31°    0.05°    0.00°   0.20°
    Camber left        -0.4°    -0.4°    -1.0°   0.5°
    Result: Completed
  `)
  expect(facts.alignment).toMatchObject({
    outcome: 'completed',
    values: [
      { name: 'Toe left front', value: 0.05, least: 0, most: 0.2, unit: 'deg' },
      { name: 'Camber left', value: -0.4, least: -1, most: 0.5, unit: 'deg' },
    ],
  })
})

test('pages, problems and the file itself are passed on', () => {
  const problems = [{ code: 'truncated', message: 'cut short' }]
  const facts = recognisePages([page([]), page([], { number: 2 })], undefined, 'x.pdf', { problems })
  expect(facts).toMatchObject({ file: 'x.pdf', pages: 2, problems, media: 'application/pdf', bytes: 1 })
})
