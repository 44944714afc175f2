/** Trouble codes before and after the work, side by side. */
import type { CodeReading, DocumentFacts } from '../facts/document.ts'

export interface CodeRow {
  code: string
  module: string
  before: string
  after: string
  text: string
}

export interface CodesView {
  heading: string
  /** One a code and module, in the order the scans list them. */
  rows: CodeRow[]
  /** What to say where there is no row. */
  none: string
}

/** Null when the packet holds no scan. */
export function viewCodes(documents: readonly DocumentFacts[]): CodesView | null {
  const before = documents.filter(({ kind }) => kind === 'pre-scan')
  const after = documents.filter(({ kind }) => kind === 'post-scan')
  if (before.length + after.length === 0) return null
  return { heading: 'Codes before and after', rows: pairCodes(before, after), none: describeNone(before, after) }
}

function pairCodes(before: readonly DocumentFacts[], after: readonly DocumentFacts[]): CodeRow[] {
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
