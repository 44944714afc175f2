import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { driveDurationPlausible as check } from '../../../src/checks/drive/drive-duration-plausible.ts'
import { general } from '../general.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { type LogParts, packetOfDrives, type RunParts } from './drives.ts'

// The general rulebook's procedures; common practice, no source: a front radar learns in 5 to 15 minutes, other sensors in 5 to
// 30; 2 to 90 are possible.
const { procedures } = general
const messagesOf = (run: RunParts, ...logs: LogParts[]) => messages(check, packetOfDrives([run], logs), {}, procedures)

describe('drive-duration-plausible', () => {
  it('is met by a usual duration, stated or between start and end', () => {
    expect(messagesOf({ durationSeconds: 842 })).toEqual(['usual'])
    const [outcome] = runCheck(check, packetOfDrives([{ started: '14:05', ended: '14:17' }]), {}, procedures)
    expect(outcome).toMatchObject({
      message: 'usual',
      data: { source: 'start and end', minutes: 12, leastMinutes: 5, mostMinutes: 15 },
    })
    expect(outcome?.sources?.join()).toContain('a front radar usually learns in 5 to 15 minutes')
    expect(outcome?.evidence.map((place) => place.text)).toEqual(['14:05', '14:17'])
  })

  it('is unmet by what is not possible', () => {
    expect(messagesOf({ durationSeconds: 45 })).toEqual(['impossible'])
    expect(messagesOf({ started: '10:00:00', ended: '12:00:00' })).toEqual(['impossible'])
    expect(messagesOf({ started: '12:00:00', ended: '11:50:00' })).toEqual(['impossible'])
  })

  it('is unmet, in weaker words, by what is not usual for the sensor', () => {
    expect(messagesOf({ durationSeconds: 185 })).toEqual(['unusual'])
    expect(messagesOf({ durationSeconds: 1500 })).toEqual(['unusual'])
    expect(messagesOf({ durationSeconds: 1500, sensor: 'front-camera' })).toEqual(['usual'])
  })

  it('leaves to printed minutes what they leave open', () => {
    expect(messagesOf({ started: '14:05', ended: '14:10' })).toEqual(['usual'])
    expect(messagesOf({ started: '14:05', ended: '14:09' })).toEqual(['unusual'])
    expect(messagesOf({ started: '14:05', ended: '14:21' })).toEqual(['unusual'])
  })

  it('prefers what is stated to start and end, and both to a log', () => {
    expect(messagesOf({ durationSeconds: 600, started: '14:05', ended: '14:50' })).toEqual(['usual'])
    expect(messagesOf({ durationSeconds: 600 }, { durationSeconds: 60 })).toEqual(['usual'])
  })

  it('lets a log show that a drive was too short, and never that it was too long', () => {
    expect(messagesOf({}, { durationSeconds: 100 })).toEqual(['impossible'])
    expect(messagesOf({}, { durationSeconds: 200 })).toEqual(['unusual'])
    expect(messagesOf({}, { durationSeconds: 700 })).toEqual(['usual'])
    expect(messagesOf({}, { started: '14:00', ended: '14:40' })).toEqual(['log-too-wide'])
    expect(messagesOf({}, { durationSeconds: 9000 })).toEqual(['log-too-wide'])
  })

  it('allows for several attempts in one record', () => {
    const attempts = [{ outcome: 'failed' }, { outcome: 'completed' }] as const
    expect(messagesOf({ durationSeconds: 1500, attempts: [...attempts] })).toEqual(['several-runs'])
    expect(messagesOf({ durationSeconds: 60, attempts: [...attempts] })).toEqual(['impossible'])
  })

  it('is undecided where nothing tells the length, and does not apply to runs that did not end or did not drive', () => {
    expect(messagesOf({})).toEqual(['not-stated'])
    expect(messagesOf({ started: '14:05' })).toEqual(['not-stated'])
    expect(messagesOf({ durationSeconds: 60, outcome: 'aborted' })).toEqual(['no-dynamic'])
    expect(messagesOf({ durationSeconds: 60, method: 'static' })).toEqual(['no-dynamic'])
    expect(messages(check, packetOfDrives([]), {}, procedures)).toEqual(['no-dynamic'])
  })

  it('takes what a procedure says of this vehicle before what is usual, and is undecided where none says anything', () => {
    const packet = packetOfDrives([{ durationSeconds: 2701 }])
    const own = {
      basis: 'Invented for a test.',
      methods: ['dynamic' as const],
      values: { usualSeconds: [2400, 3000] as const },
    }
    expect(messages(check, packet, {}, procedures)).toEqual(['unusual'])
    expect(messages(check, packet, {}, [...procedures, own])).toEqual(['usual'])
    expect(messages(check, packet, {}, [])).toEqual(['no-procedure'])
  })

  it('orders durations: impossible, unusual, usual, unusual, impossible', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 9000 }), (durationSeconds) => {
        // Whole minutes may be off by half a minute; this property is about the others.
        fc.pre(durationSeconds % 60 !== 0)
        const possible = durationSeconds >= 120 && durationSeconds <= 5400
        const usual = durationSeconds >= 300 && durationSeconds <= 900
        expect(messagesOf({ durationSeconds })).toEqual([usual ? 'usual' : possible ? 'unusual' : 'impossible'])
      }),
    )
  })
})
