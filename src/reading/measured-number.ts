/** Numbers and coordinates as drive logs write them. */

/**
 * A number: `12.5`, `+3`, `1e-3`; with `decimalComma` also `12,5`. Null for anything else, including a thousands comma,
 * `NaN` and numbers that are not finite.
 */
export function readNumber(text: string, decimalComma: boolean): number | null {
  const trimmed = text.trim().replace(/^−/, '-')
  const shape = decimalComma
    ? /^[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[-+]?\d{1,3})?$/i
    : /^[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d{1,3})?$/i
  if (trimmed.length > 40 || !shape.test(trimmed)) return null
  const value = Number(trimmed.replace(',', '.'))
  return Number.isFinite(value) ? value : null
}

/**
 * Degrees of a latitude or longitude: decimal, with N S E W before or after, degrees and minutes (`41° 18.853' N`),
 * degrees, minutes and seconds. `most` is 90 or 180; null for what is no coordinate or out of range.
 */
export function readCoordinate(text: string, most: 90 | 180, decimalComma: boolean): number | null {
  if (text.length > 60) return null
  const plain = readNumber(text, decimalComma)
  if (plain !== null) return Math.abs(plain) <= most ? plain : null
  const found = /^([NSEW]?)\s*([-+]?)(.*?)\s*([NSEW]?)$/i.exec(text.trim().replace(/^−/, '-'))
  if (!found) return null
  const side = (found[1] || found[4] || '').toUpperCase()
  const parts = (found[3] ?? '').split(/[°º˚:'’′"”″\s]+/).filter((part) => part !== '')
  if (parts.length < 1 || parts.length > 3 || (side !== '' && !sideFits(side, most))) return null
  let degrees = 0
  for (const [index, part] of parts.entries()) {
    const value = readNumber(part, decimalComma)
    if (value === null || value < 0 || (index > 0 && value >= 60)) return null
    degrees += value / 60 ** index
  }
  if (degrees > most) return null
  return side === 'S' || side === 'W' || found[2] === '-' ? -degrees : degrees
}

/** Degrees of `ddmm.mmm` or `dddmm.mmm` with its side (NMEA 0183), null if malformed or out of range. */
export function readDegreesMinutes(text: string, side: string, most: 90 | 180): number | null {
  const found = /^(\d{1,3})(\d{2}(?:\.\d*)?)$/.exec(text.trim())
  if (!found || !sideFits(side.toUpperCase(), most)) return null
  const minutes = Number(found[2])
  const degrees = Number(found[1]) + minutes / 60
  if (minutes >= 60 || degrees > most) return null
  return /[SW]/i.test(side) ? -degrees : degrees
}

function sideFits(side: string, most: 90 | 180): boolean {
  return most === 90 ? side === 'N' || side === 'S' : side === 'E' || side === 'W'
}
