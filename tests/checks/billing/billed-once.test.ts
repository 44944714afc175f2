import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { billedOnce as check } from '../../../src/checks/billing/billed-once.ts'
import type { CalibrationReading, OperationReading } from '../../../src/facts/document.ts'
import { makeDate, makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { camera, makeBill, makeContent, makeRecord, radar, shopLines, supplierLines, unnamed } from './bills.ts'

type Line = Partial<OperationReading>
const corner: Line = { text: 'Corner radar calibration', kind: 'calibration', calls: ['corner-radar'], amount: 210 }
const { amount: _, ...unpriced } = camera
const say = (...lines: Line[]) => messagesOf(check, makePacket([makeBill('invoice.pdf', lines)]))
const subletOf = (line: Line): Line => ({ ...line, text: `Sublet: ${line.text}` })

describe('billed-once: one invoice', () => {
  it.each<[string, Line[], string[]]>([
    ['each once', [radar, camera], ['once']],
    ['one line twice', [radar, radar], ['twice']],
    ['in fewer words', [radar, { ...radar, text: 'Radar calibration, dynamic' }], ['twice']],
    ['own and sublet', [camera, subletOf(camera)], ['twice']],
    ['sublet alone', [radar, subletOf(camera)], ['once']],
    ['static and dynamic', [camera, { ...camera, text: 'Front camera, dynamic', method: 'dynamic' }], ['once']],
    ['one that names no method', [camera, { ...camera, text: 'Camera', method: 'unknown' }], ['maybe-twice']],
    ['in other words', [camera, { ...camera, text: 'Lane camera adjustment' }], ['maybe-twice']],
    ['labour and set-up', [camera, { ...camera, text: 'Target set-up for front camera calibration' }], ['once']],
    ['a line that costs nothing', [camera, { ...camera, amount: 0 }], ['once']],
    ['a line without a price', [camera, unpriced], ['once']],
    ['a line taken back', [camera, camera, { ...camera, amount: -290 }], ['once']],
    ['two corners', [corner, corner], ['once']],
    ['three corners', [corner, corner, corner], ['twice']],
    [
      'left twice',
      [
        { ...corner, position: 'left' },
        { ...corner, position: 'left' },
      ],
      ['twice'],
    ],
    [
      'left and right',
      [
        { ...corner, position: 'left' },
        { ...corner, position: 'right' },
      ],
      ['once'],
    ],
    ['no sensor named', [unnamed, unnamed], ['nothing-billed']],
  ])('%s: %#', (_, lines, messages) => {
    expect(say(...lines)).toEqual(messages)
  })

  it('points at both lines', () => {
    const [outcome] = runCheck(check, makePacket([makeBill('invoice.pdf', [radar, camera, subletOf(camera)])]))
    expect(outcome?.evidence.map(({ text }) => text)).toEqual([camera.text, `Sublet: ${camera.text}`])
    expect(outcome?.data).toMatchObject({ work: 'static calibration of front camera', amount: 290 })
  })

  it('asks a person where as many runs are recorded as are charged', () => {
    const run = (ended: string): Partial<CalibrationReading> => ({ ended: makeDate(ended) })
    const runs = [makeRecord(run('2026-05-04T10:00')), makeRecord(run('2026-05-06T10:00'), 'again.pdf')]
    const bill = makeBill('invoice.pdf', [radar, radar])
    expect(messagesOf(check, makePacket([...runs, bill]))).toEqual(['several-runs'])
    expect(messagesOf(check, makePacket([makeRecord(run('2026-05-04T10:00')), bill]))).toEqual(['twice'])
  })

  it('takes no estimate for a bill', () => {
    const operations = [radar, radar].map((line) => ({ ...line, billed: false }) as OperationReading)
    const estimate = makeDocument('estimate', 'estimate.pdf', { operations })
    expect(messagesOf(check, makePacket([estimate]))).toEqual(['nothing-billed'])
  })

  it('tells of each line beyond the first, in whatever order they stand', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5 }), fc.nat(5), (times, at) => {
        const lines: Line[] = Array.from({ length: times }, () => radar)
        lines.splice(Math.min(at, times), 0, camera)
        expect(say(...lines)).toEqual(times === 1 ? ['once'] : Array.from({ length: times - 1 }, () => 'twice'))
      }),
    )
  })
})

describe('billed-once: several invoices', () => {
  const content = makeContent({ 'invoice.pdf': shopLines, 'other.pdf': supplierLines })
  const judge = (shop: Line[], supplier: Line[], known = true) =>
    messagesOf(
      check,
      makePacket([makeBill('invoice.pdf', shop), makeBill('other.pdf', supplier)], { content: known ? content : {} }),
    )

  it('counts a charge that the shop passes on once', () => {
    expect(judge([radar, subletOf(camera)], [camera])).toEqual(['once'])
    expect(judge([radar, camera], [camera])).toEqual(['once'])
    expect(judge([radar, subletOf(unnamed)], [camera])).toEqual(['once'])
  })

  it('counts it twice where the shop charges it as its own besides', () => {
    expect(judge([camera, subletOf(unnamed)], [camera])).toEqual(['own-and-sublet'])
    expect(judge([camera, subletOf(camera)], [camera])).toEqual(['twice'])
    const more = { ...radar, amount: 400 }
    expect(judge([camera, subletOf(unnamed)], [camera, more])).toEqual(['maybe-twice'])
    expect(judge([camera, subletOf({ ...unnamed, amount: 690 })], [camera, more])).toEqual(['own-and-sublet'])
  })

  it('asks a person where neither invoice is written to the other firm', () => {
    expect(judge([radar, camera], [camera], false)).toEqual(['in-two-invoices'])
  })
})
