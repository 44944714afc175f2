/** All stated times, durations and orders at once; a contradiction is shown by the fewest statements that make it. */
import type { Check } from '../check.ts'
import { distinctPlaces } from '../places.ts'
import { nothingToCompare } from './precedence-outcome.ts'

export const timelineConsistent: Check = {
  id: 'timeline-consistent',
  group: 'order',
  claim: 'All stated times, durations and orders can be true together.',
  messages: {
    consistent: { state: 'met', text: 'The times of {events} events can all be true together.' },
    conflict: { state: 'unmet', text: 'These {count} statements cannot all be true: {statements}.' },
    'too-few-times': { state: 'undecided', text: 'Fewer than two events carry a time, so nothing can be compared.' },
  },
  parameters: {},
  remedy: 'The original files of the reports quoted, or proof of how the clock of one of them was set.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: {
    shop: 'records that contradict each other',
    insurer: 'paying on records that cannot all be true',
    calibrator: 'times that cannot be true',
  },
  collect: [],
  run(packet) {
    const { conflict } = packet.timeline
    if (conflict !== null) {
      const statements = conflict.map((statement) => statement.text)
      const evidence = distinctPlaces(conflict.flatMap((statement) => statement.evidence))
      const data = { count: conflict.length, statements: statements.join('; ') }
      return [{ state: 'unmet', message: 'conflict', data, evidence, statements: conflict }]
    }
    const timed = packet.events.filter((event) => event.clock !== null)
    if (timed.length < 2) return nothingToCompare('too-few-times')
    const evidence = distinctPlaces(timed.flatMap((event) => event.evidence))
    return [{ state: 'met', message: 'consistent', data: { events: timed.length }, evidence }]
  },
}
