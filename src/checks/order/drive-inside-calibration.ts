/**
 * Each completed dynamic calibration against the drive logs. A log usually reaches there and back, and an instrument may
 * be started in the yard, so either may lie within the other; what they must do is share time, and the log must show a
 * good part of the calibration. A log that lies elsewhere in time, and lasts about as long or is off by whole hours, points
 * to a clock or its zone.
 */
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import { type CalibrationRecord, finalAttempt, performedCalibrations, type TimedRecord } from '../calibrations.ts'
import type { Check, Outcome, WorkingStep } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { nothingToCompare } from './precedence-outcome.ts'
import { boundLength, boundShared, endOf, startOf } from './shared-time.ts'

export const driveInsideCalibration: Check = {
  id: 'drive-inside-calibration',
  group: 'order',
  claim: 'Each dynamic calibration and its drive log tell of the same time.',
  messages: {
    together: {
      state: 'met',
      text: '{calibration} ({file}) and the drive of {log} share at least {leastSeconds} s.',
    },
    outside: {
      state: 'unmet',
      text: '{calibration} ({file}) and the drive of {log} lie at least {apartSeconds} s apart.',
    },
    'outside-alike': {
      state: 'unmet',
      text: '{calibration} ({file}) and the drive of {log} lie at least {apartSeconds} s apart, and last about as long ({calibrationSeconds} s and {logSeconds} s): a clock that was set wrong would explain it.',
    },
    'outside-by-hours': {
      state: 'unmet',
      text: '{calibration} ({file}) and the drive of {log} lie at least {apartSeconds} s apart; {hours} h would bring them together, which points to the zone of a clock.',
    },
    partly: {
      state: 'unmet',
      text: '{calibration} ({file}): the drive of {log} covers at most {mostSeconds} s of its {calibrationSeconds} s.',
    },
    'too-coarse': {
      state: 'undecided',
      text: '{calibration} ({file}) and the drive of {log} are not timed closely enough to tell whether they belong together; the zone and the accuracy of their clocks would.',
    },
    'no-log': { state: 'undecided', text: 'The packet holds no drive log with times.' },
    'no-dynamic': { state: 'undecided', text: 'No record of a completed dynamic calibration states its times.' },
  },
  parameters: {
    leastShare: 'Share of a calibration that its drive log must cover.',
    alikeSeconds: 'Two lengths, or two times, that differ by no more than this are about the same, in seconds.',
  },
  remedy: 'The log of the drive on which the calibration was made, or proof of how the clocks were set.',
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a calibration whose drive nobody can show',
  },
  collect: [],
  run(packet, parameters) {
    const records = performedCalibrations(packet).filter(isTimedDrive)
    if (records.length === 0) return nothingToCompare('no-dynamic')
    const logs = packet.events.filter(({ kind, clock }) => kind === 'drive' && clock !== null)
    if (logs.length === 0) return nothingToCompare('no-log')
    const taken = logs.filter((log) => records.some((record) => boundShared(packet, record.event, log)[0] > 0))
    const free = logs.filter((log) => !taken.includes(log))
    return records.map((record) => judge(packet, record, logs, free, parameters))
  },
}

function isTimedDrive({ reading }: CalibrationRecord): boolean {
  const { outcome } = finalAttempt(reading)
  const isTimed = [reading.started, reading.ended].some((time) => (time?.local ?? '').includes('T'))
  return reading.method === 'dynamic' && (outcome === 'completed' || outcome === 'unknown') && isTimed
}

interface Match {
  log: PacketEvent
  least: number
  most: number
}

/** `free`: logs that share time with no calibration for certain. */
function judge(
  packet: Packet,
  record: TimedRecord,
  logs: readonly PacketEvent[],
  free: readonly PacketEvent[],
  parameters: Parameters,
): Outcome {
  const matches = logs.map((log): Match => {
    const [least, most] = boundShared(packet, record.event, log)
    return { log, least, most }
  })
  const may = matches.some(({ most }) => most > 0)
  // A log of another calibration is not the one that was to be of this, as long as there is one of none.
  const own = may || free.length === 0 ? matches : matches.filter(({ log }) => free.includes(log))
  const best = own.reduce((one, other) => (closeness(other) > closeness(one) ? other : one))
  const covered = matches.reduce((sum, { most }) => sum + Math.max(0, most), 0)
  const share = numberParameter(parameters, 'leastShare')
  const length = boundLength(packet, record.event)
  const distance = measureDistance(packet, record.event, best.log)
  const message =
    best.most < 0
      ? explainDistance(distance, numberParameter(parameters, 'alikeSeconds'))
      : weigh(best, covered, share * length[0])
  const { because } = packet.timeline.order(startOf(record.event), endOf(best.log))
  const data = {
    calibration: record.label,
    file: record.document.file,
    log: best.log.file,
    leastSeconds: finite(best.least),
    mostSeconds: finite(best.most),
    apartSeconds: finite(-best.most),
    calibrationSeconds: middle(length),
    logSeconds: middle(boundLength(packet, best.log)),
    hours: wholeHours(distance, numberParameter(parameters, 'alikeSeconds')),
    leastShare: share,
  }
  return {
    state: message === 'together' ? 'met' : message === 'too-coarse' ? 'undecided' : 'unmet',
    message,
    data,
    evidence: distinctPlaces([...record.event.evidence, ...best.log.evidence]),
    statements: because,
    working: [shared, ...(message === 'partly' ? [wanted] : [])].map((text): WorkingStep => ({ text, data })),
  }
}

const shared = 'Between the clocks, {calibration} and the drive share {leastSeconds} to {mostSeconds} s'
const wanted = '{leastShare} of {calibrationSeconds} s is wanted'

/** Certain overlap first, then possible overlap, then the least distance. */
const closeness = ({ least, most }: Match): number =>
  least > 0 ? 1e12 + least : most > 0 ? 1e6 + Math.min(most, 1e6) : most

function weigh({ least, most }: Match, covered: number, wantedSeconds: number): 'together' | 'partly' | 'too-coarse' {
  if (covered < wantedSeconds) return 'partly'
  return least > 0 && (least + most) / 2 >= wantedSeconds ? 'together' : 'too-coarse'
}

/** From the start of the drive to that of the calibration, and from end to end, in seconds; null where nothing bounds them. */
type Distance = readonly [starts: number | null, ends: number | null]

function measureDistance(packet: Packet, calibration: PacketEvent, log: PacketEvent): Distance {
  return [
    middle(packet.timeline.order(startOf(log), startOf(calibration)).gapSeconds),
    middle(packet.timeline.order(endOf(log), endOf(calibration)).gapSeconds),
  ]
}

/** Beginnings and ends that lie apart by the same are of lengths that are the same. */
function explainDistance(distance: Distance, alikeSeconds: number): 'outside' | 'outside-alike' | 'outside-by-hours' {
  const [starts, ends] = distance
  if (wholeHours(distance, alikeSeconds) !== null) return 'outside-by-hours'
  return starts !== null && ends !== null && Math.abs(starts - ends) <= alikeSeconds ? 'outside-alike' : 'outside'
}

/** No zone lies more than 26 hours from another. */
const mostHours = 26

/** The whole hours that would set one within the other; null where there are none. */
function wholeHours([starts, ends]: Distance, alikeSeconds: number): number | null {
  if (starts === null || ends === null) return null
  const [from, to] = [Math.min(starts, ends) - alikeSeconds, Math.max(starts, ends) + alikeSeconds]
  const hours = Math.ceil(from / 3600)
  return hours * 3600 <= to && hours !== 0 && Math.abs(hours) <= mostHours ? hours : null
}

function middle([least, most]: readonly [number, number]): number | null {
  return finite((least + most) / 2)
}

function finite(seconds: number): number | null {
  return Number.isFinite(seconds) ? Math.round(seconds) : null
}
