/** Two submissions of an invented packet, made in memory. */
import { createHash } from 'node:crypto'
import type { Submission } from '../../src/compare/submission.ts'
import type { CodeReading, DocumentFacts, DocumentKind } from '../../src/facts/document.ts'
import type { Place } from '../../src/facts/reading.ts'
import type { Finding } from '../../src/findings/report.ts'
import { makePlace } from '../checks/packet-builder.ts'
import { makeReport } from '../report/invented.ts'

export const digestOf = (text: string): string => createHash('sha256').update(text).digest('hex')

/** A line, twelve points high, on a page of its own grid. */
export const makeLine = (text: string, at: number, page = 1): Place => ({
  page,
  box: [10, 12 * at, 10 + 6 * text.length, 12 * at + 10],
  text,
})

export interface File {
  facts: DocumentFacts
  lines: Place[]
}

/** A file that holds these pages, each of lines; its digest is that of all it says. */
export function makeFile(file: string, kind: DocumentKind, pages: string[][], rest: Partial<DocumentFacts> = {}): File {
  const lines = pages.flatMap((page, index) => page.map((text, at) => makeLine(text, at, index + 1)))
  const sha256 = digestOf(JSON.stringify([pages, rest, kind]))
  const media = 'application/pdf'
  const facts = {
    file,
    sha256,
    bytes: 100,
    media,
    kind,
    kindFrom: 'heading',
    pages: pages.length,
    problems: [],
  } as const
  return { facts: { ...facts, evidence: {}, ...rest, problems: rest.problems ?? [] }, lines }
}

export function makeSubmission(files: File[], findings: Finding[] = [], packet = 'job 12'): Submission {
  const sorted = files.toSorted((a, b) => (a.facts.file < b.facts.file ? -1 : 1))
  const count = (verdict: string) => findings.filter((finding) => finding.verdict === verdict).length
  const counts = { pass: count('pass'), warn: count('warn'), fail: count('fail'), notChecked: count('not-checked') }
  return {
    report: makeReport({
      packet,
      documents: sorted.map(({ facts }) => facts),
      findings,
      counts,
      verdict: counts.fail > 0 ? 'fail' : counts.warn > 0 ? 'warn' : 'pass',
    }),
    content: Object.fromEntries(sorted.map(({ facts, lines }) => [facts.file, { lines }])),
    declaration: null,
  }
}

export const makeCode = (code: string, module: string, rest: Partial<CodeReading> = {}): CodeReading => ({
  code,
  failureType: '54',
  status: 'stored',
  module,
  ...rest,
})

export { makePlace }
