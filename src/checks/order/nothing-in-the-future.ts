/** Dates against the day of review, which ends last at UTC-12. A date counts only if all of it lies beyond that. */
import { compareInstants, instantBounds } from '../../facts/instant.ts'
import type { Check, Outcome } from '../check.ts'
import { type EventDate, eventDates } from '../dates.ts'
import { distinctPlaces } from '../places.ts'
import { nothingToCompare } from './precedence-outcome.ts'

export const nothingInTheFuture: Check = {
  id: 'nothing-in-the-future',
  group: 'order',
  claim: 'No date of the packet lies after the day of review.',
  messages: {
    past: { state: 'met', text: 'None of the {dates} dates of the packet lies after {reviewed}.' },
    future: { state: 'unmet', text: '{file} says {future}, after {reviewed}, the day of review.' },
    'no-date': { state: 'undecided', text: 'No file of the packet carries a date.' },
  },
  parameters: {},
  remedy: 'Proof of how the clock that printed the date was set.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: {
    shop: 'a record whose date cannot be true',
  },
  collect: [],
  run(packet) {
    const { reviewed } = packet
    const dates = eventDates(packet)
    if (dates.length === 0) return nothingToCompare('no-date')
    const { latest: dayEnds } = instantBounds(reviewed, '-12:00')
    const future = dates.filter((date) => compareInstants(date.earliest, dayEnds) > 0)
    if (future.length > 0) return [...Map.groupBy(future, (date) => date.file)].map((entry) => tell(...entry, reviewed))
    const evidence = distinctPlaces(dates.flatMap((date) => date.evidence))
    return [{ state: 'met', message: 'past', data: { dates: dates.length, reviewed }, evidence }]
  },
}

/** One outcome a file: its dates were printed by one clock. */
function tell(file: string, dates: readonly EventDate[], reviewed: string): Outcome {
  const data = { file, future: dates.map((date) => date.text), paths: dates.map((date) => date.path), reviewed }
  return { state: 'unmet', message: 'future', data, evidence: distinctPlaces(dates.flatMap((date) => date.evidence)) }
}
