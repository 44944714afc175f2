import { describe, expect, it } from 'vitest'
import { timelineConsistent as check } from '../../../src/checks/order/timeline-consistent.ts'
import type { Statement } from '../../../src/packet/packet.ts'
import { makeTimeline } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { at, type Entry, makeScene } from './scene.ts'

const entries: Entry[] = [
  { kind: 'pre-scan', start: at(0) },
  { kind: 'post-scan', start: at(60) },
]

describe('timeline-consistent', () => {
  it('is met where nothing conflicts, and counts what was compared', () => {
    expect(runCheck(check, makeScene(entries))[0]).toMatchObject({ message: 'consistent', data: { events: 2 } })
  })

  it('is unmet by a conflict, and quotes it with its places', () => {
    const conflict: Statement[] = [
      { id: 'a', text: 'the drive took 14 minutes', evidence: [{ file: 'calibration.pdf', text: '14 min' }] },
      { id: 'b', text: 'the drive began 14:05', evidence: [{ file: 'calibration.pdf', text: '14:05' }] },
      { id: 'c', text: 'the drive ended 14:08', evidence: [{ file: 'drive.gpx', text: '14:08' }] },
    ]
    const packet = makeScene(entries, (events) => makeTimeline(events, { conflict }))
    const [outcome] = runCheck(check, packet)
    expect(outcome).toMatchObject({ message: 'conflict', data: { count: 3 }, statements: conflict })
    expect(outcome?.data.statements).toBe('the drive took 14 minutes; the drive began 14:05; the drive ended 14:08')
    expect(outcome?.evidence.map((place) => place.text)).toEqual(['14 min', '14:05', '14:08'])
  })

  it('is undecided with fewer than two times', () => {
    expect(messagesOf(check, makeScene([]))).toEqual(['too-few-times'])
    expect(messagesOf(check, makeScene([{ kind: 'pre-scan', start: at(0) }, { kind: 'post-scan' }]))).toEqual([
      'too-few-times',
    ])
  })
})
