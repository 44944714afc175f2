import { timeText } from '../logic/amounts.ts'

/** A time in the reader's own zone; the exact one, in UTC, on pointing at it. */
export function Moment({ at }: { at: string }) {
  return (
    <time dateTime={at} title={`${at} (UTC)`}>
      {timeText(at)}
    </time>
  )
}
