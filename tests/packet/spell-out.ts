/** One packet said in full, by a module that also runs in a process of its own. */
import type { DocumentFacts } from '../../src/facts/document.ts'
import type { Packet } from '../../src/packet/packet.ts'
import { at, calibration, dacet, file, orvane, packetOf } from './invented.ts'

// A made-up world manufacturer identifier: 7XW is assigned to nobody here.
export const vin = '7XWBC2RT4NK000123'
export const documents: DocumentFacts[] = [
  file('1.pdf', 'scan', { instrument: dacet, date: at('2026-05-20T09:00'), vin }),
  file('cal.pdf', 'calibration', {
    instrument: orvane,
    vin,
    calibrations: [
      calibration({ started: at('2026-05-21T14:00'), ended: at('2026-05-21T14:12'), durationSeconds: 1800 }),
    ],
  }),
  file('2.pdf', 'scan', { instrument: dacet, date: at('2026-05-21T15:00-06:00'), vin: '7XWBC2RT4NK000132' }),
  file('IMG.jpg', 'photo', { photo: { taken: at('2026-05-21T13:00:00'), location: null, camera: 'Pentaprism 5' } }),
  file('bill.pdf', 'invoice', { date: at('2026-05-22') }),
]

/** Everything a packet says, with the answer for every pair of moments. */
export function spellOut(packet: Packet): string {
  const moments = packet.events.flatMap(({ id }) => [
    { event: id, edge: 'start' as const },
    { event: id, edge: 'end' as const },
  ])
  const orders = moments.map((before) => moments.map((after) => packet.timeline.order(before, after)))
  return JSON.stringify({ ...packet, orders })
}

export const spellOutExample = (): string => spellOut(packetOf(documents))
