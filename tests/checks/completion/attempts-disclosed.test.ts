import { describe, expect, it } from 'vitest'
import { attemptsDisclosed as check } from '../../../src/checks/completion/attempts-disclosed.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { packetOf, type RecordParts } from './records.ts'

const messagesOf = (...files: RecordParts[][]) => messages(check, packetOf(...files))
const twice: RecordParts = {
  attempts: [{ outcome: 'aborted', progressPercent: 38 }, { outcome: 'completed' }],
  ran: [0, 30],
}

describe('attempts-disclosed', () => {
  it('is met where one record lists its own failed attempt, and where two files agree on the number', () => {
    expect(messagesOf([twice])).toEqual(['disclosed'])
    expect(messagesOf([twice], [{ attemptCount: 2 }])).toEqual(['disclosed'])
    expect(messagesOf([twice], [{}])).toEqual(['disclosed'])
  })

  it('is unmet where another file counts or lists fewer', () => {
    expect(runCheck(check, packetOf([twice], [{ attemptCount: 1 }]))).toMatchObject([
      { message: 'fewer-told', data: { file: 'cal-2.pdf', told: 1, otherFiles: ['cal-1.pdf'], known: 2 } },
    ])
    expect(messagesOf([twice], [{ attempts: [{ outcome: 'completed' }] }])).toEqual(['fewer-told'])
    expect(messagesOf([{ attemptCount: 3 }], [{ attemptCount: 2 }])).toEqual(['fewer-told'])
  })

  it('is unmet where a record of an earlier failed run stands beside "first attempt"', () => {
    const failed: RecordParts = { outcome: 'failed', ran: [0, 5] }
    expect(messagesOf([failed], [{ attemptCount: 1, ran: [10, 20] }])).toEqual(['fewer-told'])
    expect(messagesOf([failed], [{ ran: [10, 20] }])).toEqual(['disclosed'])
  })

  it('asks nothing of a record that could not know: of an earlier run, or of the failed run itself', () => {
    const late: RecordParts = { outcome: 'failed', ran: [30, 35] }
    expect(messagesOf([{ attemptCount: 1, ran: [0, 10] }], [late])).toEqual(['disclosed'])
    expect(messagesOf([{ outcome: 'failed', attemptCount: 1, ran: [0, 5] }], [twice])).toEqual(['disclosed'])
    expect(messagesOf([{ attemptCount: 1 }], [{ outcome: 'failed' }])).toEqual(['order-unknown'])
  })

  it('compares one calibration with itself only', () => {
    expect(messagesOf([twice], [{ sensor: 'front-camera', attemptCount: 1 }])).toEqual(['disclosed'])
    expect(messagesOf([{ ...twice, position: 'left' }], [{ position: 'right', attemptCount: 1 }])).toEqual([
      'disclosed',
    ])
  })

  it('is undecided where nothing failed, or nothing was calibrated', () => {
    expect(messagesOf([{ attemptCount: 1 }], [{}])).toEqual(['none-failed'])
    expect(messagesOf([{ attempts: [{ outcome: 'unknown', progressPercent: 40 }] }])).toEqual(['none-failed'])
    expect(messagesOf()).toEqual(['no-calibration'])
  })
})
