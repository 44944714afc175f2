/**
 * The speeds of a dynamic calibration against the band of its procedure. A log may reach beyond the calibration, so what is
 * asked of it is asked of the part that the timeline places; clocks leave that part some room, and a log without times all
 * of it, within which the best part of the calibration's length counts.
 *
 * A driver keeps to the speedometer, which may show more than is driven: only what lies below the band by more than that
 * counts as outside it, and what lies between is told in weaker words.
 */
import { type BandFigures, type Leg, legsOf, measureBand, speedsOf } from '../../facts/motion.ts'
import type { Packet } from '../../packet/packet.ts'
import type { CalibrationRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { findProcedure, type ProcedureEntry, sourcesOf } from '../procedures.ts'
import { dynamicRecords, endedDynamicRecords, statedDuration, windowDuration } from './durations.ts'
import { logsOfCalibration, placeCalibration, placesOfLog, type TrackedLog, trackedLogs } from './logs.ts'

export const driveSpeedInBand: Check = {
  id: 'drive-speed-in-band',
  group: 'drive',
  claim: 'Each dynamic calibration was driven at the speeds that its procedure asks for.',
  messages: {
    'in-band': {
      state: 'met',
      text: '{calibration}: {percent} % of the {minutes} min in motion lie between {least} and {most} km/h, {stretchSeconds} s of them unbroken.',
    },
    'mostly-outside': {
      state: 'unmet',
      text: '{calibration}: only {percent} % of the {minutes} min in motion in {log} lie between {least} and {most} km/h.',
    },
    'no-stretch': {
      state: 'unmet',
      text: '{calibration}: the longest unbroken stretch between {least} and {most} km/h in {log} is {stretchSeconds} s; {steadySeconds} s are asked for.',
    },
    'partly-outside': {
      state: 'unmet',
      text: '{calibration}: {percent} % of the {minutes} min in motion in {log} lie between {least} and {most} km/h, a part of the rest not far below.',
    },
    'short-stretch': {
      state: 'unmet',
      text: '{calibration}: the longest unbroken stretch between {least} and {most} km/h in {log} is {stretchSeconds} s, {nearSeconds} s with what a speedometer may show too much; {steadySeconds} s are asked for.',
    },
    'no-band': { state: 'undecided', text: '{calibration}: no procedure of the rulebook states a speed for it.' },
    'no-speed': {
      state: 'undecided',
      text: '{calibration}: the logs of the packet do not tell the speeds of its drive.',
    },
    'no-log': { state: 'undecided', text: '{calibration}: the packet holds no drive log with points for it.' },
    'no-dynamic': {
      state: 'undecided',
      text: 'The packet holds no record of a dynamic calibration that ran to its end.',
    },
  },
  parameters: {
    failShare:
      'Share of the time in motion that must lie within the band, a speedometer that shows too much allowed for.',
    warnShare: 'Share of the time in motion that should lie within the band.',
    speedometerShare: 'How much more than the speed driven a speedometer may show, as a share of it.',
    speedometerKmh: 'How much more it may show besides, in km/h.',
    roundingKmh: 'What the rounding of logged speeds may hide, in km/h.',
    spanSeconds: 'Over how many seconds a speed is taken from positions.',
    knownShare: 'Share of the calibration for which the log must tell the speed.',
  },
  remedy:
    "The procedure's own speed, the log of the calibration's drive where this is another, or the calibration repeated.",
  suppliers: ['calibrator', 'vehicle-maker'],
  settledWith: 'papers',
  exposes: { calibrator: 'a procedure that seems not to have been followed' },
  collect: [
    {
      step: 'dynamic',
      per: 'dynamic',
      text: 'The speed and length of drive that the procedure for {subject} asks for, as its service information states them',
    },
  ],
  run(packet, parameters, procedures) {
    const records = dynamicRecords(packet)
    const ended = endedDynamicRecords(packet)
    if (ended.length === 0) return [{ state: 'undecided', message: 'no-dynamic', data: {}, evidence: [] }]
    return ended.map((record) => judge(packet, record, records, parameters, procedures))
  },
}

type Message = 'in-band' | 'partly-outside' | 'short-stretch' | 'no-stretch' | 'mostly-outside'
const ranks: Record<Message, number> = {
  'in-band': 0,
  'partly-outside': 1,
  'short-stretch': 2,
  'no-stretch': 3,
  'mostly-outside': 4,
}

/** One part of a log, measured in the band and in the band widened by what a speedometer may show too much. */
interface Part {
  message: Message
  log: TrackedLog
  from: number
  to: number
  strict: BandFigures
  wide: BandFigures
}

interface Asked {
  strict: readonly [number, number]
  wide: readonly [number, number]
  /** In seconds; 0 where no unbroken stretch is asked for. */
  steady: number
}

function judge(
  packet: Packet,
  record: CalibrationRecord,
  records: readonly CalibrationRecord[],
  parameters: Parameters,
  procedures: readonly ProcedureEntry[],
): Outcome {
  const data = { calibration: record.label, file: record.document.file }
  const evidence = [{ file: record.document.file, text: '' }]
  const procedure = findProcedure(procedures, packet, record.reading.sensor, 'dynamic')
  const band = procedure.values.speedKmh
  if (band === undefined) return { state: 'undecided', message: 'no-band', data, evidence }
  const logs = logsOfCalibration(packet, trackedLogs(packet), record, records)
  if (logs.length === 0) return { state: 'undecided', message: 'no-log', data, evidence }
  const asked = widenBand(band, procedure.values.steadySeconds ?? 0, parameters)
  const parts = logs.flatMap((log) => bestPart(packet, log, record, asked, parameters) ?? [])
  const best = parts.reduce<Part | null>(
    (found, part) => (found === null || isBetter(part, found) ? part : found),
    null,
  )
  if (best === null) return { state: 'undecided', message: 'no-speed', data, evidence }
  return describe(best, data, band, asked, sourcesOf(procedure, 'speedKmh', 'steadySeconds'))
}

function widenBand([least, most]: readonly [number, number], steady: number, parameters: Parameters): Asked {
  const number = (name: string) => numberParameter(parameters, name)
  const rounding = number('roundingKmh')
  const driven = (least - number('speedometerKmh')) / (1 + number('speedometerShare'))
  const toMetres = (kmh: number) => kmh / 3.6
  const upper = toMetres(most + rounding)
  return {
    strict: [toMetres(least - rounding), upper],
    wide: [toMetres(Math.min(driven, least - rounding)), upper],
    steady,
  }
}

function isBetter(next: Part, best: Part): boolean {
  if (ranks[next.message] !== ranks[best.message]) return ranks[next.message] < ranks[best.message]
  return shareOf(next.strict) > shareOf(best.strict)
}

const shareOf = ({ bandSeconds, movingSeconds }: BandFigures): number =>
  movingSeconds > 0 ? bandSeconds / movingSeconds : 0

/** Seconds by which the calibration is moved along the log to find where it fits best. */
const stride = 10

function bestPart(
  packet: Packet,
  log: TrackedLog,
  record: CalibrationRecord,
  asked: Asked,
  parameters: Parameters,
): Part | null {
  const legs = legsOf(speedsOf(log.points, numberParameter(parameters, 'spanSeconds')))
  const [first, last] = [log.points[0]?.time, log.points.at(-1)?.time]
  if (first === undefined || last === undefined) return null
  const length = Math.min(last - first, Math.max(lengthOf(record) ?? 0, asked.steady) || last - first)
  const [earliest, latest] = startsOf(packet, log, record, first, last - length)
  let best: Part | null = null
  let [begin, end] = [0, 0]
  for (let from = earliest; from <= latest; from += stride) {
    const to = from + length
    while (begin < legs.length && (legs[begin]?.to ?? 0) <= from) begin++
    while (end < legs.length && (legs[end]?.from ?? 0) < to) end++
    const part = measurePart(log, legs.slice(begin, end), from, to, asked, parameters)
    if (part !== null && (best === null || isBetter(part, best))) best = part
  }
  return best
}

/** In seconds, where the record tells. */
function lengthOf(record: CalibrationRecord): number | null {
  const stated = windowDuration(record) ?? statedDuration(record)
  return stated === null ? null : stated.least
}

/** Between which times the part may begin so that it lies within the log. */
function startsOf(packet: Packet, log: TrackedLog, record: CalibrationRecord, first: number, last: number) {
  const placement = placeCalibration(packet, log, record)
  if (placement === null) return [first, last] as const
  const clip = (time: number) => Math.min(Math.max(time, first), last)
  return [clip(placement.start[0]), clip(placement.start[1])] as const
}

function measurePart(
  log: TrackedLog,
  legs: readonly Leg[],
  from: number,
  to: number,
  asked: Asked,
  parameters: Parameters,
): Part | null {
  const known = legs.reduce((sum, leg) => sum + Math.max(0, Math.min(leg.to, to) - Math.max(leg.from, from)), 0)
  if (known <= 0 || known < (to - from) * numberParameter(parameters, 'knownShare')) return null
  const strict = measureBand(legs, asked.strict, from, to)
  const wide = measureBand(legs, asked.wide, from, to)
  return { message: weigh(strict, wide, asked.steady, parameters), log, from, to, strict, wide }
}

function weigh(strict: BandFigures, wide: BandFigures, steady: number, parameters: Parameters): Message {
  if (shareOf(wide) < numberParameter(parameters, 'failShare')) return 'mostly-outside'
  // A stretch is known to within one interval of the log.
  if (wide.stretchSeconds < steady) return 'no-stretch'
  if (strict.stretchSeconds < steady) return 'short-stretch'
  return shareOf(strict) < numberParameter(parameters, 'warnShare') ? 'partly-outside' : 'in-band'
}

function describe(
  { message, log, from, to, strict, wide }: Part,
  data: { calibration: string; file: string },
  [least, most]: readonly [number, number],
  asked: Asked,
  sources: string[],
): Outcome {
  const figures = message === 'mostly-outside' || message === 'no-stretch' ? wide : strict
  const full = {
    ...data,
    log: log.document.file,
    least,
    most,
    percent: shareOf(figures) * 100,
    minutes: figures.movingSeconds / 60,
    stretchSeconds: figures.stretchSeconds,
    nearSeconds: wide.stretchSeconds,
    steadySeconds: asked.steady,
  }
  const first = log.points[0]?.time ?? from
  const steps = {
    ...full,
    fromSeconds: from - first,
    toSeconds: to - first,
    strictLeast: asked.strict[0] * 3.6,
    wideLeast: asked.wide[0] * 3.6,
    strictSeconds: strict.bandSeconds,
    wideSeconds: wide.bandSeconds,
    movingSeconds: strict.movingSeconds,
    wideStretch: wide.stretchSeconds,
    strictStretch: strict.stretchSeconds,
  }
  return {
    state: message === 'in-band' ? 'met' : 'unmet',
    message,
    data: full,
    evidence: distinctPlaces([...placesOfLog(log), { file: data.file, text: '' }]),
    sources,
    working: [
      {
        text: 'Looked at: {fromSeconds} s to {toSeconds} s after the first point of {log}, {movingSeconds} s in motion.',
        data: steps,
      },
      {
        text: 'From {strictLeast} km/h, rounding allowed for: {strictSeconds} s, the longest stretch {strictStretch} s.',
        data: steps,
      },
      {
        text: 'From {wideLeast} km/h, a speedometer that shows too much allowed for: {wideSeconds} s, the longest stretch {wideStretch} s.',
        data: steps,
      },
    ],
  }
}
