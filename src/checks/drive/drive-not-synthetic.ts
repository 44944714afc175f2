/**
 * Signs that a log was put together and not driven: stretches that come twice to the digit, and motion more even than a
 * receiver and a driver allow. Both are weighed against what an honest log of the same steps and length gives by chance.
 */
import {
  freshFixes,
  legsOf,
  loggedSpeeds,
  measureBand,
  type PlacedPoint,
  placedSpeeds,
  type TimedPoint,
} from '../../facts/motion.ts'
import type { Check, Outcome, WorkingStep } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { findExactStretches } from './exactness.ts'
import { coordinateStep, speedStep } from './grid.ts'
import { judgeLogs, placesOfLog, type TrackedLog } from './logs.ts'
import { type EvenStretch, findEvenStretches } from './regularity.ts'
import { type Channel, findRepetition, informationOf, type Repetition } from './repetition.ts'

export const driveNotSynthetic: Check = {
  id: 'drive-not-synthetic',
  group: 'drive',
  claim: 'The log of a drive shows the chance that a real drive and a real receiver leave in it.',
  messages: {
    natural: {
      state: 'met',
      text: '{file}: no stretch comes twice to the digit and none is more even than chance explains.',
    },
    repeats: {
      state: 'unmet',
      text: '{file}: {points} points in a row, from {firstSeconds} s on, come again to the digit from {secondSeconds} s on; chance does not explain that.',
    },
    mirrored: {
      state: 'unmet',
      text: '{file}: {points} points in a row, from {firstSeconds} s on, come again backwards to the digit from {secondSeconds} s on; chance does not explain that.',
    },
    regular: {
      state: 'unmet',
      text: '{file}: for {evenSeconds} of the {movingSeconds} s in motion the vehicle moves as evenly as the digits can show, more than a receiver and a driver leave to chance.',
    },
    'too-even': {
      state: 'unmet',
      text: '{file}: for {evenSeconds} s the vehicle moves as evenly as the digits can show, as where a receiver reckons on without satellites or a program fills in points.',
    },
    'too-little': {
      state: 'undecided',
      text: '{file} holds too little that differs from point to point to tell chance from copying.',
    },
    'no-log': { state: 'undecided', text: 'The packet holds no drive log with points.' },
  },
  parameters: {
    falseAlarmRate: 'How often an honest log may be called unnatural, as a share of logs, for each of the two tests.',
    realShare: 'Share of the measured information of a stretch that is taken as real.',
    leastRepeatSeconds: 'Shortest repeated stretch that counts, in seconds.',
    leastEvenSeconds: 'Shortest even stretch that counts, in seconds.',
    noiseMetres: 'Least standard deviation of the second difference of positions a second apart, in metres.',
    wanderMetres:
      'Least standard deviation of the distance driven from even motion after one second, in metres; it grows as the square root of the time.',
    regularShare: 'Share of the time in motion from which even motion makes the log as a whole regular.',
  },
  remedy:
    "The logger's original file, with the device that holds it, or a word from whoever processed it on what was filled in.",
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a log that does not look like a drive',
    insurer: 'paying for a drive that this log may not show',
  },
  collect: [],
  run: (packet, parameters) => judgeLogs(packet, (log) => judge(log, parameters)),
}

/** What is compared for repetition: the digits of positions where there are any, else of speeds. */
interface Series {
  points: readonly TimedPoint[]
  channels: Channel[]
  orders: readonly number[]
  mirror: boolean
}

function judge(log: TrackedLog, parameters: Parameters): Outcome {
  const fixes = freshFixes(log.points)
  const series = fixes.length >= 3 ? positionSeries(fixes) : speedSeries(log)
  const repetition = weighRepetition(series, parameters)
  const evenness = weighEvenness(fixes, parameters)
  const start = log.points[0]?.time ?? 0
  const { found } = repetition
  const data = {
    file: log.document.file,
    points: found?.length ?? 0,
    firstSeconds: (series.points[found?.first ?? 0]?.time ?? start) - start,
    secondSeconds: (series.points[found?.second ?? 0]?.time ?? start) - start,
    bits: found?.bits ?? 0,
    neededBits: repetition.needed,
    heldBits: repetition.held,
    evenSeconds: evenness.seconds,
    movingSeconds: evenness.moving,
    longestSeconds: evenness.longest,
  }
  const evidence = placesOfLog(log)
  const working = explain(
    data,
    numberParameter(parameters, 'falseAlarmRate'),
    numberParameter(parameters, 'leastRepeatSeconds'),
  )
  const message = choose(repetition, evenness, numberParameter(parameters, 'regularShare'))
  const state = message === 'natural' ? 'met' : message === 'too-little' ? 'undecided' : 'unmet'
  return { state, message, data, evidence, working }
}

function explain(data: WorkingStep['data'], rate: number, leastSeconds: number): WorkingStep[] {
  const figures = { ...data, oneIn: 1 / rate, leastSeconds }
  return [
    {
      text:
        data.points === 0
          ? 'No stretch of {leastSeconds} s comes twice.'
          : 'The stretch that comes twice with the most information holds {bits} bits in {points} points; from {neededBits} bits on chance explains it in fewer than one honest log in {oneIn}.',
      data: figures,
    },
    {
      text: 'The whole log holds {heldBits} bits; a copy can be told where half of it holds {neededBits}.',
      data: figures,
    },
    {
      text: 'The longest stretch as even as the digits can show lasts {longestSeconds} s; those that chance explains in fewer than one honest log in {oneIn} last {evenSeconds} of {movingSeconds} s in motion.',
      data: figures,
    },
  ]
}

function choose(repetition: RepetitionFigures, evenness: EvennessFigures, regularShare: number): string {
  const { found, needed, held } = repetition
  if (found !== null && found.bits >= needed) return found.mirrored ? 'mirrored' : 'repeats'
  if (evenness.seconds > evenness.moving * regularShare) return 'regular'
  if (evenness.seconds > 0) return 'too-even'
  // A copy of half of the log would have been seen.
  return held >= 2 * needed ? 'natural' : 'too-little'
}

function positionSeries(fixes: readonly (TimedPoint & PlacedPoint)[]): Series {
  const channels = (['latitude', 'longitude'] as const).map((axis) => {
    const degrees = fixes.map((fix) => fix[axis])
    return inSteps(degrees, coordinateStep(degrees))
  })
  return { points: fixes, channels, orders: [2, 3, 4], mirror: true }
}

function speedSeries(log: TrackedLog): Series {
  const samples = loggedSpeeds(log.points)
  const speeds = samples.map(({ speed }) => speed)
  return {
    points: samples.map(({ time }) => ({ time })),
    channels: speeds.length > 0 ? [inSteps(speeds, speedStep(speeds))] : [],
    orders: [1, 2, 3],
    mirror: false,
  }
}

const inSteps = (values: readonly number[], step: number): number[] => values.map((value) => Math.round(value / step))

interface RepetitionFigures {
  found: Repetition | null
  needed: number
  /** Bits of the whole log. */
  held: number
}

function weighRepetition({ points, channels, orders, mirror }: Series, parameters: Parameters): RepetitionFigures {
  const count = points.length
  const pairs = Math.max(1, count ** 2 / 2) * (mirror ? 2 : 1)
  const rate = numberParameter(parameters, 'falseAlarmRate')
  const needed = Math.log2(pairs / rate) / numberParameter(parameters, 'realShare')
  if (channels.length === 0 || count < 3) return { found: null, needed, held: 0 }
  const least = numberParameter(parameters, 'leastRepeatSeconds')
  const isLong = (first: number, length: number) =>
    (points[first + length - 1]?.time ?? 0) - (points[first]?.time ?? 0) >= least
  return {
    found: findRepetition(channels, { mirror, orders, isLong }),
    needed,
    held: informationOf(channels, 0, count, orders),
  }
}

interface EvennessFigures {
  /** In stretches that chance does not explain, and in the longest of all. */
  seconds: number
  longest: number
  moving: number
}

function weighEvenness(fixes: readonly (TimedPoint & PlacedPoint)[], parameters: Parameters): EvennessFigures {
  const number = (name: string) => numberParameter(parameters, name)
  const grid = {
    latitude: coordinateStep(fixes.map(({ latitude }) => latitude)),
    longitude: coordinateStep(fixes.map(({ longitude }) => longitude)),
  }
  const least = Math.log(number('falseAlarmRate') / Math.max(1, fixes.length))
  const told = (stretches: readonly EvenStretch[]) =>
    stretches
      .filter(({ seconds, logChance }) => seconds >= number('leastEvenSeconds') && logChance <= least)
      .reduce((sum, { seconds }) => sum + seconds, 0)
  const even = findEvenStretches(fixes, grid, number('noiseMetres'))
  // An exact stretch lies within an even one: the two are not added.
  const exact = findExactStretches(fixes, grid, number('wanderMetres') ** 2)
  return {
    seconds: Math.max(told(even), told(exact)),
    longest: even.reduce((most, { seconds }) => Math.max(most, seconds), 0),
    moving: measureBand(legsOf(placedSpeeds(fixes, 2)), [0, Number.POSITIVE_INFINITY]).movingSeconds,
  }
}
