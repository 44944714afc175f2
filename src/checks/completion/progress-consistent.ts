/**
 * Progress against outcome, and progress against itself. Readings of one run are the percentages that a record lists as
 * they climbed, or attempts of outcome `unknown`; an attempt that ended (failed, aborted, completed) closes the run, so
 * that the next may start again from zero. Stops may also reset a run in progress (common practice): a fall to nearly
 * zero is told apart from any other fall.
 */
import type { CalibrationReading, DateReading } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import { type CalibrationRecord, calibrationRecords, finalAttempt, placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'

interface ProgressReading {
  percent: number
  /** Seconds since 1970, or null where the reading is undated. */
  at: number | null
  /** Where it stands, as a key of its record. */
  key: string
}

export const progressConsistent: Check = {
  id: 'progress-consistent',
  group: 'completion',
  claim: 'Progress and outcome of each calibration agree, and progress does not fall or stall within a run.',
  messages: {
    consistent: { state: 'met', text: '{calibration}: the progress shown ({readings} %) fits the outcome {outcome}.' },
    'completed-below-full': {
      state: 'unmet',
      text: '{calibration}: recorded as completed beside {progressPercent} %.',
    },
    falls: { state: 'unmet', text: '{calibration}: progress falls from {from} % to {to} % within one run.' },
    resets: { state: 'unmet', text: '{calibration}: progress fell back from {from} % to {to} % and began again.' },
    stalls: {
      state: 'unmet',
      text: '{calibration}: progress stood at {percent} % for {stallSeconds} s of {runSeconds} s.',
    },
    'no-progress': { state: 'undecided', text: 'No calibration record shows any progress.' },
  },
  parameters: {
    resetPercent: 'A fall to this or less counts as a run that began again, in percent.',
    stallShare: 'Share of a run that progress may stand still.',
  },
  remedy: "The instrument's log of the run, or its final screen.",
  suppliers: ['calibrator', 'instrument-maker'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a record that contradicts itself',
  },
  collect: [],
  run(packet, parameters) {
    const outcomes = calibrationRecords(packet).flatMap((record) => judge(record, parameters))
    if (outcomes.length > 0) return outcomes
    return [{ state: 'undecided', message: 'no-progress', data: {}, evidence: [] }]
  },
}

function judge(record: CalibrationRecord, parameters: Parameters): Outcome[] {
  const resetPercent = numberParameter(parameters, 'resetPercent')
  const runs = runsOf(record.reading, resetPercent)
  const readings = runs.flat().map((reading) => reading.percent)
  if (readings.length === 0) return []
  const { outcome, progressPercent } = finalAttempt(record.reading)
  const data = { calibration: record.label, file: record.document.file, outcome, progressPercent, readings }
  const evidence = placesOfRecord(record, 'progressPercent')
  const unmet: Outcome[] = []
  if (outcome === 'completed' && progressPercent !== null && progressPercent < 100)
    unmet.push({ state: 'unmet', message: 'completed-below-full', data, evidence })
  for (const run of runs) {
    const fall = findFall(run)
    const stall = findStall(run, numberParameter(parameters, 'stallShare'))
    if (fall !== null) {
      const message = fall.to.percent <= resetPercent ? 'resets' : 'falls'
      const shown = { ...data, from: fall.from.percent, to: fall.to.percent }
      unmet.push({ state: 'unmet', message, data: shown, evidence: placesOf(record, [fall.from, fall.to]) })
    } else if (stall !== null) {
      const { percent, stallSeconds, runSeconds } = stall
      const shown = { ...data, percent, stallSeconds, runSeconds }
      unmet.push({ state: 'unmet', message: 'stalls', data: shown, evidence: placesOf(record, stall.readings) })
    }
  }
  return unmet.length > 0 ? unmet : [{ state: 'met', message: 'consistent', data, evidence }]
}

const placesOf = (record: CalibrationRecord, readings: readonly ProgressReading[]): FilePlace[] =>
  distinctPlaces(readings.flatMap(({ key }) => placesOfRecord(record, key)))

const secondsOf = (at: DateReading | undefined): number | null =>
  at === undefined ? null : Date.parse(at.earliest) / 1000

/**
 * Readings, split where an attempt ended. The record's own progress belongs to the last run, unless that shows it. Listed
 * readings make runs of their own beside those of the attempts.
 */
function runsOf(reading: CalibrationReading, resetPercent: number): ProgressReading[][] {
  const runs: ProgressReading[][] = [[]]
  const attempts = reading.attempts ?? []
  attempts.forEach(({ at, outcome, progressPercent }, index) => {
    if (progressPercent !== undefined)
      runs.at(-1)?.push({ percent: progressPercent, at: secondsOf(at), key: `attempts.${index}` })
    if (outcome !== 'unknown' && index < attempts.length - 1) runs.push([])
  })
  const listed = listedRuns(reading, resetPercent)
  const last = listed.at(-1) ?? runs.at(-1)
  if (reading.progressPercent !== undefined && last?.at(-1)?.percent !== reading.progressPercent)
    last?.push({ percent: reading.progressPercent, at: null, key: 'progressPercent' })
  return [...runs, ...listed]
}

/**
 * The percentages as a record lists them, the oldest first. Where it tells of several attempts, a list may go on from one
 * into the next: falls to nearly zero then begin a run, as many as there were attempts before the last.
 */
function listedRuns(reading: CalibrationReading, resetPercent: number): ProgressReading[][] {
  const listed = (reading.readings ?? []).map(({ percent, at }, index) => ({
    percent,
    at: secondsOf(at),
    key: `readings.${index}`,
  }))
  let endings = Math.max(reading.attempts?.length ?? 0, reading.attemptCount ?? 0) - 1
  const runs: ProgressReading[][] = []
  for (const one of isNewestFirst(listed) ? listed.toReversed() : listed) {
    const run = runs.at(-1)
    const before = run?.at(-1)
    const restarts = before !== undefined && one.percent < before.percent && one.percent <= resetPercent
    if (run === undefined) runs.push([one])
    else if (restarts && endings-- > 0) runs.push([one])
    else run.push(one)
  }
  return runs
}

/** By their times, or, where they have none, by percentages that go down all the way. */
function isNewestFirst(listed: readonly ProgressReading[]): boolean {
  const falls = (values: readonly number[]) =>
    values.every((value, index) => index === 0 || value <= (values[index - 1] ?? value)) &&
    (values.at(-1) ?? 0) < (values[0] ?? 0)
  const times = listed.flatMap(({ at }) => at ?? [])
  return times.length === listed.length ? falls(times) : falls(listed.map(({ percent }) => percent))
}

function findFall(run: readonly ProgressReading[]): { from: ProgressReading; to: ProgressReading } | null {
  for (const [index, from] of run.entries()) {
    const to = run[index + 1]
    if (to !== undefined && to.percent < from.percent) return { from, to }
  }
  return null
}

interface Stall {
  percent: number
  stallSeconds: number
  runSeconds: number
  /** The first and the last reading of the stretch. */
  readings: ProgressReading[]
}

/** The longest stretch at one percentage below 100, where it is longer than `share` of the time the run's readings span. */
function findStall(run: readonly ProgressReading[], share: number): Stall | null {
  const timed = run.flatMap((reading) => (reading.at === null ? [] : [{ ...reading, at: reading.at }]))
  // Times of day that stand alone run backwards over midnight.
  if (timed.some(({ at }, index) => at < (timed[index - 1]?.at ?? at))) return null
  const runSeconds = (timed.at(-1)?.at ?? 0) - (timed[0]?.at ?? 0)
  let longest: Stall = { percent: 0, stallSeconds: 0, runSeconds, readings: [] }
  for (const first of timed) {
    const last = timed.findLast((reading) => reading.percent === first.percent) ?? first
    const stallSeconds = last.at - first.at
    if (first.percent < 100 && stallSeconds > longest.stallSeconds)
      longest = { percent: first.percent, stallSeconds, runSeconds, readings: [first, last] }
  }
  return longest.stallSeconds > share * runSeconds ? longest : null
}
