/**
 * Attempts that one file tells of and another, on the same calibration, does not. Only a file that says how many attempts
 * there were, or lists them, can say too few: one that gives the result alone leaves nothing out. A file on an earlier
 * run cannot know of later ones, so that only those that tell of the completed calibration count.
 */
import type { CalibrationReading } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import {
  type CalibrationRecord,
  calibrationRecords,
  finalAttempt,
  placesOfRecord,
  sameCalibration,
} from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces } from '../places.ts'

export const attemptsDisclosed: Check = {
  id: 'attempts-disclosed',
  group: 'completion',
  claim: 'Files that tell of the attempts at a calibration tell of the same ones.',
  messages: {
    disclosed: {
      state: 'met',
      text: '{calibration}: {known} attempts are told of in {files}, and no file gives fewer.',
    },
    'fewer-told': {
      state: 'unmet',
      text: '{calibration}: {file} tells of {told}, and {otherFiles} of {known} attempts.',
    },
    'order-unknown': {
      state: 'undecided',
      text: '{calibration}: {file} tells of {told}, and {otherFiles} of an unsuccessful run that may have come later.',
    },
    'none-failed': { state: 'undecided', text: 'No file tells of an unsuccessful attempt at a calibration.' },
    'no-calibration': { state: 'undecided', text: 'The packet holds no calibration record.' },
  },
  parameters: {},
  remedy: 'The log of the instrument for that day, with every attempt.',
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'an attempt that one record tells of and another leaves out',
  },
  collect: [],
  run(packet) {
    const records = calibrationRecords(packet)
    const nothing = (message: string): Outcome[] => [{ state: 'undecided', message, data: {}, evidence: [] }]
    if (records.length === 0) return nothing('no-calibration')
    const outcomes = groupRecords(records).flatMap((group) => judge(packet, group))
    return outcomes.length > 0 ? outcomes : nothing('none-failed')
  },
}

/** All records of one calibration, mentions in other files among them. */
function groupRecords(records: readonly CalibrationRecord[]): CalibrationRecord[][] {
  const groups: CalibrationRecord[][] = []
  for (const record of records) {
    const group = groups.find(([first]) => first !== undefined && sameCalibration(first.reading, record.reading))
    if (group === undefined) groups.push([record])
    else group.push(record)
  }
  return groups
}

/** How many attempts a record tells of; null where it neither counts nor lists them. */
function countTold({ attemptCount, attempts = [] }: CalibrationReading): number | null {
  const listed = attempts.filter(({ outcome }) => outcome !== 'unknown').length
  if (attemptCount === undefined && listed === 0) return null
  return Math.max(attemptCount ?? 0, listed)
}

const unsuccessful: ReadonlySet<string> = new Set(['failed', 'aborted'])

const isFailedRun = ({ reading }: CalibrationRecord) => unsuccessful.has(finalAttempt(reading).outcome)

function judge(packet: Packet, group: readonly CalibrationRecord[]): Outcome[] {
  const told = group.flatMap((record) => {
    const count = countTold(record.reading)
    return count === null || isFailedRun(record) ? [] : [{ record, count }]
  })
  const most = told.reduce((known, { count }) => Math.max(known, count), 0)
  const failedRuns = group.filter(isFailedRun)
  const unmet = told.flatMap(({ record, count }): Outcome[] => {
    const fuller = told.filter((other) => other.count > count && other.record.document !== record.document)
    if (fuller.length > 0)
      return [
        tell(
          'fewer-told',
          record,
          count,
          fuller.map((each) => each.record),
          most,
        ),
      ]
    if (count > 1) return []
    const others = failedRuns.filter(({ document }) => document !== record.document)
    const earlier = others.filter((other) => cameBefore(packet, other, record) === 'certain')
    if (earlier.length > 0) return [tell('fewer-told', record, count, earlier, earlier.length + count)]
    const open = others.filter((other) => cameBefore(packet, other, record) !== 'impossible')
    return open.length > 0 ? [tell('order-unknown', record, count, open, open.length + count)] : []
  })
  if (unmet.length > 0) return unmet
  const failures = group.filter((record) => isFailedRun(record) || hasFailedAttempt(record))
  const [first] = failures
  if (first === undefined) return []
  const files = [...new Set(failures.map(({ document }) => document.file))]
  const data = { calibration: first.label, known: Math.max(most, failedRuns.length), files }
  return [{ state: 'met', message: 'disclosed', data, evidence: distinctPlaces(failures.flatMap(placesOf)) }]
}

function hasFailedAttempt({ reading }: CalibrationRecord): boolean {
  return (reading.attempts ?? []).some(({ outcome }) => unsuccessful.has(outcome)) || (reading.attemptCount ?? 1) > 1
}

function cameBefore(packet: Packet, first: CalibrationRecord, second: CalibrationRecord): string {
  if (first.event === null || second.event === null) return 'unknown'
  return packet.timeline.order({ event: first.event.id, edge: 'end' }, { event: second.event.id, edge: 'end' }).answer
}

function tell(
  message: 'fewer-told' | 'order-unknown',
  record: CalibrationRecord,
  count: number,
  others: readonly CalibrationRecord[],
  known: number,
): Outcome {
  const otherFiles = [...new Set(others.map(({ document }) => document.file))]
  const data = { calibration: record.label, file: record.document.file, told: count, otherFiles, known }
  const evidence = distinctPlaces([record, ...others].flatMap(placesOf))
  return { state: message === 'fewer-told' ? 'unmet' : 'undecided', message, data, evidence }
}

function placesOf(record: CalibrationRecord) {
  const { attemptCount, attempts = [] } = record.reading
  if (attemptCount !== undefined) return placesOfRecord(record, 'attemptCount')
  const listed = attempts.flatMap((_, index) => placesOfRecord(record, `attempts.${index}`))
  return listed.length > 0 ? listed : placesOfRecord(record, 'outcome')
}
