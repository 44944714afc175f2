/**
 * What a log says of the vehicle it was taken in, and whether its two speeds, where it has two, are of one vehicle. Clocks
 * of receiver and bus may differ, so the speeds are compared at the lag at which they fit best.
 */
import { correlate } from '../../facts/correlation.ts'
import { loggedSpeeds } from '../../facts/motion.ts'
import { compareVins } from '../../facts/vin.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { plates } from '../identity/plate-agrees.ts'
import { collectVins, type VinStatement } from '../identity/vin-readings.ts'
import { chooseReference, collectNumbers, compareNumbers } from '../identity/written-numbers.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { driveLogLine } from '../shared-lines.ts'
import { placesOfLog, type TrackedLog, trackedLogs } from './logs.ts'

export const driveLogOfThisVehicle: Check = {
  id: 'drive-log-of-this-vehicle',
  group: 'drive',
  claim: 'The log of a drive is of the vehicle of this packet.',
  messages: {
    'same-vin': { state: 'met', text: '{file} names the VIN {named}, as {others} do.' },
    'same-plate': { state: 'met', text: '{file} names the licence plate {named}, as {others} do.' },
    'other-vin': {
      state: 'unmet',
      text: '{file} names the VIN {named}, another vehicle than {expected} in {others}.',
    },
    'miswritten-vin': {
      state: 'unmet',
      text: '{file} names the VIN {named}, which differs a little from {expected} in {others}.',
    },
    'other-plate': {
      state: 'unmet',
      text: '{file} names the licence plate {named}, not {expected} as {others} do.',
    },
    'speeds-agree': {
      state: 'met',
      text: 'The two speeds of {file} rise and fall together (correlation {correlation} at a lag of {lagSeconds} s).',
    },
    'speeds-apart': {
      state: 'unmet',
      text: 'The two speeds of {file} are clearly apart for {apartPercent} % of the time at whatever lag fits best (correlation {correlation}): they may be of two vehicles.',
    },
    'speeds-disagree': {
      state: 'unmet',
      text: 'The two speeds of {file} do not rise and fall together at any lag of up to {mostLagSeconds} s (correlation {correlation} at best): they may be of two vehicles.',
    },
    'speeds-unclear': {
      state: 'undecided',
      text: 'The two speeds of {file} rise and fall together in part (correlation {correlation} at best).',
    },
    'speeds-too-even': {
      state: 'undecided',
      text: 'The two speeds of {file} vary too little, or for too short a time, to be compared.',
    },
    'not-named': { state: 'undecided', text: '{file} names no vehicle.' },
    'vehicle-unclear': {
      state: 'undecided',
      text: '{file} names {named}, which does not settle of which vehicle it is.',
    },
    'no-log': { state: 'undecided', text: 'The packet holds no drive log with points.' },
  },
  parameters: {
    mostLagSeconds: 'How far the clocks of the two speeds may differ, in seconds.',
    leastSeconds: 'For how long both speeds must be known, in seconds.',
    leastSpreadKmh: 'How much both must vary (standard deviation), in km/h.',
    agreeCorrelation: 'Correlation from which the two agree.',
    disagreeCorrelation: 'Correlation below which they disagree.',
    apartShare: 'Share of the time for which the two may be clearly apart, at the lag that fits best.',
    fewCharacters: 'In how many characters two VINs may differ and still be one miswritten.',
  },
  remedy: 'The log of the drive in this vehicle, or a word on whose log it is and why it names another.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a log that may be of another vehicle',
    insurer: 'paying for a drive that this log may not show',
  },
  collect: [driveLogLine],
  run(packet, parameters) {
    const outcomes = trackedLogs(packet).flatMap((log) => [
      judgeName(packet, log, numberParameter(parameters, 'fewCharacters')),
      ...judgeSpeeds(log, parameters),
    ])
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'no-log', data: {}, evidence: [] }]
  },
}

function judgeName(packet: Packet, log: TrackedLog, fewCharacters: number): Outcome {
  const all = collectVins(packet)
  const own = all.filter(({ file }) => file === log.document.file)
  const others = all.filter(({ file, value }) => file !== log.document.file && value.length === 17)
  return (
    judgeVin(log, own, others, fewCharacters) ??
    judgePlate(packet, log) ?? {
      state: 'undecided',
      message: own.length > 0 || log.document.plate !== undefined ? 'vehicle-unclear' : 'not-named',
      data: { file: log.document.file, named: own[0]?.value ?? log.document.plate ?? null },
      evidence: placesOfLog(log),
    }
  )
}

/** The value that most give; null where two are given equally often. */
function findMajority(values: readonly string[]): string | null {
  const votes = new Map<string, number>()
  for (const value of values) votes.set(value, (votes.get(value) ?? 0) + 1)
  const [first, second] = [...votes].sort((a, b) => b[1] - a[1])
  return first !== undefined && first[1] !== second?.[1] ? first[0] : null
}

function judgeVin(
  log: TrackedLog,
  own: readonly VinStatement[],
  others: readonly VinStatement[],
  fewCharacters: number,
): Outcome | null {
  const expected = findMajority(others.map(({ value }) => value))
  if (expected === null) return null
  const compared = own.flatMap((statement) => {
    const relation = relate(statement, expected, fewCharacters)
    return relation === null ? [] : [{ statement, relation }]
  })
  // A log may name several vehicles, such as all that its logger knows: one that is this vehicle is enough.
  const told = compared.find(({ relation }) => relation === 'same-vin') ?? compared[0]
  if (told === undefined) return null
  const agreeing = others.filter(({ value }) => value === expected)
  return {
    state: told.relation === 'same-vin' ? 'met' : 'unmet',
    message: told.relation,
    data: { file: log.document.file, named: told.statement.value, expected, others: filesOf(agreeing) },
    evidence: distinctPlaces([...told.statement.evidence, ...agreeing.flatMap(({ evidence }) => evidence)]),
  }
}

/** Null where the number is too short or too long to be compared. */
function relate({ written }: VinStatement, expected: string, fewCharacters: number) {
  const comparison = compareVins(written, expected)
  if (comparison.kind === 'incomparable') return null
  if (comparison.kind === 'same') return 'same-vin'
  if (comparison.kind === 'partial') return comparison.agrees ? 'same-vin' : 'other-vin'
  if (comparison.kind === 'different' && comparison.count > fewCharacters) return 'other-vin'
  return 'miswritten-vin'
}

const filesOf = (statements: readonly { file: string }[]): string[] => [...new Set(statements.map(({ file }) => file))]

/** A plate that differs by a slip of the pen tells nothing of the log; null then, and where no other file names one. */
function judgePlate(packet: Packet, log: TrackedLog): Outcome | null {
  const { file, plate } = log.document
  const others = collectNumbers(packet, 'plate', plates).filter((statement) => statement.file !== file)
  const reference = chooseReference(others, plates)
  if (plate === undefined || reference === null) return null
  const same = plates.same(plate, reference.written)
  if (!same && compareNumbers(plates.bare(reference.written), plates.bare(plate)).kind !== 'different') return null
  const agreeing = others.filter(({ written }) => plates.same(written, reference.written))
  return {
    state: same ? 'met' : 'unmet',
    message: same ? 'same-plate' : 'other-plate',
    data: { file, named: plate, expected: reference.written, others: filesOf(agreeing) },
    evidence: distinctPlaces([
      ...findPlaces(log.document, 'plate', plate),
      ...agreeing.flatMap(({ evidence }) => evidence),
    ]),
  }
}

function judgeSpeeds(log: TrackedLog, parameters: Parameters): Outcome[] {
  const number = (name: string) => numberParameter(parameters, name)
  const satellite = loggedSpeeds(log.points, ({ speed }) => speed)
  const wheel = loggedSpeeds(log.points, ({ wheelSpeed }) => wheelSpeed)
  if (satellite.length === 0 || wheel.length === 0) return []
  const mostLag = number('mostLagSeconds')
  const found = correlate(satellite, wheel, {
    mostLag,
    leastSeconds: number('leastSeconds'),
    leastSpread: number('leastSpreadKmh') / 3.6,
  })
  const { file } = log.document
  const evidence = placesOfLog(log)
  const apart = found === null ? 0 : shareApart(found.pairs)
  if (found === null) return [{ state: 'undecided', message: 'speeds-too-even', data: { file }, evidence }]
  const data = {
    file,
    correlation: found.coefficient,
    lagSeconds: found.lagSeconds,
    mostLagSeconds: mostLag,
    seconds: found.pairs.length,
    apartPercent: apart * 100,
  }
  const [state, message] =
    found.coefficient < number('disagreeCorrelation')
      ? (['unmet', 'speeds-disagree'] as const)
      : apart > number('apartShare')
        ? (['unmet', 'speeds-apart'] as const)
        : found.coefficient >= number('agreeCorrelation')
          ? (['met', 'speeds-agree'] as const)
          : (['undecided', 'speeds-unclear'] as const)
  const working = [
    {
      text: 'Over {seconds} s in which both are known and vary, correlation is greatest, {correlation}, with the second speed {lagSeconds} s after the first.',
      data,
    },
    {
      text: 'Put in one unit, they differ for {apartPercent} % of the time by more than a wheel that slips or wears, or a receiver that errs, explains.',
      data,
    },
  ]
  return [{ state, message, data, evidence, working }]
}

/** Metres a second, and share of the larger, by which one motion may seem two: tires wear and slip, receivers err. */
const apartSpeed = 6 / 3.6
const apartShare = 0.1

/** Share of the pairs that lie clearly apart once both are put in one unit by what they are on the whole. */
function shareApart(pairs: readonly (readonly [number, number])[]): number {
  const sum = (side: 0 | 1) => pairs.reduce((total, pair) => total + pair[side], 0)
  const ratio = sum(1) > 0 ? sum(0) / sum(1) : 1
  const apart = pairs.filter(([a, b]) => {
    const scaled = b * ratio
    return Math.abs(a - scaled) > Math.max(apartSpeed, apartShare * Math.max(a, scaled))
  })
  return pairs.length > 0 ? apart.length / pairs.length : 0
}
