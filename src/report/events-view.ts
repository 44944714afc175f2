/** The order of events as a reader sees it: days, local times, and the bounds that the whole packet sets on them. */
import { Temporal } from 'temporal-polyfill'
import type { Report, ReportEvent } from '../findings/report.ts'
import type { EventKind } from '../packet/packet.ts'

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

export interface EventView {
  /** "09:59–10:09 to 10:19–10:29"; what is uncertain is told as such. */
  time: string
  what: string
  file: string
  /** Hours since the day's first midnight between which it may have gone on; null where nothing bounds it. */
  possible: readonly [number, number] | null
  /** Hours between which it certainly went on; null where there is no such time. */
  certain: readonly [number, number] | null
}

export interface DayView {
  /** "Mon 2026-05-18" */
  day: string
  events: EventView[]
}

export interface TimelineView {
  heading: string
  note: string
  days: DayView[]
}

/** Events from first to last, by days; null when the packet holds no event. */
export function viewTimeline({ events, zone }: Report): TimelineView | null {
  if (events.length === 0) return null
  const zoneWords = zone === null ? 'UTC, as no file tells the local zone' : `local time, ${nameZone(zone)}`
  const placed = [...events].sort(compareEvents).map((event) => placeEvent(event, zone ?? 'UTC'))
  const days = [...Map.groupBy(placed, ({ midnight }) => midnight)]
    .sort(([a], [b]) => a - b)
    .map(([, own]): DayView => ({ day: own[0]?.day ?? '', events: own.map(({ view }) => view) }))
  return {
    heading: 'Order of events',
    note: `Times are ${zoneWords}. Where a span is shown, the records and their clocks tell no more than that.`,
    days,
  }
}

function nameEvent({ kind, label }: ReportEvent): string {
  const name = kindNames[kind]
  return label === '' || label === name || label === kind || kind === 'release' ? name : `${name}: ${label}`
}

const nameZone = (zone: string): string => (/^[+-]/.test(zone) ? `UTC${zone}` : zone)

interface Placed {
  day: string
  /** When the day begins, in milliseconds since 1970; later than all days where it is not known. */
  midnight: number
  view: EventView
}

function placeEvent(event: ReportEvent, zone: string): Placed {
  const { earliestStart, latestStart, earliestEnd, latestEnd, file } = event
  const anchor = findAnchor(event)
  const told = { what: nameEvent(event), file }
  if (anchor === null) {
    const view = { ...told, time: 'no time stated', possible: null, certain: null }
    return { day: 'Day not known', midnight: Number.MAX_SAFE_INTEGER, view }
  }
  const day = dayOf(anchor, zone)
  const midnight = local(anchor, zone).startOfDay().epochMilliseconds
  const hours = (from: string | null, to: string | null) =>
    from === null || to === null || from > to ? null : ([hoursAfter(midnight, from), hoursAfter(midnight, to)] as const)
  const view = {
    ...told,
    time: showTimes(event, zone, day),
    possible: hours(earliestStart ?? earliestEnd, latestEnd),
    certain: earliestStart === null ? null : hours(latestStart, earliestEnd),
  }
  return { day, midnight, view }
}

/** Names its day: the middle of what bounds its start, so that a day whose zone is not known is not taken for another. */
function findAnchor({ earliestStart, latestStart, earliestEnd, latestEnd }: ReportEvent): string | null {
  if (earliestStart === null || latestStart === null) return earliestStart ?? latestStart ?? earliestEnd ?? latestEnd
  const [from, to] = [earliestStart, latestStart].map((instant) => Temporal.Instant.from(instant).epochMilliseconds)
  return Temporal.Instant.fromEpochMilliseconds(Math.floor(((from ?? 0) + (to ?? 0)) / 2)).toString()
}

const hoursAfter = (midnight: number, instant: string): number =>
  (Temporal.Instant.from(instant).epochMilliseconds - midnight) / 3_600_000

function showTimes(event: ReportEvent, zone: string, day: string): string {
  const { earliestStart, latestStart, earliestEnd, latestEnd } = event
  const start = showSpan(earliestStart, latestStart, zone, day)
  const end = showSpan(earliestEnd, latestEnd, zone, day)
  if (earliestStart === earliestEnd && latestStart === latestEnd) return start
  return earliestStart === null ? `ended ${end}` : `${start} to ${end}`
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

/** Within a day: by the middle of what bounds it; what has no bound comes last. */
function compareEvents(a: ReportEvent, b: ReportEvent): number {
  return middleOf(a) - middleOf(b) || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0)
}

function middleOf({ earliestStart, latestStart, earliestEnd, latestEnd }: ReportEvent): number {
  const known = [earliestStart ?? earliestEnd, latestStart ?? latestEnd].filter((instant) => instant !== null)
  if (known.length === 0) return Number.MAX_SAFE_INTEGER
  const seconds = known.map((instant) => Temporal.Instant.from(instant).epochMilliseconds)
  return seconds.reduce((sum, value) => sum + value, 0) / seconds.length
}
