/**
 * Gaps in the log of a drive. Where the timeline places a dynamic calibration within the log, that part is looked at, else
 * the whole. Loggers may pause where the vehicle stands: a gap at whose ends it was in one place is a stop, not a hole.
 */
import { distanceMetres } from '../../facts/geodesic.ts'
import { isPlaced, loggedSpeed, movingSpeed, positionOf, type TimedPoint } from '../../facts/motion.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { driveLogLine } from '../shared-lines.ts'
import { dynamicRecords } from './durations.ts'
import { judgeLogs, placeCalibration, placesOfLog, type TrackedLog } from './logs.ts'

export const driveLogContinuous: Check = {
  id: 'drive-log-continuous',
  group: 'drive',
  claim: 'The log of a drive runs on without gaps.',
  messages: {
    continuous: {
      state: 'met',
      text: '{file} holds {points} points in {minutes} min, and no gap of more than {gapSeconds} s.',
    },
    'mostly-gaps': {
      state: 'unmet',
      text: '{file} leaves out {lostMinutes} of {minutes} min in gaps of more than {gapSeconds} s: more than half of the drive.',
    },
    gaps: {
      state: 'unmet',
      text: '{file} has gaps of more than {gapSeconds} s: {gaps}, together {lostMinutes} of {minutes} min; the longest is {longestSeconds} s.',
    },
    sparse: {
      state: 'unmet',
      text: '{file} holds {points} points in {minutes} min, fewer than one in {sparseSeconds} s.',
    },
    'runs-back': {
      state: 'unmet',
      text: 'The clock of {file} runs back by up to {backSeconds} s, {times} times.',
    },
    'no-times': { state: 'undecided', text: 'The points of {file} carry no times.' },
    'no-log': { state: 'undecided', text: 'The packet holds no drive log with points.' },
  },
  parameters: {
    gapSeconds: 'Longest time between two points that is no gap, in seconds.',
    lostShare: 'Share of the drive that gaps may cover.',
    sparseSeconds: 'Longest mean time between points, in seconds.',
    backSeconds: 'By how much the clock may run back, in seconds.',
    standingMetres: 'How far apart the ends of a stop may lie, in metres.',
    standingSeconds: 'How long a stop without points may last, in seconds.',
  },
  remedy:
    "The logger's original file, or a second log of the same drive; what the gaps hold cannot be known from this one.",
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: { calibrator: 'a drive of which the log shows only a part' },
  collect: [driveLogLine],
  run: (packet, parameters) => judgeLogs(packet, (log) => judge(packet, log, parameters)),
}

interface Gap {
  seconds: number
}

function judge(packet: Packet, log: TrackedLog, parameters: Parameters): Outcome {
  const points = partOfCalibrations(packet, log)
  const [first, last] = [points[0], points.at(-1)]
  const evidence = placesOfLog(log)
  const { file } = log.document
  if (!first || !last || last.time <= first.time)
    return { state: 'undecided', message: 'no-times', data: { file }, evidence }
  const number = (name: string) => numberParameter(parameters, name)
  const seconds = last.time - first.time
  const gaps = findGaps(points, parameters)
  const lost = gaps.reduce((sum, gap) => sum + gap.seconds, 0)
  const back = backwardSteps(log, number('backSeconds'))
  const data = {
    file,
    points: points.length,
    minutes: seconds / 60,
    gapSeconds: number('gapSeconds'),
    gaps: gaps.length,
    lostMinutes: lost / 60,
    longestSeconds: Math.max(0, ...gaps.map((gap) => gap.seconds)),
    sparseSeconds: number('sparseSeconds'),
    meanSeconds: (seconds - lost) / (points.length - 1),
    backSeconds: Math.max(0, ...back),
    times: back.length,
  }
  const working = [
    {
      text: '{points} points from the first to the last in {minutes} min; gaps of more than {gapSeconds} s, stops left out: {gaps}, together {lostMinutes} min.',
      data,
    },
    { text: 'Without the gaps one point in {meanSeconds} s.', data },
  ]
  const unmet = (message: string): Outcome => ({ state: 'unmet', message, data, evidence, working })
  if (lost > seconds * number('lostShare')) return unmet('mostly-gaps')
  if (gaps.length > 0) return unmet('gaps')
  if (seconds / (points.length - 1) > number('sparseSeconds')) return unmet('sparse')
  if (back.length > 0) return unmet('runs-back')
  return { state: 'met', message: 'continuous', data, evidence, working }
}

/** The points within which the dynamic calibrations lie that the timeline places in the log; all where it places none. */
function partOfCalibrations(packet: Packet, log: TrackedLog): TimedPoint[] {
  const placements = dynamicRecords(packet).flatMap((record) => placeCalibration(packet, log, record) ?? [])
  if (placements.length === 0) return log.points
  const from = Math.min(...placements.map(({ start }) => start[0]))
  const to = Math.max(...placements.map(({ end }) => end[1]))
  const inside = log.points.filter(({ time }) => time >= from && time <= to)
  // One point on either side, so that a gap across the edge is seen.
  const before = log.points.filter(({ time }) => time < from).slice(-1)
  const after = log.points.filter(({ time }) => time > to).slice(0, 1)
  return [...before, ...inside, ...after]
}

function findGaps(points: readonly TimedPoint[], parameters: Parameters): Gap[] {
  return points.flatMap((point, index) => {
    const next = points[index + 1]
    const seconds = next ? next.time - point.time : 0
    if (next === undefined || seconds <= numberParameter(parameters, 'gapSeconds')) return []
    return isStop(point, next, seconds, parameters) ? [] : [{ seconds }]
  })
}

function isStop(from: TimedPoint, to: TimedPoint, seconds: number, parameters: Parameters): boolean {
  if (seconds > numberParameter(parameters, 'standingSeconds')) return false
  if (isPlaced(from) && isPlaced(to))
    return distanceMetres(positionOf(from), positionOf(to)) <= numberParameter(parameters, 'standingMetres')
  return (loggedSpeed(from) ?? Infinity) < movingSpeed && (loggedSpeed(to) ?? Infinity) < movingSpeed
}

/** By how many seconds the clock runs back, wherever it does so by more than is allowed. */
function backwardSteps({ track }: TrackedLog, allowed: number): number[] {
  const times = track.points.flatMap(({ time }) => time ?? [])
  return times.flatMap((time, index) => {
    const back = (times[index - 1] ?? time) - time
    return back > allowed ? [back] : []
  })
}
