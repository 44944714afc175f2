/**
 * Progress against outcome, and progress against itself. Readings of one run are attempts of outcome `unknown`; an
 * attempt that ended (failed, aborted, completed) closes the run, so that the next may start again from zero. Stops
 * may also reset a run in progress (common practice): a fall to nearly zero is told apart from any other fall.
 */
import type { CalibrationAttempt, CalibrationReading } from '../../facts/document.ts'
import { type CalibrationRecord, calibrationRecords, finalAttempt, placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'

interface ProgressReading {
  percent: number
  /** Seconds since 1970, or null where the reading is undated. */
  at: number | null
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
  const runs = runsOf(record.reading)
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
      const message = fall.to <= numberParameter(parameters, 'resetPercent') ? 'resets' : 'falls'
      unmet.push({ state: 'unmet', message, data: { ...data, ...fall }, evidence })
    } else if (stall !== null) unmet.push({ state: 'unmet', message: 'stalls', data: { ...data, ...stall }, evidence })
  }
  return unmet.length > 0 ? unmet : [{ state: 'met', message: 'consistent', data, evidence }]
}

/** Readings split where an attempt ended. The record's own progress belongs to the last run, unless that shows it. */
function runsOf(reading: CalibrationReading): ProgressReading[][] {
  const runs: ProgressReading[][] = [[]]
  const attempts = reading.attempts ?? []
  attempts.forEach((attempt, index) => {
    if (attempt.progressPercent !== undefined) runs.at(-1)?.push(progressOf(attempt, attempt.progressPercent))
    if (attempt.outcome !== 'unknown' && index < attempts.length - 1) runs.push([])
  })
  const last = runs.at(-1)
  if (reading.progressPercent !== undefined && last?.at(-1)?.percent !== reading.progressPercent)
    last?.push({ percent: reading.progressPercent, at: null })
  return runs
}

function progressOf(attempt: CalibrationAttempt, percent: number): ProgressReading {
  return { percent, at: attempt.at === undefined ? null : Date.parse(attempt.at.earliest) / 1000 }
}

function findFall(run: readonly ProgressReading[]): { from: number; to: number } | null {
  for (const [index, reading] of run.entries()) {
    const next = run[index + 1]
    if (next !== undefined && next.percent < reading.percent) return { from: reading.percent, to: next.percent }
  }
  return null
}

/** The longest stretch at one percentage below 100, where it is longer than `share` of the time the run's readings span. */
function findStall(run: readonly ProgressReading[], share: number): Record<string, number> | null {
  const timed = run.flatMap(({ percent, at }) => (at === null ? [] : [{ percent, at }]))
  const runSeconds = (timed.at(-1)?.at ?? 0) - (timed[0]?.at ?? 0)
  let longest = { percent: 0, stallSeconds: 0, runSeconds }
  for (const first of timed) {
    const lastSame = timed.findLast((reading) => reading.percent === first.percent)
    const stallSeconds = (lastSame?.at ?? first.at) - first.at
    if (first.percent < 100 && stallSeconds > longest.stallSeconds)
      longest = { percent: first.percent, stallSeconds, runSeconds }
  }
  return longest.stallSeconds > share * runSeconds ? longest : null
}
