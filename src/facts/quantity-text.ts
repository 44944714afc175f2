/** Numbers with a unit: odometer, voltage, percentage, money, pressure, length, speed, angle. */
import { digitsSource, type NumberStyle, numberOf, numberSource, readNumber } from './number-text.ts'

const sp = '[ \\u00a0\\u2009\\u202f]{0,3}'
const notBehind = '(?<![A-Za-z0-9]|\\d[.,:/])'

export interface Measured {
  value: number
  /** As written; null where none is printed. */
  unit: string | null
  text: string
  start: number
  end: number
}

export interface QuantitySearch extends NumberStyle {
  /** The whole text is the value of a field of this kind: a number without a unit counts too. */
  isValue?: boolean
}

interface Unit {
  /** A regular expression for the unit as printed, without flags; told apart by case only where case matters. */
  form: string
  factor: number
}

function compile(units: readonly Unit[]): { pattern: RegExp; factor(written: string): number } {
  const forms = units.map(({ form }) => form).join('|')
  const pattern = new RegExp(`${notBehind}(${numberSource})${sp}(${forms})(?![A-Za-z0-9²³])`, 'gi')
  const tests = units.map(({ form, factor }) => ({ test: new RegExp(`^(?:${form})$`, 'i'), factor }))
  return { pattern, factor: (written) => tests.find(({ test }) => test.test(written))?.factor ?? Number.NaN }
}

/** The first number of `text` with one of the units, in the base unit; rounded to 12 significant digits. */
function readIn(units: ReturnType<typeof compile>, text: string, options: QuantitySearch): number | null {
  for (const match of text.matchAll(units.pattern)) {
    const value = numberOf(unspace(match[1] ?? ''), options)
    if (value !== null) return tidy(value * units.factor(match[2] ?? ''))
  }
  return null
}

function unspace(number: string): string {
  return number.replace(/^([+\-−–‑])[ \u00a0]/, '$1')
}

function tidy(value: number): number {
  return Number(value.toPrecision(12))
}

function bareNumber(text: string, options: QuantitySearch): number | null {
  return options.isValue ? readNumber(text, options) : null
}

const volts = compile([
  { form: 'mV', factor: 0.001 },
  { form: 'V(?:olts?)?\\.?(?:[ ]?(?:DC|d\\.c\\.))?', factor: 1 },
])

/** Volts of the first voltage in a text (`12.6 V`, `12,6V`, `13.4 VDC`, `12.6 volts`, `12600 mV`); null when there is none. */
export function readVolts(text: string, options: QuantitySearch = {}): number | null {
  return readIn(volts, text, options) ?? bareNumber(text, options)
}

const percent = new RegExp(`${notBehind}(${numberSource})${sp}(?:%|％|percent\\b|per cent\\b|pct\\b)`, 'gi')

/** The first percentage of a text, 100 for `100 %`; null when there is none. */
export function readPercent(text: string, options: QuantitySearch = {}): number | null {
  for (const match of text.matchAll(percent)) {
    const value = numberOf(unspace(match[1] ?? ''), options)
    if (value !== null) return value
  }
  return bareNumber(text, options)
}

const kilometre = 'km|kms|kilomet(?:re|er)s?'
const mile = 'mi\\.?|miles?|mls?'
const odometer = new RegExp(`${notBehind}(${digitsSource})${sp}(?:(${kilometre})|(${mile}))(?![A-Za-z0-9/²])`, 'gi')
const odometerLabel =
  /^[^0-9]{0,40}?(?:odometer|odo|mileage|kilomet(?:re|er)s?|\bmiles|\bkm|distance driven)[^0-9]{0,24}([0-9].{0,24})$/i

/**
 * An odometer reading: `48,211 mi`, `48 211 km`, `48.211 km`, `Odometer (km): 48211`. `unit` null where none is printed.
 * Three digits behind a point are thousands here, since no odometer shows metres. Null above two million.
 */
export function readOdometer(
  text: string,
  options: QuantitySearch = {},
): { value: number; unit: 'mi' | 'km' | null } | null {
  for (const match of text.matchAll(odometer)) {
    const value = odometerValue(match[1] ?? '', options)
    if (value !== null) return { value, unit: match[2] ? 'km' : 'mi' }
  }
  const labelled = odometerLabel.exec(text.slice(0, 200).trim())
  const digits = labelled?.[1] ?? (options.isValue ? text : '')
  const value = odometerValue(digits.trim(), options)
  if (value === null) return null
  const label = text.slice(0, text.length - digits.length).toLowerCase()
  const unit = /\bkm\b|kilomet/.test(label) ? 'km' : /\bmi\b|\bmiles\b/.test(label) ? 'mi' : null
  return { value, unit }
}

function odometerValue(digits: string, options: QuantitySearch): number | null {
  const grouped = /^\d{1,3}(?:\.\d{3}){1,2}$/.test(digits)
  const value = grouped ? Number(digits.replaceAll('.', '')) : readNumber(digits, options)
  return value !== null && value >= 0 && value <= 2_000_000 ? value : null
}

const pressure = compile([
  { form: 'kPa', factor: 1 },
  { form: 'MPa', factor: 1000 },
  { form: 'hPa|mbar', factor: 0.1 },
  { form: 'bars?', factor: 100 },
  { form: 'psig?|lbs?/in²|lbf/in2', factor: 6.894757293168 },
  { form: 'kgf?/cm(?:²|2)', factor: 98.0665 },
])

/** Kilopascals of the first pressure in a text (kPa, bar, psi, hPa, mbar, MPa, kg/cm²); null when there is none. */
export function readPressure(text: string, options: QuantitySearch = {}): number | null {
  return readIn(pressure, text, options)
}

const length = compile([
  { form: 'mm|millimet(?:re|er)s?', factor: 0.001 },
  { form: 'cm|centimet(?:re|er)s?', factor: 0.01 },
  { form: 'km|kilomet(?:re|er)s?', factor: 1000 },
  { form: 'm|met(?:re|er)s?', factor: 1 },
  { form: 'in\\.?|inch(?:es)?|"|″|”', factor: 0.0254 },
  { form: "ft\\.?|feet|foot|'|′|’", factor: 0.3048 },
  { form: 'yds?|yards?', factor: 0.9144 },
  { form: 'nmi|nautical miles?', factor: 1852 },
  { form: 'mi\\.?|miles?', factor: 1609.344 },
])
const feetAndInches = new RegExp(
  `${notBehind}(\\d{1,5})${sp}(?:ft\\.?|feet|foot|'|′|’)${sp}(\\d{1,2}(?:\\.\\d{1,4})?)${sp}(?:in\\.?|inch(?:es)?|"|″|”)(?![A-Za-z0-9])`,
  'i',
)

/** Metres of the first length in a text (mm, cm, m, km, in, ft, ft and in, yd, mi, nmi); null when there is none. */
export function readLength(text: string, options: QuantitySearch = {}): number | null {
  const both = feetAndInches.exec(text)
  if (both) return tidy(Number(both[1]) * 0.3048 + Number(both[2]) * 0.0254)
  return readIn(length, text, options)
}

const distance = compile([
  { form: 'km|kms|kilomet(?:re|er)s?', factor: 1000 },
  { form: 'nmi|nautical miles?', factor: 1852 },
  { form: 'mi\\.?|miles?', factor: 1609.344 },
  { form: 'm|met(?:re|er)s?', factor: 1 },
  { form: 'ft\\.?|feet', factor: 0.3048 },
  { form: 'yds?|yards?', factor: 0.9144 },
])

/** Metres of the first travelled distance in a text (km, mi, nmi, m, ft, yd); null when there is none. */
export function readDistance(text: string, options: QuantitySearch = {}): number | null {
  return readIn(distance, text, options)
}

const speed = compile([
  { form: 'km/h|kmh|kph|km/hr|km h-1', factor: 1 / 3.6 },
  { form: 'mph|mi/h|miles per hour', factor: 0.44704 },
  { form: 'm/s|m s-1', factor: 1 },
  { form: 'kn|knots?|kts?', factor: 1852 / 3600 },
])

/** Metres a second of the first speed in a text (km/h, mph, m/s, knots); null when there is none. */
export function readSpeed(text: string, options: QuantitySearch = {}): number | null {
  return readIn(speed, text, options)
}

const angle = compile([
  { form: '°|º|deg(?:rees?)?\\.?', factor: 1 },
  { form: "arcmin|′|’|'|minutes? of arc", factor: 1 / 60 },
  { form: 'mrad', factor: 180 / Math.PI / 1000 },
  { form: 'rad(?:ians?)?', factor: 180 / Math.PI },
])
const sexagesimal = new RegExp(
  `${notBehind}([+\\-−–‑]?)(\\d{1,3})${sp}[°º]${sp}(\\d{1,2}(?:[.,]\\d{1,4})?)${sp}['′’](?:${sp}(\\d{1,2}(?:[.,]\\d{1,4})?)${sp}(?:["″”]|''))?`,
)

/** Degrees of the first angle in a text: `0.25°`, `-0,25 deg`, `0°12′`, `0° 12' 30"`, `12′`, `4 mrad`; null when there is none. */
export function readAngle(text: string, options: QuantitySearch = {}): number | null {
  const parts = sexagesimal.exec(text)
  if (parts) {
    const [minutes, seconds] = [parts[3], parts[4]].map((part) => Number((part ?? '0').replace(',', '.')))
    if ((minutes ?? 0) >= 60 || (seconds ?? 0) >= 60) return null
    const size = Number(parts[2]) + (minutes ?? 0) / 60 + (seconds ?? 0) / 3600
    return tidy(/[-−–‑]/.test(parts[1] ?? '') ? -size : size)
  }
  return readIn(angle, text, options)
}

const unitForm =
  '(?:°(?:[ ]?[CF])?|º|%|‰|degrees?|degs?|deg\\.|mrad|rad|(?:m|k|c|d)?m(?:/s(?:²|2)?|/h)?|km/h|mph|in(?:ch(?:es)?)?\\.?|ft|mi|px|pixels?|m?V(?:DC)?|volts?|m?A|dB(?:m|sm)?|[kM]?Hz|kPa|MPa|hPa|mbar|bar|psi|N[ ]?m|Nm|kg|lbs?|m?s|min|h|lux|lx|g|K|counts?|″|"|′)'
const quantity = new RegExp(
  `${notBehind}(?<!\\d-|\\d[-–]\\d\\d-|\\d[eE][-+])(${numberSource})(?:${sp}(${unitForm})(?![A-Za-z0-9])|(?![A-Za-z0-9:/]\\d|\\d|-\\d{1,2}-\\d))`,
  'g',
)

/**
 * The first number of a text with its unit as written (deg, mm, px, %, V, …), or without; null when the text has no number.
 * The unit is not converted.
 */
export function readQuantity(text: string, options: NumberStyle = {}): Measured | null {
  const parts = sexagesimal.exec(text)
  for (const match of text.matchAll(quantity)) {
    const value = numberOf(unspace(match[1] ?? ''), options)
    if (value === null || /^[A-Za-z]/.test(text.charAt(match.index + match[0].length))) continue
    // Degrees and minutes are one number: 0°12′ is not nought.
    const degrees = parts !== null && parts.index <= match.index ? readAngle(text, options) : null
    if (parts !== null && degrees !== null)
      return { value: degrees, unit: '°', text: parts[0], start: parts.index, end: parts.index + parts[0].length }
    return { value, unit: match[2] ?? null, text: match[0], start: match.index, end: match.index + match[0].length }
  }
  return null
}
