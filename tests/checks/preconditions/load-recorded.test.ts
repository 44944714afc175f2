import { describe, expect, it } from 'vitest'
import { loadRecorded as check } from '../../../src/checks/preconditions/load-recorded.ts'
import { generalParameters } from '../general.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeCalibration, makeCondition, makeRecord, packetOfRecords, procedures } from './records.ts'

const parameters = generalParameters('load-recorded')
const messages = (documents: Parameters<typeof packetOfRecords>[0], words: string[] = []) =>
  messagesOf(check, packetOfRecords(documents, words), parameters, procedures)
const others = [makeCondition('light'), makeCondition('tire-pressure'), makeCondition('steering-zero')]

describe('load-recorded', () => {
  it.each(['fuel', 'load', 'ride-height'] as const)('is met by %s, in any record', (about) => {
    expect(messages([makeRecord([makeCondition(about)])])).toEqual(['recorded'])
    expect(messages([makeRecord([]), makeRecord([makeCondition(about)], {}, 'statement')])).toEqual(['recorded'])
  })

  it('is unmet by a ride height out of its limits, by figure or by word', () => {
    const height = { value: 430, unit: 'mm', least: 400, most: 425 }
    const packet = packetOfRecords([
      makeRecord([makeCondition('ride-height', { ...height, text: '430 mm (400-425)' })]),
    ])
    const [outcome] = runCheck(check, packet, parameters, procedures)
    expect(outcome).toMatchObject({ message: 'out', data: { what: 'ride height', text: '430 mm (400-425)' } })
    expect(messages([makeRecord([makeCondition('ride-height', { ...height, value: 425 })])])).toEqual(['recorded'])
    expect(messages([makeRecord([makeCondition('ride-height', { stated: 'out' })])])).toEqual(['out'])
  })

  it('is unmet where a list of conditions leaves it out', () => {
    expect(messages([makeRecord(others)])).toEqual(['left-out'])
  })

  it('is undecided where nothing is listed, not all was read, words were not understood, or nothing asks for it', () => {
    expect(messages([makeRecord([])])).toEqual(['not-recorded'])
    expect(messages([makeRecord(others)], ['Vehicle loaded as found'])).toEqual(['mentioned'])
    const damaged = makeRecord([], { problems: [{ code: 'damaged', message: 'x' }] }, 'statement')
    expect(messages([makeRecord(others), damaged])).toEqual(['maybe-unread'])
    // On the road the general procedures ask for no load.
    const radar = [makeCalibration({ sensor: 'front-radar', method: 'dynamic' })]
    expect(messages([makeRecord(others, { calibrations: radar })])).toEqual(['not-asked'])
  })

  it('asks nothing for a calibration that was not made', () => {
    const skipped = [makeCalibration({ outcome: 'not-performed' })]
    expect(messages([makeRecord(others, { calibrations: skipped })])).toEqual(['not-asked'])
  })
})
