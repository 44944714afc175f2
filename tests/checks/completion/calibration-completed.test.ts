import { describe, expect, it } from 'vitest'
import { calibrationCompleted as check } from '../../../src/checks/completion/calibration-completed.ts'
import { makeDate, makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeReading, packetOf } from './records.ts'

describe('calibration-completed', () => {
  it('is met by a completed record', () => {
    expect(runCheck(check, packetOf([{}]))[0]).toMatchObject({
      message: 'completed',
      data: { calibration: 'front radar, dynamic', file: 'cal-1.pdf' },
      evidence: [{ file: 'cal-1.pdf', text: 'Result: completed' }],
    })
  })

  it('is unmet by any other outcome, one message each', () => {
    for (const outcome of ['failed', 'aborted', 'not-performed'] as const)
      expect(messagesOf(check, packetOf([{ outcome }]))).toEqual([outcome])
    expect(messagesOf(check, packetOf([{ outcome: 'unknown' }]))).toEqual(['not-stated'])
  })

  it('believes the attempt that is dated last, whatever the heading says', () => {
    const early = { outcome: 'completed', at: makeDate('2026-10-20T14:05') } as const
    const late = { outcome: 'failed', at: makeDate('2026-10-20T14:30') } as const
    expect(messagesOf(check, packetOf([{ attempts: [early, late] }]))).toEqual(['failed'])
    expect(messagesOf(check, packetOf([{ attempts: [late, early] }]))).toEqual(['failed'])
    const mended = { outcome: 'completed', at: makeDate('2026-10-20T14:50') } as const
    expect(messagesOf(check, packetOf([{ outcome: 'failed', attempts: [late, mended] }]))).toEqual(['completed'])
  })

  it('believes the heading where attempts are not dated, and the last attempt where there is no heading', () => {
    const attempts = [{ outcome: 'completed' }, { outcome: 'failed' }] as const
    expect(messagesOf(check, packetOf([{ attempts: [...attempts] }]))).toEqual(['completed'])
    expect(messagesOf(check, packetOf([{ outcome: 'unknown', attempts: [...attempts] }]))).toEqual(['failed'])
  })

  it('passes over a failed record that a completed one certainly follows', () => {
    const failed = { outcome: 'failed', ran: [0, 5] } as const
    expect(messagesOf(check, packetOf([failed], [{ ran: [10, 22] }]))).toEqual(['completed'])
    expect(messagesOf(check, packetOf([{ outcome: 'failed' }, {}]))).toEqual(['completed'])
  })

  it('does not pass over a failed record that came last, or of another sensor', () => {
    const failed = { outcome: 'failed', ran: [30, 35] } as const
    expect(messagesOf(check, packetOf([{ ran: [10, 22] }], [failed]))).toEqual(['completed', 'failed'])
    expect(messagesOf(check, packetOf([{}, { outcome: 'failed' }]))).toEqual(['completed', 'failed'])
    const camera = { sensor: 'front-camera', ran: [40, 50] } as const
    expect(messagesOf(check, packetOf([failed], [camera]))).toEqual(['failed', 'completed'])
    const left = { sensor: 'corner-radar', position: 'left', outcome: 'failed' } as const
    expect(messagesOf(check, packetOf([left, { sensor: 'corner-radar', position: 'right' }]))).toEqual([
      'failed',
      'completed',
    ])
  })

  it('says so where it is not certain which of two records came last', () => {
    const [outcome] = runCheck(check, packetOf([{ outcome: 'failed' }], [{}]))
    expect(outcome).toMatchObject({ message: 'order-unclear', data: { file: 'cal-1.pdf', otherFile: 'cal-2.pdf' } })
    expect(outcome?.evidence.map((place) => place.file)).toEqual(['cal-1.pdf', 'cal-2.pdf'])
  })

  it('takes "not performed" beside a completed calibration of the sensor for a choice of procedure', () => {
    const choice = { method: 'static', outcome: 'not-performed' } as const
    expect(messagesOf(check, packetOf([choice, {}]))).toEqual(['completed'])
    expect(messagesOf(check, packetOf([choice, { sensor: 'front-camera' }]))).toEqual(['not-performed', 'completed'])
  })

  it('asks the record for the outcome, and not a file that only mentions the calibration', () => {
    const mention = makeDocument('post-scan', 'post.pdf', { calibrations: [makeReading({ outcome: 'unknown' })] })
    const record = makeDocument('calibration', 'record.pdf', { calibrations: [makeReading()] })
    expect(messagesOf(check, makePacket([mention, record]))).toEqual(['completed'])
    expect(messagesOf(check, makePacket([mention]))).toEqual(['not-stated'])
  })

  it('is undecided without a record; a bill or a letter is none', () => {
    expect(messagesOf(check, makePacket([]))).toEqual(['no-calibration'])
    const claims = (['invoice', 'estimate', 'statement', 'photo'] as const).map((kind) =>
      makeDocument(kind, `${kind}.pdf`, { calibrations: [makeReading()] }),
    )
    expect(messagesOf(check, makePacket(claims))).toEqual(['no-calibration'])
  })
})
