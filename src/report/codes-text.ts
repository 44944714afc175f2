/** Trouble codes before and after the work, side by side. */
import type { CodeReading, DocumentFacts } from '../facts/document.ts'
import { type Sheet, span } from './sheet.ts'
import { measureText } from './terminal-text.ts'

interface Row {
  code: string
  module: string
  before: string
  after: string
  text: string
}

/** One row a code and module, in the order the scans list them. Nothing when the packet holds no scan. */
export function writeCodes(sheet: Sheet, documents: readonly DocumentFacts[]): void {
  const before = documents.filter(({ kind }) => kind === 'pre-scan')
  const after = documents.filter(({ kind }) => kind === 'post-scan')
  if (before.length + after.length === 0) return
  sheet.gap()
  sheet.write([span('Codes before and after', 'strong')])
  const rows = pairCodes(before, after)
  if (rows.length === 0) {
    sheet.write(describeNone(before, after), { first: '  ' })
    return
  }
  const widest = Math.min(28, Math.max(6, ...rows.map(({ module }) => measureText(module))))
  const write = (row: Row, style: 'plain' | 'quiet') =>
    sheet.row(
      [
        { text: row.code, width: 10 },
        { text: row.module, width: widest + 2 },
        { text: row.before, width: 12 },
        { text: row.after, width: 18 },
      ],
      { indent: 2, style },
    )
  write({ code: 'Code', module: 'Module', before: 'Before', after: 'After', text: '' }, 'quiet')
  for (const row of rows) {
    write(row, 'plain')
    if (row.text !== '') sheet.write([span(row.text, 'quiet')], { first: ' '.repeat(12) })
  }
}

function pairCodes(before: readonly DocumentFacts[], after: readonly DocumentFacts[]): Row[] {
  const codes = new Map<string, CodeReading>()
  for (const code of [...before, ...after].flatMap((scan) => scan.codes ?? [])) {
    const key = keyOf(code)
    if (!codes.has(key)) codes.set(key, code)
  }
  return [...codes].map(([key, code]) => ({
    code: code.failureType === null ? code.code : `${code.code}-${code.failureType}`,
    module: code.module ?? 'not stated',
    before: stateOf(key, code, before),
    after: stateOf(key, code, after),
    text: code.text ?? '',
  }))
}

const keyOf = ({ module = '', code, failureType }: CodeReading): string => `${code}\n${failureType}\n${module}`

/** A code that a scan does not list may be gone, or its module may not have been read: these are two things. */
function stateOf(key: string, { module }: CodeReading, scans: readonly DocumentFacts[]): string {
  if (scans.length === 0) return 'no scan'
  const statuses = scans.flatMap((scan) => scan.codes ?? []).filter((code) => keyOf(code) === key)
  if (statuses.length > 0) {
    return [...new Set(statuses.map(({ status }) => (status === 'unknown' ? 'listed' : status)))].join(', ')
  }
  const modules = scans.flatMap((scan) => scan.modules ?? [])
  const read = modules.some(({ name, state }) => name === module && state !== 'no-response')
  if (modules.length === 0 || module === undefined || read) return 'not listed'
  return 'module not read'
}

function describeNone(before: readonly DocumentFacts[], after: readonly DocumentFacts[]): string {
  const side = (scans: readonly DocumentFacts[], name: string) =>
    scans.length === 0 ? `there is no ${name}` : `no code was read in the ${name}`
  const text = `${side(before, 'pre-scan')}, and ${side(after, 'post-scan')}.`
  return text.charAt(0).toUpperCase() + text.slice(1)
}
