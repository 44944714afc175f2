import { describe, expect, it } from 'vitest'
import { calibrationRecorded } from '../../../src/checks/completeness/calibration-recorded.ts'
import { calibratedSensorIsTheOne as check } from '../../../src/checks/completion/calibrated-sensor-is-the-one.ts'
import type { CalibrationReading, OperationReading } from '../../../src/facts/document.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { makeDate, makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { makeReading } from './records.ts'

type Required = NonNullable<Declaration['calibrations']>[number]

function packetWith(
  required: Required[],
  recorded: Partial<CalibrationReading>[],
  operations: OperationReading[] = [],
) {
  const record = makeDocument('calibration', 'record.pdf', { calibrations: recorded.map(makeReading) })
  const invoice = makeDocument('invoice', 'invoice.pdf', { operations })
  return makePacket(operations.length > 0 ? [record, invoice] : [record], { declaration: { calibrations: required } })
}
const messagesOf = (...parts: Parameters<typeof packetWith>) => messages(check, packetWith(...parts))
const left = { sensor: 'corner-radar', position: 'left', method: 'static' } as const
const right = { ...left, position: 'right' } as const
const radar = { sensor: 'front-radar', method: 'dynamic' } as const
const camera = { sensor: 'front-camera', method: 'static' } as const

describe('calibrated-sensor-is-the-one', () => {
  it('is met where what is required was calibrated, and more besides', () => {
    expect(messagesOf([left], [left])).toEqual(['same'])
    expect(messagesOf([left], [left, right, camera])).toEqual(['same'])
    expect(messagesOf([left], [{ ...left, position: 'rear left' }])).toEqual(['same'])
  })

  it('is unmet where the other side was calibrated, and calibration-recorded then leaves it to this check', () => {
    const packet = packetWith([left], [right])
    expect(runCheck(check, packet)[0]).toMatchObject({
      message: 'other-position',
      data: {
        required: 'static calibration of the left corner radar',
        calibrated: 'right corner radar, static',
        file: 'record.pdf',
      },
    })
    expect(messages(calibrationRecorded, packet)).toEqual(['mixed-up'])
  })

  it('is unmet where a sensor was calibrated that is easily taken for the required one', () => {
    const packet = packetWith([radar], [camera])
    expect(messages(check, packet)).toEqual(['other-sensor'])
    expect(messages(calibrationRecorded, packet)).toEqual(['mixed-up'])
  })

  it('takes the cameras that look ahead for one another', () => {
    expect(messagesOf([camera], [{ sensor: 'surround-camera', method: 'static' }])).toEqual(['other-sensor'])
  })

  it('looks at each method that is declared or charged by itself', () => {
    const both: Required[] = [camera, { ...camera, method: 'dynamic' }]
    const surround = { sensor: 'surround-camera', method: 'static' } as const
    const dynamic = { ...camera, method: 'dynamic' } as const
    expect(messagesOf(both, [dynamic, surround])).toEqual(['other-sensor'])
    expect(messagesOf(both, [dynamic, { ...surround, method: 'dynamic' }])).toEqual(['same'])
    const lines = (['static', 'dynamic'] as const).map((method): OperationReading => {
      return {
        text: `Front camera calibration, ${method}`,
        calls: ['front-camera'],
        method,
        kind: 'calibration',
        billed: true,
      }
    })
    expect(runCheck(check, packetWith([], [dynamic, surround], lines))[0]).toMatchObject({
      message: 'other-sensor',
      data: { required: 'static calibration of the front camera', calibrated: 'surround camera, static' },
    })
  })

  describe('is unmet where one side was calibrated twice and the required one has no record', () => {
    const at = (time: string) => ({ ...left, started: makeDate(`2026-05-21T${time}`) })

    it('and leaves the missing record to calibration-recorded', () => {
      const packet = packetWith([left, right], [at('13:10'), at('14:02')])
      expect(runCheck(check, packet)[0]).toMatchObject({
        message: 'recorded-twice',
        data: { required: 'static calibration of the right corner radar', calibrated: 'left corner radar, static' },
      })
      expect(messages(calibrationRecorded, packet)).toEqual(['recorded', 'other-method'])
    })

    it('or a sensor that is easily taken for it', () => {
      const surround = { ...at('13:10'), sensor: 'surround-camera', position: null } as const
      const wanted: Required[] = [camera, { sensor: 'surround-camera', method: 'static' }]
      expect(messagesOf(wanted, [surround, { ...surround, started: makeDate('2026-05-21T14:02') }])).toEqual([
        'recorded-twice',
      ])
      expect(messagesOf(wanted, [surround])).toEqual(['same'])
    })

    it('but not where two papers tell of one run, of two ways, or of a run that failed first', () => {
      expect(messagesOf([left, right], [at('13:10'), at('13:12')])).toEqual(['same'])
      expect(messagesOf([left, right], [left, left])).toEqual(['same'])
      expect(messagesOf([left, right], [at('13:10'), { ...at('14:02'), method: 'dynamic' }])).toEqual(['same'])
      expect(messagesOf([left, right], [{ ...at('13:10'), outcome: 'failed' }, at('14:02')])).toEqual(['same'])
      expect(messagesOf([left, right], [at('13:10'), at('14:02'), right])).toEqual(['same'])
    })

    it('and is undecided where a file that was not read may be the record', () => {
      const packet = packetWith([left, right], [at('13:10'), at('14:02')])
      const unread = makeDocument('calibration', 'right.pdf', { problems: [{ code: 'encrypted', message: 'locked' }] })
      expect(messages(check, { ...packet, documents: [unread, ...packet.documents] })).toEqual(['maybe-unread'])
    })
  })

  it('makes no mix-up of a missing record beside one that something asks for', () => {
    expect(messagesOf([radar, camera], [camera])).toEqual(['same'])
    const windshield = { text: 'Windshield, replace', calls: ['front-camera'], billed: true, kind: 'repair' } as const
    expect(messagesOf([radar], [camera], [{ ...windshield, calls: ['front-camera'] }])).toEqual(['same'])
    expect(messages(calibrationRecorded, packetWith([radar, camera], [camera]))).toEqual(['missing', 'recorded'])
  })

  it('makes none of sensors that nobody takes for each other, or of another method', () => {
    expect(messagesOf([radar], [{ sensor: 'steering-angle', method: 'initialisation' }])).toEqual(['same'])
    expect(messagesOf([radar], [{ ...radar, method: 'static' }])).toEqual(['same'])
  })

  it('counts completed calibrations only', () => {
    expect(messagesOf([left], [{ ...right, outcome: 'failed' }])).toEqual(['same'])
  })

  it('is undecided where a file that was not read may be the record', () => {
    const packet = packetWith([left], [right])
    const unread = makeDocument('calibration', 'left.pdf', { problems: [{ code: 'encrypted', message: 'locked' }] })
    expect(messages(check, { ...packet, documents: [unread, ...packet.documents] })).toEqual(['maybe-unread'])
  })

  it('is undecided where nothing is required or recorded', () => {
    expect(messagesOf([], [left])).toEqual(['nothing-required'])
    expect(messagesOf([left], [])).toEqual(['no-calibration'])
  })
})
