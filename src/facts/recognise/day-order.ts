/**
 * Which order of day and month a packet's dates stand in where none of them proves it: by the days of the work that other
 * files tell, or by what a place writes. Common practice, no source: the United States put the month first, and Europe,
 * Africa, Australia and New Zealand the day. Anything else is left open.
 */
import type { DateReading, DocumentFacts } from '../document.ts'

/** IANA zones of the United States; Canada's are not among them, for there both orders are written. */
const unitedStates =
  /^(?:US\/|America\/(?:New_York|Chicago|Denver|Phoenix|Los_Angeles|Anchorage|Juneau|Sitka|Nome|Adak|Boise|Detroit|Menominee|Indiana\/|Kentucky\/|North_Dakota\/)|Pacific\/Honolulu)/

const dayFirstZones = /^(?:Europe|Africa|Australia|Atlantic\/(?:Azores|Canary|Madeira))|^Pacific\/Auckland/

/** Offsets from UTC at which no place writes the month first (+10:00 is Guam's too, +08:00 the Philippines'). */
const dayFirstOffsets = /^\+(?:0[1-3]:00|09:30|10:30|11:00)$/

/** True: the day stands first; false: the month; null: the place is not known well enough. `zone`: as packet.yaml declares it. */
export function orderByPlace(text: string, offsets: readonly string[], zone: string | null): boolean | null {
  if (zone !== null) return unitedStates.test(zone) ? false : dayFirstZones.test(zone) ? true : null
  const eastern = offsets.some((offset) => /^\+(?!00:00)/.test(offset))
  const miles = /\d\s?(?:mi|miles|mph)\b|\bmiles\b|\bmileage\b/i.test(text)
  if (/[£€]\s?\d/.test(text)) return /\$\s?\d/.test(text) ? null : true
  if (eastern) return !miles && offsets.every((offset) => dayFirstOffsets.test(offset)) ? true : null
  const british = /\b(?:tyres?|windscreen|bonnet|kilomet|km)\b|£|€/i.test(text)
  // Makers of instruments spell as they like; a shop that charges dollars by the mile is where the month stands first.
  const maybeBritish = /\b(?:licence|colour|centre|programme)\b/i.test(text) && !/\$\s?\d/.test(text)
  return miles && !british && !maybeBritish ? false : null
}

const DAY_MS = 86_400_000
/** A reading belongs to a job within so many days of its work; another that is further off than the second does not. */
const nearDays = 14
const farDays = 45

/** The moments, in ms, that a document's own work is dated to; papers of the office may be of long before or after it. */
function datesOfWork({ kind, date, calibrations = [], drive, photo }: DocumentFacts): DateReading[] {
  const isOffice = kind === 'estimate' || kind === 'invoice'
  const own = [isOffice ? undefined : date, drive?.started, photo?.taken]
  return [...own, ...calibrations.flatMap(({ started, ended }) => [started, ended])].filter(
    (one) => one !== undefined && one !== null,
  )
}

/**
 * True or false where the dates of the work that can be read in one way only lie within two weeks of every other by one order
 * of day and month, and more than six weeks from it by the other; null where any speaks otherwise, or none speaks.
 */
export function orderByCompany(documents: readonly DocumentFacts[]): boolean | null {
  const dates = documents.flatMap(datesOfWork)
  const known = dates.flatMap(({ local }) => (local === null ? [] : [Date.parse(local.slice(0, 10))]))
  const daysFrom = (local: string) =>
    Math.min(...known.map((one) => Math.abs(one - Date.parse(local.slice(0, 10))) / DAY_MS))
  const votes = new Set<boolean>()
  for (const { alternatives } of dates) {
    const [dayFirst, monthFirst] = (alternatives ?? []).map(daysFrom)
    if (dayFirst === undefined || monthFirst === undefined) continue
    if (dayFirst <= nearDays && monthFirst > farDays) votes.add(true)
    else if (monthFirst <= nearDays && dayFirst > farDays) votes.add(false)
    else if (Math.min(dayFirst, monthFirst) > nearDays) return null
  }
  const [only, other] = [...votes]
  return only !== undefined && other === undefined ? only : null
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
