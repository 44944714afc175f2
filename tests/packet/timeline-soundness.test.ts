/**
 * Whatever really happened, a timeline must not deny it: a true course of events is invented, clocks that are off and
 * printed times are made from it, and no answer may contradict the truth.
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { DateReading, DocumentFacts } from '../../src/facts/document.ts'
import { formatInstant, formatOffset } from '../../src/facts/instant.ts'
import type { OrderChain } from '../../src/packet/packet.ts'
import { at, calibration, file, packetOf } from './invented.ts'

const dayLength = 86_400
// 2026-06-10T00:00Z: no change of summer time for months either way.
const firstDay = 1_781_049_600

interface Happening {
  kind: 'calibration' | 'photo' | 'pre-scan' | 'post-scan'
  start: number
  length: number
  clock: number
  precision: 'day' | 'minute' | 'second'
  printsZone: boolean
  statesDuration: boolean
}

interface TrueWorld {
  offsetHours: number
  declares: boolean
  /** How far each clock runs ahead, as a share of what its kind may. */
  errors: number[]
  happenings: Happening[]
}

const world: fc.Arbitrary<TrueWorld> = fc.record({
  offsetHours: fc.integer({ min: -11, max: 13 }),
  declares: fc.boolean(),
  errors: fc.array(fc.integer({ min: -100, max: 100 }), { minLength: 3, maxLength: 3 }),
  happenings: fc.array(
    fc.record({
      kind: fc.constantFrom('calibration', 'photo', 'pre-scan', 'post-scan'),
      start: fc.integer({ min: 0, max: 2 * dayLength }),
      length: fc.integer({ min: 60, max: 2000 }),
      clock: fc.nat(2),
      precision: fc.constantFrom('day', 'minute', 'second'),
      printsZone: fc.boolean(),
      statesDuration: fc.boolean(),
    }),
    { minLength: 2, maxLength: 6 },
  ),
})

/** What a clock prints at a true moment. Days are those of the calendar on the wall. */
function print(
  truth: number,
  ahead: number,
  { offsetHours }: TrueWorld,
  { precision, printsZone }: Happening,
): DateReading {
  const shown = firstDay + truth + (precision === 'day' ? 0 : ahead) + offsetHours * 3600
  const length = { day: 10, minute: 16, second: 19 }[precision]
  const local = formatInstant(Math.floor(shown)).slice(0, length)
  return at(printsZone && precision !== 'day' ? `${local}${formatOffset(offsetHours * 60)}` : local)
}

function printRecord(happening: Happening, index: number, truth: TrueWorld): DocumentFacts {
  const { kind, start, length, clock, statesDuration } = happening
  const most = kind === 'photo' ? 60 : 300
  const ahead = ((truth.errors[clock] ?? 0) / 100) * most
  const name = `${index} of clock ${clock}`
  const printed = print(start, ahead, truth, happening)
  const instrument = { serial: `S${clock}` }
  if (kind === 'photo')
    return file(name, kind, { photo: { taken: printed, location: null, camera: `Camera ${clock}` } })
  if (kind !== 'calibration') return file(name, kind, { instrument, date: printed })
  const ended = print(start + length, ahead, truth, happening)
  const stated = { position: `${index}`, started: printed, ended, ...(statesDuration && { durationSeconds: length }) }
  return file(name, kind, { instrument, calibrations: [calibration(stated)] })
}

/** The steps bound the truth, and lead to the gap that they claim. */
function checkChain({ steps, gapSeconds, frame }: OrderChain, answer: string, gap: number): void {
  expect(gapSeconds).toBeGreaterThanOrEqual(0)
  expect(answer === 'certain' ? gap : -gap).toBeGreaterThanOrEqual(gapSeconds)
  const lastOf = (side: string) => steps.findLast((step) => step.side === side)?.time
  const [from, until] = [lastOf('no-earlier'), lastOf('no-later')]
  if (typeof from !== 'string' || typeof until !== 'string') return
  const apart = (Date.parse(from) - Date.parse(until)) / 1000
  // Both are rounded outwards to whole seconds.
  expect(Math.abs(apart - gapSeconds), frame).toBeLessThanOrEqual(2)
}

describe('a true course of events', () => {
  it('is never denied', () => {
    let certain = 0
    fc.assert(
      fc.property(world, (truth) => {
        const happenings = truth.happenings.map((each) => ({
          ...each,
          length: each.kind === 'calibration' ? each.length : 0,
        }))
        const zone = `Etc/GMT${truth.offsetHours <= 0 ? '+' : '-'}${Math.abs(truth.offsetHours)}`
        const declaration = truth.declares ? { zone, places: {} } : null
        const { events, timeline } = packetOf(
          happenings.map((each, index) => printRecord(each, index, truth)),
          { declaration },
        )
        expect(timeline.conflict).toBeNull()
        const real = events.flatMap(({ id, file: name }) => {
          const each = happenings[Number(name.split(' ')[0])]
          if (each === undefined) return []
          return [
            { moment: { event: id, edge: 'start' as const }, time: each.start },
            { moment: { event: id, edge: 'end' as const }, time: each.start + each.length },
          ]
        })
        for (const before of real)
          for (const after of real) {
            const { answer, gapSeconds, explain } = timeline.order(before.moment, after.moment)
            const chain = explain?.() ?? undefined
            const gap = after.time - before.time
            if (answer === 'certain') expect(gap).toBeGreaterThanOrEqual(0)
            if (answer === 'impossible') expect(gap).toBeLessThan(0)
            expect(gapSeconds[0]).toBeLessThanOrEqual(gap)
            expect(gapSeconds[1]).toBeGreaterThanOrEqual(gap)
            if (answer === 'certain' && before !== after) certain++
            if (chain !== undefined) checkChain(chain, answer, gap)
          }
      }),
      { numRuns: 200, seed: 7 },
    )
    // The answers are not merely cautious.
    expect(certain).toBeGreaterThan(2000)
  }, 60_000)
})
