import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { billedIsEvidenced as check } from '../../../src/checks/billing/billed-is-evidenced.ts'
import type { CalibrationReading, DocumentFacts, OperationReading } from '../../../src/facts/document.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'

const radarLine: Partial<OperationReading> = {
  text: 'Front radar calibration',
  kind: 'calibration',
  calls: ['front-radar'],
}
const preScanLine: Partial<OperationReading> = { text: 'Pre-repair scan', kind: 'scan', scan: 'before' }
const alignmentLine: Partial<OperationReading> = { text: 'Four-wheel alignment', kind: 'alignment' }

function invoice(...lines: Partial<OperationReading>[]): DocumentFacts {
  const operations = lines.map((line) => ({ text: '', calls: [], billed: true, kind: 'other' as const, ...line }))
  const places = operations.map(({ text }, index) => [`operations.${index}`, [makePlace(text)]])
  return makeDocument('invoice', 'invoice.pdf', { operations, evidence: Object.fromEntries(places) })
}
function record(parts: Partial<CalibrationReading> = {}, file = 'record.pdf'): DocumentFacts {
  const reading = { sensor: 'front-radar', position: null, method: 'dynamic', outcome: 'completed', ...parts } as const
  const evidence = { 'calibrations.0.outcome': [makePlace(`Result ${reading.outcome}`)] }
  return makeDocument('calibration', file, { calibrations: [reading], evidence })
}
const messagesOf = (...documents: DocumentFacts[]) => messages(check, makePacket(documents))

describe('billed-is-evidenced: calibrations', () => {
  it('is met by a record of the sensor, and points at line and record', () => {
    const [outcome] = runCheck(check, makePacket([invoice({ ...radarLine, amount: 325 }), record()]))
    expect(outcome).toMatchObject({ message: 'evidenced', data: { line: 'Front radar calibration', amount: 325 } })
    expect(outcome?.evidence.map((place) => place.text)).toEqual(['Front radar calibration', 'Result completed'])
  })

  it('is unmet without one, or with one of another sensor', () => {
    expect(messagesOf(invoice(radarLine))).toEqual(['not-evidenced'])
    const [outcome] = runCheck(check, makePacket([invoice(radarLine), record({ sensor: 'front-camera' })]))
    expect(outcome).toMatchObject({ message: 'not-evidenced', data: { missing: ['front radar calibration'] } })
    expect(outcome?.evidence).toMatchObject([{ file: 'invoice.pdf', text: 'Front radar calibration' }])
  })

  it('takes a failed attempt for work done, and "not performed" for none', () => {
    expect(messagesOf(invoice(radarLine), record({ outcome: 'failed' }))).toEqual(['evidenced'])
    expect(messagesOf(invoice(radarLine), record({ outcome: 'not-performed' }))).toEqual(['not-evidenced'])
  })

  it('asks for the method where the line names one', () => {
    const line = { ...radarLine, method: 'static' as const }
    expect(messagesOf(invoice(line), record({ method: 'static' }))).toEqual(['evidenced'])
    expect(messagesOf(invoice(line), record({ method: 'unknown' }))).toEqual(['evidenced'])
    expect(messagesOf(invoice(line), record({ method: 'dynamic' }))).toEqual(['not-evidenced'])
    const both = { ...radarLine, text: 'Front radar, static and dynamic calibration' }
    expect(messagesOf(invoice(both), record({ method: 'static' }))).toEqual(['not-evidenced'])
    expect(messagesOf(invoice(both), record({ method: 'static' }), record({}, 'road.pdf'))).toEqual(['evidenced'])
  })

  it('asks for every sensor of a line', () => {
    const line = { ...radarLine, calls: ['front-radar', 'front-camera'] as const }
    const packet = makePacket([invoice({ ...line, calls: [...line.calls] }), record()])
    expect(runCheck(check, packet)[0]).toMatchObject({
      message: 'not-evidenced',
      data: { missing: ['front camera calibration'] },
    })
  })

  it('asks for both sides where the line names both, unless the record tells of none', () => {
    const corner = { sensor: 'corner-radar', method: 'static' } as const
    const line = { text: 'Corner radars, left and right', kind: 'calibration', calls: ['corner-radar'] } as const
    const bill = invoice({ ...line, calls: [...line.calls] })
    const [outcome] = runCheck(check, makePacket([bill, record({ ...corner, position: 'left' })]))
    expect(outcome).toMatchObject({ message: 'not-evidenced', data: { missing: ['right corner radar calibration'] } })
    const sides = [record({ ...corner, position: 'left' }), record({ ...corner, position: 'right' }, 'right.pdf')]
    expect(messagesOf(bill, ...sides)).toEqual(['evidenced'])
    expect(messagesOf(bill, record(corner))).toEqual(['evidenced'])
  })

  it('matches a side with the same side at either end', () => {
    const line: Partial<OperationReading> = { ...radarLine, calls: ['corner-radar'], position: 'left' }
    expect(messagesOf(invoice(line), record({ sensor: 'corner-radar', position: 'rear left' }))).toEqual(['evidenced'])
    expect(messagesOf(invoice(line), record({ sensor: 'corner-radar', position: 'rear right' }))).toEqual([
      'not-evidenced',
    ])
  })

  it('says so where there is only somebody’s word', () => {
    const statement = makeDocument('statement', 'letter.pdf', { calibrations: record().calibrations ?? [] })
    expect(messagesOf(invoice(radarLine), statement)).toEqual(['word-only'])
    const said = { ...invoice(radarLine), kind: 'statement' as const, file: 'letter.pdf' }
    expect(messagesOf(invoice(radarLine), said)).toEqual(['word-only'])
    expect(messagesOf(invoice(radarLine), makeDocument('photo', 'target front radar.jpg'))).toEqual(['word-only'])
    expect(messagesOf(invoice(radarLine), makeDocument('photo', 'IMG_0031.jpg'))).toEqual(['not-evidenced'])
    const drive = makeDocument('drive-log', 'drive.gpx', {
      drive: {
        started: null,
        ended: null,
        durationSeconds: 700,
        distanceMetres: null,
        points: 700,
        movingSeconds: null,
        meanSpeedKmh: null,
        maxSpeedKmh: null,
        start: null,
        end: null,
      },
    })
    expect(messagesOf(invoice({ ...radarLine, method: 'dynamic' }), drive)).toEqual(['word-only'])
    expect(messagesOf(invoice({ ...radarLine, method: 'static' }), drive)).toEqual(['not-evidenced'])
  })

  it('says so where the record may stand in a file that was not read', () => {
    for (const [kind, code] of [
      ['calibration', 'no-text-layer'],
      ['other', 'encrypted'],
      ['other', 'timed-out'],
      ['other', 'damaged'],
    ] as const) {
      const unread = makeDocument(kind, '0007.pdf', { problems: [{ code, message: 'not read' }] })
      const [outcome] = runCheck(check, makePacket([invoice(radarLine), unread]))
      expect(outcome).toMatchObject({ message: 'maybe-unread', data: { unread: ['0007.pdf'] } })
      expect(outcome?.evidence.map((place) => place.file)).toEqual(['invoice.pdf', '0007.pdf'])
    }
  })

  it('does not take an unread file for a record that its name speaks against', () => {
    const unread = makeDocument('other', '4 wheel.pdf', { problems: [{ code: 'encrypted', message: 'locked' }] })
    expect(messagesOf(invoice(radarLine, alignmentLine), unread)).toEqual(['not-evidenced', 'maybe-unread'])
    const paper = { ...unread, file: 'claims/wheel/scan0007.pdf' }
    expect(messagesOf(invoice(radarLine, alignmentLine), paper)).toEqual(['maybe-unread', 'maybe-unread'])
  })

  it('is undecided about a line that names no sensor, unless some calibration is recorded', () => {
    const line = { ...radarLine, text: 'Calibration', calls: [] }
    expect(messagesOf(invoice(line))).toEqual(['sensor-not-named'])
    expect(messagesOf(invoice(line), record())).toEqual(['evidenced'])
  })

  it('takes the steering angle in an alignment record for the record of its zero setting', () => {
    const line: Partial<OperationReading> = {
      text: 'Steering angle reset',
      kind: 'calibration',
      calls: ['steering-angle'],
    }
    const value = { name: 'Steering angle at rest', value: 0.2, unit: 'deg', stated: null }
    const alignment = makeDocument('alignment', 'rack.pdf', { alignment: { values: [value], outcome: 'completed' } })
    expect(messagesOf(invoice(line), alignment)).toEqual(['evidenced'])
    expect(messagesOf(invoice(line), record())).toEqual(['not-evidenced'])
  })
})

describe('billed-is-evidenced: scans and alignment', () => {
  it('asks for the scan that the line names', () => {
    expect(messagesOf(invoice(preScanLine), makeDocument('pre-scan', 'pre.pdf'))).toEqual(['evidenced'])
    expect(messagesOf(invoice(preScanLine), makeDocument('post-scan', 'post.pdf'))).toEqual(['not-evidenced'])
    expect(messagesOf(invoice({ ...preScanLine, scan: 'after' }), makeDocument('post-scan', 'post.pdf'))).toEqual([
      'evidenced',
    ])
    const { scan: _, ...any } = preScanLine
    expect(messagesOf(invoice({ ...any, text: 'Scan' }), makeDocument('post-scan', 'post.pdf'))).toEqual(['evidenced'])
  })

  it('asks for both where the line names both', () => {
    const { scan: _, ...line } = { ...preScanLine, text: 'Pre and post scan' }
    const pre = makeDocument('pre-scan', 'pre.pdf')
    expect(messagesOf(invoice(line), pre)).toEqual(['not-evidenced'])
    expect(messagesOf(invoice(line), pre, makeDocument('post-scan', 'post.pdf'))).toEqual(['evidenced'])
  })

  it('asks for an alignment record', () => {
    expect(messagesOf(invoice(alignmentLine))).toEqual(['not-evidenced'])
    expect(messagesOf(invoice(alignmentLine), makeDocument('alignment', 'rack.pdf'))).toEqual(['evidenced'])
  })
})

describe('billed-is-evidenced: bills', () => {
  it('takes neither an estimate nor a line that is not charged for a bill', () => {
    expect(messagesOf({ ...invoice(radarLine), kind: 'estimate' })).toEqual(['no-invoice'])
    expect(messagesOf(invoice({ ...radarLine, billed: false }))).toEqual(['nothing-billed'])
    expect(messagesOf(invoice({ text: 'Front bumper cover', kind: 'repair', calls: ['front-radar'] }))).toEqual([
      'nothing-billed',
    ])
  })

  it('is undecided without an invoice, or with one that was not read', () => {
    expect(messagesOf(record())).toEqual(['no-invoice'])
    const unread = makeDocument('invoice', 'invoice.pdf', {
      problems: [{ code: 'no-text-layer', message: 'a picture' }],
    })
    expect(messagesOf(unread)).toEqual(['invoice-not-read'])
  })

  it('answers line by line, in the order of the bill', () => {
    const lines = [radarLine, preScanLine, alignmentLine]
    fc.assert(
      fc.property(fc.shuffledSubarray(lines), fc.boolean(), fc.boolean(), fc.boolean(), (billed, a, b, c) => {
        fc.pre(billed.length > 0)
        const documents = [
          ...(a ? [record()] : []),
          ...(b ? [makeDocument('pre-scan', 'pre.pdf')] : []),
          ...(c ? [makeDocument('alignment', 'rack.pdf')] : []),
        ]
        const held = [a, b, c]
        const expected = billed.map((line) => (held[lines.indexOf(line)] ? 'evidenced' : 'not-evidenced'))
        expect(messagesOf(invoice(...billed), ...documents)).toEqual(expected)
      }),
    )
  })
})
