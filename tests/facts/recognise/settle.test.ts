/** What the documents of one packet tell about each other. */
import { describe, expect, test } from 'vitest'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { settleDocuments } from '../../../src/facts/recognise/settle.ts'
import { layOut } from '../../../src/reading/layout.ts'
import { typed } from '../../reading/page-builder.ts'
import { lines, recognise } from './recognised.ts'

function settle(texts: readonly string[], job: string | null = null, zone: string | null = null): DocumentFacts[] {
  return settleDocuments(
    texts.map((text) => recognise(text, 'scan')),
    texts.map((text) => layOut([typed(lines(text))])),
    job,
    zone,
  )
}

describe('a job number', () => {
  test('that the others state is found in a heading without a label', () => {
    const [first, second] = settle(['SYSTEM SCAN\nRepair order: W-20933', 'SYSTEM SCAN\nWork on W-20933, second day'])
    expect(first?.jobNumber).toBe('W-20933')
    expect(second?.jobNumber).toBe('W-20933')
    expect(second?.evidence.jobNumber?.[0]).toMatchObject({ page: 1, text: 'W-20933,' })
  })

  test('that the packet declares is found too, in several words', () => {
    expect(settle(['SYSTEM SCAN\nFolder RO 4471 of today'], 'RO-4471')[0]?.jobNumber).toBe('RO 4471')
  })

  test('is nothing that the document does not hold', () => {
    expect(settle(['SYSTEM SCAN\nRepair order: W-20933', 'SYSTEM SCAN\nEngine OK'])[1]?.jobNumber).toBeUndefined()
  })

  test('is no part of a longer number', () => {
    expect(settle(['SYSTEM SCAN\nNumber 94471 and 44710'], '4471')[0]?.jobNumber).toBeUndefined()
  })

  test('of a document’s own is kept, though the packet says another', () => {
    expect(settle(['SYSTEM SCAN\nRepair order: 4471\nnot 9999'], '9999')[0]?.jobNumber).toBe('4471')
  })

  test('stated two ways equally often settles nothing', () => {
    const texts = ['Repair order: 4471', 'Repair order: 4472', 'Folder 4471 or 4472']
    expect(settle(texts.map((text) => `SYSTEM SCAN\n${text}`))[2]?.jobNumber).toBeUndefined()
  })
})

describe('day and month', () => {
  const open = 'SYSTEM SCAN\nScan date: 03/04/2026 14:05'

  test('are settled by the order of the other documents', () => {
    expect(settle([open])[0]?.date?.local).toBeNull()
    expect(settle([open, 'SYSTEM SCAN\nScan date: 25/03/2026 14:05'])[0]?.date?.local).toBe('2026-04-03T14:05')
    expect(settle([open, 'SYSTEM SCAN\nScan date: 03/25/2026 14:05'])[0]?.date?.local).toBe('2026-03-04T14:05')
  })

  test('stay open where the others differ among themselves', () => {
    const others = ['SYSTEM SCAN\nScan date: 25/03/2026 14:05', 'SYSTEM SCAN\nScan date: 03/25/2026 14:05']
    expect(settle([open, ...others])[0]?.date?.local).toBeNull()
  })

  test('are settled in calibrations as well', () => {
    const text = 'CALIBRATION RECORD\nSensor: Front radar\nStarted: 03/04/2026 09:10\nResult: Completed'
    const [record] = settleDocuments(
      [recognise(text, 'calibration'), recognise('SYSTEM SCAN\nScan date: 25/03/2026 14:05', 'scan')],
      [layOut([typed(lines(text))]), layOut([])],
      null,
    )
    expect(record?.calibrations?.[0]?.started?.local).toBe('2026-04-03T09:10')
  })

  test('of a document that says it itself are left alone', () => {
    const iso = 'SYSTEM SCAN\nScan date: 2026-04-03 14:05'
    expect(settle([iso, 'SYSTEM SCAN\nScan date: 03/25/2026 14:05'])[0]?.date?.local).toBe('2026-04-03T14:05')
  })
})

test('documents stay in their order, and those given are not changed', () => {
  const given = [recognise('SYSTEM SCAN\nRepair order: W-20933'), recognise('SYSTEM SCAN\nWork on W-20933')]
  const before = structuredClone(given)
  const layouts = ['SYSTEM SCAN\nRepair order: W-20933', 'SYSTEM SCAN\nWork on W-20933'].map((text) =>
    layOut([typed(lines(text))]),
  )
  expect(settleDocuments(given, layouts, null)).toHaveLength(2)
  expect(given).toEqual(before)
})

describe('day and month that no date proves', () => {
  const open = 'SYSTEM SCAN\nScan date: 03/04/2026 14:05\nOdometer: 31,204 mi'
  const localOf = (texts: readonly string[], zone: string | null = null) => settle(texts, null, zone)[0]?.date?.local

  test('stand as in the United States where miles are written without British spelling (common practice, no source)', () => {
    expect(localOf([open])).toBe('2026-03-04T14:05')
  })

  test.each([
    [
      'by another file that proves the order',
      [open, 'SYSTEM SCAN\nScan date: 25/04/2026 10:00\nOdometer: 31,204 mi'],
      null,
    ],
    ['by the declared zone', [open], 'Europe/London'],
  ])('stand day first %s, though distances are in miles', (_, texts, zone) => {
    expect(localOf(texts, zone)).toBe('2026-04-03T14:05')
  })

  test.each([
    [
      'the other file proves both orders',
      [open, 'SYSTEM SCAN\nScan date: 25/04/2026', 'SYSTEM SCAN\nScan date: 04/25/2026'],
      null,
    ],
    ['another file is written in British English', [open, 'NOTES\nTyres set cold'], null],
    [
      'a zone east of Greenwich is printed',
      ['SYSTEM SCAN\nScan date: 03/04/2026 14:05 +01:00\nOdometer: 31,204 mi'],
      null,
    ],
    ['the place writes both orders', [open], 'America/Toronto'],
  ])('stay open where %s', (_, texts, zone) => {
    expect(localOf(texts, zone)).toBeNull()
  })
})

describe('day and month by the company that a date keeps', () => {
  const open = 'SYSTEM SCAN\nScan date: 03/09/2026 14:05'
  const localOf = (...texts: string[]) => settle([open, ...texts])[0]?.date?.local
  const on = (day: string) => `SYSTEM SCAN\nScan date: ${day} 10:00`

  test('are settled by days of the work that can be read in one way', () => {
    expect(localOf(on('2026-09-01'))).toBe('2026-09-03T14:05')
    expect(localOf(on('10 Mar 2026'))).toBe('2026-03-09T14:05')
  })

  test.each([
    ['no day is near', [on('2026-06-20')]],
    ['days lie near both', [on('2026-09-01'), on('2026-03-10')]],
    ['another date votes the other way', [on('2026-09-01'), on('05/07/2026'), on('2026-05-09')]],
    ['another date fits neither', [on('2026-09-01'), on('12/01/2025')]],
  ])('stay open where %s', (_, texts) => {
    expect(localOf(...texts)).toBeNull()
  })

  test('stay open in months that lie side by side', () => {
    expect(settle(['SYSTEM SCAN\nScan date: 03/04/2026 14:05', on('2026-04-03')])[0]?.date?.local).toBeNull()
  })

  test('are not settled by papers of the office, which may be of long before or after', () => {
    const [scan] = settleDocuments(
      [recognise(open, 'scan'), recognise('INVOICE\nDate: 2026-09-01', 'invoice')],
      [layOut([]), layOut([])],
      null,
    )
    expect(scan?.date?.local).toBeNull()
  })
})

describe('day and month by more signs of the place (common practice, no source)', () => {
  const localOf = (date: string, ...more: string[]) =>
    settle([`SYSTEM SCAN\nScan date: ${date}`, ...more])[0]?.date?.local

  test('stand day first where pounds or euros are charged, or all clocks are set to zones that write so', () => {
    expect(localOf('03/04/2026 14:05', 'NOTES\nTotal £310.00')).toBe('2026-04-03T14:05')
    expect(localOf('03/04/2026 14:05 +09:30')).toBe('2026-04-03T14:05')
  })

  test('stay open in zones that write both, and where two currencies are charged', () => {
    expect(localOf('03/04/2026 14:05 +10:00')).toBeNull()
    expect(localOf('03/04/2026 14:05', 'NOTES\nTotal £310.00 or $400.00')).toBeNull()
  })

  test('stand month first where dollars are charged by the mile, whatever an instrument calls a centre', () => {
    expect(localOf('03/04/2026 14:05', 'NOTES\nAngle at centre\nOdometer 31204 mi\nTotal $310.00')).toBe(
      '2026-03-04T14:05',
    )
    expect(localOf('03/04/2026 14:05', 'NOTES\nAngle at centre\nOdometer 31204 mi')).toBeNull()
  })
})
