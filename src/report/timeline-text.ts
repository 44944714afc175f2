/** The order of events as text: local times as the bounds that the whole packet sets on them. */
import { Temporal } from 'temporal-polyfill'
import type { Report, ReportEvent } from '../findings/report.ts'
import type { EventKind } from '../packet/packet.ts'
import { type Sheet, span } from './sheet.ts'

const kindNames: Record<EventKind, string> = {
  intake: 'vehicle taken in',
  'pre-scan': 'pre-scan',
  repair: 'repair',
  clearing: 'codes cleared',
  alignment: 'wheel alignment',
  calibration: 'calibration',
  drive: 'drive',
  'post-scan': 'post-scan',
  release: 'vehicle released',
  photo: 'photo taken',
}
const weekdays = ['', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']

/** Events from first to last, a heading a day. Nothing when the packet holds no event. */
export function writeTimeline(sheet: Sheet, { events, zone }: Report): void {
  if (events.length === 0) return
  const clockZone = zone ?? 'UTC'
  sheet.gap()
  sheet.write([span('Order of events', 'strong')])
  const zoneWords = zone === null ? 'UTC, as no file tells the local zone' : `local time, ${nameZone(zone)}`
  sheet.write(`Times are ${zoneWords}. Where a span is shown, the records and their clocks tell no more than that.`, {
    first: '  ',
  })
  let day = ''
  for (const event of [...events].sort(compareEvents)) {
    const dated = placeEvent(event, clockZone)
    if (dated.day !== day) sheet.write([span(dated.day, 'quiet')], { first: '  ' })
    day = dated.day
    sheet.row(
      [
        { text: dated.time, width: 28 },
        { text: nameEvent(event), width: 40 },
      ],
      { indent: 4 },
    )
  }
}

function nameEvent({ kind, label, file }: ReportEvent): string {
  const name = kindNames[kind]
  const plain = label === '' || label === name || label === kind || kind === 'release' ? name : `${name}: ${label}`
  return `${plain} (${file})`
}

const nameZone = (zone: string): string => (/^[+-]/.test(zone) ? `UTC${zone}` : zone)

interface Dated {
  day: string
  time: string
}

function placeEvent(event: ReportEvent, zone: string): Dated {
  const { earliestStart, latestStart, earliestEnd, latestEnd } = event
  const anchor = earliestStart ?? latestStart ?? earliestEnd ?? latestEnd
  if (anchor === null) return { day: 'Day not known', time: 'no time stated' }
  const day = dayOf(anchor, zone)
  const show = (from: string | null, to: string | null) => showSpan(from, to, zone, day)
  const start = show(earliestStart, latestStart)
  const end = show(earliestEnd, latestEnd)
  if (earliestStart === earliestEnd && latestStart === latestEnd) return { day, time: start }
  if (earliestStart === null) return { day, time: `ended ${end}` }
  return { day, time: `${start} to ${end}` }
}

function showSpan(from: string | null, to: string | null, zone: string, day: string): string {
  if (from === null && to === null) return 'not known'
  if (from === null) return `by ${showTime(to as string, zone, day)}`
  if (to === null) return `from ${showTime(from, zone, day)}`
  if (isWholeDay(from, to, zone))
    return dayOf(from, zone) === day ? 'some time that day' : `some time ${dayOf(from, zone)}`
  const [first, last] = [showTime(from, zone, day), showTime(to, zone, day)]
  return first === last ? first : `${first}–${last}`
}

const local = (instant: string, zone: string) => Temporal.Instant.from(instant).toZonedDateTimeISO(zone)

function isWholeDay(from: string, to: string, zone: string): boolean {
  const [start, end] = [local(from, zone), local(to, zone)]
  const midnight = (time: Temporal.ZonedDateTime) => time.hour === 0 && time.minute === 0
  return midnight(start) && midnight(end) && start.toPlainDate().add({ days: 1 }).equals(end.toPlainDate())
}

function dayOf(instant: string, zone: string): string {
  const time = local(instant, zone)
  return `${weekdays[time.dayOfWeek]} ${time.toPlainDate().toString()}`
}

function showTime(instant: string, zone: string, day: string): string {
  const clock = local(instant, zone).toPlainTime().toString({ smallestUnit: 'minute' })
  const own = dayOf(instant, zone)
  return own === day ? clock : `${own} ${clock}`
}

/** By the middle of what bounds it; what has no bound comes last. */
function compareEvents(a: ReportEvent, b: ReportEvent): number {
  return middleOf(a) - middleOf(b) || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0)
}

function middleOf({ earliestStart, latestStart, earliestEnd, latestEnd }: ReportEvent): number {
  const known = [earliestStart ?? earliestEnd, latestStart ?? latestEnd].filter((instant) => instant !== null)
  if (known.length === 0) return Number.MAX_SAFE_INTEGER
  const seconds = known.map((instant) => Temporal.Instant.from(instant).epochMilliseconds)
  return seconds.reduce((sum, value) => sum + value, 0) / seconds.length
}
