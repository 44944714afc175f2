/**
 * Stated duration, start and end, and drive log against each other. What may differ without fault does not count:
 * - start to end may exceed the stated duration where the record tells of several attempts, or says that stops or
 *   standing are left out;
 * - a log may exceed the calibration where it covers it (the way there and back), or where it carries no times to tell.
 */
import type { Packet } from '../../packet/packet.ts'
import { type CalibrationRecord, placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import {
  countRuns,
  type DriveLog,
  type Duration,
  driveLogs,
  dynamicRecords,
  statedDuration,
  windowDuration,
} from './durations.ts'
import { coversCalibration, logsOfCalibration } from './logs.ts'

export const driveDurationAgrees: Check = {
  id: 'drive-duration-agrees',
  group: 'drive',
  claim: 'Stated duration, start and end times, and drive log tell of one length of drive.',
  messages: {
    agree: { state: 'met', text: '{calibration}: {first} ({firstSeconds} s) and {second} ({secondSeconds} s) agree.' },
    'long-enough': {
      state: 'met',
      text: '{calibration}: {second} ({secondSeconds} s) leaves room for {first} ({firstSeconds} s).',
    },
    disagree: {
      state: 'unmet',
      text: '{calibration}: {first} is {firstSeconds} s, {second} {secondSeconds} s; they differ by {differenceSeconds} s ({differencePercent} %).',
    },
    differ: {
      state: 'unmet',
      text: '{calibration}: {first} is {firstSeconds} s, {second} {secondSeconds} s; they differ a little, by {differenceSeconds} s ({differencePercent} %).',
    },
    'one-source': { state: 'undecided', text: '{calibration}: fewer than two sources tell how long the drive lasted.' },
    'no-dynamic': { state: 'undecided', text: 'The packet holds no record of a dynamic calibration.' },
  },
  parameters: {
    failShare: 'Share of the longer duration beyond which two disagree.',
    failSeconds: 'Seconds beyond which two disagree; both must be exceeded.',
    warnShare: 'Share of the longer duration beyond which two differ a little.',
    warnSeconds: 'Seconds beyond which two differ a little; both must be exceeded.',
  },
  remedy: "The instrument's own log of the run, or the record of attempts and stops that explains the difference.",
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a drive whose length its records tell differently',
  },
  collect: [
    {
      step: 'dynamic',
      per: 'dynamic',
      text: 'Start and end of the drive for {subject}, with the time on the instrument’s own clock',
    },
  ],
  run(packet, parameters) {
    const records = dynamicRecords(packet)
    if (records.length === 0) return [{ state: 'undecided', message: 'no-dynamic', data: {}, evidence: [] }]
    return records.map((record) => judge(packet, record, records, parameters))
  },
}

type Message = 'agree' | 'long-enough' | 'differ' | 'disagree'
interface Comparison {
  message: Message
  first: Duration
  second: Duration
  difference: number
  share: number
}
const ranks: Record<Message, number> = { agree: 0, 'long-enough': 1, differ: 2, disagree: 3 }

function judge(
  packet: Packet,
  record: CalibrationRecord,
  records: readonly CalibrationRecord[],
  parameters: Parameters,
): Outcome {
  const stated = statedDuration(record)
  const window = windowDuration(record)
  const comparisons: Comparison[] = []
  const mayBeLonger = countRuns(record.reading) > 1 || leavesOutStops(record)
  if (stated !== null && window !== null) comparisons.push(compare(stated, window, mayBeLonger, parameters))
  const logs = logsOfCalibration(packet, driveLogs(packet), record, records)
  // Start and end may span several drives, each with a log of its own.
  const told = countRuns(record.reading) > 1 ? [stated] : [window, stated]
  for (const own of told.filter((duration) => duration !== null)) {
    const compared = logs.map((log) => compareLog(packet, log, record, own, parameters))
    const best = pick(compared, (next, best) => ranks[next.message] < ranks[best.message])
    if (best !== null) comparisons.push(best)
  }
  const worst = pick(comparisons, (next, worst) => ranks[next.message] > ranks[worst.message])
  const data = { calibration: record.label, file: record.document.file }
  if (worst === null)
    return { state: 'undecided', message: 'one-source', data, evidence: [{ file: record.document.file, text: '' }] }
  const { message, first, second, difference, share } = worst
  return {
    state: message === 'agree' || message === 'long-enough' ? 'met' : 'unmet',
    message,
    data: {
      ...data,
      first: first.source,
      firstSeconds: (first.least + first.most) / 2,
      second: second.source,
      secondSeconds: (second.least + second.most) / 2,
      differenceSeconds: difference,
      differencePercent: share * 100,
    },
    evidence: [...first.evidence, ...second.evidence],
  }
}

function compareLog(
  packet: Packet,
  log: DriveLog,
  record: CalibrationRecord,
  own: Duration,
  parameters: Parameters,
): Comparison {
  const mayBeLonger = coversCalibration(packet, log, record) !== 'no'
  const isNet = own.source === 'the stated duration' && leavesOutStops(record)
  const moving = isNet ? log.movingSeconds : null
  const duration = moving === null ? log.duration : { ...log.duration, least: moving, most: moving }
  return compare(own, duration, mayBeLonger, parameters)
}

/** The difference that no precision explains; one by which `second` is the longer counts only where it may not be. */
function compare(first: Duration, second: Duration, mayBeLonger: boolean, parameters: Parameters): Comparison {
  const over = Math.max(0, first.least - second.most)
  const under = Math.max(0, second.least - first.most)
  const difference = Math.max(over, under)
  const longer = Math.max(first.least, second.least)
  const share = longer > 0 ? difference / longer : difference > 0 ? 1 : 0
  const beyond = (key: 'fail' | 'warn') =>
    share > numberParameter(parameters, `${key}Share`) && difference > numberParameter(parameters, `${key}Seconds`)
  const found = beyond('fail') ? 'disagree' : beyond('warn') ? 'differ' : 'agree'
  const message = found !== 'agree' && under > 0 && mayBeLonger ? 'long-enough' : found
  return { message, first, second, difference, share }
}

function pick<Item>(items: readonly Item[], isBetter: (next: Item, best: Item) => boolean): Item | null {
  return items.reduce<Item | null>((best, next) => (best === null || isBetter(next, best) ? next : best), null)
}

/** Does the record word its duration as net of stops? */
function leavesOutStops(record: CalibrationRecord): boolean {
  return placesOfRecord(record, 'durationSeconds').some(({ text }) =>
    /\b(net|moving|in motion|without stops|(?:excl|less|minus)\w*\.? (?:stops|standing|idling|pauses|waiting))\b/i.test(
      text,
    ),
  )
}
