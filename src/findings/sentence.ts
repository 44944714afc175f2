/** Puts a message's sentence together from its text and data. */
import type { DataValue } from '../checks/check.ts'

/**
 * Replaces every `{name}` by the value of that name. Throws when the data lack a name that the text uses.
 *
 * Numbers are written with at most two decimals, without separators and without an exponent; lists as "a, b and c";
 * true and false as yes and no; null as "not stated".
 */
export function composeSentence(text: string, data: Readonly<Record<string, DataValue>>): string {
  return text.replace(/\{(\w+)\}/g, (_, name: string) => {
    if (!Object.hasOwn(data, name))
      throw new Error(`the sentence "${text}" names {${name}}, which the outcome does not give`)
    return formatValue(data[name] ?? null)
  })
}

function formatValue(value: DataValue): string {
  if (value === null) return 'not stated'
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (typeof value === 'number') return formatNumber(value)
  if (typeof value === 'string') return value
  return joinList(value.map((entry) => (typeof entry === 'number' ? formatNumber(entry) : entry)))
}

/** `0.30000000000000004` → `0.3`, `48211` → `48211`, `-0.001` → `0`; infinite and not-a-number as "unlimited" and "unknown". */
export function formatNumber(value: number): string {
  if (Number.isNaN(value)) return 'unknown'
  if (!Number.isFinite(value)) return 'unlimited'
  const rounded = Number.isInteger(value) ? value : (Math.sign(value) * Math.round(Math.abs(value) * 100)) / 100
  if (Object.is(rounded, -0) || rounded === 0) return '0'
  return Math.abs(rounded) >= 1e21 ? BigInt(rounded).toString() : String(rounded)
}

/** `a`, `a and b`, `a, b and c`; "none" for an empty list. */
export function joinList(entries: readonly string[]): string {
  const last = entries.at(-1)
  if (last === undefined) return 'none'
  return entries.length === 1 ? last : `${entries.slice(0, -1).join(', ')} and ${last}`
}
