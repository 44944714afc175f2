import { describe, expect, test } from 'vitest'
import { bytesText, distanceText, durationText, timeText } from '../../../src/desk/page/logic/amounts.ts'
import { describeJob, progressOf } from '../../../src/desk/page/logic/job-words.ts'
import { mayAdminister, mayKeep, mayReview, maySubmit } from '../../../src/desk/page/logic/rights.ts'

test.each([
  [0, '0 B'],
  [999, '999 B'],
  [12_400, '12.4 kB'],
  [331_321, '331 kB'],
  [3_100_000, '3.1 MB'],
  [8 * 1024 ** 4, '8796 GB'],
])('%i bytes', (bytes, text) => expect(bytesText(bytes)).toBe(text))

test.each([
  [59.4, '59 s'],
  [60, '1 min 0 s'],
  [1197, '19 min 57 s'],
  [3725, '1 h 2 min'],
])('%f seconds', (seconds, text) => expect(durationText(seconds)).toBe(text))

test.each([
  [500, '500 m'],
  [2000, '2 km'],
  [2500, '2.5 km'],
])('%i metres', (metres, text) => expect(distanceText(metres)).toBe(text))

test.each([
  ['2026-11-27T05:22:31Z', 'America/Chicago', '2026-11-26 23:22'],
  ['2026-11-27T00:00:00Z', 'UTC', '2026-11-27 00:00'],
])('%s in %s', (instant, zone, text) => expect(timeText(instant, zone)).toBe(text))

describe('how far work is', () => {
  const job = {
    job: '1',
    what: 'receive',
    name: 'x',
    stage: 'reading',
    done: 3,
    of: 9,
    file: 'scan.pdf',
    accession: null,
    verdict: null,
    again: false,
    problem: null,
  } as const

  test('in words', () => {
    expect(describeJob(job)).toBe('being read: 3 of 9 files, scan.pdf')
    expect(describeJob({ ...job, stage: 'done', again: true })).toBe('was here already: nothing was kept twice')
    expect(describeJob({ ...job, stage: 'reading', of: 0 })).toBe('being read')
  })

  test('it never goes back from stage to stage', () => {
    const stages = ['waiting', 'receiving', 'reading', 'judging', 'keeping', 'done'] as const
    const parts = stages.flatMap((stage) =>
      stage === 'reading' ? [0, 5, 9].map((done) => progressOf({ ...job, done })) : [progressOf({ ...job, stage })],
    )
    expect(parts).toEqual([...parts].sort((a, b) => a - b))
    expect([parts[0], parts.at(-1)]).toEqual([0, 1])
  })
})

test('accounts are kept by administrators, where there are any', () => {
  expect(mayAdminister({ roles: ['administrator'], accounts: true })).toBe(true)
  expect(mayAdminister({ roles: ['administrator'], accounts: false })).toBe(false)
  expect(mayAdminister({ roles: ['custodian'], accounts: true })).toBe(false)
})

test.each([
  [['submitter'], [true, false, false]],
  [['reviewer'], [true, true, false]],
  [['custodian'], [true, true, true]],
  [['administrator'], [false, false, false]],
] as const)('%j may hand in, review, keep', (roles, may) => {
  const session = { roles: [...roles] }
  expect([maySubmit(session), mayReview(session), mayKeep(session)]).toEqual(may)
})
