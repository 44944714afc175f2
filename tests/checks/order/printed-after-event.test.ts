import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { printedAfterEvent as check } from '../../../src/checks/order/printed-after-event.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { at, calibration, dacet, file, packetOf } from '../../packet/invented.ts'
import { generalParameters } from '../general.ts'
import { runCheck } from '../run-check.ts'

const denver: Declaration = { zone: 'America/Denver', places: {} }

function outcomesOf(created: string | undefined, parts: { ended?: string; declaration?: Declaration | null } = {}) {
  const { ended = '2026-05-21T13:24', declaration = denver } = parts
  const record = file('radar.pdf', 'calibration', {
    instrument: dacet,
    calibrations: [
      calibration({ started: at(ended.length > 10 ? ended.replace('13:24', '13:12') : ended), ended: at(ended) }),
    ],
  })
  const information = created === undefined ? {} : { created }
  const content = { 'radar.pdf': { lines: [], pageNumbers: [], track: null, information } }
  return runCheck(check, packetOf([record], { declaration, content }), generalParameters(check.id))
}
const messagesOf = (...parts: Parameters<typeof outcomesOf>) => outcomesOf(...parts).map(({ message }) => message)

describe('printed-after-event', () => {
  it('is met by a file made minutes or days after, whatever zone it is dated in', () => {
    for (const created of ['2026-05-21T19:26:22Z', '2026-05-21T13:26:22-06:00', '2026-05-24T08:00:00-06:00'])
      expect(messagesOf(created)).toEqual(['printed'])
    expect(outcomesOf('2026-05-21T19:26:22Z')[0]?.evidence.at(-1)).toEqual({
      file: 'radar.pdf',
      text: 'created 2026-05-21T19:26:22Z',
    })
  })

  it('is unmet by a file made before the work was over', () => {
    expect(outcomesOf('2026-05-21T10:00:00-06:00')[0]).toMatchObject({
      message: 'before-event',
      data: { file: 'radar.pdf', event: 'front radar, dynamic', reported: '2026-05-21T13:24' },
    })
    expect(messagesOf('2026-05-20T10:00:00', { declaration: null })).toEqual(['before-event'])
  })

  it('is unmet by a file made more than three days later', () => {
    expect(outcomesOf('2026-05-27T10:00:00-06:00')[0]).toMatchObject({ message: 'late', data: { days: 6 } })
  })

  it('does not hold local time that calls itself UTC against a file', () => {
    expect(messagesOf('2026-05-21T13:26:22Z')).toEqual(['zone-unclear'])
  })

  it('allows for the clocks, and for days alone', () => {
    expect(messagesOf('2026-05-21T13:20:00-06:00')).toEqual(['printed'])
    expect(messagesOf('2026-05-21T09:00:00-06:00', { ended: '2026-05-21' })).toEqual(['printed'])
  })

  it('takes a date without a zone for a span of all zones where none is declared', () => {
    expect(messagesOf('2026-05-21T10:00:00', { declaration: null })).toEqual(['printed'])
    expect(messagesOf('2026-05-21T10:00:00')).toEqual(['before-event'])
  })

  it('is undecided where a file tells nothing of its making', () => {
    expect(messagesOf(undefined)).toEqual(['nothing-to-compare'])
    expect(messagesOf('yesterday')).toEqual(['nothing-to-compare'])
    expect(runCheck(check, packetOf([]), generalParameters(check.id))[0]?.message).toBe('nothing-to-compare')
  })

  it('never holds a file made after the event and within three days against it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 3 * 86_400 }), fc.integer({ min: -11, max: 13 }), (later, hours) => {
        const made = Date.parse('2026-05-21T13:24:59-06:00') + later * 1000
        const figures = new Date(made + hours * 3_600_000).toISOString().slice(0, 19)
        const offset = `${hours < 0 ? '-' : '+'}${String(Math.abs(hours)).padStart(2, '0')}:00`
        expect(messagesOf(`${figures}${offset}`)).toEqual(['printed'])
      }),
      { numRuns: 100 },
    )
  })
})
