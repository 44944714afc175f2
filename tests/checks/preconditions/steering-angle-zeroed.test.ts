/** 3 degrees without printed limits: common practice, no source. */
import { describe, expect, it } from 'vitest'
import { steeringAngleZeroed as check } from '../../../src/checks/preconditions/steering-angle-zeroed.ts'
import type { OperationReading } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeCalibration, makeCondition, makeRecord, packetOfRecords, procedures } from './records.ts'

const parameters = generalParameters('steering-angle-zeroed')
const messages = (documents: Parameters<typeof packetOfRecords>[0]) =>
  messagesOf(check, packetOfRecords(documents), parameters, procedures)
const alignment = makeRecord([], { alignment: { values: [], outcome: 'completed' } }, 'alignment')
const zeroed = (outcome: 'completed' | 'failed') =>
  makeRecord([], { calibrations: [makeCalibration({ sensor: 'steering-angle', method: 'initialisation', outcome })] })
const angle = (value: number, rest = {}) =>
  makeRecord([makeCondition('steering-zero', { value, unit: 'deg', ...rest })])
const invoice = (text: string, kind: OperationReading['kind'] = 'repair') =>
  makeDocument('invoice', 'invoice.pdf', { operations: [{ text, kind, calls: [], billed: true }] })

describe('steering-angle-zeroed', () => {
  it('is met by a completed zero setting, and by an angle or words that show it straight', () => {
    expect(messages([alignment, zeroed('completed')])).toEqual(['set'])
    expect(messages([alignment, angle(0.3, { least: -2, most: 2 })])).toEqual(['straight'])
    expect(messages([alignment, makeRecord([makeCondition('steering-zero')])])).toEqual(['straight'])
  })

  it.each([
    [2.1, { least: -2, most: 2 }, 'out'],
    [-2.1, { least: -2, most: 2 }, 'out'],
    [3.5, { most: 5 }, 'straight'],
    [0, { stated: 'out' }, 'out'],
    [3, {}, 'straight'],
    [-3.1, {}, 'too-far'],
  ])('%d degrees with %j: %s', (value, rest, message) => {
    expect(messages([angle(value, rest)])).toEqual([message])
  })

  it('a figure out of limits is not made good by a zero setting', () => {
    expect(messages([zeroed('completed'), angle(6.4)].map((record, i) => ({ ...record, file: `${i}.pdf` })))).toEqual([
      'too-far',
    ])
  })

  it('is unmet by an alignment or a disconnected battery after which nothing is recorded', () => {
    const [outcome] = runCheck(check, packetOfRecords([alignment, zeroed('failed')]), parameters, procedures)
    expect(outcome).toMatchObject({
      message: 'not-recorded',
      data: { because: 'The wheel alignment of alignment.pdf' },
    })
    expect(messages([invoice('Four wheel alignment', 'alignment')])).toEqual(['not-recorded'])
    expect(messages([invoice('Battery, disconnect and reconnect')])).toEqual(['not-recorded'])
    const declared = makePacket([], { declaration: { repairs: [{ what: 'Battery replaced' }] } })
    expect(messagesOf(check, declared, parameters, procedures)).toEqual(['not-recorded'])
  })

  it('is unmet where a procedure asks for it', () => {
    const asking = [
      { basis: 'Invented.', sensors: ['front-camera' as const], values: { preparation: ['steering-angle' as const] } },
    ]
    const [outcome] = runCheck(check, packetOfRecords([makeRecord([])]), parameters, asking)
    expect(outcome).toMatchObject({ message: 'not-recorded', sources: ['Invented.'] })
  })

  it('is undecided where nothing calls for it, or a record was not read', () => {
    expect(messages([makeRecord([])])).toEqual(['not-applicable'])
    expect(messages([invoice('Battery support')])).toEqual(['not-applicable'])
    const damaged = makeRecord([], { problems: [{ code: 'damaged', message: 'x' }] })
    expect(messages([alignment, damaged])).toEqual(['maybe-unread'])
  })
})
