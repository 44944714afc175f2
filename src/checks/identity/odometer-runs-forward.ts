import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import {
  collectOdometer,
  kilometresPerMile,
  type OdometerReading,
  sumDrives,
  wasTakenBefore,
} from './odometer-readings.ts'

export const odometerRunsForward: Check = {
  id: 'odometer-runs-forward',
  group: 'identity',
  claim: 'The odometer runs forward along the timeline, and by no more than the work explains.',
  messages: {
    forward: { state: 'met', text: 'The odometer runs forward over {count} readings, from {first} to {last}.' },
    backwards: {
      state: 'unmet',
      text: 'The odometer reads {later} in {laterFile}, which is {byKilometres} km less than the {earlier} read before it in {earlierFile}.',
    },
    jump: {
      state: 'unmet',
      text: 'The odometer rises by {byMiles} mi from {earlier} in {earlierFile} to {later} in {laterFile}, more than the {explainedMiles} mi that the work explains.',
    },
    'order-unknown': {
      state: 'undecided',
      text: 'The odometer reading in {files} differs from others of the packet, and nothing tells which was taken first.',
    },
    'unit-unknown': { state: 'undecided', text: 'The odometer reading of {files} says neither miles nor kilometres.' },
    'one-reading': {
      state: 'undecided',
      text: 'Only {files} states the odometer, so there is nothing to compare it with.',
    },
    'no-reading': { state: 'undecided', text: 'No file of the packet states the odometer.' },
  },
  parameters: {
    roundingUnits: 'What rounding may hide, in units of the coarser of two readings (miles or kilometres).',
    jumpMiles: 'How far the vehicle may have been moved beside the recorded drives, in miles.',
  },
  remedy: 'Read the odometer at the vehicle, and ask which of the records was misread or belongs to another vehicle.',
  suppliers: ['shop'],
  settledWith: 'vehicle',
  exposes: {
    insurer: 'paying on a mileage that is not known',
    owner: 'records that do not fit the vehicle',
  },
  collect: [
    { step: 'intake', per: 'job', text: 'The odometer, photographed or written down at intake and again at release' },
  ],
  run(packet, parameters) {
    const { readings, unitless } = collectOdometer(packet)
    const outcomes: Outcome[] = []
    if (unitless.length > 0) {
      const evidence = unitless.map(({ file, odometer }) => ({ file, text: String(odometer?.value) }))
      outcomes.push({
        state: 'undecided',
        message: 'unit-unknown',
        data: { files: unitless.map((one) => one.file) },
        evidence,
      })
    }
    if (readings.length > 1) return [...outcomes, ...compare(packet, readings, parameters)]
    if (outcomes.length > 0) return outcomes
    const message = readings.length === 1 ? 'one-reading' : 'no-reading'
    const evidence = readings.flatMap((reading) => reading.evidence)
    return [{ state: 'undecided', message, data: { files: namesOf(readings) }, evidence }]
  },
}

interface Pair {
  earlier: OdometerReading
  later: OdometerReading
}

function compare(packet: Packet, readings: readonly OdometerReading[], parameters: Parameters): Outcome[] {
  const rounding = numberParameter(parameters, 'roundingUnits')
  const jumpMiles = numberParameter(parameters, 'jumpMiles')
  const pairs = readings.flatMap((later) =>
    readings.filter((earlier) => wasTakenBefore(packet, earlier, later)).map((earlier): Pair => ({ earlier, later })),
  )
  const backwards = blameFew(pairs.filter((pair) => fallOf(pair) > toleranceOf(pair, rounding)))
  const explained = jumpMiles + sumDrives(packet) / kilometresPerMile
  const jumps = backwards.length > 0 ? [] : findJumps(pairs, explained)
  const outcomes = [...backwards.map(describeFall), ...jumps.map((pair) => describeJump(pair, explained))]
  const loose = findLoose(readings, pairs, rounding)
  if (loose.length > 0) {
    const evidence = loose.flatMap((reading) => reading.evidence)
    outcomes.push({ state: 'undecided', message: 'order-unknown', data: { files: namesOf(loose) }, evidence })
  }
  if (outcomes.length > 0) return outcomes
  const sorted = [...readings].sort((a, b) => a.kilometres - b.kilometres)
  const data = { count: readings.length, first: sorted[0]?.written ?? null, last: sorted.at(-1)?.written ?? null }
  return [{ state: 'met', message: 'forward', data, evidence: readings.flatMap((reading) => reading.evidence) }]
}

function fallOf({ earlier, later }: Pair): number {
  return earlier.kilometres - later.kilometres
}

function toleranceOf({ earlier, later }: Pair, rounding: number): number {
  return rounding * Math.max(earlier.unitKilometres, later.unitKilometres) + 1e-6
}

/** One pair for each reading that is at odds: the one in most falling pairs is blamed first, so that one misread number is named once. */
function blameFew(pairs: readonly Pair[]): Pair[] {
  const blamed: Pair[] = []
  let left = [...pairs]
  while (left.length > 0) {
    const count = (reading: OdometerReading) =>
      left.filter((pair) => pair.earlier === reading || pair.later === reading).length
    const members = left.flatMap((pair) => [pair.later, pair.earlier])
    const worst = members.reduce((most, reading) => (count(reading) > count(most) ? reading : most))
    const ofWorst = left.filter((pair) => pair.earlier === worst || pair.later === worst)
    const steepest = ofWorst.reduce((most, pair) => (fallOf(pair) > fallOf(most) ? pair : most))
    blamed.push(steepest)
    left = left.filter((pair) => !ofWorst.includes(pair))
  }
  return blamed
}

/** Rises between neighbours; from an estimate on the vehicle may have been driven by its owner until it came to the shop. */
function findJumps(pairs: readonly Pair[], explainedMiles: number): Pair[] {
  const laters = [...new Set(pairs.map((pair) => pair.later))]
  return laters.flatMap((later) => {
    const before = pairs.filter((pair) => pair.later === later).map((pair) => pair.earlier)
    const last = before.reduce((most, reading) => (reading.kilometres > most.kilometres ? reading : most))
    const miles = (later.kilometres - last.kilometres) / kilometresPerMile
    const known = later.unitKnown && last.unitKnown
    return known && last.document.kind !== 'estimate' && miles > explainedMiles ? [{ earlier: last, later }] : []
  })
}

/** Readings that no order ties to any other, and that differ from another by more than rounding. */
function findLoose(readings: readonly OdometerReading[], pairs: readonly Pair[], rounding: number): OdometerReading[] {
  return readings.filter((reading) => {
    if (pairs.some((pair) => pair.earlier === reading || pair.later === reading)) return false
    return readings.some((other) => {
      const pair = { earlier: reading, later: other }
      return Math.abs(fallOf(pair)) > toleranceOf(pair, rounding)
    })
  })
}

function describeFall(pair: Pair): Outcome {
  const data = { ...describePair(pair), byKilometres: fallOf(pair) }
  return { state: 'unmet', message: 'backwards', data, evidence: [...pair.earlier.evidence, ...pair.later.evidence] }
}

function describeJump(pair: Pair, explainedMiles: number): Outcome {
  const data = { ...describePair(pair), byMiles: -fallOf(pair) / kilometresPerMile, explainedMiles }
  return { state: 'unmet', message: 'jump', data, evidence: [...pair.earlier.evidence, ...pair.later.evidence] }
}

function describePair({ earlier, later }: Pair) {
  return {
    earlier: earlier.written,
    earlierFile: earlier.document.file,
    later: later.written,
    laterFile: later.document.file,
  }
}

function namesOf(readings: readonly OdometerReading[]): string[] {
  return readings.map((reading) => reading.document.file)
}
