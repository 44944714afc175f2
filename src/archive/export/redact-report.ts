/** A report without what was taken out: its texts replaced, its places dropped. */
import { createHash } from 'node:crypto'
import type { Report } from '../../findings/report.ts'
import type { Redactor } from './redactor.ts'

/** The same report, saying of itself that it is a derived copy. */
export function redactReport(report: Report, redactor: Redactor, sha256: string): Report {
  const redacted = redactValue(report, redactor) as Report
  const caution = `Derived copy, without ${redactor.words}; the sealed original is kept under SHA-256 ${sha256}.`
  return { ...redacted, cautions: [caution, ...redacted.cautions] }
}

/** Words of ours, such as kinds and verdicts. Where one is what is to be taken out, the search finds it. */
const isWord = /^[a-z]+(?:-[a-z]+)*$/
const isKey = /^[A-Za-z]+(?:\.[A-Za-z0-9]+)*$/

const placeKeys: ReadonlySet<string> = new Set(['start', 'end', 'location'])

function redactValue(value: unknown, redactor: Redactor): unknown {
  if (typeof value === 'string') return isWord.test(value) ? value : redactor.replace(value)
  if (typeof value === 'number') return /\.\d{3,}$/.test(String(value)) && redactor.isPlace(value) ? null : value
  if (Array.isArray(value)) return value.map((one) => redactValue(one, redactor))
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(
    Object.entries(value).map(([key, own]) => [
      isKey.test(key) ? key : redactor.replace(key),
      redactor.kinds.has('places') && placeKeys.has(key) && isPair(own) ? null : redactValue(own, redactor),
    ]),
  )
}

const isPair = (value: unknown): boolean =>
  Array.isArray(value) && value.length === 2 && value.every((one) => typeof one === 'number')

/** SHA-256, under which the archive keeps a content. */
export const digestOf = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex')
