/**
 * True time and how clocks and papers show it. True time is whole seconds since 1970-01-01T00:00Z; a face is the same count
 * for what a clock of some zone shows, so that calendar arithmetic on faces needs no zone.
 */
const offsets = new Map<string, Intl.DateTimeFormat>()

const formatOf = (zone: string): Intl.DateTimeFormat => {
  const known = offsets.get(zone)
  if (known) return known
  const made = new Intl.DateTimeFormat('en-US', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  })
  offsets.set(zone, made)
  return made
}

/** What a right clock in the zone shows at a true time. */
export function faceOf(time: number, zone: string): number {
  const parts = Object.fromEntries(
    formatOf(zone)
      .formatToParts(time * 1000)
      .map(({ type, value }) => [type, Number(value)]),
  )
  const { year = 0, month = 1, day = 1, hour = 0, minute = 0, second = 0 } = parts
  return Date.UTC(year, month - 1, day, hour, minute, second) / 1000
}

/** The true time at which a clock of the zone shows a face (the first of two on the night it is set back). */
export function timeOfFace(face: number, zone: string): number {
  const guess = face - (faceOf(face, zone) - face)
  return face - (faceOf(guess, zone) - guess)
}

/** `-05:00` at a true time. */
export function offsetText(time: number, zone: string): string {
  const minutes = Math.round((faceOf(time, zone) - time) / 60)
  const size = Math.abs(minutes)
  return `${minutes < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`
}

export const two = (value: number): string => String(value).padStart(2, '0')

/** `YYYY-MM-DDTHH:MM:SS` of a face. */
export const isoFace = (face: number): string => new Date(Math.floor(face) * 1000).toISOString().slice(0, 19)

export const dayOrders = ['iso', 'us', 'eu-dots', 'eu-slashes', 'named', 'named-us'] as const
export type DayOrder = (typeof dayOrders)[number]

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

export function dayText(face: number, order: DayOrder): string {
  const [year = '', month = '', day = ''] = isoFace(face).slice(0, 10).split('-')
  const name = months[Number(month) - 1]
  switch (order) {
    case 'iso':
      return `${year}-${month}-${day}`
    case 'us':
      return `${month}/${day}/${year}`
    case 'eu-dots':
      return `${day}.${month}.${year}`
    case 'eu-slashes':
      return `${day}/${month}/${year}`
    case 'named':
      return `${day} ${name} ${year}`
    case 'named-us':
      return `${name} ${Number(day)}, ${year}`
  }
}

export type HourStyle = '24' | '24-seconds' | '12' | '12-seconds'

export function hourText(face: number, style: HourStyle): string {
  const [hour = '', minute = '', second = ''] = isoFace(face).slice(11).split(':')
  const seconds = style.endsWith('seconds') ? `:${second}` : ''
  if (style.startsWith('24')) return `${hour}:${minute}${seconds}`
  return `${Number(hour) % 12 || 12}:${minute}${seconds} ${Number(hour) < 12 ? 'AM' : 'PM'}`
}

/** One clock: how far it runs ahead, and how what it stamps is printed. */
export interface Clock {
  zone: string
  aheadSeconds: number
  days: DayOrder
  hours: HourStyle
  /** Does it print its offset from UTC behind the time? */
  printsZone: boolean
}

export interface Stamp {
  day: string
  hour: string
}

/** What the clock prints at a true time; the zone's offset stands with the hour. */
export function stamp(clock: Clock, time: number): Stamp {
  const shown = time + clock.aheadSeconds
  const face = faceOf(shown, clock.zone)
  const hour = hourText(face, clock.hours)
  return { day: dayText(face, clock.days), hour: clock.printsZone ? `${hour} ${offsetText(shown, clock.zone)}` : hour }
}

export const stampText = (clock: Clock, time: number): string => {
  const { day, hour } = stamp(clock, time)
  return `${day} ${hour}`
}

/** As much of a true time as a paper prints; null: nothing. */
export function dateText(clock: Clock, time: number, dating: 'full' | 'day' | 'none'): string | null {
  if (dating === 'none') return null
  return dating === 'day' ? stamp(clock, time).day : stampText(clock, time)
}
