/**
 * Whether a car can have driven what a log says. Receivers err now and then (a tunnel's end, tall houses), so single points
 * prove nothing: what counts is how many there are, and whether they go on.
 */
import type { Check, Outcome, WorkingStep } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { compareSpeeds, type SpeedComparison } from './compare-speeds.ts'
import { type Displacement, type Excess, findDisplacement, findExcess, shareOf } from './excess.ts'
import { judgeLogs, placesOfLog, type TrackedLog } from './logs.ts'

export const drivePhysicallyPossible: Check = {
  id: 'drive-physically-possible',
  group: 'drive',
  claim: 'A car can have driven what the log says.',
  messages: {
    possible: {
      state: 'met',
      text: '{file}: {count} of {of} intervals ask for more than {mostG} g or {mostKmh} km/h, no more than a receiver may err.',
    },
    sustained: {
      state: 'unmet',
      text: '{file}: the speed changes by more than {mostG} g for {longestSeconds} s on end, which no car can do.',
    },
    impossible: {
      state: 'unmet',
      text: '{file}: {count} of {of} intervals ({percent} %) ask for more than {mostG} g or {mostKmh} km/h.',
    },
    displaced: {
      state: 'unmet',
      text: '{file}: {atSeconds} s after its first point the vehicle is {kilometres} km away within {seconds} s ({kmh} km/h), and goes on from there.',
    },
    'some-impossible': {
      state: 'unmet',
      text: '{file}: {count} of {of} intervals ({percent} %) ask for more than {mostG} g or {mostKmh} km/h, more than a receiver usually errs.',
    },
    'speed-contradicts': {
      state: 'unmet',
      text: '{file}: logged speed and change of position differ by {differencePercent} % throughout.',
    },
    'speed-in-other-unit': {
      state: 'unmet',
      text: '{file}: the logged speed is {ratio} times what the positions show, as if it were in another unit than stated.',
    },
    'too-little': { state: 'undecided', text: '{file} holds too few points with a time and a speed or position.' },
    'no-log': { state: 'undecided', text: 'The packet holds no drive log with points.' },
  },
  parameters: {
    mostG: 'Greatest acceleration or braking, in g.',
    mostKmh: 'Greatest speed from one position to the next, in km/h.',
    errorMetres: 'By how much a receiver may err at once without fault, in metres.',
    sustainedSeconds: 'For how many seconds on end the acceleration must be exceeded to count as sustained.',
    toleratedShare: 'Share of the intervals that may be impossible through the receiver’s errors.',
    farMetres: 'Length of a single step, in metres, from which a vehicle that goes on from there cannot have made it.',
    staySeconds: 'For how many seconds before and after such a step the vehicle must have been where it was.',
    failShare: 'Share of the intervals from which the log as a whole is impossible.',
    fewestIntervals: 'Fewest intervals by which a log can be judged.',
    differenceShare: 'By what share logged speed and change of position may differ.',
    mostLagSeconds: 'How far the clocks of speed and position may differ, in seconds.',
  },
  remedy: "The logger's original file, or a second log of the same drive.",
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a log that cannot be of a drive as it stands',
    insurer: 'paying for a drive that this log may not show',
  },
  collect: [],
  run: (packet, parameters) => judgeLogs(packet, (log) => judge(log, parameters)),
}

const standardGravity = 9.80665

function judge(log: TrackedLog, parameters: Parameters): Outcome {
  const number = (name: string) => numberParameter(parameters, name)
  const excess = findExcess(log.points, {
    acceleration: number('mostG') * standardGravity,
    speed: number('mostKmh') / 3.6,
    error: number('errorMetres'),
  })
  const speeds = compareSpeeds(log.points, number('mostLagSeconds'))
  const { worst } = excess
  const data = {
    file: log.document.file,
    mostG: number('mostG'),
    mostKmh: number('mostKmh'),
    count: worst.count,
    of: worst.of,
    percent: shareOf(worst) * 100,
    longestSeconds: excess.longestSeconds,
    differencePercent: speeds ? speeds.difference * 100 : null,
    ratio: speeds?.ratio ?? null,
  }
  const evidence = placesOfLog(log)
  if (Math.max(excess.speed.of, excess.position.of) < number('fewestIntervals'))
    return { state: 'undecided', message: 'too-little', data, evidence }
  const displacement = findDisplacement(log.points, {
    speed: number('mostKmh') / 3.6,
    far: number('farMetres'),
    stay: number('staySeconds'),
  })
  if (displacement !== null) return describeDisplacement(displacement, log, data)
  const message = weigh(excess, speeds, number)
  const state = message === 'possible' ? 'met' : 'unmet'
  return { state, message, data, evidence, working: explain(excess, speeds, data) }
}

function describeDisplacement(
  { metres, seconds, time }: Displacement,
  log: TrackedLog,
  rest: Outcome['data'],
): Outcome {
  const at = time - (log.points[0]?.time ?? time)
  const data = { ...rest, kilometres: metres / 1000, seconds, atSeconds: at, kmh: (metres / seconds) * 3.6 }
  return {
    state: 'unmet',
    message: 'displaced',
    data,
    evidence: placesOfLog(log),
    working: [{ text: '{kilometres} km in {seconds} s are {kmh} km/h; the limit is {mostKmh} km/h.', data }],
  }
}

function weigh(excess: Excess, speeds: SpeedComparison | null, number: (name: string) => number): string {
  const share = shareOf(excess.worst)
  if (excess.longestSeconds >= number('sustainedSeconds')) return 'sustained'
  if (share > number('failShare')) return 'impossible'
  if (speeds?.otherUnit) return 'speed-in-other-unit'
  if (speeds && speeds.difference > number('differenceShare')) return 'speed-contradicts'
  return excess.worst.count > 1 && share > number('toleratedShare') ? 'some-impossible' : 'possible'
}

function explain(excess: Excess, speeds: SpeedComparison | null, data: WorkingStep['data']): WorkingStep[] {
  const { speed, position, jump } = excess
  const figures = {
    ...data,
    changes: speed.of,
    steep: speed.count,
    turns: position.of,
    sharp: position.count,
    steps: jump.of,
    far: jump.count,
  }
  const steps: WorkingStep[] = [
    { text: 'By the logged speed over at least 1 s, {steep} of {changes} intervals exceed {mostG} g.', data: figures },
    { text: 'By the positions over at least 5 s, {sharp} of {turns} intervals exceed {mostG} g.', data: figures },
    { text: 'From one position to the next, {far} of {steps} steps exceed {mostKmh} km/h.', data: figures },
  ]
  if (speeds !== null)
    steps.push({
      text: 'Logged speed and change of position over {seconds} s, at a lag of {lagSeconds} s: they differ by {differencePercent} %, and their ratio is {ratio}.',
      data: { ...figures, seconds: speeds.seconds, lagSeconds: speeds.lagSeconds },
    })
  return steps
}
