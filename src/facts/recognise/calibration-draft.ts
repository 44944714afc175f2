/** What the readers of one calibration share: the sheet, its place in the list, and the day for times that stand alone. */
import type { DateReading } from '../document.ts'
import { readPercent } from '../quantity.ts'
import { combine, readDuration, readTimeOfDay } from '../time.ts'
import { datesIn, type Sheet } from './sheet.ts'

export interface Draft {
  sheet: Sheet
  /** Index of the calibration in the document's list, for the paths of its evidence. */
  at: number
  documentDate: DateReading | undefined
  /** Index of the first line that tells of one sensor alone: what stands above it tells of all. */
  headEnd: number
}

/** The date in a text; a time that stands alone borrows `day`. Null where there is neither, or no day to borrow. */
export function dateWithDay(sheet: Sheet, text: string, day: DateReading | undefined): DateReading | null {
  const date = datesIn(sheet, text)[0]
  if (date) return date
  const time = readTimeOfDay(text, { context: sheet.zoneContext })
  return time && day ? combine(day, time) : null
}

/** What ends a value without belonging to it. */
export const TIDY = /[\s,;.]+$/

/** How far a run came, 0 to 100; null where a text states no percentage, or one that no run can reach. */
export function progressOf(text: string): number | null {
  const percent = readPercent(text)
  return percent !== null && percent >= 0 && percent <= 100 ? percent : null
}

/** The same for the value of a label or column that asks for it, where the sign may be left out. */
export function progressOfValue(text: string): number | null {
  return progressOf(text) ?? (/^(?:\d{1,2}|100)$/.test(text) ? Number(text) : null)
}

const UNIT_IN_LABEL = /\b(s|sec|secs|seconds?|min|mins|minutes?|h|hrs?|hours?)\W*$/i

/** The seconds that a field states; the unit may stand in its label: "elapsed seconds: 1421", "Duration (min): 23.5". */
export function durationOf({ label, value }: { label: string; value: string }): number | null {
  const stated = readDuration(value, { colon: 'mm:ss' })
  if (stated) return stated.seconds
  const unit = UNIT_IN_LABEL.exec(label)?.[1]
  return unit !== undefined && /^\d+(?:[.,]\d+)?$/.test(value)
    ? (readDuration(`${value} ${unit}`)?.seconds ?? null)
    : null
}
