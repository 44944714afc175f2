/** Limits that stand near a measured value without a heading that says so: in the cells behind it, or on the line beneath. */
import type { Cell, Line } from '../layout.ts'
import { type Limits, readLimits, readQuantity } from '../quantity.ts'

/** Whether a text is a number with its unit and nothing else. */
export const isQuantity = (text: string) =>
  /^[+\-−–]?\s?(?:\d|[.,]\d)[\d.,]*(?:\s?\S{1,8})?(?:\s?\S{1,6})?$/.test(text.trim()) &&
  readQuantity(text.trim())?.start === 0

/** A sum of printed decimals without the noise of binary fractions. */
export const round = (n: number) => Math.round(n * 1e6) / 1e6

/** Words and signs of which one stands where limits are printed. */
export const LIMIT_WORDS =
  /\b(?:permitted|permissible|limits?|allowed|allowable|min|max|minimum|maximum|tolerance|tol|range|spec|specification|acceptable|accepted|between|from|nominal|target|within|required|admissible|window|band)\b|[±≤≥<>]|\+\/-/i

/** The limits in the first three cells behind a value; null when there are none. */
export function limitsOfCells(cells: readonly Cell[], style: { decimal: ',' | '.' | null }): Limits | null {
  for (const [i, cell] of cells.slice(0, 3).entries()) {
    const limits = readLimits(cell.text, style)
    if (!limits) continue
    // "1500 mm | ± 10 mm": the tolerance lies around the nominal value before it.
    const before = cells[i - 1]
    const nominal =
      before && /^(?:±|\+\/-)/.test(cell.text) && isQuantity(before.text) ? readQuantity(before.text, style) : null
    // "-1.30° | ± 0.40° | -1.20° | …": more numbers behind a bare tolerance leave open which of them is the nominal value.
    const isTolerance = /^(?:±|\+\/-)/.test(cell.text)
    if (!nominal && isTolerance && cells.slice(i + 1).some((other) => isQuantity(other.text))) return null
    if (!nominal || limits.least === undefined || limits.most === undefined) return limits
    return { ...limits, least: round(nominal.value + limits.least), most: round(nominal.value + limits.most) }
  }
  return null
}

/**
 * Two bare numbers in cells of their own, the smaller first. Three numbers that rise may as well be the lower limit, the value
 * and the upper limit: no heading tells, so they are no limits.
 */
export function pairOfCells(
  value: number,
  cells: readonly Cell[],
  style: { decimal: ',' | '.' | null },
): Limits | null {
  const [a, b] = cells
  if (!a || !b || !isQuantity(a.text) || !isQuantity(b.text)) return null
  const least = readQuantity(a.text, style)
  const most = readQuantity(b.text, style)
  if (!least || !most || least.value > most.value || value < least.value) return null
  return { least: least.value, most: most.value, unit: least.unit ?? most.unit, text: '', start: 0, end: 0 }
}

/** The limits on the line beneath the one at `at`, where it follows closely and is no value of its own; null otherwise. */
export function limitsBeneath(
  lines: readonly Line[],
  at: number,
  cell: Cell,
  style: { decimal: ',' | '.' | null },
): { limits: Limits; line: Line } | null {
  const next = lines[at + 1]
  if (!next || next.page !== cell.page || next.gapAbove > 1.2 * cell.size || !LIMIT_WORDS.test(next.text)) return null
  const [word, ...numbers] = next.cells
  const isNamed = /^\W*(?:limits?|tolerance|spec|range|permitted|allowed)\W*$/i.test(word?.text ?? '')
  const pair = isNamed && numbers.length === 2 ? pairOfCells(Number.POSITIVE_INFINITY, numbers, style) : null
  if (pair) return { limits: pair, line: next }
  // A row of its own, with a name and numbers, holds the limits of its own value.
  if (
    next.cells.length > 2 &&
    !isQuantity(next.cells[0]?.text ?? '') &&
    next.cells.filter(({ text }) => isQuantity(text)).length > 1
  )
    return null
  if (/^[^:]{2,40}:\s/.test(next.text) && !/^\W*(?:limits?|tolerance|spec|range|permitted|allowed)/i.test(next.text))
    return null
  const limits = readLimits(next.text, style)
  return limits ? { limits, line: next } : null
}
