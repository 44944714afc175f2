import { describe, expect, it } from 'vitest'
import type { CodeReading, DocumentFacts } from '../../src/facts/document.ts'
import { assignScanKinds } from '../../src/packet/scan-kinds.ts'
import { at, calibration, dacet, file } from './invented.ts'

const codes = (count: number): CodeReading[] =>
  Array.from({ length: count }, () => ({ code: 'C1A67', failureType: '54', status: 'active' }))
const scan = (name: string, date: string | null, count = 0): DocumentFacts =>
  file(name, 'scan', {
    instrument: dacet,
    codes: codes(count),
    kindFrom: 'content',
    ...(date !== null && { date: at(date) }),
  })
const work = file('cal.pdf', 'calibration', {
  instrument: dacet,
  calibrations: [calibration({ started: at('2026-05-21T14:00'), ended: at('2026-05-21T14:12') })],
})
const kindsOf = (documents: DocumentFacts[], declaration: Parameters<typeof assignScanKinds>[1] = null) =>
  assignScanKinds(documents, declaration)
    .filter(({ file: name }) => name !== 'cal.pdf')
    .map(({ kind, kindFrom }) => `${kind} ${kindFrom}`)

describe('scans', () => {
  it('before all work and after all calibrations are told by the timeline', () => {
    expect(kindsOf([scan('1.pdf', '2026-05-20T09:00'), scan('2.pdf', '2026-05-21T15:00'), work])).toEqual([
      'pre-scan inferred',
      'post-scan inferred',
    ])
  })

  it('are told one by one', () => {
    expect(kindsOf([scan('1.pdf', '2026-05-20T09:00'), work])).toEqual(['pre-scan inferred'])
    expect(kindsOf([scan('1.pdf', '2026-05-22'), work])).toEqual(['post-scan inferred'])
    expect(kindsOf([scan('1.pdf', '2026-05-21'), work])).toEqual(['scan content'])
    expect(kindsOf([scan('1.pdf', null), work])).toEqual(['scan content'])
  })

  it('in the middle stay scans', () => {
    const days = ['2026-05-19', '2026-05-20', '2026-05-22', '2026-05-23']
    expect(kindsOf([...days.map((day, index) => scan(`${index}.pdf`, day)), work])).toEqual([
      'pre-scan inferred',
      'scan content',
      'scan content',
      'post-scan inferred',
    ])
  })

  it('leave a place that a heading has taken', () => {
    const headed = { ...scan('0.pdf', '2026-05-20T10:00'), kind: 'pre-scan' as const, kindFrom: 'heading' as const }
    expect(kindsOf([headed, scan('1.pdf', '2026-05-20T09:00'), scan('2.pdf', '2026-05-22'), work])).toEqual([
      'pre-scan heading',
      'scan content',
      'post-scan inferred',
    ])
  })

  it('that end before the calibration are still the post-scan when they show that codes were cleared', () => {
    expect(kindsOf([scan('1.pdf', '2026-05-19', 4), scan('2.pdf', '2026-05-20', 1), work])).toEqual([
      'pre-scan inferred',
      'post-scan inferred',
    ])
    expect(kindsOf([scan('1.pdf', '2026-05-19', 4), scan('2.pdf', '2026-05-20', 4), work])).toEqual([
      'pre-scan inferred',
      'scan content',
    ])
  })

  it('without any date are told by their codes', () => {
    expect(kindsOf([scan('1.pdf', null, 0), scan('2.pdf', null, 6)])).toEqual([
      'post-scan inferred',
      'pre-scan inferred',
    ])
    expect(kindsOf([scan('1.pdf', null, 6), scan('2.pdf', null, 6)])).toEqual(['scan content', 'scan content'])
  })

  it('in a certain order need no work between them', () => {
    expect(kindsOf([scan('1.pdf', '2026-05-19', 2), scan('2.pdf', '2026-05-23', 2)])).toEqual([
      'pre-scan inferred',
      'post-scan inferred',
    ])
  })
})

describe('declared kinds', () => {
  const declare = (kinds: Record<string, DocumentFacts['kind']>) => ({
    files: Object.fromEntries(Object.entries(kinds).map(([name, kind]) => [name, { kind }])),
    places: {},
  })

  it('win, by path or by base name', () => {
    const documents = [scan('in/a.pdf', '2026-05-20'), scan('in/b.pdf', '2026-05-22'), work]
    expect(kindsOf(documents, declare({ 'a.pdf': 'post-scan', 'in/b.pdf': 'pre-scan' }))).toEqual([
      'post-scan declared',
      'pre-scan declared',
    ])
    expect(kindsOf(documents, declare({ 'a.pdf': 'scan', 'in/b.pdf': 'other' }))).toEqual([
      'scan declared',
      'other declared',
    ])
  })
})
