import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { calibrationReachedFull as check } from '../../../src/checks/completion/calibration-reached-full.ts'
import { general } from '../general.ts'
import { makeDate, makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { makeReading, packetOf, type RecordParts } from './records.ts'

const { procedures } = general
const messagesOf = (...files: RecordParts[][]) => messages(check, packetOf(...files), {}, procedures)

describe('calibration-reached-full', () => {
  it('is met at 100 %', () => {
    expect(runCheck(check, packetOf([{ progressPercent: 100 }]), {}, procedures)[0]).toMatchObject({
      message: 'full',
      data: { progressPercent: 100 },
      evidence: [{ file: 'cal-1.pdf', text: '100 %' }],
    })
  })

  it('is unmet at any lesser progress, whatever the outcome or method', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 99.9, noNaN: true }),
        fc.constantFrom('completed', 'failed', 'aborted', 'unknown'),
        fc.constantFrom('static', 'dynamic', 'unknown'),
        (progressPercent, outcome, method) => {
          expect(messagesOf([{ progressPercent, outcome, method }])).toEqual(['below-full'])
        },
      ),
    )
  })

  it('reads the attempt that is dated last', () => {
    const attempts = [
      { outcome: 'failed', progressPercent: 45, at: makeDate('2026-10-20T14:05') },
      { outcome: 'completed', progressPercent: 100, at: makeDate('2026-10-20T14:30') },
    ] as const
    expect(messagesOf([{ attempts: [...attempts] }])).toEqual(['full'])
    expect(messagesOf([{ attempts: attempts.toReversed() }])).toEqual(['full'])
  })

  it('asks for the progress of a dynamic calibration, and not of a static one', () => {
    expect(messagesOf([{}])).toEqual(['not-stated'])
    expect(messagesOf([{ method: 'static' }])).toEqual(['not-reported'])
    expect(messagesOf([{ method: 'static' }, { progressPercent: 100 }])).toEqual(['full'])
    expect(
      messages(check, packetOf([{ method: 'static' }]), {}, [
        { basis: 'The shop.', values: { reportsProgress: true } },
      ]),
    ).toEqual(['not-stated'])
  })

  it('does not ask it of a run that failed, was broken off or never began', () => {
    for (const outcome of ['failed', 'aborted', 'not-performed'] as const)
      expect(messagesOf([{ outcome }])).toEqual(['not-reported'])
  })

  it('passes over an unfinished record that a completed one certainly follows', () => {
    const first = { outcome: 'aborted', progressPercent: 45, ran: [0, 5] } as const
    expect(messagesOf([first], [{ progressPercent: 100, ran: [10, 20] }])).toEqual(['full'])
    expect(messagesOf([{ ...first, ran: [30, 35] }], [{ progressPercent: 100, ran: [10, 20] }])).toEqual([
      'below-full',
      'full',
    ])
  })

  it('asks the record for the progress, and not a file that only mentions the calibration', () => {
    const mention = makeDocument('post-scan', 'post.pdf', { calibrations: [makeReading()] })
    const record = makeDocument('calibration', 'record.pdf', { calibrations: [makeReading({ progressPercent: 100 })] })
    expect(messages(check, makePacket([mention, record]), {}, procedures)).toEqual(['full'])
    expect(messages(check, makePacket([mention]), {}, procedures)).toEqual(['not-stated'])
  })

  it('is undecided without a record', () => {
    expect(messagesOf()).toEqual(['no-calibration'])
  })
})
