import fc from 'fast-check'
import { expect, it } from 'vitest'
import { boundLength, boundShared } from '../../../src/checks/order/shared-time.ts'
import { makeEvent, makePacket } from '../packet-builder.ts'

const instant = (seconds: number) => new Date(seconds * 1000).toISOString().replace('.000Z', 'Z')

/** An interval, and bounds that hold its edges. */
const interval = fc
  .record({
    start: fc.integer({ min: 1e6, max: 1e6 + 3000 }),
    length: fc.nat(2000),
    slack: fc.array(fc.nat(400), { minLength: 4, maxLength: 4 }),
  })
  .map(({ start, length, slack: [a = 0, b = 0, c = 0, d = 0] }) => ({
    start,
    end: start + length,
    bounds: [
      [instant(start - a), instant(start + b)] as const,
      [instant(start + length - c), instant(start + length + d)] as const,
    ] as const,
  }))

it('the bounds hold what two intervals truly share, whatever the clocks hide', () => {
  fc.assert(
    fc.property(interval, interval, (one, other) => {
      const events = [makeEvent('drive-1', ...one.bounds), makeEvent('calibration-1', ...other.bounds)] as const
      const packet = makePacket([], { events: [...events] })
      const [least, most] = boundShared(packet, ...events)
      const shared = Math.min(one.end, other.end) - Math.max(one.start, other.start)
      // An interval never shares more than its own length.
      expect(Math.min(shared, one.end - one.start, other.end - other.start)).toBeGreaterThanOrEqual(least)
      expect(shared).toBeLessThanOrEqual(most)
      expect(boundShared(packet, events[1], events[0])).toEqual([least, most])
    }),
  )
})

it('gives the exact overlap, gap and length where the edges are known to the second', () => {
  const a = makeEvent('drive-1', instant(1000), instant(1600))
  const b = makeEvent('calibration-1', instant(1400), instant(2000))
  const c = makeEvent('calibration-2', instant(1700), instant(1800))
  const packet = makePacket([], { events: [a, b, c] })
  expect(boundShared(packet, a, b)).toEqual([200, 200])
  expect(boundShared(packet, a, c)).toEqual([-100, -100])
  expect(boundShared(packet, b, c)).toEqual([100, 100])
  expect(boundLength(packet, a)).toEqual([600, 600])
})

it('bounds nothing where an event carries no time', () => {
  const a = makeEvent('drive-1', instant(1000), instant(1600))
  const b = makeEvent('calibration-1', null)
  expect(boundShared(makePacket([], { events: [a, b] }), a, b)).toEqual([Number.NEGATIVE_INFINITY, 600])
})
