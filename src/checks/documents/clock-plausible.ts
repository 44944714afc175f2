/**
 * Dates of clocks that were never set, or that rolled over.
 *
 * A clock that lost its power starts at the first day that its software knows and runs on from there. A satellite
 * receiver counts weeks in ten bits, so one that counts wrongly is 1024 weeks (7168 days) off (IS-GPS-200, 20.3.3.3.1.1; clause from memory).
 * What the other files of the packet say tells what the date should be near to.
 */
import { addSeconds, instantBounds, localSpan, secondsBetween, secondsOfInstant } from '../../facts/instant.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome, WorkingStep } from '../check.ts'
import { type EventDate, eventDates } from '../dates.ts'
import { listParameter, numberParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'

export const clockPlausible: Check = {
  id: 'clock-plausible',
  group: 'documents',
  claim: 'No date comes from a clock that was not set or had rolled over.',
  messages: {
    plausible: { state: 'met', text: 'None of the {dates} dates of the packet is one of a clock that was not set.' },
    unset: {
      state: 'unmet',
      text: '{file} says {said}, within {days} days after {epoch}, where clocks that were never set begin.',
    },
    'rolled-over': {
      state: 'unmet',
      text: '{file} says {said}, which is {days} days off {expected}, about as much as a clock is off that counts weeks and has rolled over.',
    },
    'no-date': { state: 'undecided', text: 'No file of the packet carries a date.' },
  },
  parameters: {
    epochs: 'Days on which clocks begin that were never set, as YYYY-MM-DD.',
    runDays: 'How many days such a clock may have run since, in days.',
    rolloverDays: 'By how many days a clock is off that has rolled over once.',
    nearDays: 'How near to the other dates of the packet a date must come once it is put right, in days.',
  },
  remedy: 'Proof of how the clock was set on that day, or the same record with the right time beside it.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: { calibrator: 'a record whose time nobody can rely on' },
  // clocks-agree asks for the clocks to be compared.
  collect: [],
  run(packet, parameters) {
    const dates = eventDates(packet)
    if (dates.length === 0) return [{ state: 'undecided', message: 'no-date', data: {}, evidence: [] }]
    const told = findMiddle(packet, dates, parameters)
    const odd = [...Map.groupBy(dates, ({ file }) => file)].flatMap(([file, own]) =>
      judge(packet, file, own, told, parameters),
    )
    if (odd.length > 0) return odd
    const evidence = distinctPlaces(dates.flatMap((date) => date.evidence))
    return [{ state: 'met', message: 'plausible', data: { dates: dates.length }, evidence }]
  },
}

const daySeconds = 86_400

/** One outcome a file and cause: its dates were printed by one clock. */
function judge(
  packet: Packet,
  file: string,
  own: readonly EventDate[],
  told: string | null,
  parameters: Parameters,
): Outcome[] {
  const { epochs, runDays } = readStart(parameters)
  const reference = told ?? instantBounds(packet.reviewed, '+00:00').earliest
  const far = own.filter((date) => daysApart(date, reference) > runDays)
  const unset = Map.groupBy(
    far.filter((date) => findEpoch(date, epochs, runDays) !== null),
    (date) => findEpoch(date, epochs, runDays) ?? '',
  )
  const outcomes = [...unset].map(([epoch, dates]): Outcome => {
    const data = { file, said: [...new Set(dates.map(({ text }) => text))], epoch, days: runDays }
    const evidence = distinctPlaces(dates.flatMap((date) => date.evidence))
    return { state: 'unmet', message: 'unset', data, evidence, working: explainUnset(dates, epoch, reference, runDays) }
  })
  if (outcomes.length > 0 || told === null) return outcomes
  return judgeRollover(file, far, told, parameters)
}

function readStart(parameters: Parameters): { epochs: readonly string[]; runDays: number } {
  const epochs = listParameter(parameters, 'epochs').filter((epoch) => localSpan(epoch) !== null)
  return { epochs, runDays: numberParameter(parameters, 'runDays') }
}

function judgeRollover(file: string, far: readonly EventDate[], expected: string, parameters: Parameters): Outcome[] {
  const rolloverDays = numberParameter(parameters, 'rolloverDays')
  const nearDays = numberParameter(parameters, 'nearDays')
  const turnsOf = (date: EventDate) => Math.round(signedDays(date, expected) / rolloverDays)
  const rolled = far.filter((date) => {
    const turns = turnsOf(date)
    return turns !== 0 && Math.abs(signedDays(date, expected) - turns * rolloverDays) <= nearDays
  })
  const [first] = rolled
  if (first === undefined) return []
  const [offset, turns] = [signedDays(first, expected), turnsOf(first)]
  const day = expected.slice(0, 10)
  const data = {
    file,
    said: [...new Set(rolled.map(({ text }) => text))],
    days: Math.round(Math.abs(offset)),
    expected: day,
  }
  const working: WorkingStep[] = [
    {
      text: '{said} is {offset} days from {expected}, the middle of the dates of the packet.',
      data: { said: first.text, offset: Math.round(offset), expected: day },
    },
    {
      text: '{turns} times {rolloverDays} days is {product} days, {rest} days from that; {nearDays} are allowed.',
      data: {
        turns,
        rolloverDays,
        product: turns * rolloverDays,
        rest: Math.round(Math.abs(offset - turns * rolloverDays)),
        nearDays,
      },
    },
  ]
  const evidence = distinctPlaces(rolled.flatMap((date) => date.evidence))
  return [{ state: 'unmet', message: 'rolled-over', data, evidence, working }]
}

/** The day on which a clock may have begun that shows this date; the latest one where several fit. */
function findEpoch({ earliest, latest }: EventDate, epochs: readonly string[], runDays: number): string | null {
  const found = epochs.toSorted().findLast((epoch) => {
    // The zone of the clock is not known: a day either way.
    const begins = addSeconds(instantBounds(epoch, '+00:00').earliest, -daySeconds)
    const ends = addSeconds(begins, (runDays + 2) * daySeconds)
    return secondsBetween(begins, earliest) >= 0 && secondsBetween(latest, ends) >= 0
  })
  return found ?? null
}

function explainUnset(dates: readonly EventDate[], epoch: string, reference: string, runDays: number): WorkingStep[] {
  return dates.map((date) => ({
    text: '{said} lies {away} days from {reference}, in the middle of the dates of the packet or else the day of review; {epoch} plus {runDays} days reaches it.',
    data: {
      said: date.text,
      away: Math.round(daysApart(date, reference)),
      reference: reference.slice(0, 10),
      epoch,
      runDays,
    },
  }))
}

/**
 * The date in the middle, each file having one vote; of two the later one, as clocks that count wrongly are early. What
 * lies after the day of review, or where clocks begin, has no vote. Null where nothing is left.
 */
function findMiddle(packet: Packet, dates: readonly EventDate[], parameters: Parameters): string | null {
  const { epochs, runDays } = readStart(parameters)
  const ends = addSeconds(instantBounds(packet.reviewed, '+00:00').latest, daySeconds)
  const past = dates.filter((date) => {
    return secondsBetween(date.earliest, ends) >= 0 && findEpoch(date, epochs, runDays) === null
  })
  const votes = [...Map.groupBy(past, ({ file }) => file).values()].flatMap((own) => own[0]?.earliest ?? [])
  const sorted = votes.toSorted((a, b) => secondsOfInstant(a) - secondsOfInstant(b))
  return sorted[Math.floor(sorted.length / 2)] ?? null
}

/** Days from the reference to the date, negative where it lies before. */
function signedDays({ earliest, latest }: EventDate, reference: string): number {
  return (secondsBetween(reference, earliest) + secondsBetween(reference, latest)) / 2 / daySeconds
}

function daysApart(date: EventDate, reference: string): number {
  return Math.abs(signedDays(date, reference))
}
