/** Amounts of money in text. */
import { digitsSource, type NumberStyle, numberOf } from './number-text.ts'

export interface Money {
  amount: number
  /**
   * ISO 4217 code where it is printed or the symbol has one meaning (€); the symbol as written where several currencies
   * share it ($, £, ¥, kr); null where none is printed.
   */
  currency: string | null
}

const code = '(?:USD|CAD|AUD|NZD|EUR|GBP|CHF|JPY|CNY|MXN|SEK|NOK|DKK|PLN|CZK|ZAR|INR|BRL|SGD|HKD|KRW)'
const symbol = '(?:US\\$|CA\\$|C\\$|A\\$|AU\\$|NZ\\$|[$€£¥₹]|kr\\.?)'
const sp = '[ \\u00a0\\u202f]{0,2}'
const sign = '[+\\-−–]'
const money = new RegExp(
  `(?<![A-Za-z0-9.,])(\\()?${sp}(${sign})?${sp}(?:(${code})${sp})?(?:(${symbol})${sp})?(${sign})?(${digitsSource})(?:${sp}(?:(${code}|${symbol})(?![A-Za-z])))?(?:(-)(?![A-Za-z0-9]))?${sp}(\\))?(?![A-Za-z0-9%°/:]|[.,]\\d)`,
  'g',
)
const meanings: Record<string, string> = {
  '€': 'EUR',
  '₹': 'INR',
  US$: 'USD',
  CA$: 'CAD',
  C$: 'CAD',
  A$: 'AUD',
  AU$: 'AUD',
  NZ$: 'NZD',
}

/**
 * The first amount of a text: `$1,234.56`, `325,00 €`, `USD 325`, `-$45.00`, `(45.00)`, `45.00-`. An amount with a currency
 * or exactly two decimals is wanted, unless the whole text is the number. Null when there is none.
 */
export function readMoney(text: string, options: NumberStyle = {}): Money | null {
  for (const match of text.matchAll(money)) {
    const [written, open, before, codeBefore, symbolBefore, within, digits = '', behind, trailing, close] = match
    const printed = codeBefore ?? symbolBefore ?? behind ?? null
    const alone = text.trim() === written.trim()
    if (printed === null && !alone && !/[.,]\d{2}$/.test(digits)) continue
    const size = numberOf(digits, options)
    if (size === null) continue
    const bracketed = open !== undefined && close !== undefined
    const negative =
      bracketed || [before, within].some((mark) => mark !== undefined && mark !== '+') || trailing !== undefined
    return {
      amount: negative && size !== 0 ? -size : size,
      currency: printed === null ? null : (meanings[printed] ?? printed),
    }
  }
  return null
}
