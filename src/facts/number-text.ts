/**
 * Numbers as printed in any country: thousands set apart by comma, point, space, narrow or no-break space or apostrophe;
 * decimal comma or point; minus as hyphen, minus sign or dash.
 *
 * Where the shape leaves it open (1,240 or 1.240) a comma followed by exactly three digits sets thousands apart and a
 * point is decimal, as English prints it; the option says otherwise.
 */

export interface NumberStyle {
  /** The decimal mark, where it is known; absent or null: told by the shape. */
  decimal?: ',' | '.' | null
}

export interface NumberFound {
  value: number
  text: string
  start: number
  end: number
}

const space = '[ \\u00a0\\u2009\\u202f]'
/** A number without sign. The first alternative takes grouped digits, so that 48 211 is one number. */
export const digitsSource = `(?:\\d{1,3}(?:${space}\\d{3}){1,4}(?:[.,]\\d{1,9})?(?!\\d)|\\d{1,3}(?:['’]\\d{3}){1,4}(?:[.,]\\d{1,9})?(?!\\d)|\\d{1,3}(?:,\\d{3}){1,4}(?:\\.\\d{1,9})?(?![\\d])|\\d{1,3}(?:\\.\\d{3}){1,4}(?:,\\d{1,9})?(?![\\d])|\\d{1,12}(?:[.,]\\d{1,9})?|[.,]\\d{1,9})`
export const signSource = '[+\\-−–‑]'
/** A number with its sign, as one group-free expression. */
export const numberSource = `(?:${signSource}[ \\u00a0]?)?${digitsSource}`

const wholeNumber = new RegExp(`^${signSource}?${space}{0,2}${digitsSource}$`)

/** The value of a text that is one number and nothing else; null otherwise. */
export function readNumber(text: string, style: NumberStyle = {}): number | null {
  const trimmed = text.slice(0, 64).trim()
  if (!wholeNumber.test(trimmed)) return null
  return numberOf(trimmed, style)
}

const inText = new RegExp(
  `(?<![A-Za-z0-9]|\\d[.,:/])(?:(?<![A-Za-z0-9)\\]°%])${signSource})?${digitsSource}(?![\\d]|[:/]\\d|[.,]\\d)`,
  'g',
)

/** Every number of a text, in order; a hyphen behind a letter or digit is no sign. Parts of dates and times are none. */
export function findNumbers(text: string, style: NumberStyle = {}): NumberFound[] {
  const found: NumberFound[] = []
  for (const match of text.matchAll(inText)) {
    const value = numberOf(match[0], style)
    if (value !== null) found.push({ value, text: match[0], start: match.index, end: match.index + match[0].length })
  }
  return found
}

/** The value of text that has the shape of a number; null when its marks contradict the style. */
export function numberOf(text: string, style: NumberStyle = {}): number | null {
  const negative = /^[-−–‑]/.test(text)
  const bare = text.replace(/^[+\-−–‑]/, '').replace(/[ \u00a0\u2009\u202f'’]/g, '')
  const plain = withPoint(bare, style.decimal ?? null, text)
  if (plain === null) return null
  const value = Number(plain)
  if (!Number.isFinite(value)) return null
  return negative && value !== 0 ? -value : value
}

function withPoint(digits: string, decimal: ',' | '.' | null, written: string): string | null {
  const commas = digits.split(',').length - 1
  const points = digits.split('.').length - 1
  const mark = decimal ?? decimalMark(digits, commas, points, /\d[ \u00a0\u2009\u202f'’]\d/.test(written))
  const other = mark === ',' ? '.' : ','
  const count = mark === ',' ? commas : mark === '.' ? points : 0
  if (count > 1) return isGrouped(digits, mark ?? '.') ? digits.replaceAll(mark ?? '.', '') : null
  const [whole = '', fraction = ''] = mark === null ? [digits] : digits.split(mark)
  if (whole.includes(other) && !isGrouped(whole, other)) return null
  if (fraction.includes(other)) return null
  return `${mark === null ? whole.replace(/[.,]/g, '') : whole.replaceAll(other, '')}.${fraction}`
}

function isGrouped(digits: string, mark: string): boolean {
  const [first = '', ...rest] = digits.split(mark)
  return first.length >= 1 && first.length <= 3 && rest.every((part) => part.length === 3)
}

/** The decimal mark that the shape shows, null when there is none. */
function decimalMark(digits: string, commas: number, points: number, spaced: boolean): ',' | '.' | null {
  if (commas > 0 && points > 0) return digits.lastIndexOf(',') > digits.lastIndexOf('.') ? ',' : '.'
  if (commas > 1 || points > 1) return null
  if (points === 1) return '.'
  if (commas === 0) return null
  if (spaced) return ','
  return /^[1-9]\d{0,2},\d{3}$/.test(digits) ? null : ','
}
