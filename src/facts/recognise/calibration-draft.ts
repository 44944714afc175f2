/** What the readers of one calibration share: the sheet, its place in the list, and the day for times that stand alone. */
import type { DateReading } from '../document.ts'
import { combine, readTimeOfDay } from '../time.ts'
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
  const time = readTimeOfDay(text)
  return time && day ? combine(day, time) : null
}

/** What ends a value without belonging to it. */
export const TIDY = /[\s,;.]+$/
