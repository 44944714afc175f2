/** Times of the shop's zone, written without a clock: seconds since 1970-01-01T00:00 local, and how reports print them. */

/** `YYYY-MM-DDTHH:MM[:SS]`, local, to seconds. */
export function at(text: string): number {
  return Date.parse(`${text.length === 16 ? `${text}:00` : text}Z`) / 1000
}

/** Central daylight time is five hours behind UTC. */
export const utc = (local: number): number => local + 5 * 3600

const two = (value: number): string => String(value).padStart(2, '0')

interface Parts {
  year: number
  month: number
  day: number
  hour: number
  minute: number
  second: number
}

/** Calendar parts of a count of seconds. */
export function parts(seconds: number): Parts {
  const date = new Date(Math.floor(seconds) * 1000)
  return {
    year: date.getUTCFullYear(),
    month: date.getUTCMonth() + 1,
    day: date.getUTCDate(),
    hour: date.getUTCHours(),
    minute: date.getUTCMinutes(),
    second: date.getUTCSeconds(),
  }
}

export const iso = (seconds: number): string => new Date(seconds * 1000).toISOString().slice(0, 19)
export const isoDay = (seconds: number): string => iso(seconds).slice(0, 10)

/** `06/11/2026` */
export function usDay(seconds: number): string {
  const { year, month, day } = parts(seconds)
  return `${two(month)}/${two(day)}/${year}`
}

/** `10:05` or `10:05:12` */
export const clock = (seconds: number): string => iso(seconds).slice(11, 16)
export const clockSeconds = (seconds: number): string => iso(seconds).slice(11)

/** `2:05 PM` */
export function halfDay(seconds: number, withSeconds = false): string {
  const { hour, minute, second } = parts(seconds)
  return `${hour % 12 || 12}:${two(minute)}${withSeconds ? `:${two(second)}` : ''} ${hour < 12 ? 'AM' : 'PM'}`
}

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

/** `15 Jul 2026` */
export function namedDay(seconds: number): string {
  const { year, month, day } = parts(seconds)
  return `${two(day)} ${months[month - 1]} ${year}`
}

/** `12 min 36 s` */
export function span(seconds: number): string {
  return `${Math.floor(seconds / 60)} min ${two(Math.round(seconds) % 60)} s`
}

/** A count of thousands with its comma. */
export const thousands = (value: number): string => String(value).replace(/\B(?=(\d{3})+$)/g, ',')
