/** When two values of a fact say the same, and how a value is told. */
import type { DateReading } from '../facts/document.ts'
import { readAngle, readDistance, readLength, readPressure, readSpeed, readVolts } from '../facts/quantity.ts'

export type Scalar = string | number | boolean

/** A number with its unit; null where none is printed. */
export interface Quantity {
  quantity: number
  unit: string | null
}

/** A value that is compared as one. */
export type Leaf = Scalar | DateReading | Quantity | readonly Scalar[]

const isScalar = (value: unknown): value is Scalar => ['string', 'number', 'boolean'].includes(typeof value)

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

const isDate = (value: unknown): value is DateReading =>
  isRecord(value) && typeof value.text === 'string' && typeof value.earliest === 'string'

const isQuantity = (value: unknown): value is Quantity => isRecord(value) && typeof value.quantity === 'number'

export function isLeaf(value: unknown): value is Leaf {
  if (Array.isArray(value)) return value.every(isScalar)
  return isScalar(value) || isDate(value) || isQuantity(value)
}

/** The file does not tell. */
export const isNothing = (value: unknown): boolean =>
  value === undefined || value === null || value === 'unknown' || (Array.isArray(value) && value.length === 0)

/** Something with keys of its own, not a value. */
export const isGroup = (value: unknown): value is Readonly<Record<string, unknown>> => isRecord(value) && !isLeaf(value)

/**
 * Do both say the same? Text without regard to case, width of letters and white space; numbers in their units; dates by
 * the span of time they name, or by what is printed, since another file may have told its zone.
 */
export function saysSame(one: Leaf, other: Leaf): boolean {
  if (isDate(one) && isDate(other)) return isSameDate(one, other)
  if (isQuantity(one) && isQuantity(other)) return isSameQuantity(one, other)
  if (Array.isArray(one) && Array.isArray(other))
    return one.length === other.length && one.every((entry, index) => saysSame(entry, other[index]))
  if (typeof one === 'number' && typeof other === 'number') return isNear(one, other)
  if (typeof one === 'string' && typeof other === 'string') return plain(one) === plain(other)
  return one === other
}

/** Of binary fractions that stand for one decimal. */
const isNear = (one: number, other: number): boolean =>
  Math.abs(one - other) <= 1e-9 * Math.max(Math.abs(one), Math.abs(other))

/** One form for what people read as one word. */
export const plain = (text: string): string => text.normalize('NFKC').toLowerCase().replaceAll(/\s+/g, ' ').trim()

function isSameDate(one: DateReading, other: DateReading): boolean {
  if (plain(one.text) === plain(other.text)) return true
  if (one.earliest === other.earliest && one.latest === other.latest) return true
  return one.local !== null && one.local === other.local && one.offset === other.offset
}

const readers = [readPressure, readLength, readDistance, readSpeed, readAngle, readVolts]

/** What one of the unit is in the base unit, and which base unit that is; null for a unit that is not known. */
function scaleOf(unit: string): { factor: number; base: number } | null {
  for (const [base, read] of readers.entries()) {
    const factor = read(`1 ${unit}`)
    if (factor !== null) return { factor, base }
  }
  return null
}

/** In different units: when neither says the other is wrong, to half of the last place that either prints. */
function isSameQuantity(one: Quantity, other: Quantity): boolean {
  const units = [one.unit, other.unit].map((unit) => (unit === null ? null : plain(unit)))
  if (units[0] === units[1]) return isNear(one.quantity, other.quantity)
  const [scale, otherScale] = [one, other].map(({ unit }) => (unit === null ? null : scaleOf(unit)))
  if (!scale || !otherScale || scale.base !== otherScale.base) return false
  const gap = Math.abs(one.quantity * scale.factor - other.quantity * otherScale.factor)
  const slack = Math.max(halfPlace(one.quantity) * scale.factor, halfPlace(other.quantity) * otherScale.factor)
  return gap <= slack * (1 + 1e-9)
}

const halfPlace = (value: number): number => 0.5 / 10 ** (/\.(\d+)$/.exec(String(value))?.[1]?.length ?? 0)

/** Units that keys name. */
const keyUnits: readonly (readonly [RegExp, string])[] = [
  [/seconds$/i, 's'],
  [/minutes$/, 'min'],
  [/metres$/i, 'm'],
  [/percent$/i, '%'],
  [/volts$/i, 'V'],
  [/kmh$/i, 'km/h'],
]

/** The value in words; dates as printed. `key` is the last of its path. */
export function tellLeaf(value: Leaf, key: string): string {
  if (isDate(value)) return value.text
  if (isQuantity(value)) return value.unit === null ? String(value.quantity) : `${value.quantity} ${value.unit}`
  if (Array.isArray(value)) return value.map((entry) => tellLeaf(entry, '')).join(', ')
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (typeof value === 'string') return value
  if (key === 'amount') return (value as number).toFixed(2)
  const unit = keyUnits.find(([pattern]) => pattern.test(key))?.[1]
  return unit === undefined ? String(value) : `${value} ${unit}`
}
