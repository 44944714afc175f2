/**
 * The sun at the place and time of each dynamic calibration whose procedure needs daylight. Start and end are known within
 * bounds, so the whole of each is looked at: only a start or an end that is dark throughout is dark.
 */
import type { Position } from '../../facts/geodesic.ts'
import { formatInstant, secondsOfInstant } from '../../facts/instant.ts'
import { isPlaced, positionOf } from '../../facts/motion.ts'
import { findSun } from '../../facts/sun.ts'
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import { type CalibrationRecord, placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { findDeclaredPlaces } from '../places.ts'
import { findProcedure, type ProcedureEntry, sourcesOf } from '../procedures.ts'
import { dynamicRecords, endedDynamicRecords } from './durations.ts'
import { logsOfCalibration, placesOfLog, trackedLogs } from './logs.ts'

export const driveInDaylight: Check = {
  id: 'drive-in-daylight',
  group: 'drive',
  claim: 'Each dynamic calibration that needs daylight was driven in daylight.',
  messages: {
    daylight: {
      state: 'met',
      text: '{calibration}: the sun stood at least {lowest} degrees above the horizon; that says nothing of rain, glare or shade.',
    },
    dark: {
      state: 'unmet',
      text: '{calibration}: the drive {edge} in darkness, with the sun at most at {highest} degrees, below the {dark} degrees of civil twilight.',
    },
    twilight: {
      state: 'unmet',
      text: '{calibration}: the drive {edge} in twilight, with the sun at most at {highest} degrees, below the {set} degrees of sunset.',
    },
    'not-certain': {
      state: 'undecided',
      text: '{calibration}: the sun stood between {lowest} and {highest} degrees within the times that the drive is known to.',
    },
    'no-time': { state: 'undecided', text: '{calibration}: nothing bounds the time of its drive closely enough.' },
    'no-place': { state: 'undecided', text: '{calibration}: neither a log nor packet.yaml tells where it was driven.' },
    'not-needed': { state: 'undecided', text: 'No recorded dynamic calibration needs daylight.' },
  },
  parameters: {
    darkDegrees: 'Elevation of the sun below which it is dark, in degrees.',
    setDegrees: 'Elevation of the sun at sunset, in degrees.',
    spanHours: 'Within how many hours the drive must be known to lie.',
  },
  remedy: 'The log of the drive with its time and zone, or the calibration repeated by day.',
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: { calibrator: 'a camera that may not have seen what it learns from' },
  collect: [],
  run(packet, parameters, procedures) {
    const records = dynamicRecords(packet)
    const outcomes = endedDynamicRecords(packet).flatMap((record) =>
      judge(packet, record, records, parameters, procedures),
    )
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'not-needed', data: {}, evidence: [] }]
  },
}

/** UTC seconds between which something happened. */
type Span = readonly [from: number, to: number]

function judge(
  packet: Packet,
  record: CalibrationRecord,
  records: readonly CalibrationRecord[],
  parameters: Parameters,
  procedures: readonly ProcedureEntry[],
): Outcome[] {
  const procedure = findProcedure(procedures, packet, record.reading.sensor, 'dynamic')
  if (procedure.values.daylight !== true) return []
  const data = { calibration: record.label, file: record.document.file }
  const evidence = [...placesOfRecord(record, 'started'), ...placesOfRecord(record, 'ended')]
  const spans = timesOf(packet, record, records, numberParameter(parameters, 'spanHours') * 3600)
  if (spans === null) return [{ state: 'undecided', message: 'no-time', data, evidence }]
  const place = placeOf(packet, record, records)
  if (place === null) return [{ state: 'undecided', message: 'no-place', data, evidence }]
  const sources = sourcesOf(procedure, 'daylight')
  const outcome = weigh(spans, place.position, parameters)
  return [{ ...outcome, data: { ...data, ...outcome.data }, evidence: [...evidence, ...place.evidence], sources }]
}

function weigh(spans: readonly [Span, Span], position: Position, parameters: Parameters): Omit<Outcome, 'evidence'> {
  const dark = numberParameter(parameters, 'darkDegrees')
  const set = numberParameter(parameters, 'setDegrees')
  const edges = spans.map((span, index) => ({ edge: index === 0 ? 'begins' : 'ends', ...elevationsIn(span, position) }))
  const lower = edges.reduce((low, edge) => (edge.highest < low.highest ? edge : low))
  const { lowest } = elevationsIn([spans[0][0], spans[1][1]], position)
  const place = position.map((degrees) => degrees.toFixed(4)).join(', ')
  const working = edges.map(({ edge, lowest, highest }, index) => ({
    text: 'It {edge} between {from} and {to}, when the sun at {place} stands between {lowest} and {highest} degrees.',
    data: { edge, from: formatTime(spans[index]?.[0]), to: formatTime(spans[index]?.[1]), place, lowest, highest },
  }))
  const unmet = (message: string): Omit<Outcome, 'evidence'> => ({
    state: 'unmet',
    message,
    data: { edge: lower.edge, highest: lower.highest, lowest, dark, set },
    working,
  })
  if (lower.highest < dark) return unmet('dark')
  if (lower.highest < set) return unmet('twilight')
  const highest = Math.max(...edges.map((edge) => edge.highest))
  if (lowest >= set) return { state: 'met', message: 'daylight', data: { lowest }, working }
  return { state: 'undecided', message: 'not-certain', data: { lowest, highest }, working }
}

const formatTime = (seconds = 0): string => formatInstant(Math.round(seconds))

/** Every two minutes, in which the sun moves half a degree. */
function elevationsIn([from, to]: Span, position: Position): { lowest: number; highest: number } {
  const count = Math.max(1, Math.ceil((to - from) / 120))
  const elevations = Array.from(
    { length: count + 1 },
    (_, index) => findSun(from + ((to - from) * index) / count, position).elevation,
  )
  return { lowest: Math.min(...elevations), highest: Math.max(...elevations) }
}

/** When the drive began and ended: by the calibration's own times, else by those of its log. */
function timesOf(
  packet: Packet,
  record: CalibrationRecord,
  records: readonly CalibrationRecord[],
  widest: number,
): readonly [Span, Span] | null {
  const logs = logsOfCalibration(packet, trackedLogs(packet), record, records)
  for (const event of [record.event, ...logs.map((log) => log.event)]) {
    const spans = event === null ? null : spansOf(event)
    if (spans !== null && spans[0][0] <= spans[1][1] && spans[1][1] - spans[0][0] <= widest) return spans
  }
  return null
}

function spansOf({ earliestStart, latestStart, earliestEnd, latestEnd }: PacketEvent): readonly [Span, Span] | null {
  if (earliestStart === null || latestStart === null || earliestEnd === null || latestEnd === null) return null
  const [a, b, c, d] = [earliestStart, latestStart, earliestEnd, latestEnd].map(secondsOfInstant)
  if (a === undefined || b === undefined || c === undefined || d === undefined) return null
  return [
    [a, b],
    [c, d],
  ]
}

/** Where it was driven: in the middle of its log, else about the shop, from which a drive does not lead out of the day. */
function placeOf(packet: Packet, record: CalibrationRecord, records: readonly CalibrationRecord[]) {
  for (const log of logsOfCalibration(packet, trackedLogs(packet), record, records)) {
    const placed = log.track.points.filter(isPlaced)
    const middle = placed[Math.floor(placed.length / 2)]
    if (middle) return { position: positionOf(middle), evidence: placesOfLog(log) }
  }
  const shop = packet.declaration?.shop?.location
  return shop === undefined ? null : { position: shop, evidence: findDeclaredPlaces(packet, 'shop.location') }
}
