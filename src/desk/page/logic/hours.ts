/** Where events lie in the hours of a day: the geometry of the order of events. */

export type Hours = readonly [number, number]

export interface Spans {
  /** Hours between which it may have gone on. */
  possible: Hours | null
  /** Hours between which it certainly did. */
  certain: Hours | null
}

/** Whole hours that hold what a day's events say, four at least, within the day; null where none has bounds. */
export function findRange(events: readonly Spans[]): Hours | null {
  const bounds = events.flatMap(({ possible }) => possible ?? [])
  if (bounds.length === 0) return null
  const first = Math.max(0, Math.floor(Math.min(...bounds)))
  const last = Math.min(24, Math.ceil(Math.max(...bounds)))
  return first < 20 ? [first, Math.max(first + 4, last)] : [20, 24]
}

export interface Strip {
  /** Of the width, 0 to 1. */
  from: number
  to: number
  /** It goes on beyond what is shown. */
  openBefore: boolean
  openAfter: boolean
}

/** Where hours lie in a range. A moment is given a width that can be seen. */
export function placeHours([from, to]: Hours, [first, last]: Hours, least = 0.008): Strip {
  const part = (hour: number) => Math.min(1, Math.max(0, (hour - first) / (last - first)))
  const [start, end] = [part(from), part(to)]
  const width = Math.max(least, end - start)
  const left = Math.min(start, 1 - width)
  return { from: left, to: left + width, openBefore: from < first, openAfter: to > last }
}

/** Whole hours to be written along the range, not at its very ends. */
export function hourMarks([first, last]: Hours): number[] {
  const step = last - first > 12 ? 4 : last - first > 6 ? 2 : 1
  const marks: number[] = []
  for (let hour = Math.ceil((first + 0.5) / step) * step; hour <= last - 0.5; hour += step) marks.push(hour)
  return marks
}
