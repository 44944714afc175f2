import { describe, expect, it } from 'vitest'
import { nothingInTheFuture as check } from '../../../src/checks/order/nothing-in-the-future.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { makeDate, makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const reviewed = '2026-10-30'
const withDocument = (rest: Partial<DocumentFacts>) => makePacket([makeDocument('other', 'a.pdf', rest)], { reviewed })
const withDeclaration = (declaration: Partial<Declaration>) => makePacket([], { reviewed, declaration })

describe('nothing-in-the-future', () => {
  it('is met by dates up to the day of review', () => {
    expect(runCheck(check, withDocument({ date: makeDate('2026-10-30T23:59') }))[0]).toMatchObject({
      message: 'past',
      data: { dates: 1, reviewed },
    })
  })

  it('waits until the day has ended everywhere on earth', () => {
    expect(messagesOf(check, withDocument({ date: makeDate('2026-10-31T23:59:59+12:00') }))).toEqual(['past'])
    expect(messagesOf(check, withDocument({ date: makeDate('2026-10-31T11:59:59Z') }))).toEqual(['past'])
    expect(messagesOf(check, withDocument({ date: makeDate('2026-10-31T12:00:00Z') }))).toEqual(['future'])
    expect(messagesOf(check, withDocument({ date: makeDate('2026-10-31') }))).toEqual(['past'])
    expect(messagesOf(check, withDocument({ date: makeDate('2026-11-02') }))).toEqual(['future'])
  })

  it('finds every kind of date, and points at it', () => {
    const late = makeDate('2027-10-20T14:05')
    const calibration = { sensor: 'front-radar', position: null, method: 'dynamic', outcome: 'completed' } as const
    const drive = {
      ended: null,
      durationSeconds: null,
      distanceMetres: null,
      points: 0,
      movingSeconds: null,
      meanSpeedKmh: null,
      maxSpeedKmh: null,
      start: null,
      end: null,
    }
    const cases: [string, Partial<DocumentFacts>][] = [
      ['date', { date: late }],
      ['calibrations.0.started', { calibrations: [{ ...calibration, started: late }] }],
      ['calibrations.0.ended', { calibrations: [{ ...calibration, ended: late }] }],
      [
        'calibrations.0.attempts.0.at',
        { calibrations: [{ ...calibration, attempts: [{ outcome: 'failed', at: late }] }] },
      ],
      ['alignment.ended', { alignment: { values: [], outcome: 'completed', ended: late } }],
      ['drive.started', { drive: { ...drive, started: late } }],
      ['photo.taken', { photo: { taken: late, location: null } }],
      ['statements.0', { statements: [{ about: 'released', text: 'released', date: late }] }],
    ]
    for (const [path, facts] of cases) {
      const [outcome] = runCheck(check, withDocument(facts))
      expect(outcome).toMatchObject({
        message: 'future',
        data: { paths: [path], file: 'a.pdf', future: [late.text], reviewed },
      })
      expect(outcome?.evidence[0]).toMatchObject({ file: 'a.pdf', text: late.text })
    }
  })

  it('finds declared dates, with their zone', () => {
    expect(messagesOf(check, withDeclaration({ release: '2026-11-05' }))).toEqual(['future'])
    expect(
      messagesOf(
        check,
        withDeclaration({ loss: '2026-10-02', release: '2026-10-31T05:59:59', zone: 'America/Denver' }),
      ),
    ).toEqual(['past'])
    expect(messagesOf(check, withDeclaration({ release: '2026-10-31T06:00', zone: 'America/Denver' }))).toEqual([
      'future',
    ])
    expect(messagesOf(check, withDeclaration({ intake: '2026-10-31T12:00:00Z' }))).toEqual(['future'])
    const repairs = [{ what: 'Windshield replaced', started: '2026-10-20', ended: '2026-12-20T15:00' }]
    const [outcome] = runCheck(
      check,
      makePacket([], {
        reviewed,
        declaration: {
          repairs,
          places: { 'repairs.0.ended': { file: 'packet.yaml', text: 'ended: 2026-12-20T15:00' } },
        },
      }),
    )
    expect(outcome).toMatchObject({ message: 'future', data: { paths: ['repairs.0.ended'] } })
    expect(outcome?.evidence).toEqual([{ file: 'packet.yaml', text: 'ended: 2026-12-20T15:00' }])
  })

  it('gives one outcome for each file with late dates', () => {
    const late = makeDate('2027-01-01')
    const photo = { taken: makeDate('2027-01-02'), location: null }
    const packet = makePacket(
      [makeDocument('other', 'a.pdf', { date: late, photo }), makeDocument('post-scan', 'b.pdf', { date: late })],
      { reviewed },
    )
    expect(runCheck(check, packet).map(({ data }) => [data.file, data.future])).toEqual([
      ['a.pdf', ['2027-01-01', '2027-01-02']],
      ['b.pdf', ['2027-01-01']],
    ])
  })

  it('is undecided without any date', () => {
    expect(messagesOf(check, withDocument({}))).toEqual(['no-date'])
  })
})
