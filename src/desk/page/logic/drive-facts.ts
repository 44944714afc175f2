/** What the checks of drives say of a log: the band of speeds that a procedure wants, gaps, and moments to look at. */
import type { Finding } from '../../../index.ts'

export interface DriveFacts {
  /** Kilometres an hour, of each calibration that the log belongs to. */
  bands: { of: string; least: number; most: number; finding: number }[]
  gapSeconds: number
  /** Seconds since the first point, of findings that fail or warn. */
  moments: { second: number; words: string; finding: number }[]
}

/** Where no finding says what a gap is, in seconds. */
const usualGapSeconds = 60

const isNumber = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value)

/** Where in a log a finding points to, by the names of its data. */
const momentWords: Readonly<Record<string, string>> = {
  atSeconds: 'a step that no car can make',
  firstSeconds: 'points that come again later',
  secondSeconds: 'the same points again',
}

/** From the data of the findings about drives. */
export function readDriveFacts(findings: readonly Finding[], file: string): DriveFacts {
  const bands: DriveFacts['bands'] = []
  const moments: DriveFacts['moments'] = []
  let gapSeconds = usualGapSeconds
  for (const [at, { check, data, group, verdict }] of findings.entries()) {
    const names = Array.isArray(data.log) ? data.log : [data.log, data.file]
    if (!names.includes(file)) continue
    const { least, most, calibration } = data
    if (check === 'drive-speed-in-band' && isNumber(least) && isNumber(most))
      bands.push({ of: String(calibration ?? 'the calibration'), least, most, finding: at + 1 })
    if (check === 'drive-log-continuous' && isNumber(data.gapSeconds)) gapSeconds = data.gapSeconds
    if (group !== 'drive' || (verdict !== 'fail' && verdict !== 'warn') || data.points === 0) continue
    for (const [name, words] of Object.entries(momentWords)) {
      const second = data[name]
      if (isNumber(second)) moments.push({ second, words, finding: at + 1 })
    }
  }
  return { bands, gapSeconds, moments }
}
