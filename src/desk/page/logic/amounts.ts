/** Numbers, sizes and times as people read them. */

/** "1 file", "3 files". */
export const count = (number: number, one: string, many = `${one}s`): string => `${number} ${number === 1 ? one : many}`

/** "731 B", "12.4 kB", "3.1 MB": powers of 1,000. */
export function bytesText(bytes: number): string {
  const units = ['B', 'kB', 'MB', 'GB']
  const power = Math.min(units.length - 1, Math.max(0, Math.floor(Math.log10(Math.max(1, bytes)) / 3)))
  const value = bytes / 1000 ** power
  return `${power === 0 || value >= 100 ? Math.round(value) : value.toFixed(1)} ${units[power]}`
}

/** "12.5 %" */
export const percentText = (rate: number): string => `${(rate * 100).toFixed(1)} %`

/** "13 min 20 s"; "1 h 2 min" from an hour on. */
export function durationText(seconds: number): string {
  const whole = Math.round(seconds)
  if (whole >= 3600) return `${Math.floor(whole / 3600)} h ${Math.floor((whole % 3600) / 60)} min`
  return whole < 60 ? `${whole} s` : `${Math.floor(whole / 60)} min ${whole % 60} s`
}

/** "800 m", "2.5 km" */
export const distanceText = (metres: number): string =>
  metres < 1000 ? `${metres} m` : `${Number((metres / 1000).toFixed(2))} km`

/** "2026-11-26 18:05" in a zone; `zone` is an IANA name, the reader's own when left out. */
export function timeText(instant: string, zone?: string): string {
  const parts = new Intl.DateTimeFormat('en-CA', {
    timeZone: zone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).formatToParts(new Date(instant))
  const part = (type: string) => parts.find((one) => one.type === type)?.value ?? ''
  return `${part('year')}-${part('month')}-${part('day')} ${part('hour')}:${part('minute')}`
}
