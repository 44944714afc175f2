/** The order of events as text. */
import type { TimelineView } from './events-view.ts'
import { type Sheet, span } from './sheet.ts'

/** Events from first to last, a heading a day. */
export function writeTimeline(sheet: Sheet, { heading, note, days }: TimelineView): void {
  sheet.gap()
  sheet.write([span(heading, 'strong')])
  sheet.write(note, { first: '  ' })
  for (const { day, events } of days) {
    sheet.write([span(day, 'quiet')], { first: '  ' })
    for (const { time, what, file } of events) {
      sheet.row(
        [
          { text: time, width: 28 },
          { text: `${what} (${file})`, width: 40 },
        ],
        { indent: 4 },
      )
    }
  }
}
