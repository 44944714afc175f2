/** The order of events in HTML: a table a day, with a strip of hours beside it that repeats what the times say. */
import type { DayView, EventView, TimelineView } from './events-view.ts'
import { type Content, html, type Markup } from './markup.ts'

/** What the strips show, for whoever sees them. */
export const writeHours = 'In the strips, pale is when it may have gone on, and solid when it certainly did.'

export function writeTimeline({ days }: TimelineView): Content {
  return days.map(writeDay)
}

function writeDay({ day, events }: DayView): Markup {
  const range = findRange(events)
  const strip = range === null ? null : html`<th scope="col" class="bar">${writeScale(range)}</th>`
  return html`<table class="times"><caption>${day}</caption>
<thead><tr><th scope="col">Time</th><th scope="col">Event</th><th scope="col">File</th>${strip}</tr></thead>
<tbody>${events.map(
    (event) =>
      html`<tr><td>${event.time}</td><td>${event.what}</td><td>${event.file}</td>${range === null ? null : html`<td class="bar">${writeStrip(event, range)}</td>`}</tr>`,
  )}</tbody></table>
`
}

type Hours = readonly [number, number]

/** Whole hours that hold the day's events, four at least; null where none has bounds. */
export function findRange(events: readonly EventView[]): Hours | null {
  const bounds = events.flatMap(({ possible }) => possible ?? [])
  if (bounds.length === 0) return null
  const first = Math.max(0, Math.floor(Math.min(...bounds)))
  const last = Math.min(24, Math.ceil(Math.max(...bounds)))
  return first < 20 ? [first, Math.max(first + 4, last)] : [20, 24]
}

const clamp = (hour: number, [first, last]: Hours): number =>
  Math.round((1000 * (Math.min(last, Math.max(first, hour)) - first)) / (last - first))

function writeScale(range: Hours): Markup {
  const [first, last] = range
  const step = last - first > 12 ? 4 : last - first > 6 ? 2 : 1
  const marks: Markup[] = []
  for (let hour = Math.ceil((first + 0.5) / step) * step; hour <= last - 0.5; hour += step)
    marks.push(html`<span style="left:${clamp(hour, range) / 10}%">${String(hour).padStart(2, '0')}</span>`)
  return html`<span class="hidden">Hours</span><span class="hours" aria-hidden="true">${marks}</span>`
}

function writeStrip({ possible, certain }: EventView, range: Hours): Markup {
  const bar = (hours: Hours | null, name: string) => {
    if (hours === null) return null
    const [from, to] = [clamp(hours[0], range), clamp(hours[1], range)]
    // A moment is given a width that can be seen.
    const width = Math.max(8, to - from)
    return html`<rect class="${name}" x="${Math.min(from, 1000 - width)}" y="1" width="${width}" height="8"/>`
  }
  return html`<svg viewBox="0 0 1000 10" preserveAspectRatio="none" aria-hidden="true" focusable="false"><line x1="0" x2="1000" y1="5" y2="5"/>${bar(possible, 'may')}${bar(certain, 'sure')}</svg>`
}
