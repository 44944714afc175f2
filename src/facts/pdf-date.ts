/** Dates as PDF files write them (ISO 32000-1, 7.9.4). */

const pdfDate =
  /^\s*(?:D:)?(\d{4})(\d{2})(\d{2})(?:(\d{2})(?:(\d{2})(?:(\d{2}))?)?)?(?:(Z)(?:00'?(?:00'?)?)?|([+-])(\d{2})(?:'?(\d{2})'?)?'?)?\s*$/

function daysOf(year: number, month: number): number {
  return new Date(Date.UTC(year, month, 0)).getUTCDate()
}

/**
 * `D:YYYYMMDDHHmmSSOHH'mm'` as RFC 3339 where a zone is given, else as a local date-time; a date without a time stays
 * a date (`YYYY-MM-DD`). Undefined for what is no date or names no day.
 */
export function readPdfDate(text: string): string | undefined {
  const found = pdfDate.exec(text)
  if (!found) return undefined
  const [
    ,
    year = '',
    month = '',
    day = '',
    hour,
    minute = '00',
    second = '00',
    utc,
    sign,
    zoneHour,
    zoneMinute = '00',
  ] = found
  const inRange = (value: string, least: number, most: number) => Number(value) >= least && Number(value) <= most
  if (!inRange(month, 1, 12) || !inRange(day, 1, daysOf(Number(year), Number(month)))) return undefined
  const date = `${year}-${month}-${day}`
  if (hour === undefined) return date
  if (!inRange(hour, 0, 23) || !inRange(minute, 0, 59) || !inRange(second, 0, 59)) return undefined
  const local = `${date}T${hour}:${minute}:${second}`
  if (utc) return `${local}Z`
  if (!sign || zoneHour === undefined) return local
  if (!inRange(zoneHour, 0, 23) || !inRange(zoneMinute, 0, 59)) return undefined
  return `${local}${sign}${zoneHour}:${zoneMinute}`
}
