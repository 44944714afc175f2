/**
 * What a value of each label looks like, so that of several cells around a label the right one is taken, and a word that
 * only looks like a label is left alone. `strong`: hardly anything else looks so; `weak`: it may be that; null: it is not.
 */

import { monthNames } from '../date-forms.ts'
import { isIllegible } from '../illegible.ts'
import { findVins } from '../vin-text.ts'
import type { LabelKey } from '../vocabulary.ts'

export type Fit = 'strong' | 'weak' | null

const named = monthNames
const DATE = new RegExp(
  [
    String.raw`\b\d{4}[\-\/.:]\d{1,2}[\-\/.:]\d{1,2}(?!\d)`,
    String.raw`\b\d{1,2}[\-\/.] ?\d{1,2}[\-\/.] ?(?:\d{4}|\d{2})\b`,
    String.raw`\b\d{1,2}(?:st|nd|rd|th|er)?[ \-\/.]*(?:of |de )?${named}[ \-\/.,]*(?:del? )?(?:\d{4}|\d{2})\b`,
    String.raw`\b${named}\.?[ \-]*\d{1,2}(?:st|nd|rd|th)?,?[ \-]*\d{4}\b`,
    String.raw`\b${named} \d{1,2} \d{1,2}:\d{2}(?::\d{2})? \d{4}\b`,
    String.raw`\b20\d{2}(?:0[1-9]|1[0-2])(?:0[1-9]|[12]\d|3[01])(?:T\d{4,6})?\b`,
  ].join('|'),
  'iu',
)
const TIME = /\b\d{1,2}(?:[:.h]| h )\d{2}(?:[:.]\d{2})?\b/i
const DURATION =
  /\b\d+(?:[.,]\d+)?\s*(?:h|hr|hrs|hours?|min|mins|minutes?|m|s|sec|secs|seconds?)\b|\b\d{1,3}:\d{2}(?::\d{2})?\b|^\d+['′]\s*\d*["″]?/i
const NUMBER = /[-+−–]?\d/
const PERSON =
  /^(?:(?:mr|mrs|ms|dr)\.? )?\p{Lu}[\p{L}.'’-]*(?: (?:(?:van|von|de|der|den|da|di|du|la|le|del|bin|al|of)\b|\p{Lu}[\p{L}.'’-]*)){0,4}(?:\s*[([#].*|,\s.*|\s+-\s.*)?$/u

const words = (text: string) => text.trim().split(/\s+/).length

/** "2", "1 of 1", "one": null where two numbers leave open which one counts, and for anything else. */
export function attemptsOf(text: string): number | null {
  const spelled = ['one', 'two', 'three', 'four', 'five'].indexOf(text.trim().toLowerCase())
  if (spelled >= 0) return spelled + 1
  const [, made, of] = /^(\d{1,2})(?:\s*(?:of|\/)\s*(\d{1,2}))?$/i.exec(text.trim()) ?? []
  return made === undefined || Number(made) === 0 || (of !== undefined && of !== made) ? null : Number(made)
}

/** Says whether `text` can be the value of a label that means `key`. */
export function fitOf(key: LabelKey, text: string): Fit {
  // It stands where the value stands, and nothing beyond it is meant.
  if (isIllegible(text)) return 'strong'
  const value = text.trim()
  if (value === '' || /^[-–—_.·]+$/.test(value)) return null
  const short = words(value) <= 6
  switch (key) {
    case 'vin': {
      if (findVins(value, { isValue: true, misprints: true }).length > 0) return 'strong'
      return /^[*.…xX-]*(?=[A-Z0-9]*\d{4}$)[A-Z0-9]{6,17}$/.test(value.replace(/\s/g, '')) && value.length < 24
        ? 'weak'
        : null
    }
    case 'date':
    case 'lossDate':
    case 'expiry':
    case 'otherDate':
    case 'startDate':
      return DATE.test(value) ? 'strong' : null
    case 'started':
    case 'ended':
      return DATE.test(value) ? 'strong' : TIME.test(value) && words(value) <= 4 ? 'strong' : null
    case 'time':
      return TIME.test(value) && words(value) <= 4 ? 'strong' : null
    case 'duration':
      return DURATION.test(value) ? 'strong' : /^\d+$/.test(value) ? 'weak' : null
    case 'distance':
      return /^[-+]?\d[\d.,\s]*(?:mi|miles?|km|m|ft|kilomet\w+|met\w+)\b/i.test(value)
        ? 'strong'
        : /^\d+(?:[.,]\d+)?$/.test(value)
          ? 'weak'
          : null
    case 'odometer':
      return /^\d[\d.,'\s   ]*\s*(?:mi|mls|miles?|km|kms|kilomet\w+)?\.?(?:\s*[(;,/·].*)?$/i.test(value)
        ? /\d{3}/.test(value.replace(/[.,'\s   ]/g, '')) || /mi|km/i.test(value)
          ? 'strong'
          : 'weak'
        : /^(?:mi|km|miles)\s*\d/i.test(value)
          ? 'strong'
          : null
    case 'batteryVolts':
      return /\d{1,2}[.,]\d+\s*(?:v|vdc|volts?)\b/i.test(value)
        ? 'strong'
        : /^\d{1,2}[.,]\d{1,3}$/.test(value)
          ? 'strong'
          : /^\d{2}\s*v\b/i.test(value)
            ? 'strong'
            : null
    case 'progress':
      return /^\d{1,3}(?:[.,]\d+)?\s*(?:%|percent|pct|per cent)/i.test(value)
        ? 'strong'
        : /\b\d{1,3}\s*(?:%|percent)/i.test(value)
          ? 'weak'
          : /^\d{1,3}(?:\s*\/\s*100)?$/.test(value)
            ? 'weak'
            : null
    case 'attempts':
      return attemptsOf(value) === null ? null : 'strong'
    case 'year':
      return /^(?:19|20)\d{2}\b/.test(value) ? 'strong' : null
    case 'vehicle':
      return /^(?:19|20)\d{2}\b/.test(value) ? 'strong' : short && /\p{L}{2}/u.test(value) ? 'weak' : null
    case 'codeCount':
    case 'moduleCount':
      return /^\(?(?:\d{1,3}|none|no|nil|zero)\b/i.test(value) && words(value) <= 5 ? 'strong' : null
    case 'documentNumber':
      return DATE.exec(value)?.[0] === value ? null : 'weak'
    case 'jobNumber':
    case 'claimNumber':
      return /\d/.test(value) && words(value) <= 6 && DATE.exec(value)?.[0] !== value ? 'weak' : null
    case 'plate':
      return /^[A-Z0-9][A-Z0-9 ·.-]{1,11}(?:[\s,(].*)?$/.test(value) && /\d|^[A-Z]{4,7}$/.test(value) ? 'weak' : null
    case 'technician':
    case 'driver':
    case 'observer':
    case 'reviewer':
    case 'author':
      return words(value) <= 9 && PERSON.test(value) ? 'weak' : null
    case 'instrumentSerial':
    case 'serial':
    case 'part':
      return NUMBER.test(value) && words(value) <= 6 && !DATE.test(value) ? 'weak' : null
    case 'instrumentSoftware':
      return /\d/.test(value) && words(value) <= 7 ? 'weak' : null
    case 'instrumentName':
    case 'make':
    case 'model':
    case 'position':
    case 'sensor':
      return short && /\p{L}/u.test(value) && (DATE.exec(value)?.[0].length ?? 0) < 0.4 * value.length ? 'weak' : null
    case 'method':
      if (/^(?:static|dynamic|zero|initiali[sz]|road |in (?:the )?bay|on the road|with target)/i.test(value))
        return 'strong'
      return short && /\p{L}/u.test(value) && !holdsDate(value) ? 'weak' : null
    case 'procedure':
      return /^[A-Z]{2,}[A-Z0-9./-]* ?[A-Z]*\d/.test(value) && words(value) <= 9 ? 'strong' : 'weak'
    case 'outcome':
      if (
        /^(?:not )?(?:completed?|successful(?:ly)?|pass(?:ed)?|failed|aborted|learn(?:ed|t)|finished)\b/i.test(value) &&
        words(value) <= 5
      )
        return 'strong'
      return words(value) <= 10 && /\p{L}|[✓✔✗✘]/u.test(value) ? 'weak' : null
    default:
      return 'weak'
  }
}

/** Whether a text holds a date in any usual form. */
export function holdsDate(text: string): boolean {
  return DATE.test(text)
}
