import { describe, expect, it } from 'vitest'
import type { OrderChain } from '../../src/packet/packet.ts'
import { at, calibration, dacet, end, file, orvane, packetOf, start } from './invented.ts'

const denver = { zone: 'America/Denver', places: {} }
const record = (started: string, ended: string) =>
  file('cal.pdf', 'calibration', {
    instrument: dacet,
    calibrations: [calibration({ started: at(started), ended: at(ended) })],
  })
const scanAt = (date: string, instrument = orvane) => file('after.pdf', 'post-scan', { instrument, date: at(date) })

function chainOf(date: string, rest = {}, instrument = orvane): OrderChain | null | undefined {
  const documents = [record('2026-05-21T14:00:00', '2026-05-21T14:12:30'), scanAt(date, instrument)]
  return packetOf(documents, rest).timeline.order(end('calibration-1'), start('post-scan-1')).explain?.()
}

const tell = (chain: OrderChain | null | undefined) => chain?.steps.map(({ side, time }) => [side, time])

describe('the chain of an order', () => {
  // 21 May 2026 14:12:30 in Denver is 20:12:30Z; each clock is taken to be within 5 minutes of true time.
  it('bounds the later moment from below and the earlier one from above, clock by clock', () => {
    const chain = chainOf('2026-05-21T15:00:00', { declaration: denver })
    expect(chain).toMatchObject({ later: start('post-scan-1'), earlier: end('calibration-1'), frame: 'utc' })
    expect(tell(chain)).toEqual([
      ['no-earlier', '2026-05-21T21:00:00Z'],
      ['no-earlier', '2026-05-21T20:55:00Z'],
      ['no-later', '2026-05-21T20:12:31Z'],
      ['no-later', '2026-05-21T20:17:31Z'],
    ])
    expect(chain?.gapSeconds).toBeCloseTo(37 * 60 + 29, 0)
  })

  it('shows by how much an order is impossible', () => {
    const chain = chainOf('2026-05-21T13:00:00', { declaration: denver })
    expect(chain).toMatchObject({ later: end('calibration-1'), earlier: start('post-scan-1') })
    expect(chain?.steps.at(-1)).toMatchObject({ side: 'no-later', time: '2026-05-21T19:05:01Z' })
    expect(chain?.gapSeconds).toBeCloseTo(62 * 60 + 29, 0)
  })

  it('counts in the one zone that clocks without a zone share, where none is known', () => {
    const chain = chainOf('2026-05-21T15:00:00')
    expect(chain?.frame).toBe('local')
    expect(tell(chain)?.[0]).toEqual(['no-earlier', '2026-05-21T15:00:00Z'])
  })

  it('leaves out a clock whose error cancels', () => {
    const chain = chainOf('2026-05-21T14:20:00', {}, dacet)
    expect(chain?.steps).toHaveLength(2)
    expect(chain?.gapSeconds).toBeCloseTo(7 * 60 + 29, 0)
  })

  it('is absent where the order is open', () => {
    expect(chainOf('2026-05-21T14:13:00')).toBeUndefined()
  })
})
