/**
 * Which order of day and month a place writes, where no date of a packet proves it. Common practice, no source: the United
 * States put the month first, and Europe, Africa, Australia and New Zealand the day. Anything else is left open.
 */
import type { DateReading } from '../document.ts'

/** IANA zones of the United States; Canada's are not among them, for there both orders are written. */
const unitedStates =
  /^(?:US\/|America\/(?:New_York|Chicago|Denver|Phoenix|Los_Angeles|Anchorage|Juneau|Sitka|Nome|Adak|Boise|Detroit|Menominee|Indiana\/|Kentucky\/|North_Dakota\/)|Pacific\/Honolulu)/

const dayFirstZones = /^(?:Europe|Africa|Australia|Atlantic\/(?:Azores|Canary|Madeira))|^Pacific\/Auckland/

/** True: the day stands first; false: the month; null: the place is not known well enough. `zone`: as packet.yaml declares it. */
export function orderByPlace(text: string, offsets: readonly string[], zone: string | null): boolean | null {
  if (zone !== null && unitedStates.test(zone)) return false
  if (zone !== null && dayFirstZones.test(zone)) return true
  const eastern = offsets.some((offset) => /^\+(?!00:00)/.test(offset))
  const miles = /\d\s?(?:mi|miles|mph)\b|\bmiles\b|\bmileage\b/i.test(text)
  const british = /\b(?:tyres?|licence|colour|centre|windscreen|bonnet|programme|kilomet|km)\b|£|€/i.test(text)
  return zone === null && miles && !british && !eastern ? false : null
}

/** A value with every date in it, however deep, put through `settle`. */
export function settleDates<T>(value: T, settle: (date: DateReading) => DateReading): T {
  if (Array.isArray(value)) return value.map((one) => settleDates(one, settle)) as T
  if (typeof value !== 'object' || value === null) return value
  if ('alternatives' in value && 'earliest' in value) return settle(value as unknown as DateReading) as T
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, settleDates(one, settle)])) as T
}

/** Every offset from UTC that was printed with a date. */
export function offsetsIn(value: unknown): string[] {
  if (typeof value !== 'object' || value === null) return []
  const own = 'earliest' in value && 'offset' in value && typeof value.offset === 'string' ? [value.offset] : []
  return [...own, ...Object.values(value).flatMap(offsetsIn)]
}
