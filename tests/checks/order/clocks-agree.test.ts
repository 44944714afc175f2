import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { clocksAgree as check } from '../../../src/checks/order/clocks-agree.ts'
import type { Clock } from '../../../src/packet/packet.ts'
import { makePacket, makeTimeline } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const parameters = { allowedSeconds: 300, farSeconds: 93_600 }

/** An invented instrument's clock beside a receiver's, `seconds` ahead. */
function packetWith(seconds: readonly [number, number], more: Clock['implied'] = []) {
  const because = [
    { id: 's', text: 'the record and the log tell of one drive', evidence: [{ file: 'a.pdf', text: '14:05' }] },
  ]
  const clocks: Clock[] = [
    {
      id: 'tool',
      label: 'Ombrel 7',
      zone: null,
      aheadSeconds: [-300, 300],
      implied: [{ against: 'utc', seconds, because }, ...more],
      files: ['a.pdf'],
    },
    { id: 'utc', label: 'the receiver', zone: '+00:00', aheadSeconds: [0, 0], implied: [], files: ['b.gpx'] },
  ]
  return makePacket([], { timeline: makeTimeline([], { clocks }) })
}
const first = (seconds: readonly [number, number]) => messagesOf(check, packetWith(seconds), parameters)[0]

describe('clocks-agree', () => {
  it('is met where the offset stays within minutes', () => {
    expect(runCheck(check, packetWith([-20, 75]), parameters)[0]).toMatchObject({
      message: 'agree',
      data: { clock: 'Ombrel 7', against: 'the receiver', leastSeconds: -20, mostSeconds: 75 },
      evidence: [{ file: 'a.pdf', text: '14:05' }],
    })
  })

  it('is unmet beyond, in either direction', () => {
    expect(first([600, 700])).toBe('differ')
    expect(first([-2400, -2300])).toBe('differ')
    expect(first([88_000, 88_500])).toBe('differ')
  })

  it('points to a zone where whole hours are left over', () => {
    expect(runCheck(check, packetWith([3560, 3640]), parameters)[0]).toMatchObject({
      message: 'zone-error',
      data: { hours: 1 },
    })
    expect(runCheck(check, packetWith([-21_700, -21_560]), parameters)[0]?.data.hours).toBe(-6)
    expect(first([2460, 4740])).toBe('zone-error')
    expect(first([2460, 8000])).toBe('differ')
  })

  it('is unmet in its own words where no zone explains it', () => {
    expect(first([100_000, 100_100])).toBe('far-apart')
    // A receiver's week count that rolled over: 1024 weeks.
    expect(first([-619_315_200, -619_315_100])).toBe('far-apart')
  })

  it('is undecided where the offset is bound too loosely, or not at all', () => {
    expect(first([-100, 4000])).toBe('loosely-bound')
    expect(first([Number.NEGATIVE_INFINITY, 120])).toBe('loosely-bound')
    expect(messagesOf(check, makePacket([]), parameters)).toEqual(['nothing-implied'])
  })

  it('tells of each pair once', () => {
    const packet = packetWith([10, 20])
    const [tool, utc] = packet.timeline.clocks
    utc?.implied.push({ against: 'tool', seconds: [-20, -10], because: tool?.implied[0]?.because ?? [] })
    expect(messagesOf(check, packet, parameters)).toEqual(['agree'])
  })

  it('judges an offset and its mirror image alike', () => {
    fc.assert(
      fc.property(fc.integer({ min: -200_000, max: 200_000 }), fc.nat(900), (from, width) => {
        expect(first([from, from + width])).toBe(first([-from - width, -from]))
      }),
    )
  })
})
