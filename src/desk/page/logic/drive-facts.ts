/** What the checks of drives say of a log: the band of speeds that a procedure wants, and what counts as a gap. */
import type { Finding } from '../../../index.ts'

export interface DriveFacts {
  /** Kilometres an hour, of each calibration that the log belongs to. */
  bands: { of: string; least: number; most: number; finding: number }[]
  gapSeconds: number
}

/** Where no finding says what a gap is, in seconds. */
const usualGapSeconds = 60

const isNumber = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value)

/** From the data of the findings of `drive-speed-in-band` and `drive-log-continuous`. */
export function readDriveFacts(findings: readonly Finding[], file: string): DriveFacts {
  const bands: DriveFacts['bands'] = []
  let gapSeconds = usualGapSeconds
  for (const [at, { check, data }] of findings.entries()) {
    const names = Array.isArray(data.log) ? data.log : [data.log, data.file]
    if (!names.includes(file)) continue
    const { least, most, calibration } = data
    if (check === 'drive-speed-in-band' && isNumber(least) && isNumber(most))
      bands.push({ of: String(calibration ?? 'the calibration'), least, most, finding: at + 1 })
    if (check === 'drive-log-continuous' && isNumber(data.gapSeconds)) gapSeconds = data.gapSeconds
  }
  return { bands, gapSeconds }
}
