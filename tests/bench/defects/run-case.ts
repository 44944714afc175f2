/** Makes, reviews and grades one packet. */
import type { Finding, Verdict } from '../../../src/findings/report.ts'
import { type Case, defectOf, deskOf, plantCase } from './cases.ts'
import { type Files, renderDraft } from './render.ts'
import type { Reviewer } from './review.ts'

/** `milder`: found, at a lower verdict; `elsewhere`: found, but placed in another file. */
export type Grade = 'found' | 'milder' | 'elsewhere' | 'missed'

export interface Planted {
  name: string
  check: string
  verdict: 'fail' | 'warn'
  grade: Grade
  /** What the check said instead, where it was not found. */
  said: string
}

export interface Result {
  case: Case
  planted: Planted[]
  /** Findings that fail or warn, of checks that were not to find anything. */
  beside: { check: string; verdict: Verdict; message: string; reason: string }[]
  milliseconds: number
}

const rank: Record<Verdict, number> = { pass: 0, 'not-checked': 0, warn: 1, fail: 2 }

function gradeOne(name: string, files: readonly string[], findings: readonly Finding[]): Planted {
  const { check, verdict } = defectOf(name)
  const own = findings.filter((finding) => finding.check === check)
  const strong = own.filter((finding) => rank[finding.verdict] >= rank[verdict])
  const placed = strong.some(({ evidence }) => files.length === 0 || evidence.some(({ file }) => files.includes(file)))
  const grade = placed
    ? 'found'
    : strong.length > 0
      ? 'elsewhere'
      : own.some((one) => rank[one.verdict] > 0)
        ? 'milder'
        : 'missed'
  const said = grade === 'found' ? '' : own.map((one) => `${one.verdict} ${one.message}: ${one.reason}`).join(' | ')
  return { name, check, verdict, grade, said }
}

export async function runCase(one: Case, review: Reviewer): Promise<{ result: Result; files: Files }> {
  const begun = performance.now()
  const made = plantCase(one)
  if (!made) throw new Error(`${one.planted.join(' and ')} cannot be planted in packet ${one.seed}`)
  const files = await renderDraft(made.draft)
  const { findings } = await review(files, deskOf(one))
  const planted = one.planted.map((name, index) => gradeOne(name, made.files[index] ?? [], findings))
  const meant = new Set(planted.map(({ check }) => check))
  const beside = findings
    .filter(({ check, verdict }) => rank[verdict] > 0 && !meant.has(check))
    .map(({ check, verdict, message, reason }) => ({ check, verdict, message, reason }))
  return { result: { case: one, planted, beside, milliseconds: performance.now() - begun }, files }
}
