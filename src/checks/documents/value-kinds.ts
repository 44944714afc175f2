/** What kind of value a word is, by its shape: only where values differ does it matter what is seen. */
import { readDate } from '../../facts/date-text.ts'
import { findTroubleCodes } from '../../facts/trouble-code-text.ts'
import { findVins } from '../../facts/vin-text.ts'
import { mentions } from '../wording.ts'

export type ValueKind = 'vin' | 'code' | 'date' | 'time' | 'percentage' | 'measure' | 'number' | 'mark' | 'outcome'

/** Marks that wrap a value and are none of it. */
const wrapping = /^[(["'*]+|[)\]"'*,;:.]+$/g
/** Zeros and letters that hold a place for a value. */
const placeholder = /^[0XYMDHN_.,:/%+-]+$/i

const shapes: readonly (readonly [ValueKind, RegExp])[] = [
  ['time', /^\d{1,2}[:.h]\d{2}(?:[:.]\d{2}(?:\.\d+)?)?(?:Z|[ap]m|h)?$/i],
  ['percentage', /^[+-]?\d+(?:[.,]\d+)?%$/],
  ['measure', /^[+-±]?\d+(?:[.,]\d+)*(?:[°'"]|[a-zµ]{1,3}(?:\/h)?)$/i],
  ['measure', /^[+-±]?\d+[.,]\d+$/],
  ['number', /^[$€£#]?\d{3,}$/],
  ['mark', /^(?=.*\d)(?=.*\p{L})[\p{L}\d]+(?:[-./][\p{L}\d]+)*$/u],
]

/** Null for a label or any word that states nothing by itself. `outcomes`: words that state how something went. */
export function valueKind(text: string, outcomes: readonly string[]): ValueKind | null {
  const bare = text.replace(wrapping, '')
  if (bare.length < 2 || placeholder.test(bare)) return mentions(bare, outcomes) ? 'outcome' : null
  if (findVins(bare, { isValue: true }).length > 0) return 'vin'
  if (findTroubleCodes(bare).length > 0) return 'code'
  if (/^\d{1,4}[./-]/.test(bare) && readDate(bare) !== null) return 'date'
  const shape = shapes.find(([, pattern]) => pattern.test(bare))
  if (shape) return shape[0] === 'mark' && bare.length < 4 ? null : shape[0]
  return mentions(bare, outcomes) ? 'outcome' : null
}

const lookAlikes: readonly (readonly [RegExp, string])[] = [
  [/[OQ]/g, '0'],
  [/[IL|]/g, '1'],
  [/S/g, '5'],
  [/B/g, '8'],
  [/Z/g, '2'],
]

/** The word without what is easily taken for something else: case, look-alikes, hyphens and other marks. */
export function plainValue(text: string): string {
  const letters = text.toUpperCase().replace(/[^\p{L}\d|]/gu, '')
  return lookAlikes.reduce((plain, [pattern, sign]) => plain.replace(pattern, sign), letters)
}
