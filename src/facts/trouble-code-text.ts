/** Trouble codes in running text, told from part numbers, serials, job numbers, plates and dates. */
import { statusFromWords } from './code-status.ts'
import type { TroubleCode } from './trouble-code-bytes.ts'

export interface CodeFound extends TroubleCode {
  /** As written. */
  text: string
  start: number
  end: number
}

/**
 * `loose`: the text stands where only codes stand (a column of codes): any bounded code counts.
 * `usual`: refuses what a label calls something else (part, serial, job, plate, …).
 * `strict`: wants besides a failure type set apart, or a word of the trade (DTC, code, fault, a status) in the text.
 */
export type CodeStrictness = 'loose' | 'usual' | 'strict'

export interface CodeSearch {
  /** Default `usual`. */
  strictness?: CodeStrictness
  /** Whether two hexadecimal digits after a space may be the failure type (`U0155 87`); default true. */
  spacedFailureType?: boolean
}

const core = /(?<![A-Za-z0-9])[PCBU][0-3][0-9A-F]{3}/gi
const otherThings =
  /\b(?:part|p\/n|pn|oem|item|sku|serial|s\/n|sn|ser|job|ro|r\.o|repair order|order|work order|wo|invoice|inv|estimate|est|claim|policy|ref|reference|plate|licen[cs]e|tag|reg|stock|stk|unit|bay|room|suite|box|bin|lot|batch|zip|model|version|ver|sw|software|firmware|fw|hw|hardware|cal(?:ibration)? id|tool|instrument|device|document|doc|form|report|procedure|proc|tsb|bulletin|campaign|target|colou?r|paint)\s?(?:number|num|no|nr|code|id)?\.?\s{0,3}[:#=]?\s{0,3}#?$/i
const tradeWords =
  /\b(?:dtcs?|codes?|faults?|trouble|mil|current|active|present|stored|history|historic|pending|permanent|confirmed|intermittent|inactive|passive|sporadic|failure|malfunction|lost communication|cleared)\b/i
/** What makes two digits after a space a measurement, a count, a date or a time rather than a failure type. */
const notAFailureType =
  /^(?:[A-Za-z0-9]|[.,:/-]\d|[-/][A-Za-z]|\s?(?:%|°|v\b|volts?\b|mv\b|km|mi\b|miles|mph|psi|bar\b|kpa|mm\b|ms\b|s\b|sec|min|hrs?\b|hours?|days?|times?|x\b|times|occ|jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec))/i

/** Every trouble code in a text, in order. */
export function findTroubleCodes(text: string, options: CodeSearch = {}): CodeFound[] {
  const strictness = options.strictness ?? 'usual'
  const found: CodeFound[] = []
  let hasTradeWord: boolean | null = null
  for (const match of text.matchAll(core)) {
    const start = match.index
    const before = found.at(-1)
    const follows =
      before !== undefined && /^\s?[/,&+]\s?$/.test(text.slice(before.end, Math.min(start, before.end + 4)))
    if (!follows && isJoinedBefore(text, start, strictness)) continue
    if (start < (before?.end ?? 0)) continue
    const type = failureTypeAt(text, start + 5, options.spacedFailureType ?? true)
    if (type === null) continue
    if (strictness !== 'loose' && !follows && otherThings.test(text.slice(Math.max(0, start - 40), start))) continue
    if (strictness === 'strict' && !(type.digits !== null && type.end - start > 7)) {
      hasTradeWord ??= tradeWords.test(text)
      if (!hasTradeWord) continue
    }
    found.push({
      code: match[0].toUpperCase(),
      failureType: type.digits?.toUpperCase() ?? null,
      text: text.slice(start, type.end),
      start,
      end: type.end,
    })
  }
  return found
}

/** A hyphen, slash, dot, underscore or number sign ties the code to what stands before it. */
function isJoinedBefore(text: string, start: number, strictness: CodeStrictness): boolean {
  const last = text.charAt(start - 1)
  if (last === '#')
    return (
      strictness !== 'loose' && !/(?:\bdtcs?|\bcodes?|\bfaults?) ?#$/i.test(text.slice(Math.max(0, start - 12), start))
    )
  return /[-/._‑–]/.test(last) && /[A-Za-z0-9]/.test(text.charAt(start - 2))
}

/** The failure type after a code and where the whole ends; null when what follows makes it something else than a code. */
function failureTypeAt(text: string, at: number, spaced: boolean): { digits: string | null; end: number } | null {
  const rest = text.slice(at, at + 24)
  const none = { digits: null, end: at }
  const solid = /^[0-9A-F]{2}(?![A-Za-z0-9])/i.exec(rest)
  if (solid) return isFree(rest, 2) ? { digits: solid[0], end: at + 2 } : null
  if (/^[A-Za-z0-9]/.test(rest)) return null
  const joined = /^(?:\s?[-–‑:/]\s?|\s?[([])(?:0x)?([0-9A-F]{2})h?(?![A-Za-z0-9])/i.exec(rest)
  if (joined?.[1]) {
    const bracket = /[([]/.test(joined[0]) ? 1 : 0
    if (bracket === 1 && !/^[)\]]/.test(rest.slice(joined[0].length))) return none
    const tight = !/\s/.test(joined[0])
    const statusByte = isStatusByte(rest.slice(joined[0].length), joined[1])
    if (statusByte || isFree(rest, joined[0].length)) {
      return { digits: joined[1], end: at + joined[0].length + bracket }
    }
    if (tight && !rest.startsWith(':')) return null
    return none
  }
  const named =
    /^[ \u00a0]{1,2}(?:(?:FTB|failure type|sub-?type|symptom)[ :]{1,2}(?:0x)?|0x)([0-9A-F]{2})h?(?![A-Za-z0-9])/i.exec(
      rest,
    )
  if (named?.[1]) return { digits: named[1], end: at + named[0].length }
  const apart = spaced ? /^[ \u00a0\t]{1,2}([0-9A-F]{2})(?:h\b)?/i.exec(rest) : null
  if (apart?.[1] && /\d/.test(apart[1]) && !notAFailureType.test(rest.slice(apart[0].length))) {
    return { digits: apart[1], end: at + apart[0].length }
  }
  return isFree(rest, 0) ? none : null
}

/** A status byte behind the failure type (`U0155-87-2F`); two pairs of decimal digits could as well be a date or a number. */
function isStatusByte(after: string, failureType: string): boolean {
  const match = /^[-:/]([0-9A-F]{2})(?![-A-Za-z0-9/.])/i.exec(after)
  return match?.[1] !== undefined && /[A-F]/i.test(failureType + match[1])
}

/** Whether nothing is tied on at this place: no digit, no short run of capitals, no further number. A hyphenated word may follow. */
function isFree(rest: string, at: number): boolean {
  const after = rest.slice(at)
  if (/^[-‑–_/.]\d/.test(after)) return false
  if (/^\/[PCBU][0-3][0-9A-F]{3}/i.test(after)) return true
  const word = /^[-/]([A-Z]{3,12})(?![A-Z0-9])/i.exec(after)?.[1]
  if (word && statusFromWords(word) !== 'unknown') return true
  return !/^[-‑–_/][A-Z0-9]{1,4}(?![A-Za-z])/.test(after) && !/^_/.test(after)
}
